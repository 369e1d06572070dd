package match

import (
	"testing"

	"tillproof/money"
	"tillproof/parse"
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

// Goods that cost two thirds more than planned, on a receipt that prints no number of units,
// were taken for two of them.
func TestPriceThatFitsNoNumberOfUnits(t *testing.T) {
	for _, c := range []struct {
		why         string
		cents, plan int64
		want        int
	}{
		{"one planned, dearer", 265, 1, 1},
		{"one planned, more than twice as dear", 400, 1, 1},
		{"just the price of two", 330, 1, 2},
		{"three planned, dearer by much", 695, 3, 3},
		{"three planned, about the price of one", 180, 3, 1},
	} {
		e := Entry{Amount: money.FromCents(c.cents), Known: true, clean: true}
		it := plan.Item{Quantity: int(c.plan), Shelf: money.FromCents(165)}
		if got, _ := units(&e, &it, money.Amount{}, false); got != c.want {
			t.Errorf("%s: %d units, want %d", c.why, got, c.want)
		}
	}
}

// On a text without numbers of units what no price explains is as many as planned, one a
// line where there are several, or a guess.
func TestUnitsWithoutNumbers(t *testing.T) {
	for _, c := range []struct {
		why   string
		cents []int64
		plan  int
		want  int
		guess bool
	}{
		{"one, dearer", []int64{265}, 1, 1, false},
		{"two lines of two planned, each dearer by more than half", []int64{284, 283}, 2, 2, false},
		{"three planned, about the price of one", []int64{180}, 3, 1, true},
		{"three lines of two planned", []int64{284, 283, 284}, 2, 3, true},
	} {
		it := &plan.Item{Quantity: c.plan, Shelf: money.FromCents(165)}
		a := &Assignment{Items: make([]ItemMatch, 1)}
		for _, cents := range c.cents {
			a.Items[0].Entries = append(a.Items[0].Entries, Entry{Amount: money.FromCents(cents), Known: true, clean: true})
		}
		a.count(&plan.Transaction{Items: []*plan.Item{it}}, &content{})
		if m := &a.Items[0]; m.Units != c.want || m.guess != c.guess {
			t.Errorf("%s: %d units, a guess %t", c.why, m.Units, m.guess)
		}
	}
}

// TestGoodsBetween: a deduction may stand above the goods that have its number, too.
func TestGoodsBetween(t *testing.T) {
	r := &parse.Receipt{Lines: []parse.Line{{Kind: parse.LineItem}, {Kind: parse.LineDeduction}, {Kind: parse.LineItem}, {Kind: parse.LineDeduction}}}
	for _, c := range []struct {
		a, b int
		want bool
	}{{1, 2, false}, {2, 1, false}, {1, 4, true}, {4, 1, true}, {3, 2, false}} {
		if got := goodsBetween(r, c.a, c.b); got != c.want {
			t.Errorf("between %d and %d: %v", c.a, c.b, got)
		}
	}
}
