package paper

import (
	"math"
	"sync"
	"sync/atomic"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// quad is four lines that may be the sides of a paper.
type quad struct {
	sides   [4]line // top, right, bottom, left
	corners [4]raster.Point
	support [4]float64
	score   float64
}

// bestQuad tries every four lines that face each other in pairs.
func (v *view) bestQuad(lines []line) (best quad, ok bool) {
	w, h := float64(v.w), float64(v.h)
	lines = append(lines,
		line{1, 0, 0, 0, true}, line{-1, 0, -(w - 1), 0, true},
		line{0, 1, 0, 0, true}, line{0, -1, -(h - 1), 0, true})
	var pairs [][2]line
	for i, a := range lines {
		for _, b := range lines[i+1:] {
			if faces(a, b, 0.07*max(w, h)) {
				pairs = append(pairs, [2]line{a, b})
			}
		}
	}
	// Each takes the pairs in turn; the best so far of all is what there is to beat.
	const hands = 4
	var (
		wg    sync.WaitGroup
		mu    sync.Mutex
		first int // the pair that the best began with
		beat  atomic.Uint64
	)
	for hand := range hands {
		wg.Go(func() {
			for i := hand; i < len(pairs); i += hands {
				for _, q := range pairs[i+1:] {
					candidate, fits := v.quadOf(pairs[i], q)
					if !fits {
						continue
					}
					v.rate(&candidate, math.Float64frombits(beat.Load()))
					if candidate.score == 0 {
						continue
					}
					mu.Lock()
					if candidate.score > best.score || candidate.score == best.score && i < first {
						best, first = candidate, i
						beat.Store(math.Float64bits(best.score))
					}
					mu.Unlock()
				}
			}
		})
	}
	wg.Wait()
	return best, best.score > minScore
}

// minScore is the score from which a quad is taken for a paper: below it lie
// the frames, table edges and shadows of pictures without one.
const minScore = 0.38

// faces reports whether a and b are turned towards each other, at least apart
// from each other.
func faces(a, b line, apart float64) bool {
	if a.border && b.border && a.nx*b.nx+a.ny*b.ny > -0.9 {
		return false
	}
	return a.nx*b.nx+a.ny*b.ny < -0.93 && -(a.rho+b.rho) > apart
}

// quadOf names the sides: the top is the one from which the lines of print
// follow each other.
func (v *view) quadOf(p, q [2]line) (out quad, ok bool) {
	if math.Abs(p[0].nx*q[0].nx+p[0].ny*q[0].ny) > 0.4 {
		return out, false // not across each other
	}
	four := []line{p[0], p[1], q[0], q[1]}
	sin, cos := math.Sincos(v.angle)
	down := func(l line) float64 { return l.ny*cos - l.nx*sin }
	top := 0
	for i, l := range four {
		if down(l) > down(four[top]) {
			top = i
		}
	}
	if down(four[top]) < 0.88 && len(v.letters) > 0 {
		return out, false // the print runs aslant in it
	}
	out.sides[Top] = four[top]
	out.sides[Bottom] = four[top^1]
	left, right := four[(top+2)%4], four[(top+2)%4^1]
	if left.nx*cos+left.ny*sin < right.nx*cos+right.ny*sin {
		left, right = right, left
	}
	out.sides[Left], out.sides[Right] = left, right
	borders := 0
	for i := range 4 {
		c, meets := out.sides[i].meet(out.sides[(i+3)%4])
		if !meets || c.X < -0.35*float64(v.w) || c.X > 1.35*float64(v.w) || c.Y < -0.35*float64(v.h) || c.Y > 1.35*float64(v.h) {
			return out, false
		}
		out.corners[i] = c
		if out.sides[i].border {
			borders++
		}
	}
	return out, borders <= 3 && convex(out.corners)
}

// convex reports whether the corners run clockwise around one area.
func convex(c [4]raster.Point) bool {
	for i := range 4 {
		a, b, d := c[i], c[(i+1)%4], c[(i+2)%4]
		if (b.X-a.X)*(d.Y-b.Y)-(b.Y-a.Y)*(d.X-b.X) <= 0 {
			return false
		}
	}
	return true
}

// rate works out how well the sides of q stand out. It stops where q cannot
// get above the score to beat.
func (v *view) rate(q *quad, beat float64) {
	var length [4]float64
	around := 0.0
	for i := range 4 {
		a, b := q.corners[i], q.corners[(i+1)%4]
		length[i] = math.Hypot(b.X-a.X, b.Y-a.Y)
		around += length[i]
	}
	opposite := min(length[0], length[2])/max(length[0], length[2]) + min(length[1], length[3])/max(length[1], length[3])
	if opposite < 1.1 {
		return
	}
	// What is quickly known comes first: most quads cannot win with it any more.
	most := math.Pow(area(q.corners)/float64(v.w*v.h), 0.15) * v.along(q.corners)
	if most < beat {
		return
	}
	share := v.inside(q.corners)
	if len(v.others) > 0 {
		share = max(share-foreign*insideOf(v.others, q.corners), 0)
	}
	if most *= 0.25 + 0.75*share*share*share; most < beat {
		return
	}
	sum, left := 0.0, around
	for i := range 4 {
		q.support[i] = v.support(q.corners[i], q.corners[(i+1)%4], q.sides[i])
		sum += length[i] * q.support[i]
		left -= length[i]
		if q.support[i] < 0.12 || (sum+left)/around*most < beat {
			return
		}
	}
	q.score = sum / around * most
}

// foreign is how much worse a letter of other print within a paper is than one of its own
// outside.
const foreign = 3

// along is how well the print runs along the upper and lower side and across the
// others, 1 where it does as far as perspective lets it.
func (v *view) along(c [4]raster.Point) float64 {
	if len(v.letters) < lines.Few {
		return 1
	}
	turned := func(a, b, d, e raster.Point) float64 {
		return math.Atan2((b.Y-a.Y)+(e.Y-d.Y), (b.X-a.X)+(e.X-d.X)) - v.angle
	}
	fit := func(angle, free, width float64) float64 {
		// Whether lines run there or back is not known.
		off := math.Abs(math.Remainder(angle, math.Pi)) * 180 / math.Pi
		return math.Exp(-math.Pow(max(off-free, 0)/width, 2))
	}
	return fit(turned(c[0], c[1], c[3], c[2]), 3, 6) * fit(turned(c[0], c[3], c[1], c[2])-math.Pi/2, 8, 14)
}

// inside is the share of the print that lies within the corners.
func (v *view) inside(c [4]raster.Point) float64 {
	if len(v.letters) == 0 {
		return 1
	}
	return insideOf(v.letters, c)
}

// insideOf is the share of letters that lies within the corners.
func insideOf(letters []raster.Point, c [4]raster.Point) float64 {
	n := 0
	var grace [4]float64
	for i := range 4 {
		// Two pixels of grace: the edge is not known more exactly.
		grace[i] = -2 * math.Hypot(c[(i+1)%4].X-c[i].X, c[(i+1)%4].Y-c[i].Y)
	}
	for _, p := range letters {
		in := true
		for i := range 4 {
			a, b := c[i], c[(i+1)%4]
			if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) < grace[i] {
				in = false
				break
			}
		}
		if in {
			n++
		}
	}
	return float64(n) / float64(len(letters))
}

