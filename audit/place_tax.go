package audit

import (
	"slices"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// What is taxed hangs on what coupons came off. What follows finds where a tax is another
// because one came off other goods than it was laid to.

// taxedElsewhere reports whether the flag or the place of a deduction says that what
// it came off is taxed otherwise than the item it was laid to.
func (c *check) taxedElsewhere() bool {
	if c.allTaxedSame() {
		return false
	}
	for k, o := range c.p.Offers {
		if o.Spend != nil && o.Deduct != nil && c.flagElsewhere(o) {
			return true
		}
		if o.Deduct == nil || o.Spend != nil || c.strayTo(o) >= 0 || c.isPlaced(o) || !c.everTaxed(o) {
			continue
		}
		if c.moreTaxed(o) {
			return true
		}
		if cuts := c.m.Offers[k].Cuts; len(cuts) > 1 && !c.sharedAsPlanned(o) && slices.ContainsFunc(cuts, func(cut match.Cut) bool {
			at := c.cutItem(o, &cut)
			return at >= 0 && o.Covers(c.tx.Items[at]) && (c.flagLacking(&cut, at) || c.flagOff(&cut, at))
		}) {
			return true
		}
		own := c.onlyItem(o)
		if c.besideItems(o) && c.silentBeneath(o) || own < 0 && c.beneathOthers(o) {
			return true
		}
		if own < 0 || c.p.Store.Policy.Overage && len(c.m.Offers[k].Cuts) > 1 {
			continue // one of its lines may be what comes off the basket
		}
		for n := range c.m.Offers[k].Cuts {
			cut := &c.m.Offers[k].Cuts[n]
			if c.flagOff(cut, own) || c.flagLacking(cut, own) {
				return true
			}
			for i, it := range c.tx.Items {
				if !o.Covers(it) && c.bill.Lines[i].Quantity > 0 && !c.taxedSame(i, own) && c.pointsTo(o, cut, i) && c.taxHangsOn(o, i) {
					return true
				}
			}
		}
	}
	return false
}

// beneathOthers reports whether o, which is for several goods, has a line that points to
// goods it is not for, and the tax hangs on that.
func (c *check) beneathOthers(o *plan.Offer) bool {
	return slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(cut match.Cut) bool {
		return slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool {
			return !o.Covers(it) && c.bill.Lines[it.Index].Quantity > 0 && (c.pointsTo(o, &cut, it.Index) || c.standsAlone(o, &cut, it.Index)) && c.taxHangsOn(o, it.Index)
		})
	})
}

// flagElsewhere reports whether a line of o, which is for taxed goods alone, has the flag of
// goods without tax.
func (c *check) flagElsewhere(o *plan.Offer) bool {
	taxed, untaxed := c.flags()
	if slices.ContainsFunc(c.covered[o.Index], func(i int) bool { return c.bill.Lines[i].Quantity > 0 && !c.taxedItem(c.tx.Items[i]) }) {
		return false
	}
	return slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(cut match.Cut) bool {
		f := c.flag(cut.Lines[0])
		return f != "" && untaxed[f] && !taxed[f]
	})
}

// silentBeneath reports whether o has a line that says nothing beneath the last goods, which
// are none of its own, and the tax hangs on whether it came off those: on a receipt that
// prints deductions with their goods.
func (c *check) silentBeneath(o *plan.Offer) bool {
	return slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(cut match.Cut) bool {
		i := c.nearItem(&cut)
		return i >= 0 && cut.Last && !o.Covers(c.tx.Items[i]) && !c.headed(&cut) && c.mayBeOf(&cut, i) && c.taxHangsOn(o, i)
	})
}

// standsAlone reports whether o's line, which names nothing, is the only offer's beneath the
// last goods, and these are item i: a till that prints coupons with their goods means them.
func (c *check) standsAlone(o *plan.Offer, cut *match.Cut, i int) bool {
	return c.nearItem(cut) == i && c.mayBeOf(cut, i) && c.aloneBeneath(o, cut)
}

// mayBeOf reports whether a line among the goods names nothing and has no other flag than
// item i, so that only its place tells what it came off.
func (c *check) mayBeOf(cut *match.Cut, i int) bool {
	return c.sumsAbove(cut.Lines[0]) == 0 && c.namesNothing(cut) && !c.flagOff(cut, i)
}

// sharedAsPlanned reports whether o took just what it should off several goods: its lines,
// which are for all of them, then have the flag of none.
func (c *check) sharedAsPlanned(o *plan.Offer) bool {
	return !c.isGap(o) && len(byLine(c.bill, o).Items) > 1 && alikeCuts(c.m.Offers[o.Index].Cuts)
}

// taxHangsOn reports whether the tax would be another if all that o took had come off
// item i.
func (c *check) taxHangsOn(o *plan.Offer, i int) bool {
	got, known := total(c.m.Offers[o.Index].Cuts)
	rung := copyRung(&c.rung)
	rung.Tax = nil
	now := c.p.PriceAs(c.tx, &rung).Tax
	rung.Offers[o.Index] = plan.RungOffer{Items: map[int]money.Amount{i: got}}
	return !known || c.p.PriceAs(c.tx, &rung).Tax != now
}

