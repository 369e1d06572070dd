package audit

import (
	"fmt"

	"tillproof/money"
)

func tryVoidedItem(_ *check, g *gap) []likely {
	if !g.voided {
		return nil
	}
	return []likely{{Voided, fmt.Sprintf("%s was rung and taken back: both lines are on the receipt; %s was planned for it, and nothing was charged", g.item.Name, g.expected), 100, SideShopper}}
}

// tryVariety: another variety than the planned one was rung.
func tryVariety(c *check, g *gap) []likely {
	switch g.what {
	case ofItem, ofQuantity:
		if g.standIn != nil {
			return []likely{{OtherVariety, fmt.Sprintf("line %d looks like another variety of it: %s%s", g.standIn.Lines[0], g.standIn.Name, c.offersLost(g.item)), 85, SideShopper}}
		}
	case ofUnplanned:
		if g.standsFor != nil {
			return []likely{{OtherVariety, fmt.Sprintf("it looks like another variety of %s, which is not on the receipt", g.standsFor.Name), 85, SideShopper}}
		}
	case ofRebate:
		for _, other := range c.gaps {
			if other.standIn != nil && g.offer.Covers(other.item) {
				return []likely{{OtherVariety, fmt.Sprintf("line %d looks like another variety of %s", other.standIn.Lines[0], other.item.Name), 85, SideShopper}}
			}
		}
	}
	return nil
}

func tryRungTwice(_ *check, g *gap) []likely {
	if g.got != g.wanted+1 {
		return nil
	}
	return []likely{{RungTwice, fmt.Sprintf("%d were charged where %d were planned: one was rung twice, or one more was taken", g.got, g.wanted), 80, SideOpen}}
}

// trySaleNotRung: the regular price was charged, for all units or for some.
func trySaleNotRung(_ *check, g *gap) []likely {
	it := g.item
	if it.Sale == nil {
		return nil
	}
	if it.Weight != nil {
		if g.actual.Cmp(g.expected) > 0 && g.before.Items != nil && regularOf(g) == g.actual {
			return []likely{{SaleNotRung, fmt.Sprintf("the regular price of %s was charged, not the sale price of %s", it.Shelf, it.Sale.Price), 90, SideTill}}
		}
		return nil
	}
	for k := g.got; k >= 1; k-- {
		if it.Shelf.Mul(k).Add(it.Cost(g.got-k)) != g.actual || k < g.got && it.Sale.For > 1 {
			continue
		}
		text := fmt.Sprintf("the regular price of %s was charged for %s, not the sale price: %s", it.Shelf, unitsText(k), g.actual)
		return []likely{{SaleNotRung, text, 90, SideTill}}
	}
	return nil
}

// regularOf is the price of a weighed item at its regular price.
func regularOf(g *gap) money.Amount {
	w := g.before.Items[g.item.Index].Weight
	if w == nil {
		w = g.item.Weight
	}
	return g.item.Shelf.Times(*w)
}

func unitsText(n int) string {
	if n == 1 {
		return "one unit"
	}
	return fmt.Sprintf("%d units", n)
}

// tryGroup: a price for several was given for full groups only.
func tryGroup(_ *check, g *gap) []likely {
	s := g.item.Sale
	if s == nil || s.For < 2 || s.MustBuy > 0 || g.item.Weight != nil {
		return nil
	}
	other, sale := *g.item, *s
	sale.MustBuy = s.For
	other.Sale = &sale
	if other.Cost(g.got) != g.actual {
		return nil
	}
	return []likely{{GroupIncomplete, fmt.Sprintf("the till gave %d for %s for full groups only, and charged %s for each other unit", s.For, s.Price, g.item.Shelf), 85, SideTill}}
}

// tryUnitRounding: each unit's share of a price for several was rounded.
func tryUnitRounding(_ *check, g *gap) []likely {
	s := g.item.Sale
	if s == nil || s.For < 2 || g.item.Weight != nil {
		return nil
	}
	near := s.Price.Fraction(1, int64(s.For))
	for _, each := range [...]money.Amount{near, near.Add(money.FromCents(1))} {
		if each.Mul(g.got) == g.actual && each.Mul(s.For).Sub(s.Price).Abs().Cents() < int64(s.For) {
			return []likely{{Rounding, fmt.Sprintf("each unit was rounded to %s by itself: %d times that is %s", each, g.got, g.actual), 70, SideTill}}
		}
	}
	return nil
}

// tryPlanSum: the plan's own claim, not its price, is what was charged.
func tryPlanSum(c *check, g *gap) []likely {
	claimed := c.tx.Claimed
	if claimed == nil || claimed.OutOfPocket == nil || *claimed.OutOfPocket == c.expected.OutOfPocket || *claimed.OutOfPocket != c.paid.total {
		return nil
	}
	chance := 60
	if g.what == ofDeduction || g.what == ofTax {
		chance = 15 // what a till does wrong itself is likelier
	}
	return []likely{{PlanSum, fmt.Sprintf("the plan itself says %s out of pocket, and that is what was paid: one of its own figures does not fit the others", *claimed.OutOfPocket), chance, SidePlan}}
}
