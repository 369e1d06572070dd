package audit

import "fmt"

// sumRule: the receipt's own sums do not work out although each amount was
// read. One of them may be misread all the same, so this is never firm.
var sumRule = Rule{
	Kind: SumFinding, most: CertainUnsure,
	is: func(_ *check, g *gap) bool { return g.what == ofSum },
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("The lines add up to %s and the total says %s. Add the receipt up by hand before you ask at the store: an amount may be misread.", g.expected, g.actual)
	},
}
