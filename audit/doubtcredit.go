package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// doubtCredits marks credits of one kind that may have changed places: one is
// missing, and another is not what it should be or is told more than once.
func (c *check) doubtCredits() {
	for _, g := range c.gaps {
		if g.what == ofCredit && g.offer.Spend != nil && c.openOn(g.offer) {
			g.rival = true // what was spent is not known
		}
		if g.what == ofCredit && g.offer.Spend != nil && g.expected.IsZero() && c.cutElsewhere(g.offer) {
			g.rival = true
		}
		// What comes off all goods by shares comes off those that were not planned too.
		if g.what == ofCredit && g.offer.Credit.Percent != nil && g.difference().Abs().Cents() <= fewCents && c.isUnexplained(g) && slices.ContainsFunc(c.gaps, func(h *gap) bool { return h.what == ofUnplanned }) {
			g.rival = true
		}
	}
	for _, g := range c.gaps {
		if g.what == ofCredit && (c.aside(g.offer) && c.othersValue(g) || c.othersWorth(g)) {
			g.rival = true // what the receipt need not tell, or is not worth that, may not be what it tells
		}
		g.rival = g.rival || g.what == ofCredit && (c.othersToo(g) || c.exchanged(g) || c.nearerExchanged(g) || c.rightWithPrice(g))
	}
	for _, missing := range c.gaps {
		if missing.what != ofCredit || !missing.actual.IsZero() {
			continue
		}
		for _, o := range c.p.Offers {
			if o == missing.offer || o.Credit == nil {
				continue
			}
			m := &c.m.Offers[o.Index]
			if c.mayBeTheirs(missing, m, o) {
				missing.rival = true
			}
			at := slices.IndexFunc(c.gaps, func(g *gap) bool { return g.what == ofCredit && g.offer == o })
			sameKind := o.Credit.Kind == missing.offer.Credit.Kind
			if at >= 0 && !c.gaps[at].actual.IsZero() && (sameKind || len(m.Rewards) > 1 || c.gaps[at].expected.IsZero() || !c.tellsKind(m, o)) {
				c.gaps[at].rival, missing.rival = true, true
			}
			if at < 0 && sameKind && !c.aside(o) && len(m.Rewards) > 0 && c.takenForVariety(o, m) || at < 0 && c.nearMissing(missing, o, m) {
				missing.rival = true
			}
			if len(m.Rewards) > 1 && slices.ContainsFunc(m.Rewards[1:], func(r match.Reward) bool {
				return r.Value != m.Rewards[0].Value || sameKind && c.r.Line(r.Line).Text == c.r.Line(m.Rewards[0].Line).Text
			}) {
				missing.rival = true
			}
		}
	}
}

// cutElsewhere reports whether, on a receipt that has a deduction right beneath its own goods,
// another stands right beneath goods that its offer is not for and the credit of o does not count,
// though it counts the offer's own: the till may have measured these without it.
func (c *check) cutElsewhere(o *plan.Offer) bool {
	own, elsewhere := false, false
	for k, other := range c.p.Offers {
		for n := range c.m.Offers[k].Cuts {
			i := c.nearItem(&c.m.Offers[k].Cuts[n])
			if i < 0 {
				continue
			}
			own = own || other.Covers(c.tx.Items[i])
			elsewhere = elsewhere || !other.Covers(c.tx.Items[i]) && !o.Covers(c.tx.Items[i]) && c.shareItem(o, other)
		}
	}
	return own && elsewhere
}

