package audit

import "fmt"

// missingRebate: the receipt does not meet what a planned rebate asks for.
var missingRebate = Rule{
	Kind: MissingRebate, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofRebate },
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("“%s” pays %s on this receipt where %s was planned: %s. Read its terms before you send anything in.", g.offer.Title, g.actual, g.expected, g.text)
	},
}
