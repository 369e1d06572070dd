package lines_test

import (
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// TestEdgeIsNoLetter: a stroke of the paper's edge left of where all lines begin is no part of
// the short line beside it; a letter there is, and so is a stroke close to the line's letters.
func TestEdgeIsNoLetter(t *testing.T) {
	for _, c := range []struct {
		name        string
		x, w, begin int
	}{
		{"a stroke of the edge", 8, 4, 60},
		{"a letter", 8, 12, 8},
		{"a stroke close by", 44, 4, 44},
	} {
		m := newMask(700, 600)
		for i := range 10 {
			n := 20
			if i == 4 {
				n = 5
				m.row(c.x, 50+50*i, 1, c.w, 20, raster.Ink)
			}
			m.row(60, 50+50*i, n, 12, 20, raster.Ink)
		}
		strips := lines.Find(m.Gray, 1).Strips()
		if len(strips) != 10 {
			t.Fatalf("%s: %d lines, want 10", c.name, len(strips))
		}
		if got := int(strips[4].X0); got != c.begin {
			t.Errorf("%s: the line begins at %d, want %d", c.name, got, c.begin)
		}
	}
}
