package audit

import "fmt"

// shortCredit: a credit is less than planned.
var shortCredit = Rule{
	Kind: ShortCredit, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofCredit && g.actual.Cmp(g.expected) < 0 },
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("“%s” gave %s and I work it out to be %s%s. Could you check it, please?", g.offer.Title, g.actual, g.expected, at(g))
	},
}
