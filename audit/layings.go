package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// What a deduction came off is not always printed, and it decides what other offers take,
// what is taxed and what is reached. A finding says by how much something is wrong, so
// it is firm only where it says the same however such a deduction is laid: one that comes
// out otherwise under another laying that the lines allow as well is unsure.

// doubtLayings marks the differences that would be others if a deduction had come off its
// goods in another way that its lines allow.
func (c *check) doubtLayings() {
	if !c.firm || len(c.gaps) == 0 {
		return
	}
	left := min(maxStrays, maxStrayWork/(len(c.tx.Items)+len(c.p.Offers)))
	for _, o := range c.p.Offers {
		if o.Deduct == nil || o.Spend != nil || len(c.m.Offers[o.Index].Cuts) == 0 || !slices.ContainsFunc(c.gaps, func(g *gap) bool { return c.restsOn(g, o) }) {
			continue
		}
		c.doubtNamed(o)
		for _, way := range c.layings(o) {
			if left--; left < 0 {
				c.noteOnce(untriedWays)
				return
			}
			rung := copyRung(&c.rung)
			rung.Offers[o.Index] = way
			for _, g := range c.gaps {
				if g.rival || !c.restsOn(g, o) {
					continue
				}
				if should := c.shouldBe(g, &rung); should != c.shouldBe(g, &c.rung) {
					g.rival = g.what != ofTax || should == g.actual || !c.taxComesOut(g.actual) || c.over(&rung).taxComesOut(g.actual)
				}
			}
		}
	}
}

// doubtElsewhere marks the differences of two offers or more that are none if one deduction, of
// which the receipt does not say where it came off, came off none of their goods: one mistake
// is likelier than two of other offers.
func (c *check) doubtElsewhere() {
	var open []*gap
	for _, g := range c.gaps {
		if g.what == ofDeduction && g.offer != nil && !g.actual.IsZero() {
			open = append(open, g)
		}
	}
	if len(open) < 2 {
		return
	}
	for _, o := range c.p.Offers {
		if o.Deduct == nil || !c.mayStray(o) || c.isPlaced(o) {
			continue
		}
		rung := copyRung(&c.rung)
		rung.Offers[o.Index] = plan.RungOffer{}
		var right []*gap
		for _, g := range open {
			if g.offer != o && c.shouldBe(g, &rung) == g.actual {
				right = append(right, g)
			}
		}
		for _, g := range right {
			g.rival = g.rival || len(right) > 1
		}
	}
}

// over is c with what was rung in another way.
func (c *check) over(rung *plan.Rung) *check {
	d := *c
	d.rung, d.bill = *rung, c.p.PriceAs(c.tx, rung)
	return &d
}

// restsOn reports whether what a difference should be is worked out over what o took.
func (c *check) restsOn(g *gap, o *plan.Offer) bool {
	switch g.what {
	case ofTax:
		return true
	case ofCredit:
		return g.offer.Spend != nil
	case ofDeduction, ofPlace:
		return g.offer != nil && g.offer != o
	}
	return false
}

// shouldBe is what the amount of g comes to over what was rung.
func (c *check) shouldBe(g *gap, over *plan.Rung) money.Amount {
	rung := copyRung(over)
	if g.what == ofTax {
		rung.Tax = nil
		return c.p.PriceAs(c.tx, &rung).Tax
	}
	delete(rung.Offers, g.offer.Index)
	delete(rung.Credits, g.offer.Index)
	return c.due(c.p.PriceAs(c.tx, &rung), g.offer)
}

// layings are the ways other than the one taken in which o may have come off goods: as
// another of its failings would have it, where it did not take what it should, and all of
// it off goods that it is not for, where its line stands or its words or its flag point:
// of two that its words name well, either.
func (c *check) layings(o *plan.Offer) (all []plan.RungOffer) {
	m := &c.m.Offers[o.Index]
	got, known := total(m.Cuts)
	if !known || got.IsZero() {
		return nil
	}
	laid := *byLine(c.bill, o)
	add := func(r plan.RungOffer) {
		if !sameSpread(&laid, &r) && !slices.ContainsFunc(all, func(other plan.RungOffer) bool { return sameSpread(&other, &r) }) {
			all = append(all, r)
		}
	}
	placed := slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofPlace && g.offer == o })
	short := slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofDeduction && g.offer == o })
	if short && c.onlyItem(o) < 0 {
		rung := copyRung(&c.rung)
		delete(rung.Offers, o.Index)
		changes := c.failings(o)
		for _, change := range changes[:c.most(len(changes))] {
			p, _ := c.changed(o, change)
			bill := p.PriceAs(c.tx, &rung)
			if sum, _ := bill.Taken(o.ID); sum == got {
				add(*byLine(bill, o))
			}
		}
	}
	// What comes off other goods matters where those, or its own, decide on a difference.
	shared := slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool { return o.Covers(it) && c.decides(it) })
	may, anywhere := c.mayPoint(o, &m.Cuts[0]), c.taxGuessed(o)
	for i, it := range c.tx.Items {
		if !may(i) && !anywhere || !shared && !c.decides(it) || o.Covers(it) || c.bill.Lines[i].Quantity == 0 || c.leftOf(i, o).Cmp(got) < 0 {
			continue
		}
		if !placed && (anywhere && !c.flagOff(&m.Cuts[0], i) || c.pointsTo(o, &m.Cuts[0], i) || c.namesBetter(o, &m.Cuts[0], i)) || placed && m.Cuts[0].Like(i) >= wellNamed && !c.flagOff(&m.Cuts[0], i) {
			add(plan.RungOffer{Items: map[int]money.Amount{i: got}})
		}
	}
	return all
}

