package audit

import "fmt"

// quantity: more or fewer units were rung than planned. Whether one was rung
// twice or one more was taken, no receipt tells: it is never proved.
var quantity = Rule{
	Kind: Quantity, most: CertainLikely,
	is: func(_ *check, g *gap) bool { return g.what == ofQuantity },
	ask: func(_ *check, g *gap) string {
		switch {
		case g.got < g.wanted && g.standIn != nil:
			return fmt.Sprintf("The receipt has %d of %s where %d were planned; line %d may stand for the rest. Offers for the planned item need not apply to another variety.", g.got, g.item.Name, g.wanted, g.standIn.Lines[0])
		case g.got < g.wanted:
			return fmt.Sprintf("The receipt has %d of %s where %d were planned. If you took fewer, there is nothing to do.", g.got, g.item.Name, g.wanted)
		}
		return fmt.Sprintf("%s was charged %s%s, and I have %d. Could you check it, please?", g.item.Name, times(g.got), at(g), g.wanted)
	},
}
