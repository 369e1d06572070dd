package audit

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"tillproof/plan"
)

// Invented makers and goods, each with a word that shortens to letters of its own.
var (
	makers = []string{"Millbrook", "Fenny Orchard", "Tern", "Dovecote", "Larkhall", "Quillon", "Saltmarsh", "Bramble Hill"}
	goods  = []string{"rolled oats 1 kg", "plum jam 340 g", "kitchen foil 25 m", "dish soap 500 ml", "ground coffee 250 g",
		"corn flakes 375 g", "tomato soup 400 g", "dog biscuits 800 g", "cheddar slices 200 g", "vanilla yogurt 4 pack",
		"paper towels 6 rolls", "peanut butter 454 g", "apple cider 1 l", "green lentils 500 g", "frozen peas 750 g", "oat crackers 150 g"}
)

// randomPlan draws up a plan of one transaction in the core of the plan format.
func randomPlan(t testing.TB, r *rand.Rand) *plan.Plan {
	var b strings.Builder
	b.WriteString("plan: 1\nstore: Harbor Lane Market\ndate: 2026-05-09\ncurrency: USD\n")
	items := 2 + r.IntN(6)
	names := r.Perm(len(goods))[:items]
	if r.IntN(2) == 0 {
		fmt.Fprintf(&b, "tax: {rate: %s, items: [i0, i1]}\n", []string{"6.25%", "8%", "7.375%"}[r.IntN(3)])
	}
	b.WriteString("transactions:\n  - id: trip\n    pay_with: [card]\n    items:\n")
	for i, n := range names {
		cents := 79 + r.IntN(900)
		fmt.Fprintf(&b, "      - {id: i%d, name: %s %s, quantity: %d, shelf: %s, price_from: label", i, makers[r.IntN(len(makers))], goods[n], 1+r.IntN(4), euros(cents))
		switch r.IntN(4) {
		case 0:
			fmt.Fprintf(&b, ", sale: %s", euros(cents*(60+r.IntN(35))/100))
		case 1:
			fmt.Fprintf(&b, ", sale: 2 for %s", euros(2*cents*(60+r.IntN(30))/100/2*2))
		}
		b.WriteString("}\n")
	}
	b.WriteString("offers:\n")
	for i := range items {
		randomOffers(&b, r, i, strings.Join(strings.Fields(goods[names[i]])[:2], " "))
	}
	if r.IntN(2) == 0 {
		fmt.Fprintf(&b, "  - {id: gift, title: gift card on a full basket, applies_to: [i0, i1], spend: %s, credit: {kind: gift card, value: %s}}\n", euros(300+r.IntN(900)), euros(200+r.IntN(300)))
	}
	if r.IntN(3) == 0 {
		fmt.Fprintf(&b, "  - {id: points, title: bonus points, applies_to: [i1], credit: {kind: points, points: %d, value: %s}}\n", 500*(1+r.IntN(4)), euros(50*(1+r.IntN(4))))
	}
	if r.IntN(3) == 0 {
		fmt.Fprintf(&b, "  - {id: basket, title: basket coupon, carried_as: paper, applies_to: [i0, i1], spend: %s, deduct: %s}\n", euros(500+r.IntN(600)), euros(100+r.IntN(150)))
	}
	if r.IntN(3) == 0 {
		b.WriteString("  - {id: back, title: money back, applies_to: [i0], rebate: {value: 0.60, submit_by: 2026-05-20}}\n")
	}
	p, err := plan.Load([]byte(b.String()), "random.yaml", nil)
	if err != nil {
		t.Fatalf("%v\n%s", err, b.String())
	}
	return p
}

// randomOffers writes none to two deductions on item i: no two that one could
// take for the other.
func randomOffers(b *strings.Builder, r *rand.Rand, i int, what string) {
	if r.IntN(3) > 0 {
		deduct := []string{"40%", "25%", euros(30 + r.IntN(100)), "50%"}[r.IntN(4)]
		carried := []string{"app", "paper", "shelf"}[r.IntN(3)]
		fmt.Fprintf(b, "  - {id: s%d, title: %s off %s, funded_by: store, carried_as: %s, applies_to: [i%d], deduct: %s}\n", i, deduct, what, carried, i, deduct)
	}
	if r.IntN(3) == 0 {
		limit := ""
		if r.IntN(2) == 0 {
			limit = fmt.Sprintf(", held: %d", 1+r.IntN(2))
		}
		fmt.Fprintf(b, "  - {id: m%d, title: maker coupon %s, funded_by: maker, carried_as: paper, applies_to: [i%d], deduct: %s%s}\n", i, what, i, euros(25+r.IntN(70)), limit)
	}
}

func euros(cents int) string { return fmt.Sprintf("%d.%02d", cents/100, cents%100) }
