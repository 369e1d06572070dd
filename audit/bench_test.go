package audit

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"tillproof/money"
	"tillproof/plan"
)

// breakfast is the plan of the format's own example.
const breakfast = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
currency: USD
tax: {rate: 6.25%, items: [foil]}
transactions:
  - id: breakfast
    pay_with: [card]
    items:
      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29}
      - {id: jam, name: Fenny Orchard plum jam 340 g, quantity: 2, shelf: 3.79, sale: 3.45}
      - {id: foil, name: Tern kitchen foil 25 m, quantity: 2, shelf: 3.29, sale: 2 for 5.00}
offers:
  - {id: oats-app, title: 40% off rolled oats, funded_by: store, carried_as: app, applies_to: [oats], deduct: 40%, limit: {per_transaction: 3}}
  - {id: foil-maker, title: 0.75 off one roll, funded_by: maker, carried_as: paper, applies_to: [foil], deduct: 0.75, held: 1}
  - {id: breakfast-card, title: 4.00 gift card when you spend 18.00 on breakfast, funded_by: store, carried_as: paper, applies_to: [oats, jam], spend: 18.00, credit: {kind: gift card, value: 4.00}}
  - {id: jam-back, title: "0.60 back on each jar, two a receipt", funded_by: maker, carried_as: app, applies_to: [jam], rebate: {value: 0.60, submit_by: 2026-05-20}, limit: {per_transaction: 2}}
`

func load(t testing.TB, src string) *plan.Plan {
	t.Helper()
	p, err := plan.Load([]byte(src), "plan.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// BenchmarkCheck is one check of a receipt that was parsed already, as planned
// and with one coupon missing.
func BenchmarkCheck(b *testing.B) {
	p := load(b, breakfast)
	tx := p.Transactions[0]
	for _, c := range []struct {
		name string
		rung *plan.Rung
	}{
		{"planned", nil},
		{"missing", &plan.Rung{Offers: map[int]plan.RungOffer{0: {}}}},
	} {
		rec := printBill(p, tx, p.PriceAs(tx, c.rung), style{quantityBeneath: true})
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := checkFirm(Input{Plan: p, Receipt: rec}, true); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// large is a plan of n items and m offers, names all different.
func large(t testing.TB, n, m int) *plan.Plan {
	r := rand.New(rand.NewPCG(5, 6))
	var b strings.Builder
	b.WriteString("plan: 1\ndate: 2026-05-09\ncurrency: USD\ntransactions:\n  - id: trip\n    items:\n")
	for i := range n {
		fmt.Fprintf(&b, "      - {id: i%d, name: %s %s %s, shelf: %s}\n", i, makers[r.IntN(len(makers))], syllables(r), goods[r.IntN(len(goods))], euros(79+r.IntN(900)))
	}
	b.WriteString("offers:\n")
	for k := range m {
		fmt.Fprintf(&b, "  - {id: o%d, title: coupon %d, funded_by: maker, carried_as: paper, applies_to: [i%d], deduct: %s}\n", k, k, k*n/m, euros(20+r.IntN(50)))
	}
	return load(t, b.String())
}

func syllables(r *rand.Rand) string {
	s := ""
	for range 3 {
		s += []string{"ba", "ko", "lim", "ter", "shu", "vo", "pran", "dil", "mec", "gul"}[r.IntN(10)]
	}
	return s
}

// BenchmarkCheckLarge is a receipt of 300 lines with 100 offers: as planned, and
// with one coupon that took less than any known cause gives, for which other
// places are looked for, the more so where all deductions stand at the end.
func BenchmarkCheckLarge(b *testing.B) {
	p := large(b, 200, 100)
	tx := p.Transactions[0]
	short := &plan.Rung{Offers: map[int]plan.RungOffer{7: {Items: map[int]money.Amount{14: money.FromCents(11)}}}}
	for _, c := range []struct {
		name  string
		rung  *plan.Rung
		style style
	}{
		{"planned", nil, style{}},
		{"short", short, style{}},
		{"gathered", short, style{gathered: true}},
		{"cryptic", short, style{gathered: true, cryptic: true}},
	} {
		rec := printBill(p, tx, p.PriceAs(tx, c.rung), c.style)
		b.Run(c.name, func(b *testing.B) {
			b.ReportMetric(float64(len(rec.Lines)), "lines")
			for b.Loop() {
				if _, err := checkFirm(Input{Plan: p, Receipt: rec}, true); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkTextCheck is a whole check of a receipt as text: parse, match, audit.
func BenchmarkTextCheck(b *testing.B) {
	p := load(b, breakfast)
	tx := p.Transactions[0]
	text := paper(printBill(p, tx, p.PriceAs(tx, nil), style{quantityBeneath: true, savings: true}))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Check(Input{Plan: p, Receipt: parsed(text, nil)}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTextCheckMemory is BenchmarkTextCheck with the heap that is left when
// all is done beside the one at the beginning: run with -benchtime=1000000x, it
// must not have grown.
func BenchmarkTextCheckMemory(b *testing.B) {
	p := load(b, breakfast)
	tx := p.Transactions[0]
	text := paper(printBill(p, tx, p.PriceAs(tx, nil), style{quantityBeneath: true, savings: true}))
	heap := func() float64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return float64(m.HeapAlloc)
	}
	before := heap()
	for b.Loop() {
		if _, err := Check(Input{Plan: p, Receipt: parsed(text, nil)}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(heap()-before, "heap-growth-B")
}
