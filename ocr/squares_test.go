package ocr

import (
	"image"
	"math"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// TestOnCheckedCloth: squares that a survey took for letters are no print; the paper is what is
// plain among them, and what of a bright square lies at its edge, and its lines run as its own print.
func TestOnCheckedCloth(t *testing.T) {
	const square, angle = 55, -0.35
	sin, cos := math.Sincos(angle)
	corner := func(u, v float64) raster.Point {
		return raster.Point{X: 150 + cos*u - sin*v, Y: 350 + sin*u + cos*v}
	}
	draw := func(cloth, shadow bool, w, h float64) *image.Gray {
		g := raster.New(1100, 1400)
		for y := range 1400 {
			for x := range 1100 {
				tone := 215.0
				if cloth {
					tone -= 60 * float64(x/square%2+y/square%2)
				}
				dx, dy := float64(x)-150, float64(y)-350
				if u, v := cos*dx+sin*dy, cos*dy-sin*dx; u > 0 && u < w && v > 0 && v < h {
					tone = 225
				}
				if shadow && x > 420 {
					tone *= 0.6 // its edge runs across the paper
				}
				g.Pix[y*g.Stride+x] = uint8(tone)
			}
		}
		marks(g, 6, 9, angle, func(x, y float64) bool {
			u, v := cos*(x-150)+sin*(y-350), cos*(y-350)-sin*(x-150)
			return u > 30 && u < w-30 && v > 30 && v < h-30
		})
		return g
	}
	squares := lines.Survey{Letters: make([]raster.Point, 50), Height: square}
	many := lines.Survey{Letters: make([]raster.Point, 400), Height: square}
	small := lines.Survey{Letters: make([]raster.Point, 50), Height: 9}
	const w, h = 360.0, 820.0
	for _, c := range []struct {
		why           string
		cloth, shadow bool
		w, h          float64
		seen          lines.Survey
		want          bool
	}{
		{"on a cloth", true, false, w, h, squares, true},
		{"a shadow's edge across it", true, true, w, h, squares, true},
		{"on a table of one tone", false, false, w, h, squares, false},
		{"a cloth and nothing on it", true, false, 0, 0, squares, false},
		{"print enough was seen", true, false, w, h, many, false},
		{"print of the usual size", true, false, w, h, small, false},
	} {
		g := draw(c.cloth, c.shadow, c.w, c.h)
		print, sheet, ok := onPlain(g, g, 1, hands[0].look, c.seen)
		if ok != c.want {
			t.Errorf("%s: %v, want %v", c.why, ok, c.want)
			continue
		}
		if !ok {
			continue
		}
		if off := math.Remainder(print.Angle-angle, math.Pi); math.Abs(off) > 0.02 {
			t.Errorf("%s: lines run at %.3f, want %.3f", c.why, print.Angle, angle)
		}
		for i, want := range [4]raster.Point{corner(0, 0), corner(w, 0), corner(w, h), corner(0, h)} {
			if got := sheet.Corners[i]; math.Hypot(got.X-want.X, got.Y-want.Y) > 1.25*square {
				t.Errorf("%s: corner %d at %.0f, want %.0f", c.why, i, got, want)
			}
		}
	}
}
