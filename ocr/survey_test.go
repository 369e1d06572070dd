package ocr

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// An edge with print beyond it is not the paper's, unless print is all around, as the grain
// of a table is.
func TestBeyondEnds(t *testing.T) {
	sheet := Sheet{Corners: [4]raster.Point{{X: 100, Y: 100}, {X: 300, Y: 100}, {X: 300, Y: 700}, {X: 100, Y: 700}}}
	row := func(y, from, n float64) (all []raster.Point) {
		for i := range int(n) {
			all = append(all, raster.Point{X: from + 8*float64(i), Y: y})
		}
		return all
	}
	within := row(400, 120, 20)
	for _, c := range []struct {
		why        string
		letters    []raster.Point
		top, below bool
	}{
		{"all within", within, false, false},
		{"a number under the bar code", append(within[:20:20], row(740, 130, 16)...), false, true},
		{"a line above", append(within[:20:20], row(60, 130, 16)...), true, false},
		{"a few specks", append(within[:20:20], row(740, 130, 4)...), false, false},
		{"grain all around", append(append(within[:20:20], row(740, 130, 16)...), row(400, 320, 12)...), false, false},
		{"another print far below", append(within[:20:20], row(1200, 130, 16)...), false, false},
	} {
		got := beyondEnds(sheet, c.letters)
		if got[paper.Top] != c.top || got[paper.Bottom] != c.below {
			t.Errorf("%s: above %v, below %v; want %v, %v", c.why, got[paper.Top], got[paper.Bottom], c.top, c.below)
		}
	}
}

// marks draws rows of marks as large as letters, w by h pixels, on white where within says
// so; the rows run at angle.
func marks(g *image.Gray, w, h, angle float64, within func(x, y float64) bool) {
	marksAs(g, 30, w, h, angle, within)
}

// marksAs is marks of that tone.
func marksAs(g *image.Gray, tone uint8, w, h, angle float64, within func(x, y float64) bool) {
	sin, cos := math.Sincos(angle)
	reach := math.Hypot(float64(g.Rect.Dx()), float64(g.Rect.Dy()))
	for v := -reach; v < reach; v += 2.2 * h {
		for n := 0; float64(n)*1.5*w < 2*reach; n++ {
			if n%7 == 6 {
				continue // a blank between words
			}
			u := float64(n)*1.5*w - reach
			x, y := cos*u-sin*v, sin*u+cos*v
			r := image.Rect(int(x), int(y), int(x+w), int(y+h))
			if !r.In(g.Rect) || !within(x, y) {
				continue
			}
			for py := r.Min.Y; py < r.Max.Y; py++ {
				for px := r.Min.X; px < r.Max.X; px++ {
					g.Pix[py*g.Stride+px] = tone
				}
			}
		}
	}
}

// A receipt that lies on a page of print is told from it though its letters are too small
// to be seen in a smaller picture, and no other look takes the page for it again.
func TestSurveyOnPage(t *testing.T) {
	g := raster.New(1600, 2000)
	for i := range g.Pix {
		g.Pix[i] = 230
	}
	on := func(x, y float64) bool { return x > 500 && x < 1000 && y > 500 && y < 1400 }
	within := func(x, y float64) bool { return x > 560 && x < 940 && y > 560 && y < 1340 }
	const slant = 0.35
	marks(g, 12, 18, 0, func(x, y float64) bool { return !on(x, y) })
	marks(g, 6, 8, slant, within)
	s := lookAt(&photo{grey: g, width: 1600, height: 2000, shrink: 1}, hands[0], nil)
	if s.factor != 2 || len(s.print.Letters) < lines.Few || len(s.print.Others) < pageLetters || math.Abs(s.print.Angle-slant) > 0.05 {
		t.Fatalf("seen %d letters at %.2f beside %d others", len(s.print.Letters), s.print.Angle, len(s.print.Others))
	}
	off := 0
	for _, p := range s.print.Letters {
		if !on(2*p.X, 2*p.Y) {
			off++
		}
	}
	if 20*off > len(s.print.Letters) {
		t.Errorf("%d of the receipt's %d letters are the page's", off, len(s.print.Letters))
	}
	few := lines.Survey{Letters: s.print.Letters[:lines.Few], Height: 4, Angle: slant}
	page := raster.New(800, 1000)
	for i := range page.Pix {
		page.Pix[i] = 230
	}
	marks(page, 12, 18, 0, func(x, y float64) bool { return true })
	if got, _ := surveyFaint(page, 1, hands[0].look, few, 1); len(got.Letters) < 2*lines.Few {
		t.Fatalf("a page of %d letters is not seen", len(got.Letters))
	}
	few.Others = s.print.Others
	if got, _ := surveyFaint(page, 1, hands[0].look, few, 1); got.Angle != few.Angle || len(got.Letters) != lines.Few {
		t.Errorf("the page is taken for the receipt: %d letters at %.2f", len(got.Letters), got.Angle)
	}
}

