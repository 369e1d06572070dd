package audit

import "fmt"

// quantity: more or fewer units were rung than planned. Whether one was rung
// twice or one more was taken, no receipt tells: it is never proved.
var quantity = Rule{
	Kind: Quantity, most: CertainLikely,
	is: func(_ *check, g *gap) bool { return g.what == ofQuantity },
	ask: func(_ *check, g *gap) string {
		if g.got < g.wanted {
			return fmt.Sprintf("%d of %s are on the receipt where %d were planned. If you took fewer, there is nothing to do.", g.got, g.item.Name, g.wanted)
		}
		return fmt.Sprintf("%s was charged %s%s. Count what you have: if it is %d, ask at the desk to have the rest taken off.", g.item.Name, times(g.got), at(g), g.wanted)
	},
}
