package audit

import "fmt"

// missingItem: a planned item was not rung.
var missingItem = Rule{
	Kind: MissingItem, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofItem },
	ask: func(_ *check, g *gap) string {
		if g.standIn != nil {
			return fmt.Sprintf("%s is not on the receipt; line %d may stand for it. Offers for the planned item need not apply to another variety.", g.item.Name, g.standIn.Lines[0])
		}
		return fmt.Sprintf("%s is not on the receipt. If you have it at home, it was not charged; if not, there is nothing to do.", g.item.Name)
	},
}
