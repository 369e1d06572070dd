package plan_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestUnrelatedOrder: offers on different items may stand in any order.
func TestUnrelatedOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := &randomPlan{T: t}
		head, offers := "plan: 1\ntransactions:\n  - id: t\n    items:\n", []string{}
		for i := range r.upTo(2, 5, "items") {
			head += fmt.Sprintf("      - {id: i%d, name: x, quantity: %d, shelf: %s}\n", i, r.upTo(1, 6, "quantity"), r.money(1, 900, "shelf"))
			offers = append(offers, fmt.Sprintf("  - {id: o%d, title: x, applies_to: [i%d], carried_as: %s, funded_by: %s, buy: %d, deduct: %s}\n",
				i, i, r.of("carried", "shelf", "paper", "app"), r.of("funded", "store", "maker"), r.upTo(1, 3, "buy"),
				r.of("deduct", "0.75", "50%", "free", "to 1.00")))
		}
		want := figures(load(t, head+"offers:\n"+strings.Join(offers, ""), "").Price().Transactions[0])
		moved := rapid.Permutation(offers).Draw(t, "order")
		got := figures(load(t, head+"offers:\n"+strings.Join(moved, ""), "").Price().Transactions[0])
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("%s\n%s%s", diff, head, moved)
		}
	})
}

// TestPercentOrder: where nothing else decides, the order of two percentages on
// one item makes at most a cent of difference.
func TestPercentOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := &randomPlan{T: t}
		item := fmt.Sprintf("{id: x, name: x, quantity: %d, shelf: %s}", r.upTo(1, 9, "quantity"), r.money(1, 3000, "shelf"))
		a, b := r.of("first", "50%", "40%", "15%", "33%", "12.5%"), r.of("second", "50%", "25%", "5%", "66%", "99%")
		out := func(first, second string) int64 {
			return load(t, fmt.Sprintf("plan: 1\ntransactions: [{id: t, items: [%s]}]\noffers:\n"+
				"  - {id: a, title: a, applies_to: [x], deduct: %s}\n  - {id: b, title: b, applies_to: [x], carried_as: app, deduct: %s}\n",
				item, first, second), "").Price().OutOfPocket.Cents()
		}
		if one, two := out(a, b), out(b, a); one-two > 1 || two-one > 1 {
			t.Fatalf("%s then %s leaves %d, the other way %d, of %s", a, b, one, two, item)
		}
	})
}
