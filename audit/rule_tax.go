package audit

import "fmt"

// taxRule: the tax is not what the rate and the taxable amounts give.
var taxRule = Rule{
	Kind: TaxFinding, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofTax },
	ask: func(_ *check, g *gap) string {
		if g.actual.Cmp(g.expected) < 0 {
			return fmt.Sprintf("The tax is %s and by the plan's rate it is %s%s. You paid less; look whether the plan's rate and taxable items are right.", g.actual, g.expected, at(g))
		}
		return fmt.Sprintf("The tax is %s, and by the rate on the taxable amounts it is %s%s. Could you check it, please?", g.actual, g.expected, at(g))
	},
}
