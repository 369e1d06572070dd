package lines

import (
	"image"
	"image/color"
	"testing"
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
