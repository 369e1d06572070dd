package plan_test

import (
	"testing"

	"tillproof/money"
	"tillproof/plan"

	"github.com/google/go-cmp/cmp"
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
