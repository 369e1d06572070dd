package audit

import (
	"slices"
	"strconv"
	"strings"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// A firm finding on an offer rests on which line is that offer's. What follows
// finds where another line may be it as well.

// rivals reports whether a deduction that was matched to nothing may be o's.
func (c *check) rivals(o *plan.Offer, want money.Amount) bool {
	for i := range c.m.Extra {
		cut := &c.m.Extra[i]
		if !cut.Voided && (slices.Contains(cut.May, o.Index) || cut.Off == want && cut.Suits(o)) {
			return true
		}
	}
	return false
}

// clearly is by how much more the words of a line must suit another offer on the same
// goods than its own to leave a doubt although the amount does not fit.
const clearly = 20

// takenElsewhere reports whether a line that was laid to another offer, and does
// not just fit there, or to an item's price, is just what o should have taken.
func (c *check) takenElsewhere(o *plan.Offer, want money.Amount) bool {
	for k, other := range c.p.Offers {
		m := &c.m.Offers[k]
		if other == o || other.Deduct == nil {
			continue
		}
		got, _ := total(m.Cuts)
		planned, _ := c.expected.Taken(other.ID)
		for i := range m.Cuts {
			if c.shareItem(o, other) && (m.Cuts[i].Fits(o) >= m.Cuts[i].Fits(other)+clearly || planned.IsZero() && m.Cuts[i].MayRather(o, other) && c.partOf(o, want, m.Cuts[i].Off)) {
				return true // which of two for the same goods was not due, the till may see otherwise
			}
			if n := usesSaid(c.r.Line(m.Cuts[i].Lines[0]).Text); n > c.unitsFor(other) && n <= c.unitsFor(o) {
				return true
			}
			if (len(m.Cuts) > max(usesOf(c.expected, other), 1) || got != planned || oddWords(m.Cuts, i) || partBeneath(m.Cuts, i)) && c.just(o, other, m, m.Cuts[i].Off, want) && m.Cuts[i].MayRather(o, other) {
				return true
			}
		}
	}
	for i := range c.m.Items {
		it := c.tx.Items[i]
		if c.savedInstead(o, i) {
			return true
		}
		if !slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofPrice && g.item == it }) {
			continue // they are just what the sale saves
		}
		for k := range c.m.Items[i].Savings {
			if cut := &c.m.Items[i].Savings[k]; cut.Off == want && cut.Suits(o) {
				return true
			}
		}
	}
	return false
}

// shareItem reports whether two offers are for the same goods of the transaction.
func (c *check) shareItem(a, b *plan.Offer) bool {
	return slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool { return a.Covers(it) && b.Covers(it) })
}

// just reports whether off, a line of other, is what o should take: as things are,
// or, where other does not come out, without it.
func (c *check) just(o, other *plan.Offer, m *match.OfferMatch, off, want money.Amount) bool {
	return off == want || off == c.dueWithout(o, other, m, off)
}

// savedInstead reports whether what was taken for the savings of item i's sale is
// just what o would take off it if the sale had not been rung.
func (c *check) savedInstead(o *plan.Offer, i int) bool {
	m := &c.m.Items[i]
	gross, known := m.Gross()
	if !known || !o.Covers(c.tx.Items[i]) || len(m.Savings) == 0 || m.Savings[0].Silent() && saysSale(&m.Savings[0]) {
		return false
	}
	rung := copyRung(&c.rung)
	item := rung.Items[i]
	item.Quantity, item.Price = m.Units, &gross
	rung.Items[i] = item
	delete(rung.Offers, o.Index)
	due, _ := c.p.PriceAs(c.tx, &rung).Taken(o.ID)
	got, known := total(m.Savings)
	return known && got == due && m.Savings[0].Suits(o)
}

// saysSale reports whether the words of a line are those of a price rather than of a
// coupon.
func saysSale(cut *match.Cut) bool {
	return cut.Fits(&plan.Offer{FundedBy: "store", CarriedAs: "shelf"}) > cut.Fits(&plan.Offer{FundedBy: "store", CarriedAs: "print"})
}

// saysSavings reports whether a line has the very words of the savings on an item:
// it may be a part of a price.
func (c *check) saysSavings(cuts []match.Cut) bool {
	for i := range c.m.Items {
		for k := range c.m.Items[i].Savings {
			if name := c.m.Items[i].Savings[k].Name; slices.ContainsFunc(cuts, func(cut match.Cut) bool { return cut.Name == name }) {
				return true
			}
		}
	}
	return false
}

// oddWords reports whether the i-th of an offer's lines has other words than one of
// the rest: a till prints the uses of one offer alike.
func oddWords(cuts []match.Cut, i int) bool {
	return slices.ContainsFunc(cuts, func(cut match.Cut) bool { return cut.Name != cuts[i].Name })
}

// partBeneath reports whether the i-th of an offer's lines stands beneath the same goods as
// another of them, of another amount: a till prints what an offer takes off goods in one
// line, or use by use.
func partBeneath(cuts []match.Cut, i int) bool {
	return cuts[i].Of > 0 && slices.ContainsFunc(cuts, func(cut match.Cut) bool { return cut.Of == cuts[i].Of && cut.Off != cuts[i].Off })
}

