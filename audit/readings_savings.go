package audit

import (
	"slices"

	"tillproof/money"
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

// together are the readings in which all lines of the same words, a coupon's number among
// them, which are taken for several offers', or for none's, are one offer's: one of these,
// or one of which nothing is there that should take just as much. A coupon is scanned once
// for each of its uses.
func (c *check) together() (all []reading) {
	for _, lines := range c.numbered() {
		var sum money.Amount
		for _, l := range lines {
			sum = sum.Add(l.cut.Off)
		}
		for _, o := range c.p.Offers {
			to := holder{o, -1}
			holds := slices.ContainsFunc(lines, func(l laid) bool { return l.of == to })
			if o.Deduct == nil || !c.openAt(to) || !holds && !(c.lacks(o, sum) && lines[0].cut.Suits(o)) {
				continue
			}
			m, moves := c.m, 0
			for _, l := range lines {
				if l.of != to {
					m = moved(m, &l.cut, l.of, to)
					moves++
				}
			}
			if moves > 1 { // one alone is tried with all others
				all = append(all, reading{m, 0})
			}
		}
	}
	return all
}

// laid is a line and what it is taken for.
type laid struct {
	cut match.Cut
	of  holder
}

// numbered are the lines that have one coupon's number and words, where they are taken for
// more than one offer's.
func (c *check) numbered() (all [][]laid) {
	var lines []laid
	add := func(cuts []match.Cut, of holder) {
		for _, cut := range cuts {
			if cut.Known && cut.Off.Sign() > 0 && !cut.ByCode && (couponNumber(cut.Name) != "" || c.r.Line(cut.Lines[0]).Code != "") {
				lines = append(lines, laid{cut, of})
			}
		}
	}
	for k, o := range c.p.Offers {
		add(c.m.Offers[k].Cuts, holder{o, -1})
	}
	add(c.m.Extra, none)
	alike := func(a, b laid) bool {
		return a.cut.Name == b.cut.Name && c.r.Line(a.cut.Lines[0]).Code == c.r.Line(b.cut.Lines[0]).Code
	}
	for i, l := range lines {
		if slices.ContainsFunc(lines[:i], func(other laid) bool { return alike(other, l) }) {
			continue
		}
		same, several := []laid(nil), false
		for _, other := range lines[i:] {
			if alike(other, l) {
				same = append(same, other)
				several = several || other.of != l.of
			}
		}
		if several {
			all = append(all, same)
		}
	}
	return all
}