// flagLacking reports whether a deduction has no flag although item i has, and other
// goods have none either: it may have come off those.
func (c *check) flagLacking(cut *match.Cut, i int) bool {
	if !c.text || c.flag(cut.Lines[0]) != "" {
		return false
	}
	taxed, untaxed := c.flags()
	for k := range c.m.Items[i].Entries {
		if f := c.entryFlag(&c.m.Items[i].Entries[k]); f != "" && taxed[f] && untaxed[""] {
			return true
		}
	}
	return false
}

// taxedSame reports whether two items are taxed by the same rates, and the tax does
// not hang on which of them a deduction came off.
func (c *check) taxedSame(a, b int) bool {
	for k := range c.p.Taxes {
		t := &c.p.Taxes[k]
		if in := inTax(t, c.tx.Items[a]); in != inTax(t, c.tx.Items[b]) || in && t.ByItem {
			return false
		}
	}
	return true
}

// moreTaxed reports whether o's lines with the flags of taxed goods come to more
// than was laid to such goods.
func (c *check) moreTaxed(o *plan.Offer) bool {
	taxed, untaxed := c.flags()
	var printed, laid money.Amount
	for _, cut := range c.m.Offers[o.Index].Cuts {
		if f := c.flag(cut.Lines[0]); f != "" && taxed[f] && !untaxed[f] {
			printed = printed.Add(cut.Off)
		}
	}
	took := byLine(c.bill, o)
	for i, it := range c.tx.Items {
		if c.taxedItem(it) {
			laid = laid.Add(took.Items[i])
		}
	}
	return printed.Cmp(laid) > 0 && len(untaxed) > 0
}

// centsByItem reports whether a difference in tax is no more than what rounding by item
// makes of coupons that came off other goods than they should, where all of them stand
// at the end: a cent for each.
func (c *check) centsByItem(difference money.Amount) bool {
	if !slices.ContainsFunc(c.p.Taxes, func(t plan.Tax) bool { return t.ByItem }) {
		return false
	}
	var last int64
	for k, o := range c.p.Offers {
		if o.Deduct != nil && o.Spend == nil && slices.ContainsFunc(c.m.Offers[k].Cuts, func(cut match.Cut) bool { return cut.Last }) {
			last++
		}
	}
	return difference.Abs().Cents() <= last
}

// silentByItem reports whether the tax that is due would be another by cents if a coupon
// that stands with all others and says nothing had come off other goods than its own, where
// a tax is rounded by item.
func (c *check) silentByItem(want money.Amount) bool {
	if !slices.ContainsFunc(c.p.Taxes, func(t plan.Tax) bool { return t.ByItem }) {
		return false
	}
	for k, o := range c.p.Offers {
		cuts := c.m.Offers[k].Cuts
		got, known := total(cuts)
		if o.Deduct == nil || o.Spend != nil || len(cuts) == 0 || !known || !cuts[0].Last || !c.namesNothing(&cuts[0]) || !c.mayStray(o) {
			continue
		}
		for i, it := range c.tx.Items {
			if o.Covers(it) || c.bill.Lines[i].Quantity == 0 || c.bill.Lines[i].Price.Cmp(got) < 0 || c.flagOff(&cuts[0], i) {
				continue
			}
			rung := copyRung(&c.rung)
			rung.Tax = nil
			rung.Offers[k] = plan.RungOffer{Items: map[int]money.Amount{i: got}}
			if other := c.p.PriceAs(c.tx, &rung).Tax; other != want && other.Sub(want).Abs().Cents() <= 2 {
				return true
			}
		}
	}
	return false
}

// doubtCents marks a tax that differs by no more than rounding by item makes of coupons
// that came off other goods, where one of them, or two, make it just what it is.
func (c *check) doubtCents() {
	for _, g := range c.gaps {
		if g.what == ofTax && !g.rival && c.centsByItem(g.difference()) {
			g.rival = c.placesGive(g.actual)
		}
	}
}

// placed is what an offer took, and an item that it may have come off.
type placed struct {
	offer, item int
	off         money.Amount
}

// maxPlaced bounds the places, and pairs of them, that are tried for cents of tax.
const maxPlaced = 2_000

// placesGive reports whether the tax is got if one or two of the coupons that stand with
// all others came off goods they are not for, or whether those are too many to tell.
func (c *check) placesGive(got money.Amount) bool {
	var all []placed
	for k, o := range c.p.Offers {
		cuts := c.m.Offers[k].Cuts
		off, known := total(cuts)
		if o.Deduct == nil || o.Spend != nil || len(cuts) == 0 || !known || !cuts[0].Last || cuts[0].ByCode {
			continue
		}
		for i, it := range c.tx.Items {
			if !o.Covers(it) && c.bill.Lines[i].Quantity > 0 && c.bill.Lines[i].Price.Cmp(off) >= 0 && !c.flagOff(&cuts[0], i) {
				all = append(all, placed{k, i, off})
			}
		}
	}
	tried := 0
	for n, a := range all {
		for _, b := range all[n:] { // with itself: that one alone
			if b.offer == a.offer && b != a {
				continue
			}
			if tried++; tried > maxPlaced {
				c.note("not every pair of coupons was tried on other goods: the receipt is too long, and the tax may be right")
				return true
			}
			rung := copyRung(&c.rung)
			rung.Tax = nil
			for _, at := range [...]placed{a, b} {
				rung.Offers[at.offer] = plan.RungOffer{Items: map[int]money.Amount{at.item: at.off}}
			}
			if c.p.PriceAs(c.tx, &rung).Tax == got {
				return true
			}
		}
	}
	return false
}