// partOf reports whether off is what o, which should take want, takes off one of its goods or
// by some of its uses.
func (c *check) partOf(o *plan.Offer, want, off money.Amount) bool {
	if off.Sign() > 0 && want.Cents()%off.Cents() == 0 {
		return true
	}
	for _, part := range byLine(c.bill, o).Items {
		if part == off {
			return true
		}
	}
	return false
}

// usesSaid is how many uses a line says that it is for, as in "COUPON x6"; 0 for none said.
func usesSaid(text string) int {
	for word := range strings.FieldsSeq(strings.ToUpper(text)) {
		if digits, ok := strings.CutPrefix(word, "X"); ok {
			if n, err := strconv.Atoi(digits); err == nil {
				return n
			}
		}
	}
	return 0
}

// unitsFor counts the units rung that o is for.
func (c *check) unitsFor(o *plan.Offer) (n int) {
	for _, i := range c.covered[o.Index] {
		n += c.bill.Lines[i].Quantity
	}
	return n
}

// usesOf counts the uses of o in a bill.
func usesOf(b *plan.TransactionBill, o *plan.Offer) (n int) {
	for i := range b.Lines {
		for _, d := range b.Lines[i].Deductions {
			if d.Offer == o.ID {
				n += max(d.Uses, 1) // as many lines as uses, or one a line
			}
		}
	}
	return n
}

// takesAnothers reports whether one of o's lines is just what another offer
// without a line should have taken: which of the two it is, nothing tells.
func (c *check) takesAnothers(o *plan.Offer, m *match.OfferMatch) bool {
	for k, other := range c.p.Offers {
		if other == o || other.Deduct == nil || len(c.m.Offers[k].Cuts)+len(c.m.Offers[k].Voided) > 0 {
			continue
		}
		planned, _ := c.expected.Taken(other.ID)
		now, _ := c.bill.Taken(other.ID)
		for i := range m.Cuts {
			off := m.Cuts[i].Off
			if off.IsZero() || !m.Cuts[i].MayRather(other, o) {
				continue
			}
			if off == planned || off == now || off == c.dueWithout(other, o, m, off) {
				return true
			}
		}
	}
	return false
}

// dueWithout is what other should take if one of o's lines were not o's.
func (c *check) dueWithout(other, o *plan.Offer, m *match.OfferMatch, off money.Amount) money.Amount {
	got, _ := total(m.Cuts)
	rung := copyRung(&c.rung)
	rung.Offers[o.Index] = plan.RungOffer{Basket: got.Sub(off)}
	due, _ := c.p.PriceAs(c.tx, &rung).Taken(other.ID)
	return due
}

// doubtMatches marks what rests on a guess at which line is which offer: where
// one such guess is open, or an amount is explained by nothing, the lines may be
// other offers' than they are taken for.
func (c *check) doubtMatches() {
	c.doubtVoided()
	for _, g := range c.gaps {
		if g.what == ofDeduction && g.offer != nil && !g.actual.IsZero() && c.isUnexplained(g) {
			c.doubtLines(g)
		}
		c.doubtSaving(g)
		c.doubtFees(g)
		c.doubtAlike(g)
	}
	c.doubtNumbers()
	c.doubtTorn()
	c.doubtOdd()
	c.doubtOthersLine()
	open := func(taxed bool) bool {
		return slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofDeduction && g.rival && (!taxed || c.lowersTax(g.offer)) })
	}
	for _, g := range c.gaps {
		if g.what == ofTax && (open(true) || open(false) && c.isUnexplained(g)) {
			g.rival = true
		}
	}
}

// lowersTax reports whether a deduction, of no offer or of o, may be on taxed goods.
func (c *check) lowersTax(o *plan.Offer) bool {
	return o == nil || c.p.Store.Policy.Overage || slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool { return o.Covers(it) && c.taxedItem(it) })
}

// doubtLines marks g, an amount that nothing explains, where another difference
// may be the other side of the same mistake: a line that was laid to g's offer and
// is another's, or part of a price.
func (c *check) doubtLines(g *gap) {
	more := g.actual.Cmp(g.expected) > 0
	// What comes off the whole basket stands below the goods: a line among them may
	// be part of a price.
	g.rival = g.rival || more || g.offer.Spend != nil && slices.ContainsFunc(c.m.Offers[g.offer.Index].Cuts, func(cut match.Cut) bool { return !cut.Last })
	for _, other := range c.gaps {
		switch {
		case other == g:
		case other.what == ofPrice && more && g.offer.Covers(other.item):
			other.rival = true
		case other.what != ofDeduction:
		case other.offer == nil:
			g.rival = true
		case more && other.actual.IsZero() && !other.voided:
			other.rival = true
		case other.actual.IsZero() && !other.voided && slices.ContainsFunc(c.m.Offers[g.offer.Index].Cuts, func(cut match.Cut) bool { return cut.MayRather(other.offer, g.offer) }):
			g.rival, other.rival = true, true
		case slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool { return g.offer.Covers(it) && other.offer.Covers(it) }) || c.isUnexplained(other):
			g.rival = true
			other.rival = other.rival || c.swappable(g.offer, other.offer)
		}
	}
}

