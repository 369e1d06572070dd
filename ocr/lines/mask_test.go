package lines_test

import (
	"image"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// mask is a sheet of ink on which bars stand for letters.
type mask struct{ *image.Gray }

func newMask(w, h int) mask { return mask{raster.New(w, h)} }

// row puts n letters w by h pixels from x on, with feet on y, a third of their
// width apart.
func (m mask) row(x, y, n, w, h int, ink uint8) {
	for i := range n {
		for dy := range h {
			for dx := range w {
				m.Pix[(y-h+dy)*m.Stride+x+i*(w+w/3)+dx] = ink
			}
		}
	}
}

// TestFindSingleBesideDouble: where most print has twice the height, lines of
// single height that stand close are lines of their own.
func TestFindSingleBesideDouble(t *testing.T) {
	m := newMask(700, 700)
	for i := range 5 {
		m.row(40, 40+22*i, 20, 9, 14, raster.Ink)
	}
	for i := range 8 {
		m.row(40, 220+50*i, 18, 18, 29, raster.Ink)
	}
	strips := lines.Find(m.Gray, 1).Strips()
	if len(strips) != 13 {
		t.Fatalf("%d lines, want 5 of single and 8 of double height", len(strips))
	}
	for i, s := range strips[:5] {
		if y := s.Base(s.X0); y < float64(37+22*i) || y > float64(43+22*i) || s.Letters != 20 {
			t.Errorf("line %d: %d letters at %.0f, want 20 at %d", i+1, s.Letters, y, 40+22*i)
		}
	}
}

// TestFindBrokenLetters: beside whole letters, halves of letters that fell apart are
// no lines of half the height.
func TestFindBrokenLetters(t *testing.T) {
	m := newMask(700, 500)
	for i := range 4 {
		m.row(40, 260+50*i, 18, 16, 29, raster.Ink)
		m.row(40, 60+50*i-15, 18, 16, 14, raster.Ink)
		m.row(40, 60+50*i, 18, 16, 13, raster.Ink)
	}
	if strips := lines.Find(m.Gray, 1).Strips(); len(strips) != 8 {
		t.Errorf("%d lines, want 8", len(strips))
	}
}

// TestFindFaded: print that fades towards an end of its line belongs to it; one
// spot, print of another height and print between two lines do not.
func TestFindFaded(t *testing.T) {
	for _, test := range []struct {
		name        string
		x, y, n     int
		high        int
		wantX1      float64
		wantX1Under float64
	}{
		{"the end of a line", 400, 100, 4, 20, 458, 462},
		{"the last letter", 328, 100, 1, 20, 338, 342},
		{"a spot", 400, 100, 1, 20, 0, 330},
		{"half as high", 400, 100, 4, 10, 0, 330},
		{"between the lines", 400, 122, 4, 20, 0, 330},
	} {
		t.Run(test.name, func(t *testing.T) {
			m := newMask(500, 300)
			for i := range 5 {
				m.row(40, 50+50*i, 18, 12, 20, raster.Ink)
			}
			m.row(test.x, test.y, test.n, 12, test.high, raster.Weak)
			strips := lines.Find(m.Gray, 1).Strips()
			if len(strips) != 5 {
				t.Fatalf("%d lines, want 5", len(strips))
			}
			if x1 := strips[1].X1; x1 < test.wantX1 || x1 > test.wantX1Under {
				t.Errorf("the line ends at %.0f, want %.0f to %.0f", x1, test.wantX1, test.wantX1Under)
			}
		})
	}
}

// TestFindHalfFaded: a last letter of which only a part is firm is cut out whole.
func TestFindHalfFaded(t *testing.T) {
	m := newMask(500, 300)
	for i := range 5 {
		m.row(40, 50+50*i, 18, 12, 20, raster.Ink)
	}
	m.row(328, 100, 1, 18, 20, raster.Weak)
	m.row(328, 100, 1, 7, 20, raster.Ink)
	if x1 := lines.Find(m.Gray, 1).Strips()[1].X1; x1 != 346 {
		t.Errorf("the line ends at %.0f, want 346", x1)
	}
}

// TestLeader: a row of dots from a name to its amount is left out of the crop;
// what is left of a letter so faint that only spots of it are ink is not.
func TestLeader(t *testing.T) {
	width := func(draw func(m mask)) int {
		m := newMask(700, 300)
		for i := range 5 {
			m.row(40, 50+50*i, 10, 12, 20, raster.Ink)
			m.row(500, 50+50*i, 4, 12, 20, raster.Ink)
		}
		draw(m)
		strips := lines.Find(m.Gray, 1).Strips()
		if len(strips) != 5 {
			t.Fatalf("%d lines, want 5", len(strips))
		}
		return strips[1].Frame(40).Inner().Dx()
	}
	print := func(m mask) { m.row(200, 100, 2, 12, 20, raster.Ink); m.row(260, 100, 15, 12, 20, raster.Ink) }
	whole := width(print)
	faint := width(func(m mask) { // an X in the gap: spots at five heights
		print(m)
		for i := range 5 {
			m.row(232+4*i, 84+4*i, 1, 3, 3, raster.Ink)
		}
	})
	if faint < whole-2 {
		t.Errorf("a faint letter took the line from %d to %d pixels: it was cut out", whole, faint)
	}
	without := width(func(mask) {})
	if with := width(func(m mask) { m.row(210, 100, 24, 9, 4, raster.Ink) }); with > without {
		t.Errorf("a line with a leader is %d pixels wide, without %d: the dots are shown", with, without)
	}
}
