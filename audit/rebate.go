package audit

import (
	"fmt"
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// rebates says which rebates the receipt proves, and which planned ones it does
// not.
func (c *check) rebates() {
	for _, o := range c.p.Offers {
		if o.Rebate == nil {
			continue
		}
		want, wantUses, _ := rebateOf(c.expected, o)
		got, uses, by := rebateOf(c.bill, o)
		why := ""
		if c.isLate(o) {
			got, uses = money.Amount{}, 0
			why = fmt.Sprintf("it was valid through %s and the receipt is of %s", c.in.Plan.Offers[o.Index].Valid.Through, c.day)
		}
		lines := c.offerLines(o, &c.m.Offers[o.Index])
		if !got.IsZero() {
			c.result.Due = append(c.result.Due, Due{Offer: o.ID, Value: got, Expected: want, SubmitBy: by, Lines: lines})
		}
		if want.IsZero() || uses >= wantUses && !got.IsZero() {
			continue
		}
		if why == "" {
			why = "the receipt does not show what it asks for"
			if missing := c.missingOf(o); missing != "" {
				why = missing
			}
		}
		if got.IsZero() {
			c.result.NotDue = append(c.result.NotDue, Note{Offer: o.ID, Why: why})
		} else if got.Cmp(want) < 0 {
			c.result.NotDue = append(c.result.NotDue, Note{Offer: o.ID, Why: fmt.Sprintf("%s of the planned %s: %s", want.Sub(got), want, why)})
		}
		if !c.isLate(o) && c.followsFrom(o) {
			continue // one cause, one finding: what was rung otherwise has its own
		}
		g := c.open(ofRebate, want, got)
		g.offer, g.items, g.lines, g.rests, g.text = o, c.offerItems(o), lines, lines, why
		g.weak = c.weakItems(o)
		// Nothing changes at the till: the effect on what is paid there is none.
	}
}

func rebateOf(b *plan.TransactionBill, o *plan.Offer) (value money.Amount, uses int, by plan.Date) {
	for i := range b.Rebates {
		if b.Rebates[i].Offer == o.ID {
			value, uses, by = value.Add(b.Rebates[i].Value), uses+max(b.Rebates[i].Uses, 1), b.Rebates[i].SubmitBy
		}
	}
	return value, uses, by
}

// followsFrom reports whether another difference is why o is paid less: one on its items,
// or any of goods or deductions where what is rung otherwise leaves it less, since an offer
// for several goods may take off other goods than planned.
func (c *check) followsFrom(o *plan.Offer) bool {
	less := c.due(c.bill, o).Cmp(c.due(c.expected, o)) < 0
	return slices.ContainsFunc(c.gaps, func(g *gap) bool {
		switch g.what {
		case ofItem, ofQuantity, ofPrice:
			return less || o.Covers(g.item)
		case ofDeduction, ofPlace:
			return less || g.place != nil && o.Covers(g.place) || g.offer != nil && c.shareItem(o, g.offer)
		}
		return g.item != nil && o.Covers(g.item)
	})
}

// missingOf says which items of o are not there as planned.
func (c *check) missingOf(o *plan.Offer) string {
	for _, g := range c.gaps {
		if g.item == nil || !o.Covers(g.item) {
			continue
		}
		switch g.what {
		case ofItem:
			return g.item.Name + " is not on the receipt"
		case ofQuantity:
			return fmt.Sprintf("%d of %s were planned and %d are on the receipt", g.wanted, g.item.Name, g.got)
		}
	}
	return ""
}
