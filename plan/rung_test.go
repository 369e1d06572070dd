package plan_test

import (
	"testing"

	"tillproof/money"
	"tillproof/plan"

	"github.com/google/go-cmp/cmp"
	"github.com/shopspring/decimal"
)

// rungAsPlanned is what a till that did everything as planned rang.
func rungAsPlanned(p *plan.Plan, tx *plan.Transaction) *plan.Rung {
	b := p.PriceAs(tx, nil)
	rung := &plan.Rung{Items: map[int]plan.RungItem{}, Offers: map[int]plan.RungOffer{}, Credits: map[int]money.Amount{}}
	for i, l := range b.Lines {
		rung.Items[i] = plan.RungItem{Quantity: l.Quantity, Weight: l.Weight, Price: &l.Price, Fee: &l.Fee}
	}
	ids := map[string]int{}
	for i, o := range p.Offers {
		ids[o.ID] = i
		switch {
		case o.Deduct != nil:
			rung.Offers[i] = plan.RungOffer{Items: map[int]money.Amount{}}
		case o.Credit != nil:
			rung.Credits[i] = money.Amount{}
		}
	}
	for i, l := range b.Lines {
		for _, d := range l.Deductions {
			rung.Offers[ids[d.Offer]].Items[i] = d.Amount
		}
	}
	for _, d := range b.BasketDeductions {
		at := rung.Offers[ids[d.Offer]]
		at.Basket = d.Amount
		rung.Offers[ids[d.Offer]] = at
	}
	for _, c := range b.Credits {
		rung.Credits[ids[c.Offer]] = c.Value
	}
	return rung
}

