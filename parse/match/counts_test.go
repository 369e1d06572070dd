package match

import (
	"testing"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"

	"github.com/shopspring/decimal"
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

// A number of units that a photo's line begins with and that was not read for sure is told by
// the price; a line without one is one unit where the till prints numbers.
func TestVagueNumberOfUnits(t *testing.T) {
	amount := func(cents int64) *money.Amount { a := money.FromCents(cents); return &a }
	two := decimal.NewFromInt(2)
	p := &plan.Plan{Transactions: []*plan.Transaction{{ID: "main", Items: []*plan.Item{
		{ID: "pasta", Name: "Ostrey penne", Quantity: 2, Shelf: money.FromCents(289)},
		{ID: "liquid", Name: "Oakensett liquid", Quantity: 4, Shelf: money.FromCents(1159)},
	}}}}
	bill := p.Price()
	for _, c := range []struct {
		paid   int64
		unsure bool
		want   int
	}{
		{3477, true, 3},
		{3477, false, 1},
		{4636, true, 4},
	} {
		r := &parse.Receipt{Lines: []parse.Line{
			{N: 1, Kind: parse.LineItem, Name: "OSTREY PENNE", Quantity: &two, Amount: amount(578), Proof: parse.Proved, Photo: 1},
			{N: 2, Kind: parse.LineItem, Name: "OAKENSETT LIQUID", UnitsUnsure: c.unsure, Amount: amount(c.paid), Proof: parse.Proved, Photo: 1},
		}}
		if got := Assign(p, p.Transactions[0], bill.Transactions[0], r).Items[1].Units; got != c.want {
			t.Errorf("%d, number unsure %v: %d units, want %d", c.paid, c.unsure, got, c.want)
		}
	}
}
