package overlay

import (
	"image/color"

	"tillproof/audit"
)

// style is how the marks of one kind look. dash runs in units of a frame's
// thickness, on and off in turn; nil is a full line.
type style struct {
	dash  []int
	hatch func(x, y int) bool
	ink   color.RGBA
}

var dashes = [][]int{nil, {8, 4}, {2, 2}, {9, 3, 2, 3}}

// hatchings say, in units of a frame's thickness, where there is ink.
var hatchings = []func(x, y int) bool{
	func(x, y int) bool { return (x+y)%5 < 2 },
	func(x, _ int) bool { return x%5 < 2 },
	func(_, y int) bool { return y%4 < 2 },
	func(_, _ int) bool { return true },
}

// kinds are in the order of the result format: each has the pair of dashes and
// hatching of its place, so that no two look the same.
var kinds = []audit.Kind{
	audit.MissingDeduction, audit.ShortDeduction, audit.ExtraDeduction, audit.MisplacedDeduction,
	audit.MissingCredit, audit.ShortCredit, audit.ExtraCredit, audit.Overcharge,
	audit.Undercharge, audit.MissingItem, audit.UnplannedItem, audit.Quantity,
	audit.SumFinding, audit.TaxFinding, audit.MissingRebate, audit.CardDigits,
}

func styleOf(m Mark) style {
	s := style{dash: dashes[0], hatch: hatchings[0], ink: blue}
	if m.Loss {
		s.ink = red
	}
	for i, k := range kinds {
		if k == m.Kind {
			s.dash, s.hatch = dashes[i%len(dashes)], hatchings[i/len(dashes)]
		}
	}
	return s
}
