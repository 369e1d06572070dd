package ocr

import (
	"cmp"
	"math"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// What tells how a paper really lies, and from when on that matters.
const (
	// longLine is how many letters a line must have to say how it runs.
	longLine = 7
	// leastLong is the least number of such lines that tell of the whole paper.
	leastLong = 8
	// level and lean are how far lines may run from level, and their ends from
	// upright, as slopes: within it each line is followed as it is.
	level, lean = 0.05, 0.15
)

// straighten finds out of the lines of print how the paper lies where its edges did
// not tell rightly: papers curl, and one as bright as its table shows no edge. It
// returns the way from a picture of w by h pixels in which lines run level and
// begin below each other back to that of f; ok is false where they do so already.
func (f *flattened) straighten() (back raster.Plane, w, h float64, ok bool) {
	var long []lines.Strip
	for _, s := range f.lines().Strips() {
		if s.Regular && s.Letters >= longLine && s.X1-s.X0 > 4*s.Height {
			long = append(long, s)
		}
	}
	if len(long) < leastLong {
		return back, 0, 0, false
	}
	slices.SortFunc(long, func(a, b lines.Strip) int { return cmp.Compare(middleOf(a).Y, middleOf(b).Y) })
	first, last := middleOf(long[0]).Y, middleOf(long[len(long)-1]).Y
	run := runOf(long)
	left := edgeOf(long, func(s lines.Strip) raster.Point { return raster.Point{X: s.X0, Y: s.Base(s.X0)} })
	right := edgeOf(long, func(s lines.Strip) raster.Point { return raster.Point{X: s.X1, Y: s.Base(s.X1)} })
	if last-first < 8*long[0].Height {
		return back, 0, 0, false
	}
	if left == nil && right == nil {
		// No two lines begin or end below each other: the sides lie across the lines.
		at := (run.at(first) + run.at(last)) / 2
		left, right = &slope{b: -at}, &slope{a: 1, b: -at}
	} else if left == nil {
		left = &slope{a: right.a - 1, b: right.b}
	} else if right == nil {
		right = &slope{a: left.a + 1, b: left.b}
	}
	if max(math.Abs(run.at(first)), math.Abs(run.at(last))) < level && max(math.Abs(left.b), math.Abs(right.b)) < lean {
		return back, 0, 0, false
	}
	if math.Abs(left.b) > 1 || math.Abs(right.b) > 1 {
		return back, 0, 0, false
	}
	return f.byLines(long, run, *left, *right)
}

// middleOf is the middle of the line that s follows.
func middleOf(s lines.Strip) raster.Point {
	x := (s.X0 + s.X1) / 2
	return raster.Point{X: x, Y: s.Base(x)}
}

// runOf is the slope of the lines, as it changes down the paper.
func runOf(long []lines.Strip) slope {
	var run slope
	weight := make([]float64, len(long))
	for i := range weight {
		weight[i] = long[i].X1 - long[i].X0
	}
	of := func(s lines.Strip) float64 { return (s.Base(s.X1) - s.Base(s.X0)) / (s.X1 - s.X0) }
	for range 8 {
		var sw, sy, syy, sv, syv float64
		for i, s := range long {
			y, v := middleOf(s).Y, of(s)
			// A line that runs unlike the others is none.
			w := weight[i]
			if run != (slope{}) {
				d := (v - run.at(y)) / 0.02
				w /= 1 + d*d
			}
			sw, sy, syy, sv, syv = sw+w, sy+w*y, syy+w*y*y, sv+w*v, syv+w*y*v
		}
		det := sw*syy - sy*sy
		if det <= 0 {
			return run
		}
		run = slope{a: (sv*syy - sy*syv) / det, b: (sw*syv - sy*sv) / det}
	}
	return run
}

// edgeOf is the line along which most of the lines begin or end, nil where too few
// do so.
func edgeOf(long []lines.Strip, end func(lines.Strip) raster.Point) *slope {
	var best *slope
	most := max(4, len(long)/4)
	for i, s := range long {
		p := end(s)
		for _, t := range long[i+1:] {
			q := end(t)
			if q.Y-p.Y < 6*s.Height {
				continue
			}
			b := (q.X - p.X) / (q.Y - p.Y)
			e := slope{p.X - b*p.Y, b}
			n := 0
			for _, u := range long {
				if r := end(u); math.Abs(r.X-e.at(r.Y)) < 0.5*u.Height {
					n++
				}
			}
			if n > most {
				most, best = n, &e
			}
		}
	}
	return best
}

// byLines is the way back from a picture in which the long lines, which run so between
// those sides, are level and begin below each other. It shows all of f that is known
// to be paper.
func (f *flattened) byLines(long []lines.Strip, run, left, right slope) (back raster.Plane, w, h float64, ok bool) {
	first, last := middleOf(long[0]).Y, middleOf(long[len(long)-1]).Y
	// corner is where a line through the middle of the sides at y meets side.
	corner := func(side slope, y float64) raster.Point {
		mid := (left.at(y) + right.at(y)) / 2
		// x = a + b·(y + m·(x - mid))
		m := run.at(y)
		x := (side.a + side.b*(y-m*mid)) / (1 - side.b*m)
		return raster.Point{X: x, Y: y + m*(x-mid)}
	}
	c := [4]raster.Point{corner(left, first), corner(right, first), corner(right, last), corner(left, last)}
	if math.Abs(right.at(first)-left.at(first)) < 2 || math.Abs(right.at(last)-left.at(last)) < 2 {
		// One side alone is known: the other one is as far away everywhere.
		for i, side := range [2]int{0, 3} {
			y := [2]float64{first, last}[i]
			c[side^1] = raster.Point{X: c[side].X + 100, Y: c[side].Y + 100*run.at(y)}
		}
	}
	side := func(i, j int) float64 { return math.Hypot(c[i].X-c[j].X, c[i].Y-c[j].Y) }
	cw, ch := (side(0, 1)+side(3, 2))/2, (side(0, 3)+side(1, 2))/2
	flat := [4]raster.Point{{}, {X: cw}, {X: cw, Y: ch}, {Y: ch}}
	there, ok := raster.PlaneBetween(c, flat)
	if !ok {
		return back, 0, 0, false
	}
	all := newExtent()
	fw, fh := float64(f.grey.Rect.Dx()), float64(f.grey.Rect.Dy())
	for _, p := range [4]raster.Point{{}, {X: fw}, {X: fw, Y: fh}, {Y: fh}} {
		q := there.Map(p)
		all.add(q.X, q.Y)
	}
	if !f.cut {
		part := newExtent()
		for _, s := range long {
			for _, x := range [2]float64{s.X0, s.X1} {
				q := there.Map(raster.Point{X: x, Y: s.Base(x)})
				part.add(q.X, q.Y)
			}
		}
		down, across := blankLines*long[0].Height, blankLetters/2*long[0].Height
		all = extent{part.x0 - across, part.y0 - down, part.x1 + across, part.y1 + down}.within(all)
	}
	if all.w()*all.h() > flatPixels || all.w()*all.h() > 2.5*fw*fh || math.IsNaN(all.w()*all.h()) {
		return back, 0, 0, false
	}
	return there.Inverse().After(raster.Plane{1, 0, all.x0, 0, 1, all.y0, 0, 0, 1}), all.w(), all.h(), true
}
