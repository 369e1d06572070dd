package audit

import (
	"slices"
	"strings"
	"testing"
)

// numberedPlan has two coupons, on goods that a shop prints with its own numbers.
const numberedPlan = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
tax: {rate: 10%, items: [foil]}
transactions:
  - id: t
    items:
      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29}
      - {id: jam, name: Fenny Orchard plum jam 340 g, quantity: 2, shelf: 3.45}
      - {id: foil, name: Tern kitchen foil 25 m, quantity: 2, shelf: 2.50}
offers:
  - {id: own, title: 1.50 off rolled oats, carried_as: app, applies_to: [oats], buy: 3, deduct: 1.50}
  - {id: other, title: 0.50 off kitchen foil, carried_as: paper, applies_to: [foil], buy: 2, deduct: 0.50}
`

const numberedGoods = `HARBOR LANE MARKET
05/09/2026 10:42
MILLBROOK ROLLED OATS 1KG 4411
  3 @ 4.29                 12.87
FENNY ORCHARD PLUM JAM 5522
  2 @ 3.45                  6.90
TERN KITCHEN FOIL 25M 6633
  2 @ 2.50                  5.00 T
`

// A number that goods are printed with, and a deduction too, says what that came off, also
// where no name does, and all coupons stand at the end.
func TestNumberOfGoodsTellsThePlace(t *testing.T) {
	for _, c := range []struct {
		coupons string
		tax     string
		total   string
		want    string // the item that own came off, "" for its own
	}{
		{"CPN 4411 1.50 OFF         -1.50\nCPN 6633 0.50 OFF         -0.50 T\n", "0.45", "23.22", ""},
		{"CPN 5522 1.50 OFF         -1.50\nCPN 6633 0.50 OFF         -0.50 T\n", "0.45", "23.22", "Fenny Orchard plum jam"},
		{"CPN 6633 1.50 OFF         -1.50 T\nCPN 6633 0.50 OFF         -0.50 T\n", "0.30", "23.07", "Tern kitchen foil"},
		{"CPN 9999 1.50 OFF         -1.50\nCPN 6633 0.50 OFF         -0.50 T\n", "0.45", "23.22", ""}, // a coupon's own number
	} {
		p := load(t, numberedPlan)
		res := checkedText(t, p, numberedGoods+c.coupons+"SUBTOTAL                   22.77\nTAX                         "+c.tax+"\nTOTAL                      "+c.total+"\nCARD                       "+c.total+"\n")
		got := ""
		for i := range res.Findings {
			f := &res.Findings[i]
			if f.Kind != MisplacedDeduction || f.Offer != "own" {
				t.Errorf("%q: %s %s%v %s", c.coupons, f.Kind, f.Offer, f.Items, f.Difference)
				continue
			}
			if !f.Certainty.Firm() {
				t.Errorf("%q: a misplaced deduction that is %s", c.coupons, f.Certainty)
			}
			got = f.Cause.Text
		}
		if (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
			t.Errorf("%q: %q, want one that names %q", c.coupons, got, c.want)
		}
	}
}

// A heading stands between the last goods and the coupons gathered beneath it: one that
// names other goods came off those, although coupons of an app stand beneath their own.
func TestHeadingGathersCoupons(t *testing.T) {
	p := load(t, strings.Replace(numberedPlan, "tax: {rate: 10%, items: [foil]}\n", "", 1))
	const goods = "HARBOR LANE MARKET\n05/09/2026 10:42\nMILLBROOK ROLLED OATS 1KG  12.87\n  3 @ 4.29\n  APP OFFER                -1.50\nFENNY ORCHARD PLUM JAM      6.90\n  2 @ 3.45\nTERN KITCHEN FOIL 25M       5.00\n  2 @ 2.50\n"
	for _, c := range []struct {
		coupons string
		stray   bool
	}{
		{"COUPONS\nCPN TERN KITCHEN FOIL      -0.50\n", false},
		{"COUPONS\nCPN FENNY ORCHARD PLUM     -0.50\n", true},
	} {
		res := checkedText(t, p, goods+c.coupons+"TOTAL                      22.77\nCARD                       22.77\n")
		stray := slices.ContainsFunc(res.Findings, func(f Finding) bool { return f.Kind == MisplacedDeduction && f.Offer == "other" })
		if stray != c.stray {
			t.Errorf("%q: came off other goods %v, want %v: %+v", c.coupons, stray, c.stray, res.Findings)
		}
	}
}
