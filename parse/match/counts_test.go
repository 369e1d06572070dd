package match

import (
	"testing"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

// As many units as planned at the planned price of the unit, with half of the name, are those
// goods on a photo; other words, another number or price leave it a guess.
func TestCountsAsPlanned(t *testing.T) {
	it := &plan.Item{Name: "Vennlow soft rolls 4 ct", PrintsAs: []string{"VENN SOFT ROLL 4 CT"}, Quantity: 2, Shelf: money.FromCents(349)}
	for _, c := range []struct {
		name, each string
		units      int
		weak       bool
	}{
		{"VENN SOFT ROTt", "3.49", 2, false},
		{"VENN SOFT ROTt", "3.49", 3, true},
		{"VENN SOFT ROTt", "3.29", 2, true},
		{"XQFT ROTt", "3.49", 2, true},
	} {
		cents, err := money.Parse(c.each)
		if err != nil {
			t.Fatal(err)
		}
		each := cents.Decimal()
		e := Entry{Lines: []int{1}, Name: c.name, Units: c.units, Each: &each, PriceFor: 1, Amount: cents.Mul(c.units), Known: true}
		e.name = newName(e.Name)
		e.name.trust(&parse.Line{Photo: 1})
		w := wanted{item: it, name: newName(it.Name), prints: []name{newName(it.PrintsAs[0])}}
		if g := compare(&e, &w); (g.weak || g.score == 0) != c.weak {
			t.Errorf("%s, %d at %s: weak is %v, want %v (%+v)", c.name, c.units, c.each, g.weak, c.weak, g)
		}
	}
}
