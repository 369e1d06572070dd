package split_test

import (
	"fmt"
	"strings"
	"testing"

	"tillproof/money"
	"tillproof/plan/split"
)

const thresholds = `plan: 1
transactions:
  - id: first
    items: [{id: soap, name: soap, shelf: 3.00}]
  - id: second
    items: [{id: rice, name: rice, quantity: 2, shelf: 4.50}]
    candidates:
%s
offers:
  - {id: off, title: 2.50 off 10.00, applies_to: [rice, beans, tea, salt], spend: 10.00, deduct: 2.50}
  - {id: app, title: half off beans, carried_as: app, applies_to: [beans], deduct: 50%%}
  - {id: card, title: card, applies_to: [soap], spend: 5.00, credit: {kind: gift card, value: 1.00}}
`

// TestFill has thresholds that are missed and what to add to reach them; the
// sums are worked out by hand.
func TestFill(t *testing.T) {
	const beans = "      - {id: beans, name: beans, quantity: 3, shelf: 1.20}\n"
	const tea = "      - {id: tea, name: tea, shelf: 1.00}\n"
	const salt = "      - {id: salt, name: salt, shelf: 0.60, quantity: 2}\n"
	const crisps = "      - {id: crisps, name: crisps, shelf: 9.00}\n"
	for _, c := range []struct{ why, candidates, want string }{
		{"the dearer at the shelf is the cheaper at the till: its own coupon counts", beans + tea,
			"second off 1.00: beans 1; costs 0.60 brings 2.50 change -1.90"},
		{"two units where one does not reach", salt, "second off 1.00: salt 2; costs 1.20 brings 2.50 change -1.30"},
		{"two candidates together", "      - {id: tea, name: tea, shelf: 0.50}\n      - {id: salt, name: salt, shelf: 0.60}\n",
			"second off 1.00: tea 1 salt 1; costs 1.10 brings 2.50 change -1.40"},
		{"one that the offer is not for reaches nothing", crisps, "second off 1.00: nothing"},
		{"one that costs more than it brings says so", "      - {id: tea, name: tea, shelf: 7.00}\n",
			"second off 1.00: tea 1; costs 7.00 brings 2.50 change 4.50"},
	} {
		t.Run(c.why, func(t *testing.T) {
			p := load(t, fmt.Sprintf(thresholds, strings.TrimRight(c.candidates+"      - {id: x, name: x, shelf: 1.00, tags: [beans, tea, salt]}", "\n")))
			// x only makes the words known; its tags would make it a candidate too.
			p.Transactions[1].Candidates = p.Transactions[1].Candidates[:len(p.Transactions[1].Candidates)-1]
			before := p.Price()
			var got []string
			for _, f := range split.Fill(p) {
				line := fmt.Sprintf("%s %s %s:", f.Transaction, f.Offer, f.Missing)
				for _, a := range f.Adds {
					line += fmt.Sprintf(" %s %d", a.Item, a.Quantity)
				}
				if f.Plan == nil {
					got = append(got, line+" nothing")
					continue
				}
				got = append(got, line+fmt.Sprintf("; costs %s brings %s change %s", f.Costs, f.Brings, f.Change))
				if after := f.Plan.Price().FinalCost; after != before.FinalCost.Add(f.Change) {
					t.Errorf("the plan with it costs %s, planned %s", after, before.FinalCost)
				}
			}
			want := []string{"first card 2.00: nothing", c.want}
			if strings.Join(got, "\n") != strings.Join(want, "\n") {
				t.Errorf("got %q, want %q", got, want)
			}
		})
	}
}

// TestFillOfMany keeps the work bounded where there are very many candidates.
func TestFillOfMany(t *testing.T) {
	var list strings.Builder
	for i := range 60 {
		fmt.Fprintf(&list, "      - {id: c%d, name: c, quantity: 99, shelf: 0.%02d, tags: [beans, tea, salt]}\n", i, 30+i)
	}
	p := load(t, fmt.Sprintf(thresholds, strings.TrimRight(list.String(), "\n")))
	got := split.Fill(p)
	if len(got) != 2 || got[1].Plan == nil || got[1].Change.Cmp(money.Must("-1.00")) > 0 {
		t.Errorf("%+v", got)
	}
}
