package raster

import "image"

// block is the side of the squares in which the light is measured. It must be
// wider than a stroke of large print and narrower than a shadow's edge is soft.
const block = 16

// grid is a coarse picture: one value for each square, side pixels wide, of a
// picture.
type grid struct {
	side, w, h int
	v          []float32
}

func newGrid(g *image.Gray, side int) grid {
	w, h := (g.Rect.Dx()+side-1)/side, (g.Rect.Dy()+side-1)/side
	return grid{side: side, w: w, h: h, v: make([]float32, w*h)}
}

// like is a grid of the form of q, all 0.
func (q grid) like() grid { return grid{q.side, q.w, q.h, make([]float32, len(q.v))} }

// row interpolates between the middles of the squares around the pixels of row
// y; the side of a square is an even number.
func (q grid) row(y int, out []float32, width int) {
	side := float32(q.side)
	fy := min(max((float32(y)+0.5)/side-0.5, 0), float32(q.h-1))
	y0 := int(fy)
	y1 := min(y0+1, q.h-1)
	fy -= float32(y0)
	above, below := q.v[y0*q.w:(y0+1)*q.w], q.v[y1*q.w:(y1+1)*q.w]
	at := func(i int) float32 { return above[i]*(1-fy) + below[i]*fy }
	a := at(0)
	half := q.side / 2
	for x := range min(half, width) {
		out[x] = a
	}
	for i := range q.w {
		b := at(min(i+1, q.w-1))
		step := (b - a) / side
		v := a + step/2
		for x := i*q.side + half; x < min((i+1)*q.side+half, width); x++ {
			out[x] = v
			v += step
		}
		a = b
	}
}

