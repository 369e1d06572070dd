package lines

import (
	"testing"

	"tillproof/ocr/raster"
)

// TestAround: print with a page's print on both sides of it lies on that page, but where
// it is only as high as a column of amounts is wide it is one, read from top to bottom.
func TestAround(t *testing.T) {
	grid := func(x, y float64, columns, rows int) (out []raster.Point) {
		for row := range rows {
			for column := range columns {
				out = append(out, raster.Point{X: x + 12*float64(column), Y: y + 14*float64(row)})
			}
		}
		return out
	}
	for _, c := range []struct {
		rows int
		want bool
	}{{7, false}, {30, true}} {
		on := Survey{Height: 10, Letters: grid(500, 500, 40, c.rows)}
		others := append(grid(500, 100, 40, 20), grid(500, 1000, 40, 20)...)
		out, ok := around(&on, others)
		if ok != c.want || ok && len(out) != len(others) {
			t.Errorf("%d rows on a page: %v with %d of %d others, want %v", c.rows, ok, len(out), len(others), c.want)
		}
	}
}
