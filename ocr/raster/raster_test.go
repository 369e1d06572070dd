package raster

import (
	"bytes"
	"image"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/disintegration/imaging"
	"golang.org/x/image/draw"
)

// pixels is a picture with the given rows.
func pixels(rows ...[]uint8) *image.Gray {
	g := New(len(rows[0]), len(rows))
	for y, row := range rows {
		copy(g.Pix[y*g.Stride:], row)
	}
	return g
}

// noise is a picture of w by h pixels of any grey.
func noise(w, h int, seed uint64) *image.Gray {
	r := rand.New(rand.NewPCG(seed, 1))
	g := New(w, h)
	for i := range g.Pix {
		g.Pix[i] = uint8(r.IntN(256))
	}
	return g
}

// inked is a picture drawn in letters: # is 2, + is 1 and all else 0.
func inked(rows ...string) *image.Gray {
	g := New(len(rows[0]), len(rows))
	for y, row := range rows {
		for x, c := range row {
			g.Pix[y*g.Stride+x] = uint8(1 + strings.IndexRune("+#", c))
		}
	}
	return g
}

// same compares pixel by pixel.
func same(t *testing.T, what string, got, want *image.Gray) {
	t.Helper()
	if got.Rect != want.Rect {
		t.Errorf("%s: %v, want %v", what, got.Rect, want.Rect)
	} else if !bytes.Equal(got.Pix, want.Pix) {
		if len(want.Pix) > 100 {
			got, want = New(0, 0), New(0, 0) // too many to show
		}
		t.Errorf("%s: %v %v, want %v %v", what, got.Rect, got.Pix, want.Rect, want.Pix)
	}
}

// off is the largest difference of two pictures within r.
func off(a, b image.Image, r image.Rectangle) int {
	most := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			v, _, _, _ := a.At(x, y).RGBA()
			w, _, _, _ := b.At(x, y).RGBA()
			most = max(most, int(v>>8)-int(w>>8), int(w>>8)-int(v>>8))
		}
	}
	return most
}

// (1+2+5+6)/4 is 3.5 and (3+4+7+9)/4 is 5.75; a row or column too many is left.
func TestHalve(t *testing.T) {
	same(t, "four by two", Halve(pixels([]uint8{1, 2, 3, 4}, []uint8{5, 6, 7, 9})), pixels([]uint8{4, 6}))
	same(t, "five by three", Halve(pixels([]uint8{1, 2, 3, 4, 200}, []uint8{5, 6, 7, 9, 200}, []uint8{9, 9, 9, 9, 9})), pixels([]uint8{4, 6}))
	same(t, "white", Halve(pixels([]uint8{255, 255}, []uint8{255, 255})), pixels([]uint8{255}))
	same(t, "too small", Halve(pixels([]uint8{7, 9})), pixels([]uint8{7, 9}))
	for _, size := range []image.Point{{64, 48}, {300, 200}} { // one band and several
		g := noise(size.X, size.Y, 1)
		want := imaging.Resize(g, size.X/2, size.Y/2, imaging.Box)
		if d := off(Halve(g), want, Halve(g).Rect); d > 1 {
			t.Errorf("%v: %d off the means of another library", size, d)
		}
	}
}

func TestResize(t *testing.T) {
	// Twice as wide, pixels begin at -1/4, 1/4, 3/4 and 5/4 of the old ones.
	same(t, "wider", Resize(pixels([]uint8{0, 100}), 4, 1), pixels([]uint8{0, 25, 75, 100}))
	same(t, "higher", Resize(pixels([]uint8{0}, []uint8{100}), 1, 4), pixels([]uint8{0}, []uint8{25}, []uint8{75}, []uint8{100}))
	// Two thirds: they begin at 1/4 and 7/4.
	same(t, "narrower", Resize(pixels([]uint8{0, 100, 200}), 2, 1), pixels([]uint8{25, 175}))
	g := noise(7, 5, 2)
	same(t, "as it is", Resize(g, 7, 5), g)
	same(t, "a quarter", Resize(noise(80, 40, 3), 20, 10), Halve(Halve(noise(80, 40, 3))))
	for _, size := range []image.Point{{31, 20}, {100, 90}, {13, 9}} {
		g := noise(13, 9, 4)
		want := image.NewGray(image.Rect(0, 0, size.X, size.Y))
		draw.BiLinear.Scale(want, want.Rect, g, g.Rect, draw.Src, nil)
		if d := off(Resize(g, size.X, size.Y), want, want.Rect); d > 2 {
			t.Errorf("to %v: %d off another library", size, d)
		}
	}
}

func TestAt(t *testing.T) {
	g := pixels([]uint8{0, 100}, []uint8{200, 100})
	for p, want := range map[Point]uint8{
		{0, 0}: 0, {1, 0}: 100, {0, 1}: 200, {1, 1}: 100,
		{0.5, 0}: 50, {0, 0.25}: 50, {0.5, 0.5}: 100, {0.25, 0.75}: 138, // (0.75*0+0.25*100)/4 + 3*(0.75*200+0.25*100)/4 = 137.5
		{-5, -5}: 0, {9, 0}: 100, {-1, 9}: 200, {1e9, 1e9}: 100,
	} {
		if got := At(g, p.X, p.Y); got != want {
			t.Errorf("at %v: %d, want %d", p, got, want)
		}
	}
}

