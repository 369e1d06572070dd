package audit

import (
	"maps"
	"slices"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// spread is how one line for several items is laid on them: as the offer should
// come off them, or as one of its usual failings would; nil where it is not one
// line for several items, or none of them comes to what it took.
func (c *check) spread(o *plan.Offer, m *match.OfferMatch, got money.Amount) *plan.RungOffer {
	if c.strayTo(o) >= 0 || len(m.Cuts) > 1 && !c.unplaced(o, m, got) {
		return nil
	}
	rung := 0
	for i, it := range c.tx.Items {
		if o.Covers(it) && c.bill.Lines[i].Quantity > 0 {
			rung++
		}
	}
	if rung < 2 {
		return nil
	}
	if at := c.cutItem(o, &m.Cuts[0]); at >= 0 && !o.Covers(c.tx.Items[at]) {
		return nil
	}
	changes := c.failings(o)
	if r := c.spreadBase(o, got); r != nil {
		return r
	}
	var first *plan.RungOffer
	for _, change := range changes[:c.most(len(changes))] {
		p, _ := c.changed(o, change)
		bill := p.PriceAs(c.tx, &c.rung)
		if sum, _ := bill.Taken(o.ID); sum != got {
			continue
		}
		r := byLine(bill, o)
		if first != nil && !c.flagsFit(m, r) {
			continue
		}
		switch {
		case first == nil:
			if first = r; sameSpread(r, byLine(c.bill, o)) {
				return r
			}
		case !sameSpread(first, r):
			c.openSpread = c.openSpread || !c.taxedAlike(o)
		}
	}
	if first != nil {
		return first
	}
	if r := c.spreadByUnit(o, got); r != nil {
		return r
	}
	// None comes to it: off the item that the line names, or nearer to all that
	// the offer should take.
	want, _ := c.bill.Taken(o.ID)
	alone := money.Amount{}
	if at := c.cutItem(o, &m.Cuts[0]); at >= 0 {
		alone = byLine(c.bill, o).Items[at]
	}
	if got.Sub(want).Abs().Cmp(got.Sub(alone).Abs()) < 0 {
		c.openSpread = c.openSpread || !c.taxedAlike(o)
		return &plan.RungOffer{Basket: got}
	}
	return nil
}

// spreadByUnit is the spread of a percentage that was rounded by unit, or by line where
// the store's policy says by unit; nil where that does not come to what was taken.
func (c *check) spreadByUnit(o *plan.Offer, got money.Amount) *plan.RungOffer {
	p := *c.p
	p.Store.Policy.RoundByUnit = !p.Store.Policy.RoundByUnit
	bill := p.PriceAs(c.tx, &c.rung)
	if sum, _ := bill.Taken(o.ID); sum == got {
		return byLine(bill, o)
	}
	return nil
}

// failings are the usual ways in which an offer goes wrong, none first, as changes of it.
func (c *check) failings(o *plan.Offer) []func(*plan.Offer) {
	_, most := c.usesNow(o)
	changes := []func(*plan.Offer){func(*plan.Offer) {}}
	for n := most - 1; n >= 1; n-- {
		changes = append(changes, func(o *plan.Offer) { o.Limit.PerTransaction = n })
	}
	changes = append(changes, func(o *plan.Offer) { o.Limit, o.Held = plan.Limit{}, nil })
	for n := o.Buy + 1; n <= 2*o.Buy; n++ {
		changes = append(changes, func(o *plan.Offer) { o.Buy = n })
	}
	for i := range o.SeenValues {
		changes = append(changes, func(other *plan.Offer) { other.Deduct = &o.SeenValues[i] })
	}
	return changes
}

// unplaced reports whether lines of o say nothing of where they came off, or name an
// item that costs less than they took, or has fewer units: the first of several.
func (c *check) unplaced(o *plan.Offer, m *match.OfferMatch, got money.Amount) bool {
	item := func(cut match.Cut) int {
		if at := c.cutItem(o, &cut); at < 0 || !c.flagOff(&cut, at) {
			return at
		}
		return -1 // its flag says that it came off others as well
	}
	at := item(m.Cuts[0])
	if slices.ContainsFunc(m.Cuts, func(cut match.Cut) bool { return item(cut) != at }) {
		return false
	}
	return at < 0 || o.Covers(c.tx.Items[at]) && (got.Cmp(c.bill.Lines[at].Price) > 0 || c.tx.Items[at].Weight == nil && len(m.Cuts) > c.bill.Lines[at].Quantity)
}

// flagsFit reports whether the flags of an offer's lines allow that they came off the
// items as r says: a line has the flag of the one item it came off.
func (c *check) flagsFit(m *match.OfferMatch, r *plan.RungOffer) bool {
	if len(m.Cuts) != 1 || len(r.Items) == 0 {
		return true
	}
	taxed, untaxed := c.flags()
	flag := c.flag(m.Cuts[0].Lines[0])
	for i := range r.Items {
		if len(r.Items) == 1 && c.flagOff(&m.Cuts[0], i) || taxed[flag] && !untaxed[flag] && !c.taxedItem(c.tx.Items[i]) {
			return false
		}
	}
	return true
}

// taxedAlike reports whether all that o covers is taxed alike, so that the tax does
// not hang on what of it a deduction came off.
func (c *check) taxedAlike(o *plan.Offer) bool {
	for k := range c.p.Taxes {
		t := &c.p.Taxes[k]
		if !afterStore(t).takes(o) {
			continue // it does not lower the taxed amount, wherever it came off
		}
		in, out := false, false
		for i, it := range c.tx.Items {
			if o.Covers(it) && c.bill.Lines[i].Quantity > 0 {
				in, out = in || inTax(t, it), out || !inTax(t, it)
			}
		}
		if in && (out || t.ByItem) {
			return false
		}
	}
	return true
}

func sameSpread(a, b *plan.RungOffer) bool {
	return a.Basket == b.Basket && maps.Equal(a.Items, b.Items)
}

// spreadBase is the spread of a percentage that was taken of the regular prices,
// or of those before any offer.
func (c *check) spreadBase(o *plan.Offer, got money.Amount) *plan.RungOffer {
	if o.Deduct.Percent == nil || o.Reduces != 0 || o.Buy > 1 {
		return nil
	}
	regular, price := plan.RungOffer{Items: map[int]money.Amount{}}, plan.RungOffer{Items: map[int]money.Amount{}}
	var byRegular, byPrice money.Amount
	for i, it := range c.tx.Items {
		if l := &c.bill.Lines[i]; o.Covers(it) {
			regular.Items[i], price.Items[i] = o.Deduct.Percent.Of(l.Regular), o.Deduct.Percent.Of(l.Price)
			byRegular, byPrice = byRegular.Add(regular.Items[i]), byPrice.Add(price.Items[i])
		}
	}
	want, _ := c.bill.Taken(o.ID)
	switch got {
	case want:
		return nil
	case byRegular:
		return &regular
	case byPrice:
		return &price
	}
	return nil
}

// maxSpreads bounds the ways that spread tries.
const maxSpreads = 40

// most is how many of n ways are tried; that some are not is said.
func (c *check) most(n int) int {
	if n > maxSpreads {
		c.noteOnce(untriedWays)
	}
	return min(n, maxSpreads)
}

// untriedWays is the remark where a search for what a deduction came off was cut short.
const untriedWays = "not every way was tried in which a deduction may have come off its goods: the receipt is too long"

// byLine is what o takes off each line of a bill.
func byLine(b *plan.TransactionBill, o *plan.Offer) *plan.RungOffer {
	r := &plan.RungOffer{Items: map[int]money.Amount{}}
	for i := range b.Lines {
		for _, d := range b.Lines[i].Deductions {
			if d.Offer == o.ID {
				r.Items[i] = r.Items[i].Add(d.Amount)
			}
		}
	}
	for _, d := range b.BasketDeductions {
		if d.Offer == o.ID {
			r.Basket = r.Basket.Add(d.Amount)
		}
	}
	return r
}

// usesNow is what o should come to over what has been rung so far.
func (c *check) usesNow(o *plan.Offer) (money.Amount, int) {
	return c.usesIn(&gap{what: ofDeduction, offer: o, before: c.rung})
}
