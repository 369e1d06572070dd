package raster

import "image"

// block is the side of the squares in which the light is measured. It must be
// wider than a stroke of large print and narrower than a shadow's edge is soft.
const block = 16

// grid is a coarse picture: one value for each block of a picture.
type grid struct {
	w, h int
	v    []float32
}

func newGrid(g *image.Gray) grid {
	w, h := (g.Rect.Dx()+block-1)/block, (g.Rect.Dy()+block-1)/block
	return grid{w: w, h: h, v: make([]float32, w*h)}
}

// at interpolates between the middles of the blocks around pixel x, y.
func (q grid) row(y int, out []float32, width int) {
	fy := min(max((float32(y)+0.5)/block-0.5, 0), float32(q.h-1))
	y0 := int(fy)
	y1 := min(y0+1, q.h-1)
	fy -= float32(y0)
	for x := range width {
		fx := min(max((float32(x)+0.5)/block-0.5, 0), float32(q.w-1))
		x0 := int(fx)
		x1 := min(x0+1, q.w-1)
		fx -= float32(x0)
		top := q.v[y0*q.w+x0]*(1-fx) + q.v[y0*q.w+x1]*fx
		bottom := q.v[y1*q.w+x0]*(1-fx) + q.v[y1*q.w+x1]*fx
		out[x] = top*(1-fy) + bottom*fy
	}
}

// spread replaces each value by the largest (sign 1) or smallest (-1) within r.
func (q grid) spread(r int, sign float32) grid {
	pass := func(in grid, dx, dy int) grid {
		out := grid{q.w, q.h, make([]float32, len(q.v))}
		for y := range q.h {
			for x := range q.w {
				best := in.v[y*q.w+x]
				for d := -r; d <= r; d++ {
					nx, ny := x+d*dx, y+d*dy
					if nx < 0 || ny < 0 || nx >= q.w || ny >= q.h {
						continue
					}
					if v := in.v[ny*q.w+nx]; v*sign > best*sign {
						best = v
					}
				}
				out.v[y*q.w+x] = best
			}
		}
		return out
	}
	return pass(pass(q, 1, 0), 0, 1)
}

// smooth replaces each value by the mean within r, edges by what is there.
func (q grid) smooth(r int) grid {
	pass := func(in grid, dx, dy int) grid {
		out := grid{q.w, q.h, make([]float32, len(q.v))}
		for y := range q.h {
			for x := range q.w {
				var sum, n float32
				for d := -r; d <= r; d++ {
					nx, ny := x+d*dx, y+d*dy
					if nx >= 0 && ny >= 0 && nx < q.w && ny < q.h {
						sum += in.v[ny*q.w+nx]
						n++
					}
				}
				out.v[y*q.w+x] = sum / n
			}
		}
		return out
	}
	return pass(pass(q, 1, 0), 0, 1)
}

// Even divides g by the light that falls on it, so that paper is near 255
// wherever it lies in shadow, lamp light or colour. Paper is taken to be the
// bright part of every neighbourhood; print is the rest.
func Even(g *image.Gray) *image.Gray {
	paper := newGrid(g)
	w, h := g.Rect.Dx(), g.Rect.Dy()
	Parallel(paper.h, func(from, to int) {
		for by := from; by < to; by++ {
			for bx := range paper.w {
				r := image.Rect(bx*block, by*block, min((bx+1)*block, w), min((by+1)*block, h))
				hist, n := Histogram(g, r)
				paper.v[by*paper.w+bx] = float32(Percentile(&hist, n, 0.8))
			}
		}
	})
	// A block full of thick print has no paper in it: take that of its
	// neighbours, then shrink back so that a dark edge does not grow.
	paper = paper.spread(2, 1).spread(1, -1).smooth(1)
	out := New(w, h)
	Parallel(h, func(from, to int) {
		light := make([]float32, w)
		for y := from; y < to; y++ {
			paper.row(y, light, w)
			for x, v := range g.Pix[y*g.Stride : y*g.Stride+w] {
				out.Pix[y*out.Stride+x] = uint8(min(float32(v)*250/max(light[x], 8), 255))
			}
		}
	})
	return out
}

// Ink marks with 1 the pixels of an evenly lit picture that are print. Weak
// print counts where the neighbourhood has no stronger one: the threshold lies
// between the paper and the darkest ink near by.
func Ink(g *image.Gray) *image.Gray {
	dark := newGrid(g)
	w, h := g.Rect.Dx(), g.Rect.Dy()
	Parallel(dark.h, func(from, to int) {
		for by := from; by < to; by++ {
			for bx := range dark.w {
				r := image.Rect(bx*block, by*block, min((bx+1)*block, w), min((by+1)*block, h))
				hist, n := Histogram(g, r)
				dark.v[by*dark.w+bx] = float32(Percentile(&hist, n, 0.04))
			}
		}
	})
	dark = dark.spread(1, -1).smooth(1)
	const paper, weakest = 245, 40
	for i, v := range dark.v {
		contrast := max(paper-v, weakest)
		dark.v[i] = paper - 0.5*contrast
	}
	out := New(w, h)
	Parallel(h, func(from, to int) {
		limit := make([]float32, w)
		for y := from; y < to; y++ {
			dark.row(y, limit, w)
			for x, v := range g.Pix[y*g.Stride : y*g.Stride+w] {
				if float32(v) < limit[x] {
					out.Pix[y*out.Stride+x] = 1
				}
			}
		}
	})
	return out
}
