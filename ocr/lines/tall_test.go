package lines_test

import (
	"math"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// TestTallPrint: print of double height and single width is shown as wide as all other print,
// and print that is larger both ways as it is.
func TestTallPrint(t *testing.T) {
	m := newMask(700, 400)
	for i := range 5 {
		m.row(40, 50+50*i, 12, 12, 20, raster.Ink)
	}
	m.row(40, 320, 6, 12, 40, raster.Ink)
	m.row(40, 380, 6, 24, 40, raster.Ink)
	strips := lines.Find(m.Gray, 1).Strips()
	if len(strips) != 7 {
		t.Fatalf("%d lines, want 7", len(strips))
	}
	for i, want := range []float64{1, 1, 1, 1, 1, 2, 1} {
		if got := strips[i].Widen; math.Abs(got-want) > 0.1 {
			t.Errorf("line %d is shown %.2f times as wide, want %.0f", i, got, want)
		}
	}
	// Its columns lie where they did on the paper.
	f := strips[5].Frame(40)
	in := f.Inner()
	if box := f.Flat(in); math.Abs(box[0].X-40) > 12 || math.Abs(box[len(box)-1].X-strips[5].X1) > 12 {
		t.Errorf("the crop shows %v of a line from 40 to %.0f", box, strips[5].X1)
	}
}

// TestLeaderWithHoles: dots of a leader that are too faint to be seen do not make print of
// the others, and a letter behind it that was not seen is shown.
func TestLeaderWithHoles(t *testing.T) {
	width := func(dots []int, amount int) int {
		m := newMask(700, 300)
		for i := range 5 {
			m.row(40, 50+50*i, 10, 12, 20, raster.Ink)
			m.row(amount, 50+50*i, 4, 12, 20, raster.Ink)
		}
		for _, n := range dots {
			m.row(210+12*n, 100, 1, 4, 4, raster.Ink)
		}
		return lines.Find(m.Gray, 1).Strips()[1].Frame(40).Inner().Dx()
	}
	all := width([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21}, 500)
	if holes := width([]int{0, 3, 4, 5, 7, 8, 9, 13, 15, 16, 17, 18, 21}, 500); holes != all {
		t.Errorf("with dots missing the line is %d pixels wide, with all %d", holes, all)
	}
	if far := width([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21}, 516); far < all+8 {
		t.Errorf("with room for a letter behind the dots the line is %d pixels wide, else %d", far, all)
	}
}
