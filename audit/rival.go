package audit

import (
	"slices"

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

// takenElsewhere reports whether a line that was laid to another offer, and does
// not just fit there, or to an item's price, is just what o should have taken.
func (c *check) takenElsewhere(o *plan.Offer, want money.Amount) bool {
	for k, other := range c.p.Offers {
		m := &c.m.Offers[k]
		if other == o || other.Deduct == nil {
			continue
		}
		got, _ := total(m.Cuts)
		planned, _ := taken(c.expected, other)
		for i := range m.Cuts {
			if (len(m.Cuts) > max(usesOf(c.expected, other), 1) || got != planned) && m.Cuts[i].Off == want && m.Cuts[i].MayRather(o, other) {
				return true
			}
		}
	}
	for i := range c.m.Items {
		it := c.tx.Items[i]
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
		planned, _ := taken(c.expected, other)
		now, _ := taken(c.bill, other)
		for i := range m.Cuts {
			if off := m.Cuts[i].Off; !off.IsZero() && (off == planned || off == now) && m.Cuts[i].MayRather(other, o) {
				return true
			}
		}
	}
	return false
}

// doubtMatches marks what rests on a guess at which line is which offer: where
// one such guess is open, or two amounts are explained by nothing, the lines may
// be other offers' than they are taken for.
func (c *check) doubtMatches() {
	c.doubtVoided()
	open := 0
	var doubted []*gap
	for _, g := range c.gaps {
		switch {
		case g.what != ofDeduction:
		case g.rival:
			open += 2
		case !g.actual.IsZero() && c.isUnexplained(g):
			open++
			doubted = append(doubted, g)
		}
	}
	for _, g := range doubted {
		g.rival = g.rival || open > 1 && g.offer != nil
		c.doubtMissing(g)
	}
	for _, g := range c.gaps {
		if g.what == ofTax && open > 1 && c.isUnexplained(g) {
			g.rival = true
		}
	}
}

// doubtVoided marks a voided line that is not what its offer should take off and
// just what another offer should, of which nothing is there.
func (c *check) doubtVoided() {
	for _, g := range c.gaps {
		if g.what != ofDeduction || g.offer == nil || !g.voided {
			continue
		}
		for _, cut := range c.m.Offers[g.offer.Index].Voided {
			for _, other := range c.gaps {
				if cut.Was != g.expected && other.what == ofDeduction && other.offer != nil && other != g && other.expected == cut.Was && cut.MayRather(other.offer, g.offer) {
					g.rival, other.rival = true, true
				}
			}
		}
	}
}

// doubtMissing marks an amount that nothing explains and an offer that nothing
// is there of, where the words of the one's lines may be the other's.
func (c *check) doubtMissing(g *gap) {
	if g.offer == nil {
		return
	}
	for _, missing := range c.gaps {
		if missing.what != ofDeduction || missing.offer == nil || missing.offer == g.offer || !missing.actual.IsZero() || missing.voided {
			continue
		}
		for _, cut := range c.m.Offers[g.offer.Index].Cuts {
			if cut.MayRather(missing.offer, g.offer) {
				g.rival, missing.rival = true, true
			}
		}
	}
}

// doubtCredits marks credits of one kind that may have changed places: one is
// missing, and another is not what it should be or is told more than once.
func (c *check) doubtCredits() {
	for _, missing := range c.gaps {
		if missing.what != ofCredit || !missing.actual.IsZero() {
			continue
		}
		for _, o := range c.p.Offers {
			if o == missing.offer || o.Credit == nil || o.Credit.Kind != missing.offer.Credit.Kind {
				continue
			}
			m := &c.m.Offers[o.Index]
			at := slices.IndexFunc(c.gaps, func(g *gap) bool { return g.what == ofCredit && g.offer == o })
			if at >= 0 && !c.gaps[at].actual.IsZero() {
				c.gaps[at].rival, missing.rival = true, true
			}
			if len(m.Rewards) > 1 && slices.ContainsFunc(m.Rewards, func(r match.Reward) bool { return r.Value != m.Rewards[0].Value }) {
				missing.rival = true
			}
		}
	}
}

// doubtUnits marks what more units than planned and less paid for each may be:
// units that were misread or told twice. The price of the planned units is then
// what is really there.
func (c *check) doubtUnits() {
	for _, g := range c.gaps {
		if g.what != ofQuantity || g.got < g.wanted {
			continue
		}
		for _, other := range c.gaps {
			less := other.what == ofPrice && other.item == g.item && other.actual.Cmp(other.expected) < 0 ||
				other.what == ofDeduction && other.offer != nil && other.offer.Covers(g.item) && other.actual.Cmp(other.expected) > 0
			if less {
				g.rival, other.rival = true, true
			}
		}
	}
}
