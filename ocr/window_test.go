package ocr

import (
	"math"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// TestPrinted: the part with the print is that of most letters; specks far away
// do not widen it, and few letters tell nothing.
func TestPrinted(t *testing.T) {
	const angle = 0.5
	sin, cos := math.Sincos(angle)
	turned := func(x, y float64) (float64, float64) { return cos*x + sin*y, cos*y - sin*x }
	place := func(u, v float64) raster.Point { return raster.Point{X: cos*u - sin*v, Y: sin*u + cos*v} }
	s := lines.Survey{Height: 10, Angle: angle}
	for row := range 20 {
		for letter := range 15 {
			s.Letters = append(s.Letters, place(300+12*float64(letter), 500+20*float64(row)))
		}
	}
	for k := range 30 {
		s.Letters = append(s.Letters, place(1200+float64(k), 100+float64(k)), place(320+float64(k), 1500))
	}
	got, ok := printed(s, turned)
	want := extent{300 - 100, 500 - 120, 300 + 12*14 + 100, 500 + 20*19 + 120}
	if !ok || math.Abs(got.x0-want.x0)+math.Abs(got.y0-want.y0)+math.Abs(got.x1-want.x1)+math.Abs(got.y1-want.y1) > 1e-6 {
		t.Errorf("printed %v %v, want %v", got, ok, want)
	}
	s.Letters = s.Letters[:lines.Few-1]
	if got, ok := printed(s, turned); ok {
		t.Errorf("%d letters show print in %v", len(s.Letters), got)
	}
}

// TestPrintedAmongOthers: letters of a page that were taken for the receipt's do not widen the
// part with its print, for among them those stand that were told from it.
func TestPrintedAmongOthers(t *testing.T) {
	s := lines.Survey{Height: 10}
	for row := range 20 {
		for letter := range 15 {
			s.Letters = append(s.Letters, raster.Point{X: 500 + 12*float64(letter), Y: 400 + 20*float64(row)})
		}
	}
	for x := 0.0; x < 1200; x += 60 {
		for y := 0.0; y < 1200; y += 40 {
			if x > 480 && x < 700 && y > 380 && y < 800 {
				continue
			}
			if s.Others = append(s.Others, raster.Point{X: x, Y: y}); int(x+y)%180 == 0 {
				s.Letters = append(s.Letters, raster.Point{X: x + 9, Y: y + 9})
			}
		}
	}
	got, ok := printed(s, func(x, y float64) (float64, float64) { return x, y })
	if !ok || got.x0 < 400 || got.x1 > 770 || got.y0 < 280 || got.y1 > 900 {
		t.Errorf("printed %v %v, want about 500 to 670 by 400 to 780", got, ok)
	}
}

// TestPrintedBeyondBars: what stands beneath a bar code is of the print, what stands beside
// it or far below is not.
func TestPrintedBeyondBars(t *testing.T) {
	s := lines.Survey{Height: 10}
	write := func(x, y float64, rows int) {
		for row := range rows {
			for letter := range 12 {
				s.Letters = append(s.Letters, raster.Point{X: x + 12*float64(letter), Y: y + 20*float64(row)})
			}
		}
	}
	write(300, 500, 20)
	write(300, 880+200, 2)
	write(900, 880+200, 2)
	write(300, 1100+400, 2)
	got, ok := printed(s, func(x, y float64) (float64, float64) { return x, y })
	want := extent{300 - 100, 500 - 120, 300 + 12*11 + 100, 1100 + 120}
	if !ok || got != want {
		t.Errorf("printed %v %v, want %v", got, ok, want)
	}
}

// TestUprightPlaces: whichever part is shown, it is shown level, and nothing of it
// is beside the picture.
func TestUprightPlaces(t *testing.T) {
	r := raster.New(900, 1200).Rect
	s := lines.Survey{Height: 6, Angle: 0.3}
	sin, cos := math.Sincos(s.Angle)
	for row := range 12 {
		for letter := range 20 {
			u, v := 120+8*float64(letter), 150+11*float64(row)
			s.Letters = append(s.Letters, raster.Point{X: cos*u - sin*v, Y: sin*u + cos*v})
		}
	}
	plane, w, h := upright(s, 2, 1, r)
	if whole := float64(r.Dx() * r.Dy()); w*h > mostPart*whole {
		t.Fatalf("shows %.0f by %.0f of a picture of %v", w, h, r)
	}
	a, b := plane.Map(raster.Point{X: 10, Y: 50}), plane.Map(raster.Point{X: 110, Y: 50})
	if got := math.Atan2(b.Y-a.Y, b.X-a.X); math.Abs(got-s.Angle) > 1e-9 {
		t.Errorf("its rows run at %.3f, want %.3f", got, s.Angle)
	}
	inverse := func(p raster.Point) (u, v float64) {
		o := plane.Map(raster.Point{})
		return cos*(p.X-o.X) + sin*(p.Y-o.Y), cos*(p.Y-o.Y) - sin*(p.X-o.X)
	}
	for _, p := range s.Letters {
		if u, v := inverse(raster.Point{X: 2 * p.X, Y: 2 * p.Y}); u < 0 || v < 0 || u > w || v > h {
			t.Fatalf("the letter at %v is not shown", p)
		}
	}
}
