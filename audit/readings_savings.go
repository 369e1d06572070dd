package audit

import (
	"slices"

	"tillproof/parse/match"
	"tillproof/plan"
)

// allOffers are the readings in which every line of some words that was taken for the
// savings on a price is an offer's on those goods: a till that prints its offers in
// such words prints all of them so.
func (c *check) allOffers() (all []reading) {
	var seen []string
	for i := range c.m.Items {
		for _, cut := range c.m.Items[i].Savings {
			if slices.ContainsFunc(seen, func(name string) bool { return alike(name, cut.Name) }) {
				continue
			}
			seen = append(seen, cut.Name)
			if m, n := c.savingsAsOffers(cut.Name); n > 1 {
				all = append(all, reading{m, 0})
			}
		}
	}
	return all
}

// savingsAsOffers is the reading in which all savings of a name are those offers' of which
// nothing is there, and how many lines that moves; none where one has no such offer.
func (c *check) savingsAsOffers(name string) (m *match.Assignment, moves int) {
	m = c.m
	for i, it := range c.tx.Items {
		for _, cut := range c.m.Items[i].Savings {
			if !alike(cut.Name, name) || !cut.Known {
				continue
			}
			at := slices.IndexFunc(c.p.Offers, func(o *plan.Offer) bool {
				return o.Deduct != nil && o.Spend == nil && o.Covers(it) && len(m.Offers[o.Index].Cuts) == 0 && cut.Suits(o)
			})
			if at < 0 {
				return nil, 0
			}
			m = moved(m, &cut, holder{nil, i}, holder{c.p.Offers[at], -1})
			moves++
		}
	}
	return m, moves
}
