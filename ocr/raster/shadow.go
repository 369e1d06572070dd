package raster

import "image"

// fine is the side of the squares in which the light is followed across the
// edge of a shadow, closing how many of them a stroke of print is wide at most.
const (
	fine    = 4
	closing = 2
)

// newLight follows the light across the edges of shadows, which are much
// narrower than a block. What is dark and narrow there is print and is closed;
// what is wide, such as the inside of thick print, would count as shadow, so
// that the light stays between most, the light of the blocks around, and least,
// that of the darkest block near by.
func newLight(g *image.Gray, most, least grid) grid {
	q := newGrid(g, fine)
	w, h := g.Rect.Dx(), g.Rect.Dy()
	Parallel(q.h, func(from, to int) {
		var all [fine * fine]uint8
		for y := from; y < to; y++ {
			for x := range q.w {
				n := 0
				for py := y * fine; py < min((y+1)*fine, h); py++ {
					n += copy(all[n:], g.Pix[py*g.Stride+x*fine:py*g.Stride+min((x+1)*fine, w)])
				}
				q.v[y*q.w+x] = float32(fourth(all[:n]))
			}
		}
	})
	q = q.spread(closing, 1).spread(closing, -1).smooth(1)
	Parallel(q.h, func(from, to int) {
		high, low := make([]float32, w), make([]float32, w)
		for y := from; y < to; y++ {
			py := min(y*fine+fine/2, h-1)
			most.row(py, high, w)
			least.row(py, low, w)
			for x := range q.w {
				px := min(x*fine+fine/2, w-1)
				v := &q.v[y*q.w+x]
				*v = max(min(*v, high[px]), min(low[px], high[px]))
			}
		}
	})
	return q
}

// fourth is the fourth brightest of v: paper without its brightest grain. v is
// put in another order.
func fourth(v []uint8) uint8 {
	k := min(3, len(v)-1)
	for i := 0; i <= k; i++ {
		for j := i + 1; j < len(v); j++ {
			if v[j] > v[i] {
				v[i], v[j] = v[j], v[i]
			}
		}
	}
	return v[k]
}

// above is the value that one in part of the blocks with any are above.
func (q grid) above(part int) float32 {
	var hist [256]int
	n := 0
	for _, v := range q.v {
		if v > 0 {
			hist[min(int(v), 255)]++
			n++
		}
	}
	for v, left := 255, n/part; v > 0; v-- {
		if left -= hist[v]; left < 0 {
			return float32(v)
		}
	}
	return 0
}
