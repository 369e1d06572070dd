package audit

import "fmt"

// extraCredit: a credit is more than planned.
var extraCredit = Rule{
	Kind: ExtraCredit, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofCredit },
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("“%s” gave %s%s and should have given %s. Nothing is owed to you; look whether the plan has the offer right.", g.offer.Title, g.actual, at(g), g.expected)
	},
}
