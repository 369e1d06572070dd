package audit

import (
	"strings"
	"testing"
)

const twoCards = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: breakfast
    items:
      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.00}
      - {id: jam, name: Fenny Orchard plum jam 340 g, quantity: 2, shelf: 3.50}
offers:
  - {id: oats-card, title: a gift card for three oats, applies_to: [oats], buy: 3, credit: {kind: gift card, value: 3.50}}
  - {id: spring-card, title: a gift card each time, applies_to: [oats, jam], spend: 19.00, credit: {kind: gift card, value: VALUE}}
`

// TestCreditByChance: of two credits one line is left, just what one of them should be. Where
// the other may be told so by a mistake in its value, nothing tells which was not given.
func TestCreditByChance(t *testing.T) {
	for _, c := range []struct{ value, line, want string }{
		{"2.50", "GIFT CARD EARNED  3.50", ""},
		{"2.50", "GIFT CARD EARNED  2.50", ""},
		{"2.30", "GIFT CARD EARNED  3.50", "missing-credit likely"}, // farther off
		{"9.00", "GIFT CARD EARNED  3.50", "missing-credit likely"},
		{"1.00", "GIFT CARD EARNED  3.50", "missing-credit likely"},
	} {
		p := load(t, strings.ReplaceAll(twoCards, "VALUE", c.value))
		res := checkedText(t, p, "HARBOR LANE MARKET\n05/09/2026 10:42\nMILLBROOK ROLLED OATS 1KG  12.00\n  3 @ 4.00\nFENNY ORCHARD PLUM JAM  7.00\n  2 @ 3.50\nTOTAL  19.00\nCARD  19.00\n"+c.line+"\n")
		if got := firm(res); got != c.want || len(res.Findings) != 1 {
			t.Errorf("%s beside %q: %q of %d findings, want %q of one", c.value, c.line, got, len(res.Findings), c.want)
		}
	}
}
