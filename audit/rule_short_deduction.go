package audit

import "fmt"

// shortDeduction: a planned coupon or discount took less off than it should.
var shortDeduction = Rule{
	Kind: ShortDeduction, most: CertainProved,
	is: func(_ *check, g *gap) bool {
		return g.what == ofDeduction && g.actual.Sign() > 0 && g.actual.Cmp(g.expected) < 0
	},
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("“%s” took %s off and I work it out to be %s%s. Could you check it, please?", g.offer.Title, g.actual, g.expected, at(g))
	},
}
