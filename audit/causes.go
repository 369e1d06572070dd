package audit

import (
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// likely is one cause that reproduces what the till did, and how likely it is
// beside the others (0 to 100): a till's usual failings before its rare ones.
type likely struct {
	kind   CauseKind
	text   string
	chance int
	side   Side
}

// try is one cause to try on a gap: it returns what the till would have done,
// where that is just what it did.
type try func(c *check, g *gap) []likely

// tries are the causes, by what differs.
var tries = map[subject][]try{
	ofItem:      {tryVoidedItem, tryVariety},
	ofQuantity:  {tryRungTwice, tryVariety},
	ofPrice:     {trySaleNotRung, tryGroup, tryUnitRounding, tryPlanSum},
	ofFee:       {tryPlanSum},
	ofUnplanned: {tryVariety},
	ofDeduction: {tryVoided, tryNotScanned, tryDates, tryUses, tryNoLimit, tryMoreUnits, tryValue, tryBase, tryMeasure, tryCut, tryRounding, tryPlanSum},
	ofPlace:     {tryOtherItem},
	ofCredit:    {tryNotScanned, tryDates, tryReward, tryUses, tryNoLimit, tryMoreUnits, tryValue, tryMeasure},
	ofTax:       {tryTaxBase, tryPlanSum},
	ofSum:       {tryCashRounding},
	ofRebate:    {tryDates, tryVariety},
}

// explain finds the causes of g, the likeliest first; where none reproduces
// what the till did, that is said.
func (c *check) explain(g *gap) (first likely, others []likely) {
	var fit []likely
	for _, t := range tries[g.what] {
		for _, l := range t(c, g) {
			if !slices.ContainsFunc(fit, func(o likely) bool { return o.kind == l.kind || o.text == l.text }) {
				fit = append(fit, l)
			}
		}
	}
	slices.SortStableFunc(fit, func(a, b likely) int { return b.chance - a.chance })
	if len(fit) == 0 {
		return likely{kind: Unexplained, text: unexplained(g), side: sideWithout(g)}, nil
	}
	return fit[0], fit[1:]
}

// sideWithout is who answers for a gap that no cause explains.
func sideWithout(g *gap) Side {
	switch g.what {
	case ofItem, ofUnplanned, ofRebate:
		return SideShopper
	case ofQuantity:
		if g.got < g.wanted {
			return SideShopper
		}
	case ofPrice, ofFee, ofTax, ofCard, ofPlace:
		return SideTill
	}
	return SideOpen
}

// gives is what plan p's till takes off or gives for g's offer, given all that
// had been rung by then.
func (c *check) gives(p *plan.Plan, g *gap) money.Amount {
	rung := copyRung(&g.before)
	return c.givesAs(p, g, &rung)
}

func (c *check) givesAs(p *plan.Plan, g *gap, rung *plan.Rung) money.Amount {
	bill := p.PriceAs(c.tx, rung)
	if g.what == ofCredit {
		sum, _ := earned(bill, g.offer)
		return sum
	}
	sum, _ := bill.Taken(g.offer.ID)
	return sum
}

// givesChanged is gives with g's offer changed.
func (c *check) givesChanged(g *gap, change func(*plan.Offer)) money.Amount {
	p, _ := c.changed(g.offer, change)
	return c.gives(p, g)
}

// givesUnder is gives with the store's policy changed.
func (c *check) givesUnder(g *gap, change func(*plan.Policy)) money.Amount {
	p := *c.p
	change(&p.Store.Policy)
	return c.gives(&p, g)
}

// byHand reports whether somebody at the till must scan o for it to work.
func byHand(o *plan.Offer) bool { return o.CarriedAs == "paper" || o.CarriedAs == "print" }
