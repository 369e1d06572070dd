// Package raster holds the few operations on grey pictures that reading a
// receipt needs: shrinking, turning, evening the light, finding ink and its
// connected pieces.
//
// A picture is an *image.Gray whose rectangle starts at 0,0. Read Even and
// Pieces first. The package is pure Go and keeps no state.
package raster

import (
	"image"
	"math"
	"sync"
)

// New returns a black picture of w by h pixels.
func New(w, h int) *image.Gray { return image.NewGray(image.Rect(0, 0, w, h)) }

// Fill sets every pixel of g to v.
func Fill(g *image.Gray, v uint8) {
	for i := range g.Pix {
		g.Pix[i] = v
	}
}

// Parallel cuts the rows 0..n into bands and calls f for each at the same
// time: pictures are large and a shopper's machine has more than one core.
func Parallel(n int, f func(from, to int)) {
	const bands = 4
	if n < 64 {
		f(0, n)
		return
	}
	var wg sync.WaitGroup
	for b := range bands {
		from, to := n*b/bands, n*(b+1)/bands
		wg.Add(1)
		go func() {
			defer wg.Done()
			f(from, to)
		}()
	}
	wg.Wait()
}

// Halve shrinks g to half its width and height, each pixel the mean of four.
func Halve(g *image.Gray) *image.Gray {
	w, h := g.Rect.Dx()/2, g.Rect.Dy()/2
	if w < 1 || h < 1 {
		return g
	}
	out := New(w, h)
	Parallel(h, func(from, to int) {
		for y := from; y < to; y++ {
			a := g.Pix[2*y*g.Stride : 2*y*g.Stride+2*w]
			b := g.Pix[(2*y+1)*g.Stride : (2*y+1)*g.Stride+2*w]
			o := out.Pix[y*out.Stride : y*out.Stride+w]
			for x := range o {
				o[x] = uint8((int(a[2*x]) + int(a[2*x+1]) + int(b[2*x]) + int(b[2*x+1]) + 2) / 4)
			}
		}
	})
	return out
}

// Resize scales g to w by h pixels: by means while it shrinks by two or more,
// and bilinearly for the rest.
func Resize(g *image.Gray, w, h int) *image.Gray {
	for g.Rect.Dx() >= 2*w && g.Rect.Dy() >= 2*h && g.Rect.Dx() > 1 && g.Rect.Dy() > 1 {
		g = Halve(g)
	}
	if g.Rect.Dx() == w && g.Rect.Dy() == h {
		return g
	}
	out := New(w, h)
	sx, sy := float64(g.Rect.Dx())/float64(w), float64(g.Rect.Dy())/float64(h)
	Parallel(h, func(from, to int) {
		for y := from; y < to; y++ {
			fy := (float64(y)+0.5)*sy - 0.5
			for x := range w {
				out.Pix[y*out.Stride+x] = At(g, (float64(x)+0.5)*sx-0.5, fy)
			}
		}
	})
	return out
}

// At is the value of g between its pixels; beyond the edge the edge goes on.
func At(g *image.Gray, x, y float64) uint8 {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	x, y = min(max(x, 0), float64(w-1)), min(max(y, 0), float64(h-1))
	x0, y0 := int(x), int(y)
	fx, fy := int((x-float64(x0))*256), int((y-float64(y0))*256)
	x1, y1 := min(x0+1, w-1), min(y0+1, h-1)
	a, b := y0*g.Stride, y1*g.Stride
	top := int(g.Pix[a+x0])*(256-fx) + int(g.Pix[a+x1])*fx
	bottom := int(g.Pix[b+x0])*(256-fx) + int(g.Pix[b+x1])*fx
	return uint8((top*(256-fy) + bottom*fy + 1<<15) >> 16)
}

// Turn returns g turned clockwise by n quarter turns.
func Turn(g *image.Gray, n int) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	switch ((n % 4) + 4) % 4 {
	case 1:
		out := New(h, w)
		for y := range h {
			for x := range w {
				out.Pix[x*out.Stride+h-1-y] = g.Pix[y*g.Stride+x]
			}
		}
		return out
	case 2:
		out := New(w, h)
		for y := range h {
			for x := range w {
				out.Pix[(h-1-y)*out.Stride+w-1-x] = g.Pix[y*g.Stride+x]
			}
		}
		return out
	case 3:
		out := New(h, w)
		for y := range h {
			for x := range w {
				out.Pix[(w-1-x)*out.Stride+y] = g.Pix[y*g.Stride+x]
			}
		}
		return out
	}
	return g
}

