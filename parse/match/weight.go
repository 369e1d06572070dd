package match

import (
	"strings"

	"github.com/shopspring/decimal"
)

// grams holds one of each unit of weight. The pound is 0.45359237 kg by
// definition (international yard and pound agreement of 1959).
var grams = map[string]decimal.Decimal{
	"g":  decimal.New(1, 0),
	"kg": decimal.New(1000, 0),
	"oz": decimal.New(28349523125, -9),
	"lb": decimal.New(45359237, -5),
}

// convert is the factor from one unit of weight to another; a unit that is not
// printed is the planned one.
func convert(from, to string) (decimal.Decimal, bool) {
	from, to = strings.ToLower(from), strings.ToLower(to)
	if from == to || from == "" {
		return decimal.New(1, 0), true
	}
	f, okF := grams[strings.TrimSuffix(from, "s")]
	t, okT := grams[to]
	if !okF || !okT {
		return decimal.Zero, false
	}
	return f.Div(t), true
}
