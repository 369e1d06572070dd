package plan_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"tillproof/plan"
)

// TestHostile loads, and prices where they are plans, files as large as are
// read, made to take as long as possible. Each is a second's work at most on the
// machine this was written on; the bound leaves room for a slow one.
func TestHostile(t *testing.T) {
	many := func(n int, format string) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(strings.ReplaceAll(format, "#", fmt.Sprint(i)))
		}
		return b.String()
	}
	item := "{id: a, name: a, quantity: 9999, shelf: 1.99, tags: [x]}, {id: b, name: b, quantity: 9998, shelf: 1.98, tags: [x]}"
	bomb := "a: &a0 [x, x, x, x, x, x, x, x, x]\n"
	for i := range 9 {
		bomb += fmt.Sprintf("b%d: &a%d [%s]\n", i, i+1, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d, ", i), 9), ", "))
	}
	for name, c := range map[string]struct {
		src  string
		want string // part of a fault, "" for a plan that loads
	}{
		"unknown fields":    {"plan: 1\n" + many(60_000, "field#: 1\n"), "has no field"},
		"unknown words":     {"plan: 1\ntransactions: [{id: t, items: [" + many(4_000, "{id: item-number-#, name: x, shelf: 1.00}, ") + "]}]\noffers: [" + many(400, "{id: o#, title: o, applies_to: ["+many(60, "itme-nubmer-#, ")+"], deduct: 1.00}, ") + "]", "there is no item"},
		"transactions":      {"plan: 1\ntransactions:\n" + many(15_000, "  - {id: t#, items: [{id: a, name: a, shelf: 1.00}]}\n"), "more than 366 transactions"},
		"offers":            {"plan: 1\ntransactions: [{id: t, items: [{id: a, name: a, shelf: 1.00}]}]\noffers:\n" + many(15_000, "  - {id: o#, title: o, applies_to: [a], deduct: 0.01}\n"), "more than 500 offers"},
		"alias bomb":        {bomb, "has no field"},
		"aliased items":     {"plan: 1\ntransactions:\n  - {id: t, items: &i [" + many(1000, "{id: a#, name: a, shelf: 1.00}, ") + "]}\n" + many(5000, "  - {id: u#, items: *i}\n"), "more than"},
		"alias of itself":   {"plan: 1\ntransactions: &t [{id: t, items: *t}]\n", "has no field"},
		"offers and units":  {"plan: 1\ntransactions: [{id: t, items: [" + item + "]}]\noffers:\n" + many(500, "  - {id: o#, title: o, applies_to: [x], buy: 3, deduct: 0.01, reduces: 2}\n"), ""},
		"offers and items":  {"plan: 1\ntransactions: [{id: t, items: [" + many(4_900, "{id: a#, name: a, shelf: 1.0#, tags: [x]}, ") + "]}]", "no amount of money"},
		"baskets":           {"plan: 1\ntransactions: [{id: t, items: [" + many(4_900, "{id: a#, name: a, shelf: 91.07, tags: [x]}, ") + "]}]\noffers:\n" + many(500, "  - {id: o#, title: o, applies_to: [x], spend: 1.00, deduct: 9.99}\n"), ""},
		"days and offers":   {"plan: 1\ntransactions:\n" + many(366, "  - {id: t#, items: [{id: a, name: a, shelf: 9.00, quantity: 50}]}\n") + "offers:\n" + many(500, "  - {id: o#, title: o, applies_to: [a], deduct: 0.01, limit: {transactions_per_day: 200}}\n"), ""},
		"one long value":    {"plan: 1\nstore: " + strings.Repeat("x", 1<<20-200) + "\n", "characters"},
		"long words":        {"plan: 1\ntransactions: [{id: t, items: [" + many(5_000, "{id: "+strings.Repeat("y", 70)+"#, name: a, shelf: 1.00}, ") + "]}]\noffers: [{id: o, title: o, deduct: 1.00, applies_to: [" + many(5_000, strings.Repeat("z", 70)+"#, ") + "]}]", "there is no item"},
		"two megabytes":     {"plan: 1\n" + strings.Repeat("# comment\n", 200_000), "at most 1 MB"},
		"nested":            {"plan: " + strings.Repeat("{a: ", 200_000), "nested more than 32 deep"},
		"many documents":    {strings.Repeat("---\nplan: 1\n", 80_000), "more than one document"},
		"binary":            {strings.Repeat("\x00\xff", 400_000), "plain text in UTF-8"},
		"duplicate items":   {"plan: 1\ntransactions: [{id: t, items: [" + many(20_000, "{id: a, name: a, shelf: 1.00}, ") + "]}]", "two items"},
		"one tag, all tags": {"plan: 1\ntransactions: [{id: t, items: [{id: a, name: a, shelf: 1.00, tags: [" + many(60_000, "t#, ") + "]}]}]", ""},
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			p, err := plan.Load([]byte(c.src), "plan.yaml", nil)
			if p != nil {
				p.Price()
			}
			took := time.Since(start)
			t.Logf("%d bytes in %v", len(c.src), took)
			var errs plan.Errors
			if c.want == "" && err != nil || c.want != "" && !(errors.As(err, &errs) && strings.Contains(said(errs), c.want)) {
				text := fmt.Sprint(err)
				t.Errorf("want %q, got %.300s", c.want, text)
			}
			if len(errs) > 501 {
				t.Errorf("%d faults", len(errs))
			}
			if took > 20*time.Second {
				t.Errorf("took %v", took)
			}
		})
	}
}
