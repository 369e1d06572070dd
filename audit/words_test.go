package audit

import (
	"strings"
	"testing"
)

// TestWordsThatLeaveItOpen: where a line may be what is missed, in words that say
// something else as well, nothing is claimed and nothing passes for as planned. That tills
// word lines so is common practice, no source.
func TestWordsThatLeaveItOpen(t *testing.T) {
	const plan = `plan: 1
store: Quillfen Grocers
date: 2026-11-21
currency: USD
tax: {rate: 5%, items: [soap]}
transactions:
  - id: main
    items:
      - {id: rice, name: Dunmarrow long grain rice 1 kg, quantity: 2, shelf: 3.49}
      - {id: soap, name: Wrenly dish soap 500 ml, shelf: 2.89}
      - {id: cheese, name: Tarnbrook mild cheddar 400 g, shelf: 16.99}
offers:
  - {id: soap, title: Free Wrenly dish soap, funded_by: store, carried_as: paper, applies_to: [soap], deduct: free, held: 1}
  - {id: card, title: 5.00 gift card with 20.00 spent, applies_to: [rice, cheese], spend: 20.00, credit: {kind: gift card, value: 5.00}}
`
	const receipt = `QUILLFEN GROCERS
11/21/2026  10:12   REG 02   TRX 4411
DUNMARROW RICE LG 1KG
   2 @ 3.49                     6.98
WRENLY DISH SOAP 500            2.89 T
CPN WRENLY DISH SOAP           -2.89 T
TARNBROOK MILD CHEDDAR         16.99
SUBTOTAL                       23.97
TOTAL                          23.97
CARD                           23.97
GIFT CARD EARNED 5.00
`
	for _, c := range []struct{ name, from, to string }{
		{"as planned", "", ""},
		{"offered in the plan's own figures", "GIFT CARD EARNED 5.00", "SPEND 20.00 GET 5.00 GIFT CARD"},
		{"for what was spent", "GIFT CARD EARNED 5.00", "REWARD FOR 23.97 SPENT: 5.00 GIFT CARD"},
		{"a word of other lines", "GIFT CARD EARNED 5.00", "GIFT CARD CHARGED WITH 5.00"},
		{"a coupon that says the goods alone", "CPN WRENLY DISH SOAP   ", "WRENLY DISH SOAP 500   "},
		{"an addition without a word for tax", "TOTAL                          23.97\nCARD                           23.97", "KINDNESS FUND                   1.03\nTOTAL                          25.00\nCARD                           25.00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, want := strings.Replace(receipt, c.from, c.to, 1), Undecided
			if c.from == "" {
				want = AsPlanned
			} else if text == receipt {
				t.Fatal("the receipt is as it was")
			}
			res, err := Check(Input{Plan: load(t, plan), Receipt: parsed(text, nil)})
			if err != nil {
				t.Fatal(err)
			}
			if res.Verdict != want {
				t.Errorf("verdict %q, want %q: %+v", res.Verdict, want, res.Findings)
			}
			for _, f := range res.Findings {
				if f.Certainty != CertainUnsure {
					t.Errorf("%s is %s", f.Kind, f.Certainty)
				}
			}
		})
	}
}
