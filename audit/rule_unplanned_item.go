package audit

import "fmt"

// unplannedItem: something was rung that is not planned.
var unplannedItem = Rule{
	Kind: UnplannedItem, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofUnplanned },
	ask: func(_ *check, g *gap) string {
		if g.standsFor != nil {
			return fmt.Sprintf("“%s”, %s%s, is not in the plan and may be bought in place of %s, whose offers need not apply to it. If you did not take it, ask at the desk to have it taken off.", g.entry.Name, g.actual, at(g), g.standsFor.Name)
		}
		return fmt.Sprintf("“%s”, %s%s, is not in the plan. If you did not take it, ask at the desk to have it taken off.", g.entry.Name, g.actual, at(g))
	},
}
