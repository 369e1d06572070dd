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
			if m, n, words := c.savingsAsOffers(cut.Name); n > 1 {
				all = append(all, reading{m, words})
			}
		}
	}
	return all
}

// savingsAsOffers is the reading in which all savings of a name are those offers' of which
// nothing is there, how many lines that moves, and what their words weigh against it; none
// where one has no such offer, or all prices come out with them.
func (c *check) savingsAsOffers(name string) (m *match.Assignment, moves, words int) {
	m = c.m
	open := false
	for i, it := range c.tx.Items {
		for _, cut := range c.m.Items[i].Savings {
			if !alike(cut.Name, name) || !cut.Known {
				continue
			}
			at := slices.IndexFunc(c.p.Offers, func(o *plan.Offer) bool {
				return o.Deduct != nil && o.Spend == nil && o.Covers(it) && len(m.Offers[o.Index].Cuts) == 0 && cut.Suits(o)
			})
			if at < 0 {
				return nil, 0, 0
			}
			of, to := holder{nil, i}, holder{c.p.Offers[at], -1}
			m = moved(m, &cut, of, to)
			words = max(words, c.words(&cut, of, to, 0))
			open = open || c.openAt(of)
			moves++
		}
	}
	if !open {
		return nil, 0, 0
	}
	return m, moves, words
}
