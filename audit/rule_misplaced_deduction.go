package audit

import "fmt"

// misplacedDeduction: a coupon came off another item than it is for.
var misplacedDeduction = Rule{
	Kind: MisplacedDeduction, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofPlace },
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("“%s” came off %s%s, for which it is not meant: it should have taken %s off its own items. Could you check it, please?", g.offer.Title, g.place.Name, at(g), g.expected)
	},
}
