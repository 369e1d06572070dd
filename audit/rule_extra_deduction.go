package audit

import "fmt"

// extraDeduction: a coupon or discount took more off than planned, or was not
// planned at all.
var extraDeduction = Rule{
	Kind: ExtraDeduction, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofDeduction },
	ask: func(_ *check, g *gap) string {
		if g.offer == nil {
			return fmt.Sprintf("“%s” took %s off%s and is not in the plan. Nothing is owed to you; look whether the plan lacks an offer.", g.text, g.actual, at(g))
		}
		return fmt.Sprintf("“%s” took %s off%s and should have taken %s. You paid less than planned; look whether the plan has the offer right.", g.offer.Title, g.actual, at(g), g.expected)
	},
}
