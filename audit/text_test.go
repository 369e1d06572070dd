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

// TestCreditBelowPaid: where only a sum says what was paid, a credit told below how it was
// paid may be lost with that.
func TestCreditBelowPaid(t *testing.T) {
	const plan = `plan: 1
transactions:
  - id: trip
    items:
      - {id: yogurt, name: Quarrow plain yogurt 500 g, quantity: 2, shelf: 11.65}
offers:
  - {id: half, title: 0.50 off plain yogurt, funded_by: store, carried_as: paper, applies_to: [yogurt], deduct: 0.50, limit: {per_transaction: 1}}
  - {id: points, title: 0.50 points when you buy enough, carried_as: app, applies_to: [yogurt], spend: 10.00, credit: {kind: points, value: 0.50, points: 500}}
`
	const text = "HARBOR LANE\nQUARROW PLAIN YOGURT 500G  23.30\n  2 @ 11.65\nSUBTOTAL  23.30\nTOTAL  23.30\nSTORE CPN PLAIN YOGURT  -.50\nYOU PAY  22.80\n"
	for paid, want := range map[string]string{"": "", "CASH TEND  23.00\nCHANGE  .20\n": "missing-credit likely"} {
		r := parsePage(parse.TextPage(text + paid + "THANK YOU\nCOME AGAIN\n"))
		if len(r.Tenders) != 1 || !r.FirmBody() {
			t.Fatalf("paid %q: %d tenders, firm %v", paid, len(r.Tenders), r.FirmBody())
		}
		res, err := Check(Input{Plan: load(t, plan), Receipt: r})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != want {
			t.Errorf("paid %q: %q, want %q", paid, got, want)
		}
	}
}

// TestSavedByBasket: a line beneath goods in the words of the savings on others may be their
// sale's, although it is just what comes off all that was bought; in other words it is none.
func TestSavedByBasket(t *testing.T) {
	const plan = `plan: 1
store: Harbor Lane
date: 2026-05-09
transactions:
  - id: trip
    items:
      - {id: coffee, name: Ostrey ground coffee 227 g, shelf: 6.29, sale: 5.66}
      - {id: cheddar, name: Harrowfen mature cheddar 200 g, quantity: 2, shelf: 4.60, sale: 3.00}
offers:
  - {id: basket, title: 1.90 off 10.00, carried_as: shelf, applies_to: [coffee, cheddar], spend: 10.00, deduct: 1.90}
`
	for line, want := range map[string]string{"WEEKLY SPECIAL": "", "BASKET OFFER 1.90 OFF": "overcharge proved"} {
		res := checkedText(t, load(t, plan), "HARBOR LANE\n05/09/2026 10:42\nOSTREY GROUND COFFEE 227G  6.29\n  WEEKLY SPECIAL  0.63-\nHARROWFEN MATURE CHEDDAR 200G  4.60\nHARROWFEN MATURE CHEDDAR 200G  4.60\n  "+line+"  1.90-\nSUBTOTAL  12.96\nTOTAL  12.96\nCARD  12.96\n")
		if got := firm(res); got != want || len(res.Findings) == 0 {
			t.Errorf("%s: %q of %d, want %q", line, got, len(res.Findings), want)
		}
	}
}
