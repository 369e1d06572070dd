package raster

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"
)

// TestRow compares with bilinear interpolation worked out at each pixel.
func TestRow(t *testing.T) {
	for _, size := range []image.Point{{64, 48}, {61, 45}, {16, 16}, {7, 5}, {35, 3}} {
		for _, side := range []int{4, 16} {
			q := newGrid(New(size.X, size.Y), side)
			for i := range q.v {
				q.v[i] = float32(i*i%97) + 3
			}
			row := make([]float32, size.X)
			for y := range size.Y {
				q.row(y, row, size.X)
				for x, got := range row {
					fx := min(max((float64(x)+0.5)/float64(side)-0.5, 0), float64(q.w-1))
					fy := min(max((float64(y)+0.5)/float64(side)-0.5, 0), float64(q.h-1))
					at := func(cx, cy int) float64 { return float64(q.v[min(cy, q.h-1)*q.w+min(cx, q.w-1)]) }
					x0, y0 := int(fx), int(fy)
					fx, fy = fx-float64(x0), fy-float64(y0)
					want := (at(x0, y0)*(1-fx)+at(x0+1, y0)*fx)*(1-fy) + (at(x0, y0+1)*(1-fx)+at(x0+1, y0+1)*fx)*fy
					if math.Abs(float64(got)-want) > 0.01 {
						t.Fatalf("%v, side %d: %g at %d,%d, want %g", size, side, got, x, y, want)
					}
				}
			}
		}
	}
}

// TestEvenMarks: print as dark as its neighbours is Ink, a third as dark Weak, in
// light and in shade; what is hardly darker than the paper is neither.
func TestEvenMarks(t *testing.T) {
	for _, light := range []int{240, 120} {
		g := New(160, 160)
		Fill(g, uint8(light))
		bar := func(x, y, w, h int, share float64) {
			for dy := range h {
				for dx := range w {
					g.Pix[(y+dy)*g.Stride+x+dx] = uint8(float64(light) * (1 - share))
				}
			}
		}
		for y := 10; y < 150; y += 20 {
			for x := 10; x < 150; x += 12 {
				bar(x, y, 4, 10, 0.8)
			}
		}
		bar(70, 70, 4, 10, 0.27)
		bar(82, 70, 4, 10, 0.04)
		_, ink := Even(g, 0.45)
		for _, want := range []struct {
			x    int
			mark uint8
		}{{60, Ink}, {72, Weak}, {84, 0}, {78, 0}} {
			if got := ink.Pix[75*ink.Stride+want.x]; got != want.mark {
				t.Errorf("paper of %d: place %d is marked %d, want %d", light, want.x, got, want.mark)
			}
		}
	}
}

// TestEvenMarksAtTheEdge: print near the edge of a paper is marked like all other, whatever
// table it lies on.
func TestEvenMarksAtTheEdge(t *testing.T) {
	const side, edge = 320, 12
	for _, table := range []int{8, 60, 200} {
		g := New(side, side)
		Fill(g, 200)
		rng := rand.New(rand.NewPCG(1, 2))
		for y := range side {
			for x := range side {
				v := 200
				switch {
				case x < edge || x >= side-edge:
					v = table
				case y%20 < 10 && y > 20 && x%12 < 4 && x >= 36 && x < side-36:
					v = 140
				}
				g.Pix[y*g.Stride+x] = uint8(max(v+rng.IntN(25)-12, 0))
			}
		}
		_, ink := Even(g, 0.45)
		for _, from := range []int{36, 156, 276} {
			marked, all := 0, 0
			for y := 40; y < side-20; y++ {
				for x := from; x < from+8; x++ {
					if y%20 < 10 && x%12 < 4 {
						all++
						if ink.Pix[y*ink.Stride+x] == Ink {
							marked++
						}
					}
				}
			}
			if 100*marked < 90*all {
				t.Errorf("table of %d: %d of %d pixels of the print at %d are marked", table, marked, all, from)
			}
		}
	}
}