// rightWithPrice reports whether a credit for what was spent is just right if one of an offer's
// lines beneath the same goods, of other words than the rest, is a part of their price: which
// comes to the same where an offer takes goods down to a price of its own.
func (c *check) rightWithPrice(g *gap) bool {
	if g.offer.Spend == nil {
		return false
	}
	for k, o := range c.p.Offers {
		cuts := c.m.Offers[k].Cuts
		got, known := total(cuts)
		if len(cuts) < 2 || !known || o.Spend != nil {
			continue
		}
		for n := range cuts {
			i := c.m.ItemOfLine(cuts[n].Of)
			if i < 0 || !oddWords(cuts, n) {
				continue
			}
			rung := copyRung(&c.rung)
			item := rung.Items[i]
			price := c.bill.Lines[i].Price.Sub(cuts[n].Off)
			item.Quantity, item.Price = c.bill.Lines[i].Quantity, &price
			rung.Items[i] = item
			rung.Offers[k] = plan.RungOffer{Basket: got.Sub(cuts[n].Off)}
			if c.shouldBe(g, &rung) == g.actual {
				return true
			}
		}
	}
	return false
}

// takenForVariety reports whether o's lines do not come to what it should be, and were let pass
// because other goods were bought: they may be another credit's.
func (c *check) takenForVariety(o *plan.Offer, m *match.OfferMatch) bool {
	planned, uses := earned(c.expected, o)
	return given(o, m, planned, uses) != c.shouldBe(&gap{what: ofCredit, offer: o}, &c.rung)
}

// nearMissing reports whether what o's lines tell would be, for the missing credit of its kind,
// less than a third off: that o has just what it should be may be chance, and o the one that
// was not given. Farther off two mistakes at once are too unlikely to be asked for.
func (c *check) nearMissing(missing *gap, o *plan.Offer, m *match.OfferMatch) bool {
	if len(m.Rewards) == 0 || c.aside(o) || o.Credit.Kind != missing.offer.Credit.Kind {
		return false
	}
	_, uses := earned(c.bill, missing.offer)
	told := given(missing.offer, m, missing.expected, uses)
	return money.Min(told, missing.expected).Mul(3).Cmp(money.Max(told, missing.expected).Mul(2)) > 0
}

// aside reports whether a credit is told elsewhere than on the receipt.
func (c *check) aside(o *plan.Offer) bool {
	return o.Credit.Shows == "slip" || o.Credit.Shows == "account"
}

// othersValue reports whether what g has is just what another credit without a line is
// worth, or that is a share of a sum that may be another.
func (c *check) othersValue(g *gap) bool {
	return slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
		return o != g.offer && o.Credit != nil && !c.aside(o) && len(c.m.Offers[o.Index].Rewards) == 0 &&
			(o.Credit.Percent == nil && o.Credit.Value == g.actual || o.Credit.Percent != nil && o.Credit.Kind == g.offer.Credit.Kind)
	})
}

// othersWorth reports whether what g has, and should not have, is just what another credit
// without a line is worth, due or not, whose line it may be for all that it says of a kind.
func (c *check) othersWorth(g *gap) bool {
	return !g.actual.IsZero() && slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
		return o != g.offer && o.Credit != nil && o.Credit.Percent == nil && o.Credit.Value == g.actual && len(c.m.Offers[o.Index].Rewards) == 0 &&
			(o.Credit.Kind == g.offer.Credit.Kind || !c.tellsKind(&c.m.Offers[g.offer.Index], g.offer))
	})
}

// othersToo reports whether another credit that was given is not what it should be either,
// and the lines of the two may be each other's.
func (c *check) othersToo(g *gap) bool {
	return !g.actual.IsZero() && slices.ContainsFunc(c.gaps, func(o *gap) bool {
		return o != g && o.what == ofCredit && !o.actual.IsZero() && c.alikeCredits(o.offer, g.offer)
	})
}

// alikeCredits reports whether the lines of two credits may be each other's for all that
// they say of a kind.
func (c *check) alikeCredits(a, b *plan.Offer) bool {
	return a.Credit.Kind == b.Credit.Kind || !c.tellsKind(&c.m.Offers[a.Index], a) || !c.tellsKind(&c.m.Offers[b.Index], b)
}

