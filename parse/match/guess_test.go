package match

import (
	"testing"

	"tillproof/money"
	"tillproof/plan"
)

// On a drawn photo the line "3 PCS X 3.05" above an item was read in two pieces
// and its item taken for one unit at three times the price: a quantity finding
// was firm that the receipt does not bear out.
func TestUnitsThatNoPriceBearsOutAreAGuess(t *testing.T) {
	amount, each := money.FromCents(915), money.FromCents(305).Decimal()
	for _, c := range []struct {
		why   string
		e     Entry
		plan  int
		exact bool
		want  bool
	}{
		{"several planned, none printed", Entry{Amount: amount}, 3, false, true},
		{"one planned", Entry{Amount: amount}, 1, false, false},
		{"in a text nothing is lost", Entry{Amount: amount, clean: true}, 3, false, false},
		{"the planned price fits", Entry{Amount: amount}, 3, true, false},
		{"a unit price bears it out", Entry{Amount: amount, Each: &each, PriceFor: 1}, 2, false, false},
		{"a printed number that may be misread", Entry{Amount: amount, Units: 8}, 3, false, true},
	} {
		if got := c.e.guessed(&plan.Item{Quantity: c.plan}, c.exact); got != c.want {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
		}
	}
}