// leftOf is what the other offers, as they were rung, left of item i: no till takes goods
// below nothing, but what it takes off them in all may show in another order.
func (c *check) leftOf(i int, o *plan.Offer) money.Amount {
	l := &c.bill.Lines[i]
	if c.p.Store.Policy.Overage {
		return l.Price
	}
	return lessTaken(l, func(id string) bool { return id != o.ID })
}

// lessTaken is the price of l less what the offers took of it that by names.
func lessTaken(l *plan.BillLine, by func(id string) bool) money.Amount {
	left := l.Price
	for _, d := range l.Deductions {
		if by(d.Offer) {
			left = left.Sub(d.Amount)
		}
	}
	return left
}

// taxGuessed reports whether a tax is open and o, whose one line names nothing where other
// deductions stand beneath their goods, was laid to several that are taxed otherwise than each
// other: that it came off those is a guess already, unless it stands beneath one of them and
// goods follow.
func (c *check) taxGuessed(o *plan.Offer) bool {
	cuts := c.m.Offers[o.Index].Cuts
	if len(cuts) > 1 || !c.namesNothing(&cuts[0]) || c.beneathOwn(o, &cuts[0]) && !cuts[0].Last || !c.besideItems(o) && !c.ownAbove(o, &cuts[0]) || !slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofTax && !g.rival }) {
		return false
	}
	first := -1
	for i, off := range byLine(c.bill, o).Items {
		if off.Sign() > 0 && first >= 0 && !c.taxedSame(i, first) {
			return true
		}
		if off.Sign() > 0 {
			first = i
		}
	}
	return false
}

// ownAbove reports whether right above o's line, beneath the same goods, another offer's
// stands that is for those.
func (c *check) ownAbove(o *plan.Offer, cut *match.Cut) bool {
	at := c.nearItem(cut)
	return at >= 0 && slices.ContainsFunc(c.p.Offers, func(other *plan.Offer) bool {
		return other != o && other.Covers(c.tx.Items[at]) && slices.ContainsFunc(c.m.Offers[other.Index].Cuts, func(theirs match.Cut) bool {
			return theirs.Lines[0] == cut.Lines[0]-1
		})
	})
}

// namesBetter reports whether o's line has the maker's name of item i in full and names
// that item well, better than any of o's own, which may be the same maker's: what follows
// the name tells them apart. Of words cut to a few letters that is chance.
func (c *check) namesBetter(o *plan.Offer, cut *match.Cut, i int) bool {
	maker, _, _ := strings.Cut(strings.ToUpper(c.tx.Items[i].Name), " ")
	return len(maker) >= 4 && slices.Contains(strings.Fields(strings.ToUpper(cut.Name)), maker) &&
		cut.Like(i) >= wellNamed && cut.Like(i) > c.names(cut, o) && !c.flagOff(cut, i) && !c.tillsWords(o, cut, i)
}

// doubtNamed marks the differences that are none if o, which is for several goods, came off
// those of them that its lines name.
func (c *check) doubtNamed(o *plan.Offer) {
	way := c.asNamed(o)
	if way == nil {
		return
	}
	rung := copyRung(&c.rung)
	rung.Offers[o.Index] = *way
	for _, g := range c.gaps {
		g.rival = g.rival || g.what != ofPlace && c.restsOn(g, o) && c.shouldBe(g, &rung) == g.actual
	}
}

// asNamed is o, which is for several goods, laid to those of them that its lines name; nil
// where one names none, or they cost less.
func (c *check) asNamed(o *plan.Offer) *plan.RungOffer {
	if c.onlyItem(o) >= 0 {
		return nil
	}
	r := &plan.RungOffer{Items: map[int]money.Amount{}}
	for k := range c.m.Offers[o.Index].Cuts {
		cut := &c.m.Offers[o.Index].Cuts[k]
		at, best := -1, wellNamed-1
		for _, i := range c.covered[o.Index] {
			if like := cut.Like(i); like > best && c.bill.Lines[i].Quantity > 0 && !c.flagOff(cut, i) {
				at, best = i, like
			}
		}
		if at < 0 {
			return nil
		}
		if r.Items[at] = r.Items[at].Add(cut.Off); r.Items[at].Cmp(c.bill.Lines[at].Price) > 0 {
			return nil
		}
	}
	return r
}

// decides reports whether what is left of it decides on a difference: of an offer for it, or
// of the tax.
func (c *check) decides(it *plan.Item) bool {
	return slices.ContainsFunc(c.gaps, func(g *gap) bool {
		switch g.what {
		case ofTax:
			return true
		case ofCredit, ofDeduction, ofPlace:
			return g.offer != nil && g.offer.Covers(it)
		}
		return false
	})
}

// mayPoint is what pointsTo asks first of an item, without looking at all others for each:
// on a long receipt that is most of the work.
func (c *check) mayPoint(o *plan.Offer, cut *match.Cut) func(i int) bool {
	at, of, near := c.cutItem(o, cut), c.m.ItemOfLine(cut.Of), c.nearItem(cut)
	own := c.onlyItem(o)
	flagged := own >= 0 && c.flagOff(cut, own)
	return func(i int) bool { return i == at || i == of || i == near || flagged || cut.Like(i) > 0 }
}
