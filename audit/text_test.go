package audit

import (
	"strings"
	"testing"

	"tillproof/parse"
	"tillproof/plan"
)

// paper is the text of a receipt as it was printed.
func paper(r *parse.Receipt) string {
	var b strings.Builder
	for i := range r.Lines {
		b.WriteString(r.Lines[i].Text)
		b.WriteString("\n")
		if i == 0 {
			b.WriteString("05/09/2026 10:42   REG 3  TRN 4471\n\n")
		}
	}
	return b.String()
}

func checkedText(t *testing.T, p *plan.Plan, text string) *Result {
	t.Helper()
	res, err := Check(Input{Plan: p, Receipt: parsed(text, nil)})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// TestBelowNought: the sum of coupons of which the lines were not seen is no part of the price
// of the last goods, and what it is for is not missing.
func TestBelowNought(t *testing.T) {
	const plan = `plan: 1
transactions:
  - id: trip
    items:
      - {id: laundry, name: Brackle laundry liquid 1.5 l, quantity: 2, shelf: 11.65}
      - {id: yogurt, name: Quarrow plain yogurt 500 g, shelf: 1.65}
offers:
  - {id: wash, title: 3.10 off laundry liquid, funded_by: maker, carried_as: print, applies_to: [laundry], deduct: 3.10}
  - {id: trip, title: 4.65 off 20.00, funded_by: store, carried_as: app, applies_to: [laundry, yogurt], spend: 20.00, deduct: 4.65}
`
	text := "HARBOR LANE\nBRACKLE LAUNDRY LIQUID 1.5L  23.30\n  2 @ 11.65\nQUARROW PLAIN YOGURT 500G  1.65\n** COUPONS **\n   COUPON SAVINGS  -10.85\nSUBTOTAL  14.10\nTOTAL  14.10\nCASH  14.10\n"
	res, err := Check(Input{Plan: load(t, plan), Receipt: parsePage(parse.TextPage(text))})
	if err != nil {
		t.Fatal(err)
	}
	if got := firm(res); got != "" {
		t.Errorf("firm: %q", got)
	}
}
