package audit

import "fmt"

// overcharge: an item's price, or its deposit or charge, is above the planned one.
var overcharge = Rule{
	Kind: Overcharge, most: CertainProved,
	is: func(_ *check, g *gap) bool {
		return (g.what == ofPrice || g.what == ofFee) && g.actual.Cmp(g.expected) > 0
	},
	ask: func(_ *check, g *gap) string {
		if g.what == ofFee {
			return fmt.Sprintf("The deposit or charge for %s is %s, and it should be %s%s. Could you check it, please?", g.item.Name, g.actual, g.expected, at(g))
		}
		return fmt.Sprintf("%s was charged %s, and by the %s price it is %s%s. Could you check the price, please?", g.item.Name, g.actual, priceWord(g.item), g.expected, at(g))
	},
}
