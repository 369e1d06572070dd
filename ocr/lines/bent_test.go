package lines_test

import (
	"image"
	"math"
	"testing"

	"tillproof/fixtures/wear"
	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// letter puts a bar w by h pixels that stands on x, y.
func (m mask) letter(x, y, w, h int) {
	for dy := range h {
		for dx := range w {
			m.Pix[(y-h+dy)*m.Stride+x+dx] = raster.Ink
		}
	}
}

// TestFindLiftedAmounts: curl across the paper lifts the amounts above their names by
// more than half their height; they are one line all the same, also where a long
// stretch without print lies between.
func TestFindLiftedAmounts(t *testing.T) {
	const rows, pitch, w, h = 20, 26, 9, 16
	m := newMask(500, 900)
	curl := func(x int) int { // level on the left half, then ever steeper
		u := max(float64(x-250)/250, 0)
		return int(math.Round(-40 * u * u))
	}
	for row := range rows {
		y := 120 + row*pitch
		for i := range 12 + row%4 {
			m.letter(20+i*12, y+curl(20+i*12), w, h)
		}
		for i := range 4 {
			m.letter(420+i*12, y+curl(420+i*12), w, h)
		}
	}
	// Lines that run across the whole paper tell of the curl.
	for _, y := range []int{60, 90, 700, 730} {
		for x := 20; x < 470; x += 12 {
			m.letter(x, y+curl(x), w, h)
		}
	}
	whole := 0
	strips := lines.Find(m.Gray, 1).Strips()
	for _, s := range strips {
		if s.X0 < 40 && s.X1 > 450 {
			whole++
		}
	}
	if len(strips) != rows+4 || whole != rows+4 {
		t.Errorf("%d lines, %d of them from the name to the amount, want %d", len(strips), whole, rows+4)
	}
}

// TestLookAcrossColumns: digits that stand in columns are closer to those above them
// than to their neighbours in the line.
func TestLookAcrossColumns(t *testing.T) {
	m := newMask(700, 500)
	for row := range 14 {
		for i := range 24 {
			if i%8 != 7 && (row+i/8)%5 != 0 {
				m.letter(60+i*20, 80+row*19, 10, 16)
			}
		}
	}
	if s := lines.Look(m.Gray); math.Abs(s.Angle) > 3*math.Pi/180 || len(s.Letters) < 150 {
		t.Errorf("%d letters in lines at %.0f°, want most of %d at 0°", len(s.Letters), s.Angle*180/math.Pi, 14*21*4/5)
	}
}

// TestLookOnPrint: of the print on a newspaper and that of the receipt on it, the
// receipt's is looked at, and the rest is told as others'.
func TestLookOnPrint(t *testing.T) {
	for _, roll := range []float64{-25, 12, 70} {
		r := wear.Plain(image.Pt(1152, 1536), 3)
		r.Table, r.Fill, r.Roll = "print", 0.6, roll
		shot := wear.Apply(till(20, 6), r)
		_, ink := raster.Even(grey(shot.Image), 0.6)
		s := lines.Look(ink)
		in := func(ps []raster.Point) (n int) {
			c := shot.Corners
			for _, p := range ps {
				inside := true
				for i := range 4 {
					a, b := c[i], c[(i+1)%4]
					inside = inside && (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) >= 0
				}
				if inside {
					n++
				}
			}
			return n
		}
		own, other := in(s.Letters), in(s.Others)
		off := math.Abs(math.Remainder(s.Angle-roll*math.Pi/180, math.Pi)) * 180 / math.Pi
		if own < 150 || 10*own < 9*len(s.Letters) || len(s.Others) < 200 || 20*other > len(s.Others) || off > 3 {
			t.Errorf("turned by %.0f°: %d of %d letters and %d of %d others are on the receipt, lines at %.0f°", roll, own, len(s.Letters), other, len(s.Others), s.Angle*180/math.Pi)
		}
	}
}

// TestFindInGaps: an amount that stands off its line by up to half its height is the line's
// where a stroke beyond the paper makes the line run on at its other side; nothing else can
// stand there. Where its line is nearer another, it is not.
func TestFindInGaps(t *testing.T) {
	const rows, pitch, w, h = 12, 30, 9, 16
	for _, c := range []struct {
		why    string
		by     int
		beyond bool
		want   int
	}{
		{"in the gap", 7, true, rows},
		{"the line does not run on", 7, false, rows + 1},
		{"too far off", 11, true, rows + 1},
	} {
		m := newMask(600, 600)
		for row := range rows {
			y := 60 + row*pitch
			for i := range 14 {
				m.letter(20+i*12, y, w, h)
			}
			by := 0
			if row == 6 {
				if by = c.by; c.beyond {
					m.letter(560, y, w, h)
				}
			}
			for i := range 5 {
				m.letter(420+i*12, y+by, w, h)
			}
		}
		if strips := lines.Find(m.Gray, 1).Strips(); len(strips) != c.want {
			t.Errorf("%s: %d lines, want %d", c.why, len(strips), c.want)
		}
	}
}