// A receipt whose lines run as those of the page do that it lies on is told from it by how
// dark its print is; bold or faded lines within a receipt, or a column of them, are none.
func TestSurveyByStrength(t *testing.T) {
	all := func(x, y float64) bool { return x > 20 && y > 20 && x < 880 && y < 1180 }
	in := func(x0, x1, y0, y1 float64) func(x, y float64) bool {
		return func(x, y float64) bool { return x > x0 && x < x1 && y > y0 && y < y1 }
	}
	for _, c := range []struct {
		why          string
		around, tone uint8
		where        func(x, y float64) bool
		told         bool
	}{
		{"fainter", 40, 140, in(300, 600, 300, 900), true},
		{"darker", 140, 40, in(300, 600, 300, 900), true},
		{"as dark", 40, 40, in(300, 600, 300, 900), false},
		{"bold lines", 140, 40, in(0, 900, 500, 800), false},
		{"faded lines", 40, 140, in(0, 900, 500, 800), false},
		{"bold amounts", 140, 40, in(700, 900, 0, 1200), false},
		{"a bold column", 140, 40, in(400, 440, 300, 900), false},
	} {
		g := raster.New(900, 1200)
		for i := range g.Pix {
			g.Pix[i] = 235
		}
		marksAs(g, c.around, 6, 10, 0.02, func(x, y float64) bool { return all(x, y) && !c.where(x, y) })
		marksAs(g, c.tone, 6, 10, 0.02, func(x, y float64) bool { return all(x, y) && c.where(x, y) })
		s, _ := survey(g, hands[0].look)
		if told := len(s.Others) >= pageLetters; told != c.told {
			t.Errorf("%s: %d letters beside %d others", c.why, len(s.Letters), len(s.Others))
			continue
		}
		out := 0
		for _, p := range s.Letters {
			if !c.where(p.X, p.Y) {
				out++
			}
		}
		if c.told && (len(s.Letters) < 400 || 20*out > len(s.Letters)) {
			t.Errorf("%s: %d of %d letters are the page's", c.why, out, len(s.Letters))
		}
	}
}

// The grain of a table is fainter than print, and no page: it stands in no rows.
func TestSurveyOnGrain(t *testing.T) {
	g := raster.New(900, 1200)
	for i := range g.Pix {
		g.Pix[i] = 235
	}
	rng := rand.New(rand.NewPCG(5, 8))
	in := func(x, y float64) bool { return x > 300 && x < 600 && y > 300 && y < 900 }
	for range 5000 {
		x, y := 900*rng.Float64(), 1200*rng.Float64()
		if !in(x, y) {
			r := image.Rect(int(x), int(y), int(x)+8, int(y)+8).Intersect(g.Rect)
			for py := r.Min.Y; py < r.Max.Y; py++ {
				for px := r.Min.X; px < r.Max.X; px++ {
					g.Pix[py*g.Stride+px] = 150
				}
			}
		}
	}
	marksAs(g, 40, 6, 10, 0, in)
	if s, _ := survey(g, hands[0].look); len(s.Others) >= pageLetters/2 {
		t.Errorf("%d letters beside %d others", len(s.Letters), len(s.Others))
	}
}