// exchanged reports whether another credit has just what g should have, and the lines of
// the two may be each other's: which of them is not what it should be, nothing tells.
func (c *check) exchanged(g *gap) bool {
	if g.actual.IsZero() {
		return false
	}
	_, uses := earned(c.bill, g.offer)
	return slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
		if o == g.offer || o.Credit == nil || len(c.m.Offers[o.Index].Rewards) == 0 || !c.alikeCredits(o, g.offer) {
			return false
		}
		return given(g.offer, &c.m.Offers[o.Index], g.expected, uses) == g.expected
	})
}

// nearerExchanged reports whether g, which nothing explains, would not be as far off with the
// line of another credit, nor that with g's, and the lines may be each other's: that the
// other is just right may be chance, where both are a little wrong.
func (c *check) nearerExchanged(g *gap) bool {
	if g.actual.IsZero() || !c.isUnexplained(g) {
		return false
	}
	return slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
		if o == g.offer || o.Credit == nil || len(c.m.Offers[o.Index].Rewards) == 0 || !c.alikeCredits(o, g.offer) {
			return false
		}
		want, uses := earned(c.bill, o)
		got := given(o, &c.m.Offers[o.Index], want, uses)
		far := g.difference().Abs()
		return !want.IsZero() && got.Sub(g.expected).Abs().Cmp(far) < 0 && g.actual.Sub(want).Abs().Cmp(far) < 0
	})
}

// mayBeTheirs reports whether the lines of o's credit may tell of the missing one: they are
// of its kind and not to be expected on the receipt, as its own are, or do not say of which
// kind they are, and come to just as much or are not to be expected.
func (c *check) mayBeTheirs(missing *gap, m *match.OfferMatch, o *plan.Offer) bool {
	var sum money.Amount
	for i := range m.Rewards {
		sum = sum.Add(worth(o, &m.Rewards[i]))
	}
	sameKind := o.Credit.Kind == missing.offer.Credit.Kind
	if sum.IsZero() || !sameKind && c.tellsKind(m, o) {
		return false
	}
	// A line of any credit is told here, where o's own need not be.
	return sum == missing.expected && !sameKind || c.aside(o) && !c.aside(missing.offer)
}

// tellsKind reports whether the lines of o's credit, or the ones above them, name its
// kind: a store's own word for any credit does not.
func (c *check) tellsKind(m *match.OfferMatch, o *plan.Offer) bool {
	words := append([]string{strings.ToUpper(strings.TrimSuffix(o.Credit.Kind, "s"))}, c.p.Store.Prints[o.Credit.Kind]...)
	if o.Credit.Kind == "points" {
		words = append(words, "PTS")
	}
	for _, r := range m.Rewards {
		text := c.r.Line(r.Line).Text
		if r.Line > 1 {
			text = c.r.Line(r.Line-1).Text + " " + text
		}
		if !slices.ContainsFunc(words, func(w string) bool { return strings.Contains(strings.ToUpper(text), strings.ToUpper(w)) }) {
			return false
		}
	}
	return true
}

// reached reports whether enough was spent for o, before any offer, even if what g took off
// is a part of a price: then the credit is what it is.
func (c *check) reached(o *plan.Offer, g *gap) bool {
	m := o.Measure
	if m == "" {
		m = c.p.Store.Policy.Measure
	}
	if m == "" {
		m = plan.MeasureSale
	}
	if o.Credit.Percent != nil || o.Repeats || m != plan.MeasureSale && m != plan.MeasureShelf {
		return false
	}
	spent := c.measured(&gap{what: ofCredit, offer: o, before: c.rung}, m)
	return spent.Sub(g.actual).Cmp(*o.Spend) >= 0
}

// openOn reports whether a deduction, price or quantity of o's goods is open.
func (c *check) openOn(o *plan.Offer) bool {
	return slices.ContainsFunc(c.gaps, func(g *gap) bool {
		switch g.what {
		case ofDeduction, ofPlace:
			return g.rival && g.offer != nil && c.shareItem(o, g.offer) && !c.reached(o, g)
		case ofPrice, ofQuantity:
			return (g.rival || g.weak) && o.Covers(g.item)
		}
		return false
	})
}
