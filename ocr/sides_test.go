package ocr

import (
	"image"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// printBetween is a picture 900 pixels wide and high of a paper, from x0 to x1, with rows of
// print, and of where its letters stand.
func printBetween(x0, x1 float64) (g *image.Gray, print lines.Survey) {
	g = raster.New(900, 900)
	for i := range g.Pix {
		g.Pix[i] = 230
	}
	within := func(x, y float64) bool { return x > x0+20 && x < x1-30 && y > 60 && y < 840 }
	marks(g, 8, 13, 0, within)
	print.Height = 13
	for y := 70.0; y < 840; y += 29 {
		for x := x0 + 24; x < x1-30; x += 12 {
			print.Letters = append(print.Letters, raster.Point{X: x, Y: y})
		}
	}
	return g, print
}

// reaches is how far to the left and right the lines of print reach that are found in g, where
// sight shows print, in pixels of g.
func reaches(t *testing.T, g *image.Gray, s sight) (left, right float64) {
	t.Helper()
	s.factor, s.by = 1, 1
	f, err := lieAs(s, &photo{grey: g, width: 900, height: 900, shrink: 1}, hands[0], nil)
	if err != nil {
		t.Fatal(err)
	}
	left, right = 900, 0
	for _, s := range f.lines().Strips() {
		left = min(left, f.toPhoto.Map(raster.Point{X: s.X0, Y: s.Base(s.X0)}).X)
		right = max(right, f.toPhoto.Map(raster.Point{X: s.X1, Y: s.Base(s.X1)}).X)
	}
	return left, right
}

// Where a receipt was not found on other print, but its own was, lines end at its sides.
func TestLinesEndAtSides(t *testing.T) {
	g, print := printBetween(200, 690)
	for y := range 900 {
		for x := range 900 {
			if (x < 200 || x >= 690) && (x/45+y/45)%2 == 0 {
				g.Pix[y*g.Stride+x] = 90
			}
		}
	}
	for n := uint32(1); n < 1800; n++ { // what does not stand in lines
		x, y := int(n*2654435761>>16%900), int(n*40503>>3%900)
		if w, h := 4+int(n%5)*3, 4+int(n%7)*3; x+w < 200 || x > 690 {
			for i := range w * h {
				if r := image.Pt(x+i%w, y+i/w); r.In(g.Rect) {
					g.Pix[r.Y*g.Stride+r.X] = 40
				}
			}
		}
	}
	if left, right := reaches(t, g, sight{print: print}); left < 170 || right > 720 {
		t.Errorf("lines of a receipt from 200 to 690 reach from %.0f to %.0f", left, right)
	}
}

// Where all print is in lines as it is, the edge of a shadow is no side.
func TestShadowIsNoSide(t *testing.T) {
	g, print := printBetween(200, 700)
	for y := range 900 {
		for x := 480; x < 900; x++ {
			g.Pix[y*g.Stride+x] = uint8(int(g.Pix[y*g.Stride+x]) * 5 / 8)
		}
	}
	if left, right := reaches(t, g, sight{print: print}); left > 250 || right < 640 {
		t.Errorf("lines of print from 220 to 670 reach from %.0f to %.0f", left, right)
	}
}

// A paper whose sides cut lines is shown wider, and wider still where it cuts them yet.
func TestSidesThatCut(t *testing.T) {
	g, _ := printBetween(130, 900)
	for _, side := range []float64{181, 215} {
		sheet := Sheet{Corners: [4]raster.Point{{X: side}, {X: 900}, {X: 900, Y: 900}, {X: side, Y: 900}}, Seen: [4]bool{true, true, true, true}}
		if left, _ := reaches(t, g, sight{found: true, sheet: sheet}); left > 165 {
			t.Errorf("cut at %.0f, lines of print from 155 on begin at %.0f", side, left)
		}
	}
}

// TestGrainAtTheEnd: what does not look like print at an end of the paper that was seen is the
// table's; inside, or where the paper may go on, it is print that could not be read.
func TestGrainAtTheEnd(t *testing.T) {
	for _, c := range []struct {
		name                  string
		y, x                  float64
		regular, seen, beyond bool
		want                  bool
	}{
		{name: "at the end", y: 895, seen: true, want: true},
		{name: "at the head", y: 30, seen: true, want: true},
		{name: "print at the end", y: 890, regular: true, seen: true},
		{name: "print on the end", y: 899, regular: true, seen: true, want: true},
		{name: "print that a tear runs through", y: 895, x: 100, seen: true},
		{name: "above the end", y: 860, seen: true},
		{name: "no end was seen", y: 895},
		{name: "the paper may go on", y: 895, seen: true, beyond: true},
	} {
		f := flattened{even: raster.New(900, 900)}
		f.seen[paper.Top], f.seen[paper.Bottom] = c.seen, c.seen
		f.beyond[paper.Bottom] = c.beyond
		s := lines.Strip{X0: 20 + c.x, X1: 200 + c.x, Up: 20, Down: 5, Regular: c.regular, Base: func(float64) float64 { return c.y }}
		if got := f.atEnd(s); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