// swappable reports whether the lines of two offers might as well be each other's.
func (c *check) swappable(a, b *plan.Offer) bool {
	may := func(of, to *plan.Offer) bool {
		return slices.ContainsFunc(c.m.Offers[of.Index].Cuts, func(cut match.Cut) bool { return cut.MayRather(to, of) })
	}
	return may(a, b) && may(b, a)
}

// doubtFees marks a deposit or charge where goods with one were not rung as
// planned: a line for several may hold theirs.
func (c *check) doubtFees(g *gap) {
	if g.what != ofFee {
		return
	}
	g.rival = g.rival || c.feesExchanged(g.difference())
	for _, other := range c.gaps {
		if other.what == ofUnplanned && (other.standsFor == nil || other.standsFor.Fee.IsZero()) && c.hasFee(other) {
			g.rival = true // it was laid to goods that may have none
		}
		if other.what == ofFee && other.difference().Sign()*g.difference().Sign() < 0 {
			g.rival = true // one line for both was laid to one of them
		}
		if other.what == ofItem && !other.item.Fee.IsZero() || other.what == ofUnplanned && other.standsFor != nil && !other.standsFor.Fee.IsZero() {
			g.rival = true
		}
		if other.what == ofUnplanned && other.entry.Fee {
			g.rival, other.rival = true, true
		}
		if other.what == ofDeduction && other.offer != nil && g.item != nil && other.offer.Covers(g.item) && g.actual.Cmp(g.expected) > 0 && other.actual.Cmp(other.expected) > 0 {
			g.rival = true // there may be more of the goods than were understood
		}
	}
}

// hasFee reports whether a deposit or charge was laid to goods that were not planned.
func (c *check) hasFee(g *gap) bool {
	return slices.ContainsFunc(c.m.Unplanned, func(e match.Entry) bool { return e.Fee && !g.entry.Fee && slices.Contains(g.lines, e.Lines[0]) })
}

// doubtAlike marks uses that are missing where the lines of another offer are the
// same but for a number: which of the two lacks one, nothing tells.
func (c *check) doubtAlike(g *gap) {
	if g.what != ofDeduction || g.offer == nil || g.actual.IsZero() || g.actual.Cmp(g.expected) >= 0 {
		return
	}
	for k, o := range c.p.Offers {
		for _, theirs := range c.m.Offers[k].Cuts {
			for _, own := range c.m.Offers[g.offer.Index].Cuts {
				if o != g.offer && !c.beneathOwn(g.offer, &own) && own.Silent() && theirs.Silent() && own.Off == theirs.Off && own.MayRather(o, g.offer) {
					g.rival = true
				}
			}
		}
	}
}

// beneathOwn reports whether a line stands beneath an item that its offer is for.
func (c *check) beneathOwn(o *plan.Offer, cut *match.Cut) bool {
	i := c.m.ItemOfLine(cut.Of)
	return i >= 0 && o.Covers(c.tx.Items[i])
}

// doubtVoided marks a voided line that is not what its offer should take off and
// just what another offer should, of which nothing is there.
func (c *check) doubtVoided() {
	for _, g := range c.gaps {
		if g.what != ofDeduction || g.offer == nil || !g.voided {
			continue
		}
		var was money.Amount
		for _, cut := range c.m.Offers[g.offer.Index].Voided {
			was = was.Add(cut.Was)
		}
		if was == g.expected {
			continue
		}
		for _, cut := range c.m.Offers[g.offer.Index].Voided {
			g.rival = g.rival || c.takenByTwin(g.offer, &cut)
			// What comes off the basket has one amount; another is another coupon's, but
			// for a share of a basket that was not quite the planned one.
			g.rival = g.rival || g.offer.Spend != nil && cut.Was != g.expected && !(g.offer.Deduct.Percent != nil && cut.Fits(g.offer) > 0 && near(cut.Was, g.expected))
			for _, other := range c.gaps {
				if cut.Was != g.expected && other.what == ofDeduction && other.offer != nil && other != g && other.actual.IsZero() && cut.MayRather(other.offer, g.offer) {
					g.rival, other.rival = true, true
				}
			}
		}
	}
}

// takenByTwin reports whether another offer's line is just what was taken back of o, and
// the words of neither tell whose it is.
func (c *check) takenByTwin(o *plan.Offer, voided *match.Cut) bool {
	for k, other := range c.p.Offers {
		cuts := c.m.Offers[k].Cuts
		if sum, known := total(cuts); other == o || !known || sum != voided.Was || sum.IsZero() {
			continue
		}
		if voided.MayRather(other, o) && cuts[0].MayRather(o, other) && (voided.Silent() || cuts[0].Silent()) && c.names(voided, o) == 0 && c.names(&cuts[0], other) == 0 {
			return true
		}
	}
	return false
}

// near reports whether two amounts differ by less than a fifth.
func near(a, b money.Amount) bool { return 5*a.Sub(b).Abs().Cents() < b.Cents() }
