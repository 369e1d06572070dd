package ocr

import (
	"math"
	"testing"

	"tillproof/ocr/raster"
)

// TestStraighten: where lines run aslant, and more so further down, as on a paper of
// which an edge was not seen, they tell how it lies.
func TestStraighten(t *testing.T) {
	const rows, letters = 24, 26
	g := raster.New(900, 1100)
	raster.Fill(g, 230)
	for row := range rows {
		for i := range letters - row%5 {
			x := 150 + 20*i
			slope := -0.02 - 0.006*float64(row)
			y := 200 + 32*row + int(math.Round(slope*float64(x-150)))
			for dy := range 18 {
				for dx := range 12 {
					g.Pix[(y-dy)*g.Stride+x+dx] = 60
				}
			}
		}
	}
	f := &flattened{grey: g, hand: hands[0], cut: true}
	f.mark(18, 1, false)
	back, w, h, ok := f.straighten()
	if !ok {
		t.Fatal("lines at slopes from -0.02 to -0.16 were taken for level")
	}
	f.grey = raster.Warp(g, int(w), int(h), back)
	f.mark(18, 1, false)
	strips := f.lines().Strips()
	if len(strips) != rows {
		t.Fatalf("%d lines, want %d", len(strips), rows)
	}
	for i, s := range strips {
		if slope := (s.Base(s.X1) - s.Base(s.X0)) / (s.X1 - s.X0); math.Abs(slope) > 0.012 || math.Abs(s.X0-strips[0].X0) > 12 {
			t.Errorf("line %d runs at a slope of %.3f and begins at %.0f, the first at %.0f", i+1, slope, s.X0, strips[0].X0)
		}
	}
	if _, _, _, again := f.straighten(); again {
		t.Error("what was straightened is to be straightened again")
	}
}
