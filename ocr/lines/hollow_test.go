package lines_test

import (
	"image"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// TestHollow: rows of the edges of squares, as of a checked cloth, are told from large letters,
// of which more is ink, and from small ones.
func TestHollow(t *testing.T) {
	for _, c := range []struct {
		why          string
		size, stroke int
		want         bool
	}{
		{"edges of squares", 40, 3, true},
		{"large letters", 40, 10, false},
		{"small letters", 14, 1, false},
	} {
		mask := raster.New(640, 640)
		for y := 20; y+c.size < 620; y += 2 * c.size {
			for x := 20; x+c.size < 620; x += c.size * 3 / 2 {
				frame(mask, image.Rect(x, y, x+c.size, y+c.size), c.stroke)
			}
		}
		l := lines.Find(mask, 1)
		if len(l.Strips()) == 0 {
			t.Fatalf("%s: no lines", c.why)
		}
		if got := l.Hollow(); got != c.want {
			t.Errorf("%s: hollow is %v, want %v", c.why, got, c.want)
		}
	}
}

// frame marks the edge of r in mask, so many pixels wide.
func frame(mask *image.Gray, r image.Rectangle, stroke int) {
	inner := r.Inset(stroke)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if !(image.Point{X: x, Y: y}).In(inner) {
				mask.Pix[mask.PixOffset(x, y)] = raster.Ink
			}
		}
	}
}
