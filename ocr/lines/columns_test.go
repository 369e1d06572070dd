package lines

import (
	"math"
	"testing"

	"tillproof/ocr/raster"
)

// TestColumnsAreNoReceiptOnAPage: print that runs nearly across other print is a receipt on a page
// where there is as much as a page has of that, and the columns of bent print where there is less.
func TestColumnsAreNoReceiptOnAPage(t *testing.T) {
	at := func(x, y float64) raster.Piece {
		return raster.Piece{X0: int(x), Y0: int(y), X1: int(x) + 9, Y1: int(y) + 12, Area: 60}
	}
	for _, c := range []struct {
		why   string
		rows  int     // of the print around it
		slant float64 // degrees from across that
		want  bool
	}{
		{"columns of bent print", 20, 8, false},
		{"across a page full of print", 40, 8, true},
		{"aslant on little print", 20, 35, true},
	} {
		var table, all []raster.Piece
		for row := range c.rows {
			for k := range 20 {
				for _, x := range [2]float64{0, 760} {
					table = append(table, at(x+12*float64(k), 20*float64(row)))
				}
			}
		}
		sin, cos := math.Sincos(c.slant * math.Pi / 180)
		for line := range 9 {
			for k := range 20 {
				u, v := 30*float64(line)-120, 14*float64(k)-140
				all = append(all, at(500+cos*u-sin*v, float64(c.rows*10)+sin*u+cos*v))
			}
		}
		_, ok := lyingOn(0, table, append(all, table...))
		if ok != c.want {
			t.Errorf("%s: a receipt on a page: %v, want %v", c.why, ok, c.want)
		}
	}
}
