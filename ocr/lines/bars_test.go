package lines

import (
	"image"
	"image/color"
	"testing"

	"tillproof/ocr/raster"
)

// TestPartOfBars looks at the lower ends of a few bars of a code, and at letters of the
// same form, which end where their line does.
func TestPartOfBars(t *testing.T) {
	draw := func(tall, every int) *image.Gray {
		g := image.NewGray(image.Rect(0, 0, 200, 240))
		for i := range g.Pix {
			g.Pix[i] = 250
		}
		for x := 40; x < 160; x++ {
			if every == 0 && (x/10%2 == 0 || x%25 == 0) || every > 0 && x%every < 2 {
				for y := 200 - tall; y < 200; y++ {
					g.SetGray(x, y, color.Gray{40})
				}
			}
		}
		return g
	}
	s := Strip{X0: 40, X1: 160, Up: 40, Down: 1, Height: 40, Base: func(float64) float64 { return 200 }}
	for _, c := range []struct {
		why         string
		tall, every int
		want        bool
	}{
		{"bars that go on above the line", 150, 0, true},
		{"upright strokes as tall as a line", 40, 0, false},
		{"as tall as one line and a half", 60, 0, false},
		{"thin strokes far from each other", 40, 30, false},
	} {
		if got := s.Bars(draw(c.tall, c.every)); got != c.want {
			t.Errorf("%s: Bars is %v", c.why, got)
		}
	}
}

// TestRepeats: a rule of signs repeats along the line, as words do not, nor a stain on the
// paper beside them.
func TestRepeats(t *testing.T) {
	rule := func(x, y int) bool { return x%12 < 9 && (y < 3 || y > 6 && y < 10) }
	words := func(x, y int) bool { // letters of their own form each, and blanks
		n := x / 12
		return n*7%5 != 4 && (x%12+y*(n*n%7)+n*n*n)%5 < 2 && x%12 < 9
	}
	stain := func(x, y int) bool { return words(x, y) && x < 200 || x > 230 && x < 330 && (x*7+y*13)%11 < 8 }
	dashes := func(x, y int) bool { return x%12 < 8 && y > 7 && y < 10 }
	edged := func(x, y int) bool { return x < 60 || dashes(x, y) || (x*31+y*17+x*y)%13 == 0 }
	for _, c := range []struct {
		why  string
		dark func(x, y int) bool
		long int
		want bool
	}{
		{"a rule", rule, 400, true},
		{"words", words, 400, false},
		{"words and a stain", stain, 400, false},
		{"too short to tell", rule, 60, false},
		{"a short rule of dashes", dashes, 110, true},
		{"as long a rule of letters", rule, 110, false},
		{"dashes and the edge of the paper", edged, 400, true},
	} {
		g := raster.New(c.long+80, 60)
		raster.Fill(g, 240)
		for x := range c.long {
			for y := range 12 {
				if c.dark(x, y) {
					g.SetGray(40+x, 24+y, color.Gray{60})
				}
			}
		}
		g = raster.Blur(g, 1)
		s := Strip{X0: 40, X1: float64(40 + c.long), Up: 12, Down: 1, Height: 12, Base: func(float64) float64 { return 36 }}
		if got := s.Repeats(g); got != c.want {
			t.Errorf("%s: Repeats is %v, at %.2f", c.why, got, s.rhythm(g))
		}
	}
}
