package audit

import (
	"fmt"
	"strings"
	"testing"
)

// coded is a trip with one coupon, of which the plan may leave to the symbol what it gives.
const coded = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
currency: USD
transactions:
  - id: t
    items:
      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29, price_from: label}
      - {id: jam, name: Fenny Orchard plum jam 340 g, quantity: 2, shelf: 3.45, price_from: label}
offers:
  - {id: jam-off, title: coupon for plum jam, funded_by: maker, carried_as: paper, applies_to: [jam], held: 1, %s}
`

const codedGoods = "HARBOR LANE MARKET\n05/09/2026 10:42\nMLBRK RLD OATS 1KG     12.87\n  3 @ 4.29\nFNY ORCH PLUM JAM       6.90\n  2 @ 3.45\n"

// TestCodedValue: a coupon that is missing is told for sure where the symbol says plainly
// what it takes off, and left open where codes from memory do.
func TestCodedValue(t *testing.T) {
	for code, want := range map[string]Certainty{
		"(8110)10614141011111275110111":         CertainProved, // the guideline's figure 3: 0.75 off one unit
		"(8110)012345612345622011012395000":     CertainUnsure, // a percentage
		"514141100760":                          CertainUnsure, // the old symbol
		"514141100760\", deduct: \"1.00":        CertainProved, // the plan says it
		"(8110)0123456123456111101239" + "1000": CertainUnsure, // free
	} {
		res := checkedText(t, load(t, fmt.Sprintf(coded, `coupon_code: "`+code+`"`)), codedGoods+"SUBTOTAL               19.77\nTOTAL                  19.77\nCARD                   19.77\n")
		if len(res.Findings) != 1 || res.Findings[0].Kind != MissingDeduction || res.Findings[0].Certainty != want {
			t.Errorf("%s: %+v, want the missing coupon, %s", code, res.Findings, want)
			continue
		}
		if told := strings.Contains(res.Findings[0].Do, "from memory"); told != (want == CertainUnsure) {
			t.Errorf("%s: what to do is %q", code, res.Findings[0].Do)
		}
	}
}

// TestPrintedSymbol: the data of a symbol that the receipt prints is compared with the plan
// and with what was taken off, and changes no finding.
func TestPrintedSymbol(t *testing.T) {
	const sums = "SUBTOTAL               %[1]s\nTOTAL                  %[1]s\nCARD                   %[1]s\n"
	for _, c := range []struct {
		name, offer, lines, total string
		want                      []string // in the notes; none: there are none
		findings                  int
	}{
		{"agrees", "deduct: 0.75", "MFR CPN PLUM JAM       -0.75\n  (8110)10614141011111275110111\n", "19.02", nil, 0},
		{"the AI apart", "deduct: 0.75", "  8110 10614141011111275110111\nMFR CPN PLUM JAM       -0.75\n", "19.02", nil, 0},
		{"another value than planned", "deduct: 1.00, seen_values: [0.50]", "MFR CPN PLUM JAM       -1.00\n  CPN# 10614141011111275110111\n", "18.77", []string{"line 8 says 0.75 off, and the plan says 1.00 off"}, 0},
		{"taken otherwise", "deduct: 0.75", "MFR CPN PLUM JAM       -0.50\n  (8110)10614141011111275110111\n", "19.27", []string{"says 0.75 off, and the line takes 0.50"}, 1},
		{"other dates and units", "deduct: 0.50", "MFR CPN PLUM JAM       -0.50\n  (8110)106141410012342501206503101231\n", "19.27", []string{"asks for 2 units, and the plan for 1", "expires on 2010-12-31, and the plan has no such date"}, 0},
		{"the old symbol", "deduct: 0.75", "MFR CPN JAM 514141100760 -0.75\n", "19.02", []string{"line 7 says 1.00 off, and the plan says 0.75 off", "known from memory only"}, 0},
		{"a wrong check digit", "deduct: 0.75", "MFR CPN JAM 514141100761 -0.75\n", "19.02", nil, 0},
		{"no symbol", "deduct: 0.75", "MFR CPN PLUM JAM       -0.75\n  7106141410111112751101117\n", "19.02", nil, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := load(t, fmt.Sprintf(coded, c.offer))
			res := checkedText(t, p, codedGoods+c.lines+fmt.Sprintf(sums, c.total))
			notes := strings.Join(res.Notes, "\n")
			for _, w := range c.want {
				if !strings.Contains(notes, w) {
					t.Errorf("notes %q lack %q", notes, w)
				}
			}
			if c.want == nil && notes != "" || len(res.Findings) != c.findings {
				t.Errorf("notes %q, findings %+v", notes, res.Findings)
			}
		})
	}
	res := checkedText(t, load(t, fmt.Sprintf(coded, "deduct: 0.75")), codedGoods+"MFR CPN PLUM JAM       -0.75\nMFR CPN LAMP OIL       -0.40\n  (8110)106141410999992401106503261231\n"+fmt.Sprintf(sums, "18.62"))
	if notes := strings.Join(res.Notes, "\n"); !strings.Contains(notes, "that the plan does not have: 0.40 off, for 1 of family 650, through 2026-12-31") {
		t.Errorf("notes %q do not say what the coupon is that nobody planned: %+v", notes, res.Findings)
	}
}

// TestPrintedPrice: a price in the number of a package from a shop's scale is compared with
// what was charged. The numbers are those worked out from GS1 General Specifications
// sections 7.9.2 to 7.9.4: item 12345 at 3.49 and at 43.21.
func TestPrintedPrice(t *testing.T) {
	p := load(t, strings.Replace(strings.Replace(fmt.Sprintf(coded, "deduct: 0.75"), "name: Fenny", `code: "212345703496", name: Fenny`, 1), "quantity: 2, shelf: 3.45", "shelf: 3.49", 1))
	const oats = "HARBOR LANE MARKET\n05/09/2026 10:42\nMLBRK RLD OATS 1KG     12.87\n  3 @ 4.29\n"
	for line, want := range map[string]string{
		"212345703496 FNY ORCH PLUM JAM   3.49\nMFR CPN PLUM JAM  -0.75\nTOTAL 15.61\nCARD 15.61\n": "",
		"212345703496 FNY ORCH PLUM JAM   3.94\nMFR CPN PLUM JAM  -0.75\nTOTAL 16.06\nCARD 16.06\n": "has a price of 3.49 in it, as those from a shop's own scale do, and the line charges 3.94",
		"212345603496 FNY ORCH PLUM JAM   3.94\nMFR CPN PLUM JAM  -0.75\nTOTAL 16.06\nCARD 16.06\n": "", // a wrong verifier
	} {
		res := checkedText(t, p, oats+line)
		if notes := strings.Join(res.Notes, "\n"); want == "" && notes != "" || !strings.Contains(notes, want) {
			t.Errorf("%s: notes %q, want %q", line, notes, want)
		}
	}
}