func TestRungAsPlannedIsAsPlanned(t *testing.T) {
	p := mustLoad(t, twelveByTen)
	tx := p.Transactions[0]
	want := p.PriceAs(tx, nil)
	got := p.PriceAs(tx, rungAsPlanned(p, tx))
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// rungPlan has a shelf percentage, a maker's coupon, a threshold for a credit and
// one for a deduction, and a tax, so that every change has consequences.
const rungPlan = `
plan: 1
date: 2026-06-02
tax: {rate: 10%, items: [mug]}
transactions:
  - id: t
    pay_with: [{held: gift card, amount: 2.00}, card]
    items:
      - {id: mug, name: Alder mug, shelf: 8.00, quantity: 2, fee: 0.25}
      - {id: plate, name: Alder plate, shelf: 5.00, quantity: 2}
      - {id: plums, name: Plums, weight: 2.00 lb, shelf: 1.50}
offers:
  - {id: quarter, title: 25% off mugs, carried_as: app, applies_to: [mug], deduct: 25%}
  - {id: maker, title: maker's 1.00, funded_by: maker, carried_as: paper, applies_to: [mug], deduct: 1.00, held: 2}
  - {id: basket, title: 3.00 off 20.00, applies_to: [mug, plate], spend: 20.00, deduct: 3.00}
  - {id: card, title: 5.00 card for 20.00 net, applies_to: [mug, plate], spend: 18.00, measure: net, credit: {kind: gift card, value: 5.00}}
  - {id: tenth, title: 10% back, applies_to: [plate], spend: 5.00, credit: {kind: points, value: 10%}}
  - {id: june, title: June card, applies_to: [plate], credit: {kind: store credit, value: 0.40}, valid: {through: 2026-06-02}, void_if_paid_with: [cash]}
  - {id: back, title: plates back, funded_by: maker, applies_to: [plate], rebate: {value: paid, submit_within: 14 days}}
`

func amounts(pairs ...any) map[int]money.Amount {
	m := map[int]money.Amount{}
	for i := 0; i < len(pairs); i += 2 {
		m[pairs[i].(int)] = money.Must(pairs[i+1].(string))
	}
	return m
}

func ptr[T any](v T) *T { return &v }

// TestRung: what a till rang is taken as it stands, and everything that has no
// entry follows from it. Each case says what changes against the plan.
func TestRung(t *testing.T) {
	p := mustLoad(t, rungPlan)
	tx := p.Transactions[0]
	planned := figures(p.PriceAs(tx, nil))
	// 16.00 x 25% = 4.00; 2 x 1.00; 10.00 + 10.00 left, 3.00 shared evenly; tax on
	// 16.00 - 4.00 - 1.50; 17.00 net does not reach 18.00; 10.00 - 1.50 paid for plates.
	if diff := cmp.Diff(map[string]int64{
		"0 price": 1600, "1 price": 1000, "2 price": 300, "0 quarter": 400, "0 quarter uses": 2, "0 maker": 200, "0 maker uses": 2,
		"basket basket": 300, "tax": 105, "fees": 50, "rounding": 0, "out": 2155, "credit tenth": 100, "credit june": 80, "rebate back": 850,
		"final": 1125,
	}, planned); diff != "" {
		t.Fatalf("the plan itself: %s", diff)
	}
	for name, c := range map[string]struct {
		rung plan.Rung
		want map[string]int64 // what differs; 0 where it is gone
	}{
		"a percentage not taken: more is left, more is taxed, and the threshold is reached": {
			plan.Rung{Offers: map[int]plan.RungOffer{0: {}}},
			map[string]int64{"0 quarter": 0, "0 quarter uses": 0, "tax": 143, "out": 2593, "credit card": 500, "rebate back": 875, "final": 1038},
		},
		"a coupon taken once": {
			plan.Rung{Offers: map[int]plan.RungOffer{1: {Items: amounts(0, "1.00")}}},
			map[string]int64{"0 maker": 100, "0 maker uses": 1, "out": 2254, "tax": 104, "credit card": 500, "rebate back": 857, "final": 717},
		},
		"a dearer item: the percentage and the tax follow": {
			plan.Rung{Items: map[int]plan.RungItem{0: {Quantity: 2, Price: ptr(money.Must("18.00"))}}},
			map[string]int64{"0 price": 1800, "0 quarter": 450, "tax": 119, "out": 2319, "credit card": 500, "rebate back": 860, "final": 779},
		},
		"one mug less: coupons, threshold, fees": {
			plan.Rung{Items: map[int]plan.RungItem{0: {Quantity: 1}}},
			map[string]int64{"0 price": 800, "0 quarter": 200, "0 quarter uses": 1, "0 maker": 100, "0 maker uses": 1, "basket basket": 0,
				"fees": 25, "tax": 60, "out": 1885, "rebate back": 1000, "final": 705},
		},
		"no plates": {
			plan.Rung{Items: map[int]plan.RungItem{1: {}}},
			map[string]int64{"1 price": 0, "basket basket": 0, "tax": 120, "out": 1470, "credit tenth": 0, "credit june": 0, "rebate back": 0, "final": 1470},
		},
		"another weight is taken as rung": {
			plan.Rung{Items: map[int]plan.RungItem{2: {Quantity: 1, Weight: ptr(decimal.RequireFromString("2.37"))}}},
			map[string]int64{"2 price": 356, "out": 2211, "final": 1181},
		},
		"another fee": {
			plan.Rung{Items: map[int]plan.RungItem{0: {Quantity: 2, Fee: ptr(money.Must("1.00"))}}},
			map[string]int64{"fees": 100, "out": 2205, "final": 1175},
		},
		"a basket deduction of another amount, shared by what is left": {
			plan.Rung{Offers: map[int]plan.RungOffer{2: {Basket: money.Must("1.00")}}},
			map[string]int64{"basket basket": 100, "tax": 115, "out": 2365, "credit card": 500, "rebate back": 950, "final": 735},
		},
		"a coupon printed at the foot comes off its own items": {
			plan.Rung{Offers: map[int]plan.RungOffer{1: {Basket: money.Must("2.00")}}},
			map[string]int64{},
		},
		"a coupon taken off another item": {
			plan.Rung{Offers: map[int]plan.RungOffer{1: {Items: amounts(1, "2.00")}}},
			map[string]int64{"0 maker": 0, "0 maker uses": 0, "1 maker": 200, "1 maker uses": 2, "tax": 102, "out": 2152, "rebate back": 680, "final": 1292},
		},
		"the tax as rung": {
			plan.Rung{Tax: ptr(money.Must("2.00"))},
			map[string]int64{"tax": 200, "out": 2250, "final": 1220},
		},
		"a credit not given, one of another value": {
			plan.Rung{Credits: map[int]money.Amount{4: {}, 5: money.Must("0.40")}},
			map[string]int64{"credit tenth": 0, "credit june": 40, "final": 1265},
		},
		"another day: what is not valid then does not come": {
			plan.Rung{Date: plan.Date{}.AddDays(20_700)},
			map[string]int64{"credit june": 0, "final": 1205},
		},
		"paid in cash: void": {
			plan.Rung{PaidWith: []string{"cash"}},
			map[string]int64{"credit june": 0, "final": 1205},
		},
	} {
		t.Run(name, func(t *testing.T) {
			want := map[string]int64{}
			for k, v := range planned {
				want[k] = v
			}
			for k, v := range c.want {
				if want[k] = v; v == 0 && k != "1 price" {
					delete(want, k)
				}
			}
			if diff := cmp.Diff(want, figures(p.PriceAs(tx, &c.rung))); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
		})
	}
}
