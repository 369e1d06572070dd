package audit

import (
	"slices"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// A line is matched by its words and place to an offer on the goods there. Where it
// came off goods that its offer is not for, that is another's, or none. The sums tell.

// savingsBack gives a line that has the very words of the savings on other goods, and
// stands beneath an item, to that item's price, where it was laid to an offer that is
// for other goods, has lines of other words, or does not come out with it.
func (c *check) savingsBack() {
	for k, o := range c.p.Offers {
		m := &c.m.Offers[k]
		planned, _ := c.expected.Taken(o.ID)
		got, _ := total(m.Cuts)
		for n := len(m.Cuts) - 1; n >= 0; n-- {
			cut := m.Cuts[n]
			i := c.m.ItemOfLine(cut.Of)
			if i < 0 || !cut.Known || !cut.Silent() || !c.saysSavings([]match.Cut{cut}) || o.Covers(c.tx.Items[i]) && got == planned && !oddWords(m.Cuts, n) {
				continue
			}
			c.m.Items[i].Savings = append(slices.Clone(c.m.Items[i].Savings), cut)
			m.Cuts = slices.Delete(slices.Clone(m.Cuts), n, n+1)
		}
	}
}

// claim takes a deduction that is no offer's, or that no other offer should have,
// as the offer's of which nothing is there and that takes off just as much, where its
// place or its words say that it came off goods which none of both is for.
func (c *check) claim() {
	for _, o := range c.inTillOrder() {
		m := &c.m.Offers[o.Index]
		want, _ := c.bill.Taken(o.ID)
		if o.Spend != nil || want.IsZero() || len(m.Cuts)+len(m.Voided) > 0 {
			continue
		}
		if free := c.free(o, want); free != nil {
			m.Cuts = free
			c.m.Extra = slices.DeleteFunc(slices.Clone(c.m.Extra), func(cut match.Cut) bool {
				return slices.ContainsFunc(free, func(f match.Cut) bool { return f.Lines[0] == cut.Lines[0] })
			})
		} else if held, at := c.held(o, want); held != nil {
			m.Cuts = []match.Cut{held.Cuts[at]}
			held.Cuts = slices.Delete(slices.Clone(held.Cuts), at, at+1)
		} else {
			continue
		}
		m.Weak, m.By, m.Score = false, match.ByPrice, 50
		for n := range m.Cuts {
			m.Cuts[n].Names = c.cutItem(o, &m.Cuts[n])
		}
	}
}

// gatherUses gives a line that another offer has to the one of the lines with the very
// same words, a coupon's number among them, where that other has none else: it is the
// last use of it, cut to what was left. A line of another number goes back for it.
func (c *check) gatherUses() {
	for k, o := range c.p.Offers {
		m := &c.m.Offers[k]
		if len(m.Cuts) != 1 || len(m.Voided) > 0 || couponNumber(m.Cuts[0].Name) == "" {
			continue
		}
		for n := range c.p.Offers {
			other := &c.m.Offers[n]
			var alike, odd []match.Cut
			for _, cut := range other.Cuts {
				if cut.Name == m.Cuts[0].Name {
					alike = append(alike, cut)
				} else {
					odd = append(odd, cut)
				}
			}
			if n == k || len(alike) < 2 || len(odd) > 1 || len(odd) == 1 && !odd[0].Suits(o) {
				continue
			}
			other.Cuts = append(alike, m.Cuts[0])
			*m = match.OfferMatch{Cuts: odd, Score: m.Score, By: m.By}
			break
		}
	}
}

// strayed is the item that cut came off if it is o's, where that is none of o's and
// the amount is just what o should take; -1 otherwise.
func (c *check) strayed(o *plan.Offer, cut *match.Cut, want money.Amount) int {
	if cut.Voided || !cut.Known || !cut.Suits(o) {
		return -1
	}
	item := c.cutItem(o, cut)
	if item < 0 || o.Covers(c.tx.Items[item]) || cut.Off != want && c.givesOn(o, c.tx.Items[item]) != cut.Off {
		return -1
	}
	return item
}

// free are the deductions that are no offer's and are o's, come off other goods: one
// line, or lines of the same words. There are none where that is true of more than
// one, or where they are another's as well.
func (c *check) free(o *plan.Offer, want money.Amount) (found []match.Cut) {
	var seen []string
	for k := range c.m.Extra {
		name := c.m.Extra[k].Name
		if slices.Contains(seen, name) {
			continue
		}
		seen = append(seen, name)
		var alike []match.Cut
		for n := range c.m.Extra {
			if c.m.Extra[n].Name == name {
				alike = append(alike, c.m.Extra[n])
			}
		}
		sum, known := total(alike)
		one := alike[0]
		one.Off = sum
		if !known || c.strayed(o, &one, want) < 0 {
			continue
		}
		if found != nil || c.claimedElse(o, &one, want) {
			return nil
		}
		found = alike
	}
	return found
}

// held is the deduction that another offer has and should not: without it that one
// comes out, and it is just what o takes off. That it is all that goods of the other cost
// tells nothing: any coupon may be cut to that.
func (c *check) held(o *plan.Offer, want money.Amount) (*match.OfferMatch, int) {
	for k, other := range c.p.Offers {
		m := &c.m.Offers[k]
		got, known := total(m.Cuts)
		if other.Deduct == nil || !known {
			continue
		}
		if due, _ := c.bill.Taken(other.ID); due == got {
			continue
		}
		for n := range m.Cuts {
			cut := &m.Cuts[n]
			item := c.strayed(o, cut, want)
			if item < 0 || c.claimedElse(o, cut, want) || cut.Off != want && other.Covers(c.tx.Items[item]) && cut.Off == c.bill.Lines[item].Price {
				continue
			}
			rung := copyRung(&c.rung)
			rung.Offers[o.Index] = plan.RungOffer{Items: map[int]money.Amount{item: cut.Off}}
			if due, _ := c.p.PriceAs(c.tx, &rung).Taken(other.ID); due == got.Sub(cut.Off) {
				return m, n
			}
		}
	}
	return nil, 0
}

// claimedElse reports whether another offer without a line could have taken cut as
// well.
func (c *check) claimedElse(o *plan.Offer, cut *match.Cut, want money.Amount) bool {
	return slices.ContainsFunc(c.p.Offers, func(other *plan.Offer) bool {
		if other == o || other.Deduct == nil || len(c.m.Offers[other.Index].Cuts) > 0 || !cut.Suits(other) {
			return false
		}
		due, _ := c.bill.Taken(other.ID)
		return due == want
	})
}
