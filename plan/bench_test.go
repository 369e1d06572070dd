package plan_test

import (
	"fmt"
	"strings"
	"testing"

	"tillproof/plan"
)

// twelveByTen is a plan of 12 items and 10 offers of every sort, in one
// transaction of 33 units.
const twelveByTen = `
plan: 1
store: Harbor Lane Market
date: 2026-05-09
currency: USD
tax: {rate: 6.25%, items: [household]}
transactions:
  - id: week
    items:
      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29, tags: [breakfast]}
      - {id: jam, name: Fenny Orchard plum jam 340 g, quantity: 2, shelf: 3.79, sale: 3.45, tags: [breakfast]}
      - {id: muesli, name: Millbrook muesli 750 g, quantity: 2, shelf: 5.49, tags: [breakfast]}
      - {id: foil, name: Tern kitchen foil 25 m, quantity: 2, shelf: 3.29, sale: 2 for 5.00, tags: [household]}
      - {id: soap, name: Larkwell hand soap 250 ml, quantity: 4, shelf: 2.49, tags: [household]}
      - {id: pasta, name: Pell Mill penne 500 g, quantity: 6, shelf: 1.89, sale: 4 for 6.00 must buy 4}
      - {id: sauce, name: Pell Mill tomato sauce 400 g, quantity: 4, shelf: 2.99}
      - {id: pears, name: Pears, weight: 1.24 lb, shelf: 1.99}
      - {id: milk, name: Dunlea milk 1 l, quantity: 2, shelf: 1.79, fee: 0.10}
      - {id: butter, name: Dunlea butter 250 g, quantity: 2, shelf: 3.99}
      - {id: tea, name: Corran black tea 80 bags, quantity: 2, shelf: 4.59}
      - {id: rice, name: Pell Mill long rice 1 kg, quantity: 3, shelf: 2.79}
offers:
  - {id: soap-shelf, title: Soap 4 for 3, applies_to: [soap], buy: 4, deduct: free, reduces: cheapest}
  - {id: oats-app, title: 40% off rolled oats, carried_as: app, applies_to: [oats], deduct: 40%, limit: {per_transaction: 3}}
  - {id: store-coupon, title: 1.00 off two of breakfast, carried_as: paper, applies_to: [breakfast], buy: 2, deduct: 1.00, held: 2}
  - {id: foil-maker, title: 0.75 off one roll, funded_by: maker, carried_as: paper, applies_to: [foil], deduct: 0.75, held: 1}
  - {id: tea-maker, title: 1.00 off tea, funded_by: maker, carried_as: print, applies_to: [tea], deduct: 1.00}
  - {id: sauce-to, title: Sauce at 2.50, applies_to: [sauce], deduct: to 2.50}
  - {id: basket, title: 5.00 off 40.00, carried_as: print, applies_to: [oats, jam, muesli, pasta, sauce, butter, tea, rice], spend: 40.00, deduct: 5.00}
  - {id: breakfast-card, title: 4.00 gift card for breakfast, carried_as: paper, applies_to: [breakfast], spend: 18.00, credit: {kind: gift card, value: 4.00}}
  - {id: butter-points, title: 500 points on butter, carried_as: loyalty, applies_to: [butter], buy: 2, credit: {kind: points, value: 0.50, points: 500}}
  - {id: jam-back, title: 0.60 back on each jar, funded_by: maker, carried_as: app, applies_to: [jam], rebate: {value: 0.60, submit_by: 2026-05-20}, limit: {per_transaction: 2}}
`

func mustLoad(tb testing.TB, src string) *plan.Plan {
	tb.Helper()
	p, err := plan.Load([]byte(src), "plan.yaml", nil)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

// BenchmarkPrice prices a loaded plan without texts, as the audit does many
// times for one receipt. The target is 100,000 a second on one core.
func BenchmarkPrice(b *testing.B) {
	p := mustLoad(b, twelveByTen)
	b.ReportAllocs()
	for b.Loop() {
		p.PriceAs(p.Transactions[0], nil)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "pricings/s")
}

// BenchmarkPriceAsRung is the same over what a till rang, with an entry for
// every offer but one.
func BenchmarkPriceAsRung(b *testing.B) {
	p := mustLoad(b, twelveByTen)
	tx := p.Transactions[0]
	rung := rungAsPlanned(p, tx)
	delete(rung.Offers, 1)
	b.ReportAllocs()
	for b.Loop() {
		p.PriceAs(tx, rung)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "pricings/s")
}

// BenchmarkPriceExplained is Price: every sum with its steps, and the warnings.
func BenchmarkPriceExplained(b *testing.B) {
	p := mustLoad(b, twelveByTen)
	b.ReportAllocs()
	for b.Loop() {
		p.Price()
	}
}

// BenchmarkLoad reads and validates the plan.
func BenchmarkLoad(b *testing.B) {
	src := []byte(twelveByTen)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := plan.Load(src, "plan.yaml", nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPriceLarge prices 300 lines and 100 offers, above any real trip.
func BenchmarkPriceLarge(b *testing.B) {
	var src strings.Builder
	src.WriteString("plan: 1\ntransactions:\n  - id: t\n    items:\n")
	for i := range 300 {
		fmt.Fprintf(&src, "      - {id: i%d, name: i, quantity: %d, shelf: %d.%02d, tags: [t%d]}\n", i, 1+i%4, 1+i%7, i%100, i%20)
	}
	src.WriteString("offers:\n")
	for i := range 100 {
		more := []string{"deduct: 40%, carried_as: app", "deduct: 0.75, funded_by: maker, carried_as: paper", "buy: 2, deduct: free, reduces: cheapest",
			"spend: 20.00, deduct: 3.00", "spend: 20.00, credit: {kind: gift card, value: 1.00}"}[i%5]
		fmt.Fprintf(&src, "  - {id: o%d, title: o, applies_to: [t%d], %s}\n", i, i%20, more)
	}
	p := mustLoad(b, src.String())
	b.ReportAllocs()
	for b.Loop() {
		p.PriceAs(p.Transactions[0], nil)
	}
}

// BenchmarkPriceCopy prices a changed copy of a plan, as the audit does when it
// tries causes: what Prepare does is done again each time.
func BenchmarkPriceCopy(b *testing.B) {
	p := mustLoad(b, twelveByTen)
	b.ReportAllocs()
	for b.Loop() {
		changed := *p
		changed.Store.Policy.RoundByUnit = true
		changed.PriceAs(changed.Transactions[0], nil)
	}
}
