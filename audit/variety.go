package audit

import (
	"tillproof/parse/match"
	"tillproof/plan"
)

// How alike in name, and how near in price, an unplanned item must be to pass
// for another variety of a missing one.
const (
	varietyName  = 40
	varietyPrice = 60
)

// findVariety looks for the unplanned item that stands in for the missing item
// of g: another flavour or size, by its name or the maker's part of its code,
// and its price.
func (c *check) findVariety(g *gap, it *plan.Item) {
	best := varietyName
	for i := range c.m.Unplanned {
		e := &c.m.Unplanned[i]
		if e.Fee || !e.Known || c.standsIn(e) {
			continue
		}
		like, price := match.Alike(e, it)
		if price >= varietyPrice && like >= best {
			best, g.standIn = like, e
		}
	}
}

// standsIn reports whether e is taken to stand in for an item already.
func (c *check) standsIn(e *match.Entry) bool {
	for _, g := range c.gaps {
		if g.standIn == e {
			return true
		}
	}
	return false
}
