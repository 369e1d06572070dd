package audit

import (
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// What an offer for several goods took off, where that is not what it should have, may
// have come off any of them, and what a coupon took off other goods than its own off any
// that its words may mean. What was left of them decides what other offers take and what
// is taxed. So a difference that is there only as the one was laid is not firm.

// doubtSpread marks the deductions and taxes that come out right if all that an offer
// took came off other goods than it was laid to.
func (c *check) doubtSpread() {
	left := min(maxStrays, maxStrayWork/(len(c.tx.Items)+len(c.p.Offers)))
	for _, g := range c.gaps {
		var ways []plan.RungOffer
		switch {
		case g.offer == nil || g.offer.Spend != nil || g.actual.IsZero():
		case g.what == ofDeduction:
			ways = c.ways(g.offer, g.actual)
		case g.what == ofPlace:
			ways = c.waysOff(g)
		}
		for _, other := range c.gaps {
			if len(ways) == 0 || other == g || other.rival || !hangsOn(other, g.offer) || c.taxSettled(other) && !c.isUnexplained(g) {
				continue
			}
			left -= len(ways)
			other.rival = left < 0 || c.rightUnder(other, g, ways)
		}
	}
	if left < 0 {
		c.noteOnce(untriedWays)
	}
}

// taxSettled reports whether g is a tax of a usual mistake of tills, by more than a few
// cents: it needs no other reason. What the lines themselves allow is tried all the same
// (layings.go).
func (c *check) taxSettled(g *gap) bool {
	return g.what == ofTax && g.expected.Sub(g.actual).Abs().Cents() > fewCents && c.taxComesOut(g.actual)
}

// ways are the bills' sides of an offer that took got: all of it off each of its items
// in turn, and what is more than that cost off the rest.
func (c *check) ways(o *plan.Offer, got money.Amount) (all []plan.RungOffer) {
	for i, it := range c.tx.Items {
		if !o.Covers(it) || c.bill.Lines[i].Quantity == 0 {
			continue
		}
		way, left := plan.RungOffer{Items: map[int]money.Amount{}}, got
		for _, k := range append([]int{i}, c.itemsBut(o, i)...) {
			part := money.Min(left, c.bill.Lines[k].Price)
			if part.Sign() > 0 {
				way.Items[k] = part
				left = left.Sub(part)
			}
		}
		all = append(all, way)
	}
	if len(all) < 2 {
		return nil
	}
	return all[:c.most(len(all))]
}

// waysOff are the bills' sides of a coupon that came off other goods than its own: those
// that its words may mean.
func (c *check) waysOff(g *gap) (all []plan.RungOffer) {
	cut := &c.m.Offers[g.offer.Index].Cuts[0]
	for i, it := range c.tx.Items {
		if it == g.place || !g.offer.Covers(it) && c.bill.Lines[i].Quantity > 0 && c.bill.Lines[i].Price.Cmp(g.actual) >= 0 && (cut.Like(i) > 0 || c.namesNothing(cut)) && !c.flagOff(cut, i) {
			all = append(all, plan.RungOffer{Items: map[int]money.Amount{i: g.actual}})
		}
	}
	return all[:c.most(len(all))]
}

// itemsBut are the items of o that were rung, but for one.
func (c *check) itemsBut(o *plan.Offer, but int) (all []int) {
	for i, it := range c.tx.Items {
		if i != but && o.Covers(it) && c.bill.Lines[i].Quantity > 0 {
			all = append(all, i)
		}
	}
	return all
}

// hangsOn reports whether a difference is one that what o took may explain.
func hangsOn(g *gap, o *plan.Offer) bool {
	return g.what == ofTax || g.what == ofDeduction && g.offer != nil && g.offer != o
}

// rightUnder reports whether what g has is between the least and the most that it should
// be as another offer, of, came off its items in one way or another, or, where of is open
// itself, whether that decides what it should be.
func (c *check) rightUnder(g, of *gap, ways []plan.RungOffer) bool {
	var should []money.Amount
	for _, way := range ways {
		rung := copyRung(&c.rung)
		rung.Offers[of.offer.Index] = way
		if g.what == ofTax {
			rung.Tax = nil
			should = append(should, c.p.PriceAs(c.tx, &rung).Tax)
			continue
		}
		delete(rung.Offers, g.offer.Index)
		due, _ := c.p.PriceAs(c.tx, &rung).Taken(g.offer.ID)
		should = append(should, due)
	}
	least, most := slices.MinFunc(should, money.Amount.Cmp), slices.MaxFunc(should, money.Amount.Cmp)
	if least != most && (of.weak || of.rival || g.voided && !c.voidedAll(g)) {
		return true
	}
	if g.what == ofTax {
		cents := money.FromCents(c.shareCents())
		least, most = least.Sub(cents), most.Add(cents)
	}
	return g.actual.Cmp(least) >= 0 && g.actual.Cmp(most) <= 0
}

// shareCents is by how many cents the tax may differ as what comes off the basket is
// shared: who gets the last cents of it hangs on what is left of all goods.
func (c *check) shareCents() int64 {
	for i := range c.bill.BasketDeductions {
		if o := c.offer(c.bill.BasketDeductions[i].Offer); slices.ContainsFunc(c.p.Taxes, func(t plan.Tax) bool { return afterStore(&t).takes(o) }) {
			return int64(len(c.p.Taxes))
		}
	}
	return 0
}
