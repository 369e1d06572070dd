package paper_test

import (
	"image"
	"math"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// TestAmid: a paper lies between its own print and that of the page around it, in
// perspective too, and where there is no page beside or below it; a bold heading, which is
// as dark as the page's print, is no end of it.
func TestAmid(t *testing.T) {
	unit := [4]raster.Point{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}
	for _, c := range []struct {
		why     string
		corners [4]raster.Point
		heading int // rows of bold print
		without func(x, y float64) bool
	}{
		{"upright", [4]raster.Point{{X: 300, Y: 200}, {X: 600, Y: 200}, {X: 600, Y: 900}, {X: 300, Y: 900}}, 0, nil},
		{"a heading", [4]raster.Point{{X: 300, Y: 200}, {X: 600, Y: 200}, {X: 600, Y: 900}, {X: 300, Y: 900}}, 1, nil},
		{"a heading of two rows", [4]raster.Point{{X: 300, Y: 200}, {X: 600, Y: 200}, {X: 600, Y: 900}, {X: 300, Y: 900}}, 2, nil},
		{"in perspective", [4]raster.Point{{X: 330, Y: 200}, {X: 570, Y: 200}, {X: 640, Y: 900}, {X: 260, Y: 900}}, 0, nil},
		{"turned", [4]raster.Point{{X: 380, Y: 180}, {X: 620, Y: 260}, {X: 420, Y: 940}, {X: 170, Y: 860}}, 1, nil},
		{"nothing to the left", [4]raster.Point{{X: 300, Y: 200}, {X: 600, Y: 200}, {X: 600, Y: 900}, {X: 300, Y: 900}}, 0,
			func(x, _ float64) bool { return x < 320 }},
	} {
		to, _ := raster.PlaneBetween(c.corners, unit)
		print := lines.Survey{Height: 9, Angle: math.Atan2(c.corners[1].Y-c.corners[0].Y, c.corners[1].X-c.corners[0].X)}
		for y := 5.0; y < 1200; y += 18 {
			for x := 5.0; x < 900; x += 12 {
				p := raster.Point{X: x, Y: y}
				if q := to.Map(p); q.X > -0.01 && q.X < 1.01 && q.Y > -0.01 && q.Y < 1.01 || c.without != nil && c.without(x, y) {
					continue
				}
				print.Others = append(print.Others, p)
			}
		}
		from := to.Inverse()
		for v := 0.2; v < 0.9; v += 0.03 {
			for u := 0.1; u < 0.91; u += 0.03 {
				print.Letters = append(print.Letters, from.Map(raster.Point{X: u, Y: v}))
			}
		}
		for row := range c.heading {
			for u := 0.2; u < 0.81; u += 0.03 {
				print.Others = append(print.Others, from.Map(raster.Point{X: u, Y: 0.1 + 0.033*float64(row)}))
			}
		}
		s, ok := paper.Amid(print, image.Rect(0, 0, 900, 1200))
		if !ok {
			t.Errorf("%s: no paper", c.why)
			continue
		}
		for i, p := range s.Corners {
			q := to.Map(p)
			off := max(math.Abs(q.X-unit[i].X), math.Abs(q.Y-unit[i].Y))
			if c.without != nil && i != 1 && i != 2 {
				off = math.Abs(q.Y - unit[i].Y)
			}
			if c.heading > 1 && i < 2 {
				continue // two rows may be a page's
			}
			if off > 0.06 {
				t.Errorf("%s: corner %d is %.2f of the paper away", c.why, i, off)
			}
			if sure := i == paper.Top && c.heading < 2 || i == paper.Bottom; s.Seen[i] != sure {
				t.Errorf("%s: side %d was seen: %v", c.why, i, s.Seen[i])
			}
		}
	}
	if s, ok := paper.Amid(lines.Survey{Height: 9, Letters: make([]raster.Point, 100)}, image.Rect(0, 0, 900, 1200)); ok {
		t.Errorf("a paper on no page: %v", s)
	}
}
