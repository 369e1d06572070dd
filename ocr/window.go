package ocr

import (
	"image"
	"math"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// extent is an upright rectangle.
type extent struct{ x0, y0, x1, y1 float64 }

func newExtent() extent {
	return extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
}

func (e *extent) add(x, y float64) {
	e.x0, e.y0, e.x1, e.y1 = min(e.x0, x), min(e.y0, y), max(e.x1, x), max(e.y1, y)
}

func (e extent) w() float64 { return e.x1 - e.x0 }
func (e extent) h() float64 { return e.y1 - e.y0 }

func (e extent) scaled(by float64) extent {
	return extent{by * e.x0, by * e.y0, by * e.x1, by * e.y1}
}

func (e extent) within(o extent) extent {
	return extent{max(e.x0, o.x0), max(e.y0, o.y0), min(e.x1, o.x1), min(e.y1, o.y1)}
}

const (
	// mostPart is the share of a picture up to which the part with the print is
	// cut out of it.
	mostPart = 0.5
	// blankLines and blankLetters are how many heights of a letter may be blank
	// within a receipt, down and across; so much is left around the print too, for
	// what the survey did not take for print.
	blankLines, blankLetters = 12, 20
	// barLines is how many may hold a bar code or a picture instead of print.
	barLines = 30
	// mostBlank is how far from a side of what is cut out the paper's edge is at most, as a
	// share of the width.
	mostBlank = 0.45
)

// upright maps a rectangle to the picture, turned so that its lines run level: to
// the part with the print, where that is known to be small, else to all of it. A
// slant that the lines are followed along anyhow is left as it is. The survey is of
// a picture smaller by factor.
func upright(print lines.Survey, factor, zoom float64, r image.Rectangle) (toPicture raster.Plane, w, h float64) {
	whole := float64(r.Dx()) * float64(r.Dy())
	angle := print.Angle
	if math.Abs(angle) < 1.5*math.Pi/180 {
		angle = 0
	}
	s, c := math.Sincos(angle)
	turned := func(x, y float64) (float64, float64) { return c*x + s*y, c*y - s*x }
	all := newExtent()
	for _, x := range [...]float64{0, float64(r.Dx())} {
		for _, y := range [...]float64{0, float64(r.Dy())} {
			all.add(turned(x, y))
		}
	}
	if part, ok := printed(print, turned); ok {
		part = part.scaled(factor).within(all)
		if part.w()*part.h() < mostPart*whole || len(print.Others) > 0 {
			all = part
		}
	}
	if w, h = all.w(), all.h(); w*h*zoom*zoom > flatPixels {
		zoom = math.Sqrt(flatPixels / (w * h))
	}
	return raster.Plane{
		c / zoom, -s / zoom, c*all.x0 - s*all.y0,
		s / zoom, c / zoom, s*all.x0 + c*all.y0,
		0, 0, 1,
	}, w * zoom, h * zoom
}

// printed is where most of the print of a survey stands, turned upright: letters
// without a wide blank between them, and around them as much as may be blank.
func printed(s lines.Survey, turned func(x, y float64) (float64, float64)) (e extent, ok bool) {
	var all []raster.Point
	for _, p := range s.Letters {
		x, y := turned(p.X, p.Y)
		all = append(all, raster.Point{X: x, Y: y})
	}
	var others []raster.Point
	for _, p := range s.Others {
		x, y := turned(p.X, p.Y)
		others = append(others, raster.Point{X: x, Y: y})
	}
	down, across := blankLines*s.Height, blankLetters*s.Height
	found := slices.Clone(all)
	all = amongFew(all, others)
	for range 2 {
		all = densest(all, func(p raster.Point) float64 { return p.Y }, down)
		all = densest(all, func(p raster.Point) float64 { return p.X }, across)
	}
	if len(all) < lines.Few {
		return e, false
	}
	e = newExtent()
	for _, p := range all {
		e.add(p.X, p.Y)
	}
	if len(s.Others) == 0 {
		for range 2 {
			e = e.beyondBars(found, across/4, barLines*s.Height)
		}
	}
	wide := extent{e.x0 - across/2, e.y0 - down, e.x1 + across/2, e.y1 + down}
	if len(others) > 0 {
		wide = e.upTo(others, wide)
	}
	return wide, true
}

// beyondBars widens e by the letters above and below it, as wide as it is but for room
// and no further than high: print goes on beneath a bar code, and below a picture.
func (e extent) beyondBars(letters []raster.Point, room, high float64) extent {
	above, below := newExtent(), newExtent()
	over, under := 0, 0
	for _, p := range letters {
		switch {
		case p.X < e.x0-room || p.X > e.x1+room:
		case p.Y < e.y0 && p.Y > e.y0-high:
			above.add(p.X, p.Y)
			over++
		case p.Y > e.y1 && p.Y < e.y1+high:
			below.add(p.X, p.Y)
			under++
		}
	}
	for _, more := range []struct {
		extent
		letters int
	}{{above, over}, {below, under}} {
		if more.letters >= lettersBeyond {
			e.add(more.x0, more.y0)
			e.add(more.x1, more.y1)
		}
	}
	return e
}

// fewOthers is how many letters of other print are less than end a paper: some of the
// receipt's own are taken for such.
const fewOthers = 8

// upTo widens e, which lies in wide, until it meets others, or to wide: paper ends
// before the print begins that it lies on.
func (e extent) upTo(others []raster.Point, wide extent) extent {
	var left, right, above, below []float64 // how far away they are
	for _, p := range others {
		across, down := p.X > e.x0 && p.X < e.x1, p.Y > e.y0 && p.Y < e.y1
		switch {
		case down && p.X <= e.x0:
			left = append(left, e.x0-p.X)
		case down && p.X >= e.x1:
			right = append(right, p.X-e.x1)
		case across && p.Y <= e.y0:
			above = append(above, e.y0-p.Y)
		case across && p.Y >= e.y1:
			below = append(below, p.Y-e.y1)
		}
	}
	room := func(others []float64, most float64) float64 {
		if len(others) < fewOthers {
			return most
		}
		slices.Sort(others)
		return min(others[fewOthers-1], most)
	}
	return extent{e.x0 - room(left, e.x0-wide.x0), e.y0 - room(above, e.y0-wide.y0),
		e.x1 + room(right, wide.x1-e.x1), e.y1 + room(below, wide.y1-e.y1)}
}

// densest is the longest run of places that are in order of at no further apart
// than gap.
func densest[T any](all []T, at func(T) float64, gap float64) []T {
	slices.SortStableFunc(all, func(a, b T) int {
		switch d := at(a) - at(b); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	var best []T
	for i, start := 1, 0; i <= len(all); i++ {
		if i == len(all) || at(all[i])-at(all[i-1]) > gap {
			if i-start > len(best) {
				best = all[start:i]
			}
			start = i
		}
	}
	return slices.Clone(best)
}

// goesOn reports whether print reaches the edge of f: if that is a part of the
// picture, it was cut too close.
func (f *flattened) goesOn() bool {
	layout := f.lines()
	w, h := float64(f.even.Rect.Dx()), float64(f.even.Rect.Dy())
	edge := blankLines / 3 * layout.Height
	return slices.ContainsFunc(layout.Strips(), func(s lines.Strip) bool {
		first, last := s.Base(s.X0), s.Base(s.X1)
		return s.Regular && (min(first, last)-s.Up < edge || max(first, last) > h-edge || s.X0 < edge || s.X1 > w-edge)
	})
}
