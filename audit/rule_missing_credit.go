package audit

import "fmt"

// missingCredit: a gift card, points or store credit did not trigger. That a
// message is not there is never proved: it may be on a slip that was not kept.
var missingCredit = Rule{
	Kind: MissingCredit, most: CertainLikely,
	is: func(_ *check, g *gap) bool { return g.what == ofCredit && g.actual.IsZero() },
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("My receipt does not show “%s”, worth %s%s. Could you see whether it was given, please?", g.offer.Title, g.expected, at(g))
	},
}
