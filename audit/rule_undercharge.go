package audit

import "fmt"

// undercharge: an item's price, or its deposit or charge, is under the planned one.
var undercharge = Rule{
	Kind: Undercharge, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofPrice || g.what == ofFee },
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("%s was charged %s where %s was planned%s: you paid less. Nothing is owed to you; correct the plan's price if it has changed.", g.item.Name, g.actual, g.expected, at(g))
	},
}
