package audit

import (
	"slices"

	"tillproof/parse/match"
	"tillproof/plan"
)

// A coupon that came off other goods than it is for may be printed with their name, and
// so look like more of what those have of their own. It shows in its amount alone: it is
// just what the coupon should take.

// lent are the readings in which lines that one offer has are another's of which nothing
// is there: as many of the same words and amount as come to what it should take.
func (c *check) lent() (all []reading) {
	for _, g := range c.gaps {
		if g.what != ofDeduction || g.offer == nil || g.offer.Spend != nil || !g.actual.IsZero() || g.voided {
			continue
		}
		for k, o := range c.p.Offers {
			if o == g.offer || o.Deduct == nil || o.Spend != nil || c.shareItem(o, g.offer) {
				continue
			}
			for _, cuts := range usesOff(c.m.Offers[k].Cuts, g, o) {
				of, to := holder{o, -1}, holder{g.offer, -1}
				if len(cuts) == 1 && (!c.openAt(of) && evenCuts(c.m.Offers[k].Cuts) || c.mayHold(&cuts[0], of, to)) {
					continue // what has just its own, use by use, lends none, or it is tried alone
				}
				m := c.m
				for i := range cuts {
					m = moved(m, &cuts[i], of, to)
				}
				all = append(all, reading{m, c.numbersLeft(o, cuts)})
			}
		}
	}
	return all
}

// evenCuts reports whether all lines take the same.
func evenCuts(cuts []match.Cut) bool {
	return !slices.ContainsFunc(cuts, func(cut match.Cut) bool { return cut.Off != cuts[0].Off })
}

// usesOff are the lines among cuts, of's, of the same words and amount each, that come to
// just what g's offer should take and may be its as well by what they say of coupons.
func usesOff(cuts []match.Cut, g *gap, of *plan.Offer) (all [][]match.Cut) {
	for i := range cuts {
		first := &cuts[i]
		if !first.Known || first.Off.Sign() <= 0 || !first.MayRather(g.offer, of) || g.expected.Cents()%first.Off.Cents() != 0 {
			continue
		}
		same := func(cut match.Cut) bool { return cut.Known && cut.Off == first.Off && cut.Name == first.Name }
		if slices.IndexFunc(cuts, same) < i {
			continue
		}
		var uses []match.Cut
		for _, cut := range cuts {
			if same(cut) && first.Off.Mul(len(uses)) != g.expected {
				uses = append(uses, cut)
			}
		}
		if first.Off.Mul(len(uses)) == g.expected {
			all = append(all, uses)
		}
	}
	return all
}

// numbersLeft weighs that o keeps lines with the coupon's number of those that go.
func (c *check) numbersLeft(o *plan.Offer, gone []match.Cut) int {
	left := 0
	for _, cut := range c.m.Offers[o.Index].Cuts {
		if cut.Name == gone[0].Name {
			left++
		}
	}
	if left > len(gone) && couponNumber(gone[0].Name) != "" {
		return 2
	}
	return 0
}

// hasNumber reports whether another line of o has the coupon's number of cut.
func (c *check) hasNumber(o *plan.Offer, cut *match.Cut) bool {
	number := couponNumber(cut.Name)
	return number != "" && slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(other match.Cut) bool {
		return other.Lines[0] != cut.Lines[0] && couponNumber(other.Name) == number
	})
}

// othersHere reports whether another coupon than of's, for other goods, stands at the end
// beneath item at too: they are gathered there, and their place says nothing.
func (c *check) othersHere(cut *match.Cut, of *plan.Offer, at int) bool {
	return slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
		return o != of && o.Deduct != nil && o.Spend == nil && o.CarriedAs != "shelf" && !o.Covers(c.tx.Items[at]) &&
			slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(other match.Cut) bool {
				return other.Last && other.Lines[0] != cut.Lines[0] && c.nearItem(&other) == at
			})
	})
}

// mayTake reports whether a line may be to's where another goes the other way: as its
// words and place let it, or where it is just what to should take and names other goods,
// off which that may have come.
func (c *check) mayTake(cut *match.Cut, of, to holder) bool {
	if c.mayHold(cut, of, to) {
		return true
	}
	if of.offer == nil || to.offer == nil || cut.Voided || of.offer.Spend != nil || to.offer.Spend != nil || !cut.MayRather(to.offer, of.offer) {
		return false
	}
	planned, _ := c.expected.Taken(to.offer.ID)
	return cut.Off == planned
}
