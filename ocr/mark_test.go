package ocr

import (
	"testing"

	"tillproof/ocr/raster"
)

// TestMarkKeepsLinesApart: where print seemed to be of dots that grow together in a
// smaller picture, and it is whole lines that do, the finer picture is kept.
func TestMarkKeepsLinesApart(t *testing.T) {
	const lines, letters, w, h = 12, 30, 8, 14
	g := raster.New(700, 500)
	raster.Fill(g, 230)
	for line := range lines {
		for letter := range letters {
			x0, y0 := 60+letter*(w+4), 100+line*(h+3)
			for y := range h {
				for x := range w {
					g.Pix[(y0+y)*g.Stride+x0+x] = 60
				}
			}
		}
	}
	f := &flattened{grey: g, hand: hands[0]}
	f.mark(4*h, 4, true) // as a survey has it that took lines for letters
	if n := inLines(f.lines()); len(f.lines().Strips()) != lines || n != lines*letters {
		t.Errorf("%d lines with %d letters at a scale of 1 to %d, want %d with %d", len(f.lines().Strips()), n, f.coarse, lines, lines*letters)
	}
}