// spread replaces each value by the largest (sign 1) or smallest (-1) within r.
func (q grid) spread(r int, sign float32) grid {
	pass := func(in grid, dx, dy int) grid {
		out := q.like()
		Parallel(q.h, func(from, to int) {
			for y := from; y < to; y++ {
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
		})
		return out
	}
	return pass(pass(q, 1, 0), 0, 1)
}

// smooth replaces each value by the mean within r, edges by what is there.
func (q grid) smooth(r int) grid {
	pass := func(in grid, dx, dy int) grid {
		out := q.like()
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

// aside marks the blocks that hold a table beside the paper, or the paper's edge: those along
// whose outer side the picture's border is dark beside what light falls on them, and from
// there on those that are dark all over, with those at them.
func aside(g *image.Gray, own, light grid) []bool {
	out := make([]bool, len(own.v))
	var todo []image.Point
	mark := func(x, y int) {
		if i := y*own.w + x; !out[i] {
			out[i] = true
			if own.v[i] < tableTone*light.v[i] {
				todo = append(todo, image.Pt(x, y))
			}
		}
	}
	for y := range own.h {
		for x := range own.w {
			if (x == 0 || y == 0 || x == own.w-1 || y == own.h-1) && outerTone(g, x, y) < tableTone*light.v[y*own.w+x] {
				mark(x, y)
			}
		}
	}
	for len(todo) > 0 {
		p := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for ny := max(p.Y-1, 0); ny <= min(p.Y+1, own.h-1); ny++ {
			for nx := max(p.X-1, 0); nx <= min(p.X+1, own.w-1); nx++ {
				mark(nx, ny)
			}
		}
	}
	return out
}

// outerTone is the brightness of the picture's outermost pixels in the block at x, y of its
// border.
func outerTone(g *image.Gray, x, y int) float32 {
	const deep = 3
	w, h := g.Rect.Dx(), g.Rect.Dy()
	r := image.Rect(x*block, y*block, min((x+1)*block, w), min((y+1)*block, h))
	switch {
	case x == 0:
		r.Max.X = min(deep, w)
	case r.Max.X == w:
		r.Min.X = max(w-deep, 0)
	case y == 0:
		r.Max.Y = min(deep, h)
	default:
		r.Min.Y = max(h-deep, 0)
	}
	hist, n := Histogram(g, r)
	return float32(Percentile(&hist, n, 0.5))
}

// leastBeside replaces the values of the marked blocks by the least of those beside them that
// are not, where there are any.
func (q grid) leastBeside(marked []bool) {
	const reach, most = 2, 256
	for y := range q.h {
		for x := range q.w {
			if !marked[y*q.w+x] {
				continue
			}
			least := float32(most)
			for ny := max(y-reach, 0); ny <= min(y+reach, q.h-1); ny++ {
				for nx := max(x-reach, 0); nx <= min(x+reach, q.w-1); nx++ {
					if i := ny*q.w + nx; !marked[i] {
						least = min(least, q.v[i])
					}
				}
			}
			if least < most {
				q.v[y*q.w+x] = least
			}
		}
	}
}

// typical replaces each block's contrast by one that print near by has: of the
// blocks around it whose contrast is above the grain, half have less.
func (q grid) typical(grain grid) grid {
	const reach, levels = 3, 64
	out := q.like()
	Parallel(q.h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range q.w {
				var hist [levels]int
				n := 0
				for ny := max(y-reach, 0); ny <= min(y+reach, q.h-1); ny++ {
					for nx := max(x-reach, 0); nx <= min(x+reach, q.w-1); nx++ {
						if v := q.v[ny*q.w+nx]; v > 1.5*grain.v[ny*q.w+nx] {
							hist[min(int(v)*levels/256, levels-1)]++
							n++
						}
					}
				}
				for level, want := 0, n/2; level < levels && n > 0; level++ {
					if want -= hist[level]; want < 0 {
						out.v[y*q.w+x] = (float32(level) + 0.5) * 256 / levels
						break
					}
				}
			}
		}
	})
	return out
}

// What Even marks print with: Ink what is as dark as print near by mostly is, Weak
// what is fainter and may have faded, or be no print.
const (
	Weak uint8 = 1 + iota
	Ink
)

// Even divides g by the light that falls on it, so that paper is near 250
// wherever it lies in shadow, lamp light or colour, and marks in ink, with Ink
// and Weak, what is print. Paper is taken to be the bright part of every neighbourhood.
//
// The limit lies between the paper and what print near by mostly measures, firm
// (0 to 1) of the way, so that weak print counts beside a blot, a hole or bold
// print. It
// keeps clear of the grain of the paper, which in the dark is as strong as
// weak print.
func Even(g *image.Gray, firm float32) (even, ink *image.Gray) {
	return evenFrom(g, firm, weakPrint)
}

// Faint marks the print in g as Even does, down to what is darker than the paper by
// weakest. That tells print only in a picture that was blurred: there grain is weaker,
// and dots and broken strokes have grown together.
func Faint(g *image.Gray, firm, weakest float32) (ink *image.Gray) {
	_, ink = evenFrom(g, firm, weakest)
	return ink
}

// evenFrom is Even for print that is at least weakest darker than paper.
func evenFrom(g *image.Gray, firm, weakest float32) (even, ink *image.Gray) {
	light, dark, grain := measure(g)
	own := light
	// A block full of thick print has no paper in it: take that of its
	// neighbours, then shrink back so that a dark edge does not grow.
	least := light.spread(1, 1).spread(3, -1)
	light = light.spread(2, 1).spread(1, -1).smooth(1)
	edges := newLight(g, light, least)
	// A table darker than print must not tell how dark print at the paper's edge is, nor
	// the edge itself how grainy.
	off := aside(g, own, light)
	grain.leastBeside(off)
	grain = grain.smooth(1)
	for i := range grain.v {
		toPaper := paperTone / max(light.v[i], 8)
		grain.v[i] = max(weakest, grainFree*grain.v[i]*toPaper)
		if dark.v[i] = paperTone - dark.v[i]*toPaper; off[i] {
			dark.v[i] = 0
		}
	}
	limit := dark.typical(grain)
	if weakest < weakPrint {
		// A pen is much darker than faint print, which must be seen beside it.
		most := mostlyPrint * limit.above(2)
		for i, v := range limit.v {
			limit.v[i] = min(v, most)
		}
	}
	weak := limit.like()
	behind := backPrint * limit.above(4)
	for i, contrast := range limit.v {
		limit.v[i] = paperTone - max(firm*contrast, grain.v[i], behind)
		weak.v[i] = paperTone - max(faded*firm*contrast, grain.v[i], 0.7*behind)
	}
	limit, weak = limit.smooth(1), weak.smooth(1)
	w, h := g.Rect.Dx(), g.Rect.Dy()
	even, ink = New(w, h), New(w, h)
	Parallel(h, func(from, to int) {
		paper, below, perhaps := make([]float32, w), make([]float32, w), make([]float32, w)
		for y := from; y < to; y++ {
			edges.row(y, paper, w)
			limit.row(y, below, w)
			weak.row(y, perhaps, w)
			out, mark := even.Pix[y*even.Stride:], ink.Pix[y*ink.Stride:]
			for x, v := range g.Pix[y*g.Stride : y*g.Stride+w] {
				e := float32(v) * paperTone / max(paper[x], 8)
				out[x] = uint8(min(e, 255))
				switch {
				case e < below[x]:
					mark[x] = Ink
				case e < perhaps[x]:
					mark[x] = Weak
				}
			}
		}
	})
	return even, ink
}

const (
	// paperTone is the brightness that evenly lit paper gets.
	paperTone = 250
	// weakPrint is how much darker than paper print is at least.
	weakPrint = 22
	// backPrint is how dark print is at least beside most of the print: what is
	// fainter shows through from the back.
	backPrint = 0.2
	// tableTone is how bright beside paper a block is at most that has none.
	tableTone = 0.4
	// mostlyPrint is how much darker than most print what is looked for is at most where
	// print is faint.
	mostlyPrint = 1.3
	// faded is how much of the way to firm print weak print goes at least.
	faded = 0.3
	// grainFree is how many standard deviations print stands out of the grain.
	grainFree = 4
)

// measure takes the paper's brightness, the darkest print and the standard
// deviation of the paper's grain in each block.
func measure(g *image.Gray) (light, dark, grain grid) {
	light, dark, grain = newGrid(g, block), newGrid(g, block), newGrid(g, block)
	w, h := g.Rect.Dx(), g.Rect.Dy()
	Parallel(light.h, func(from, to int) {
		for by := from; by < to; by++ {
			for bx := range light.w {
				r := image.Rect(bx*block, by*block, min((bx+1)*block, w), min((by+1)*block, h))
				hist, n := Histogram(g, r)
				i := by*light.w + bx
				light.v[i] = float32(Percentile(&hist, n, 0.8))
				dark.v[i] = float32(Percentile(&hist, n, 0.04))
				// Between these two lie 0.757 standard deviations of a bell curve.
				grain.v[i] = (float32(Percentile(&hist, n, 0.9)) - float32(Percentile(&hist, n, 0.7))) / 0.757
			}
		}
	})
	return light, dark, grain
}
