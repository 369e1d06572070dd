package ocr

import (
	"testing"

	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// An edge with print beyond it is not the paper's, unless print is all around, as the grain
// of a table is.
func TestBeyondEnds(t *testing.T) {
	sheet := Sheet{Corners: [4]raster.Point{{X: 100, Y: 100}, {X: 300, Y: 100}, {X: 300, Y: 700}, {X: 100, Y: 700}}}
	row := func(y, from, n float64) (all []raster.Point) {
		for i := range int(n) {
			all = append(all, raster.Point{X: from + 8*float64(i), Y: y})
		}
		return all
	}
	within := row(400, 120, 20)
	for _, c := range []struct {
		why        string
		letters    []raster.Point
		top, below bool
	}{
		{"all within", within, false, false},
		{"a number under the bar code", append(within[:20:20], row(740, 130, 16)...), false, true},
		{"a line above", append(within[:20:20], row(60, 130, 16)...), true, false},
		{"a few specks", append(within[:20:20], row(740, 130, 4)...), false, false},
		{"grain all around", append(append(within[:20:20], row(740, 130, 16)...), row(400, 320, 12)...), false, false},
		{"another print far below", append(within[:20:20], row(1200, 130, 16)...), false, false},
	} {
		got := beyondEnds(sheet, c.letters)
		if got[paper.Top] != c.top || got[paper.Bottom] != c.below {
			t.Errorf("%s: above %v, below %v; want %v, %v", c.why, got[paper.Top], got[paper.Bottom], c.top, c.below)
		}
	}
}
