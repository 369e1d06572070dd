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