// Amounts, which are too short to be rows by themselves, belong to a receipt told from a
// page of print by its strength.
func TestSurveyAmountsByStrength(t *testing.T) {
	g := raster.New(900, 1200)
	for i := range g.Pix {
		g.Pix[i] = 235
	}
	amounts := func(x, y float64) bool { return x > 555 && x < 585 && y > 320 && y < 880 }
	marksAs(g, 40, 6, 10, 0, func(x, y float64) bool { return x < 300 || x > 600 || y < 300 || y > 900 })
	marksAs(g, 140, 6, 10, 0, func(x, y float64) bool { return amounts(x, y) || x > 320 && x < 480 && y > 320 && y < 880 })
	s, _ := survey(g, hands[0].look)
	n := 0
	for _, p := range s.Letters {
		if amounts(p.X-3, p.Y-5) {
			n++
		}
	}
	if n < 30 || len(s.Others) < pageLetters {
		t.Errorf("%d letters of amounts among %d, beside %d others", n, len(s.Letters), len(s.Others))
	}
}

// Letters on a sheet are those within its corners.
func TestLettersOn(t *testing.T) {
	sheet := Sheet{Corners: [4]raster.Point{{X: 100, Y: 0}, {X: 200, Y: 100}, {X: 100, Y: 200}, {X: 0, Y: 100}}}
	letters := []raster.Point{{X: 100, Y: 100}, {X: 60, Y: 100}, {X: 10, Y: 10}, {X: 190, Y: 190}, {X: 100, Y: 250}}
	if n := lettersOn(sheet, letters); n != 2 {
		t.Errorf("%d letters on the sheet, not 2", n)
	}
}

// Where the edges told a paper on which no print was seen, its print is measured on the paper,
// and small print is looked at as large as otherwise.
func TestLieAsUnseenPrint(t *testing.T) {
	g := raster.New(400, 600)
	for i := range g.Pix {
		g.Pix[i] = 230
	}
	marks(g, 4, 7, 0, func(x, y float64) bool { return x > 30 && x < 370 && y > 30 && y < 570 })
	whole := Sheet{Corners: [4]raster.Point{{}, {X: 400}, {X: 400, Y: 600}, {Y: 600}}}
	f, err := lieAs(sight{factor: 1, by: 1, sheet: whole, found: true}, &photo{grey: g, width: 400, height: 600, shrink: 1}, hands[0], nil)
	if err != nil {
		t.Fatal(err)
	}
	if height := f.lines().Height; height < 12 {
		t.Errorf("print is laid out %.0f pixels high, want about 14", height)
	}
}

// The edges of a checked cloth's squares do not tell how large the print is.
func TestLieAsChecks(t *testing.T) {
	g := raster.New(400, 600)
	for y := range 600 {
		for x := range 400 {
			g.Pix[y*g.Stride+x] = 230
			if dx, dy := x%60, y%80; dx < 40 && dy < 40 && (dx < 3 || dx >= 37 || dy < 3 || dy >= 37) {
				g.Pix[y*g.Stride+x] = 30
			}
		}
	}
	whole := Sheet{Corners: [4]raster.Point{{}, {X: 400}, {X: 400, Y: 600}, {Y: 600}}}
	seen := sight{factor: 1, by: 1, sheet: whole, found: true, print: lines.Survey{Height: 6, Letters: make([]raster.Point, 50)}}
	f, err := lieAs(seen, &photo{grey: g, width: 400, height: 600, shrink: 1}, hands[0], nil)
	if err != nil {
		t.Fatal(err)
	}
	if w := f.grey.Rect.Dx(); w < 800 {
		t.Errorf("print 6 pixels high is laid out %d pixels wide, want twice the picture's 400", w)
	}
}
