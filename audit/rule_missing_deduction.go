package audit

import "fmt"

// missingDeduction: a planned coupon or discount took nothing off.
var missingDeduction = Rule{
	Kind: MissingDeduction, most: CertainProved,
	is: func(_ *check, g *gap) bool {
		return g.what == ofDeduction && g.offer != nil && g.actual.IsZero()
	},
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("“%s” should have taken %s off, and I cannot find it on my receipt%s. Could you check it, please?", g.offer.Title, g.expected, at(g))
	},
}
