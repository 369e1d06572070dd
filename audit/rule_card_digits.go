package audit

import "fmt"

// cardDigits: more of a card number is printed than the law lets a receipt
// show (15 U.S.C. 1681c(g)).
var cardDigits = Rule{
	Kind: CardDigits, most: CertainProved,
	is: func(_ *check, g *gap) bool { return g.what == ofCard },
	ask: func(_ *check, g *gap) string {
		return fmt.Sprintf("Line %d shows %s. In the USA a printed receipt may show no more than the last five digits and no expiration date (15 U.S.C. 1681c(g)): keep the paper safe, black the number out on copies, and tell the store. Elsewhere, check the local law.", g.lines[0], g.text)
	},
}