// Mirror returns g with left and right exchanged.
func Mirror(g *image.Gray) *image.Gray {
	out := New(g.Rect.Dx(), g.Rect.Dy())
	w := g.Rect.Dx()
	for y := range g.Rect.Dy() {
		for x := range w {
			out.Pix[y*out.Stride+w-1-x] = g.Pix[y*g.Stride+x]
		}
	}
	return out
}

// Blur smooths g with a Gaussian bell of the given width in pixels.
func Blur(g *image.Gray, sigma float64) *image.Gray {
	r := int(math.Ceil(2.5 * sigma))
	if r < 1 {
		return g
	}
	kernel := make([]int, 2*r+1)
	sum := 0
	for i := range kernel {
		d := float64(i - r)
		kernel[i] = int(1024 * math.Exp(-d*d/(2*sigma*sigma)))
		sum += kernel[i]
	}
	w, h := g.Rect.Dx(), g.Rect.Dy()
	mid, out := New(w, h), New(w, h)
	Parallel(h, func(from, to int) {
		wide := make([]int, w+2*r)
		for y := from; y < to; y++ {
			row := g.Pix[y*g.Stride : y*g.Stride+w]
			for x := range wide {
				wide[x] = int(row[min(max(x-r, 0), w-1)])
			}
			o := mid.Pix[y*mid.Stride : y*mid.Stride+w]
			for x := range o {
				v := 0
				for i, k := range kernel {
					v += k * wide[x+i]
				}
				o[x] = uint8(v / sum)
			}
		}
	})
	Parallel(h, func(from, to int) {
		all := make([]int, w)
		for y := from; y < to; y++ {
			clear(all)
			for i, k := range kernel {
				at := min(max(y+i-r, 0), h-1) * mid.Stride
				for x, v := range mid.Pix[at : at+w] {
					all[x] += k * int(v)
				}
			}
			o := out.Pix[y*out.Stride : y*out.Stride+w]
			for x := range o {
				o[x] = uint8(all[x] / sum)
			}
		}
	})
	return out
}

// Histogram counts the pixels of g within r by value.
func Histogram(g *image.Gray, r image.Rectangle) (hist [256]int, n int) {
	r = r.Intersect(g.Rect)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for _, v := range g.Pix[y*g.Stride+r.Min.X : y*g.Stride+r.Max.X] {
			hist[v]++
		}
	}
	return hist, r.Dx() * r.Dy()
}

// Percentile is the value below which the share p of the n counted pixels lies.
func Percentile(hist *[256]int, n int, p float64) uint8 {
	want := int(p * float64(n))
	for v, c := range hist {
		want -= c
		if want < 0 {
			return uint8(v)
		}
	}
	return 255
}

// Close removes what is darker than its surroundings and narrower than 2r+1
// pixels: print vanishes, the paper and its edges stay.
func Close(g *image.Gray, r int) *image.Gray {
	brightest := func(a, b uint8) uint8 { return max(a, b) }
	darkest := func(a, b uint8) uint8 { return min(a, b) }
	return spread(spread(g, r, brightest), r, darkest)
}

// spread replaces each pixel by the pick of those within r of it, across and
// then down.
func spread(g *image.Gray, r int, pick func(a, b uint8) uint8) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	mid, out := New(w, h), New(w, h)
	Parallel(h, func(from, to int) {
		for y := from; y < to; y++ {
			row := g.Pix[y*g.Stride : y*g.Stride+w]
			for x := range w {
				v := row[x]
				for i := max(x-r, 0); i <= min(x+r, w-1); i++ {
					v = pick(v, row[i])
				}
				mid.Pix[y*mid.Stride+x] = v
			}
		}
	})
	Parallel(h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range w {
				v := mid.Pix[y*mid.Stride+x]
				for i := max(y-r, 0); i <= min(y+r, h-1); i++ {
					v = pick(v, mid.Pix[i*mid.Stride+x])
				}
				out.Pix[y*out.Stride+x] = v
			}
		}
	})
	return out
}