func TestTurnAndMirror(t *testing.T) {
	g := pixels([]uint8{1, 2, 3}, []uint8{4, 5, 6})
	turned := []*image.Gray{
		g,
		pixels([]uint8{4, 1}, []uint8{5, 2}, []uint8{6, 3}),
		pixels([]uint8{6, 5, 4}, []uint8{3, 2, 1}),
		pixels([]uint8{3, 6}, []uint8{2, 5}, []uint8{1, 4}),
	}
	for n := -4; n < 8; n++ {
		same(t, "turned", Turn(g, n), turned[(n+4)%4])
	}
	same(t, "mirrored", Mirror(g), pixels([]uint8{3, 2, 1}, []uint8{6, 5, 4}))
}

// A dot blurred by 0.4 pixels: its neighbours weigh exp(-1/(2·0.4²)) = 0.0439 of
// the middle, 44 against 1024 in 1024ths.
func TestBlur(t *testing.T) {
	dot := New(5, 5)
	dot.Pix[2*5+2] = 255
	same(t, "a dot", Blur(dot, 0.4), pixels(
		[]uint8{0, 0, 0, 0, 0}, []uint8{0, 0, 9, 0, 0}, []uint8{0, 9, 215, 9, 0}, []uint8{0, 0, 9, 0, 0}, []uint8{0, 0, 0, 0, 0}))
	// By one pixel, the weights are 1024, 621, 138 and 11, 2564 in all; the edge goes on.
	same(t, "an edge", Blur(pixels([]uint8{0, 0, 0, 0, 0, 255}), 1), pixels([]uint8{0, 0, 1, 14, 76, 178}))
	same(t, "an edge", Blur(pixels([]uint8{255, 0, 0, 0, 0, 0}), 1), pixels([]uint8{178, 76, 14, 1, 0, 0}))
	same(t, "an edge", Blur(Turn(pixels([]uint8{0, 0, 0, 0, 0, 255}), 1), 1), Turn(pixels([]uint8{0, 0, 1, 14, 76, 178}), 1))
	g := noise(9, 9, 5)
	same(t, "not at all", Blur(g, 0), g)
	for _, v := range []uint8{0, 131, 255} {
		flat := New(12, 7)
		Fill(flat, v)
		same(t, "a flat picture", Blur(flat, 1.7), flat)
	}
	for _, sigma := range []float64{0.6, 1, 2.3} {
		g := noise(60, 40, 6)
		if d := off(Blur(g, sigma), imaging.Blur(g, sigma), g.Rect.Inset(8)); d > 4 {
			t.Errorf("sigma %g: %d off another library", sigma, d)
		}
	}
}

func TestHistogramAndPercentile(t *testing.T) {
	g := pixels([]uint8{1, 1, 9, 9}, []uint8{1, 5, 9, 200})
	hist, n := Histogram(g, image.Rect(0, 0, 3, 9))
	if n != 6 || hist[1] != 3 || hist[5] != 1 || hist[9] != 2 || hist[200] != 0 {
		t.Errorf("%d pixels: %d, %d, %d, %d", n, hist[1], hist[5], hist[9], hist[200])
	}
	for p, want := range map[float64]uint8{0: 1, 0.34: 1, 0.5: 5, 0.67: 9, 0.99: 9, 1: 255} {
		if got := Percentile(&hist, n, p); got != want {
			t.Errorf("percentile %g is %d, want %d", p, got, want)
		}
	}
}

// A stroke three wide vanishes at a reach of two, one of six stays as it is.
func TestClose(t *testing.T) {
	row := []uint8{200, 200, 200, 10, 10, 10, 200, 200, 200, 200, 20, 20, 20, 20, 20, 20, 200, 200, 200}
	want := []uint8{200, 200, 200, 200, 200, 200, 200, 200, 200, 200, 20, 20, 20, 20, 20, 20, 200, 200, 200}
	across, down := New(len(row), 8), New(8, len(row))
	wantAcross, wantDown := New(len(row), 8), New(8, len(row))
	for y := range 8 {
		for x := range row {
			across.Pix[y*across.Stride+x], wantAcross.Pix[y*across.Stride+x] = row[x], want[x]
			down.Pix[x*down.Stride+y], wantDown.Pix[x*down.Stride+y] = row[x], want[x]
		}
	}
	same(t, "across", Close(across, 2), wantAcross)
	same(t, "down", Close(down, 2), wantDown)
}

// Every row is in one band, for any number of rows.
func TestParallel(t *testing.T) {
	for _, n := range []int{0, 1, 63, 64, 65, 67, 1001} {
		times := make([]uint8, n)
		Parallel(n, func(from, to int) {
			for i := from; i < to; i++ {
				times[i]++
			}
		})
		if i := bytes.IndexFunc(times, func(r rune) bool { return r != 1 }); i >= 0 {
			t.Errorf("of %d rows, row %d was done %d times", n, i, times[i])
		}
	}
}