// area is that of a convex quad.
func area(c [4]raster.Point) float64 {
	sum := 0.0
	for i := range 4 {
		a, b := c[i], c[(i+1)%4]
		sum += a.X*b.Y - a.Y*b.X
	}
	return math.Abs(sum) / 2
}

// support is how much of the way from a to b the picture turns bright to the
// side of l's normal, from 0 to 1.
func (v *view) support(a, b raster.Point, l line) float64 {
	const borderWorth = 0.25
	if l.border {
		return borderWorth
	}
	n := max(int(math.Hypot(b.X-a.X, b.Y-a.Y)/5), 4)
	sum := 0.0
	for i := range n {
		t := (float64(i) + 0.5) / float64(n)
		x, y := a.X+(b.X-a.X)*t, a.Y+(b.Y-a.Y)*t
		if !v.in(x, y, 2) {
			sum += borderWorth
			continue
		}
		sum += v.edge(x, y, l)
	}
	return sum / float64(n)
}

func (v *view) in(x, y, margin float64) bool {
	return x >= margin && y >= margin && x < float64(v.w)-margin && y < float64(v.h)-margin
}

// edge is how clearly the picture turns bright at x, y or within three pixels
// of it, from 0 to 1: the slope there, and whether it stays bright further in.
func (v *view) edge(x, y float64, l line) float64 {
	best, at := 0.0, 0.0
	for d := -3.0; d <= 3; d++ {
		px, py := x+d*l.nx, y+d*l.ny
		if !v.in(px, py, 1) {
			continue
		}
		i := int(py)*v.w + int(px)
		if slope := float64(v.gx[i])*l.nx + float64(v.gy[i])*l.ny; slope > best {
			best, at = slope, d
		}
	}
	if best < weakest {
		return 0
	}
	inner, outer := v.toneAt(x+(at+6)*l.nx, y+(at+6)*l.ny), v.toneAt(x+(at-6)*l.nx, y+(at-6)*l.ny)
	return min(best/0.04, 1) * min(max((inner-outer)/0.2, 0), 1)
}

// toneAt is the tone at x, y, that of the border beyond it.
func (v *view) toneAt(x, y float64) float64 {
	px, py := min(max(int(x), 0), v.w-1), min(max(int(y), 0), v.h-1)
	return float64(v.tone[py*v.w+px])
}
