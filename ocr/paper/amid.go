package paper

import (
	"cmp"
	"image"
	"math"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// How a paper is told from the page of print around it by where the one print ends and the
// other begins, in heights of a letter where nothing else is said.
const (
	// leanMost is how far a side may lean from across the lines, leanStep in what steps it
	// is tried, as slopes.
	leanMost, leanStep = 0.4, 0.02
	// leanCost is what lean is worth of blank beside the print.
	leanCost = 10
	// strays is how many letters of the page are taken for such that are none, or the other
	// way round, along a side, strayCost what each is worth of blank beside the print.
	strays, strayCost = 4, 0.5
	// roomBeside is how much paper there is beside print where no page's print ends it.
	roomBeside = 8
	// pageDeep is how far down at least pageLetters letters of a page stand in more than one
	// row, as far apart as pageRows on the mean, and over pageWide of the paper's width: a
	// heading in bold print is a row.
	pageDeep, pageLetters, pageRows, pageWide = 6, 8, 1, 0.5
	// sureDeep and sureRows are the same for an end that is sure: two bold rows of a
	// receipt are none.
	sureDeep, sureRows = 10, 1.8
	// clearOf is how far from the middle of a page's letters the paper may begin.
	clearOf = 0.8
	// printRoom is how far from the outermost letters it ends at least.
	printRoom = 1.5
)

// Amid is the paper that lies on a page of print, between the letters and the others of
// print, where no edge of it was seen; r is the picture. Its upper and lower side count as
// seen where several rows of the page's print begin there.
func Amid(print lines.Survey, r image.Rectangle) (s Sheet, ok bool) {
	if len(print.Letters) < lines.Few || len(print.Others) < lines.Few || print.Height <= 0 {
		return s, false
	}
	a := amid{height: print.Height}
	a.sin, a.cos = math.Sincos(print.Angle)
	for _, p := range print.Letters {
		a.letters = append(a.letters, a.turned(p))
	}
	for _, p := range print.Others {
		a.others = append(a.others, a.turned(p))
	}
	ys := along(a.letters, func(p raster.Point) float64 { return p.Y })
	a.top, a.bottom = ys[len(ys)/50], ys[len(ys)-1-len(ys)/50]
	a.middle = (a.top + a.bottom) / 2
	var left, right edge
	// Print that was not seen at first is between the sides, as far as the page leaves off.
	for range 2 {
		left, right = a.sides()
		above, below := a.end(left, right, -1, r), a.end(left, right, 1, r)
		a.top, a.bottom = above.y, below.y
		s.Seen[Top], s.Seen[Bottom] = above.sure, below.sure
	}
	for i, c := range [4]raster.Point{{X: left.at(a.top), Y: a.top}, {X: right.at(a.top), Y: a.top}, {X: right.at(a.bottom), Y: a.bottom}, {X: left.at(a.bottom), Y: a.bottom}} {
		s.Corners[i] = raster.Point{X: a.cos*c.X - a.sin*c.Y, Y: a.sin*c.X + a.cos*c.Y}
	}
	return s, convex(s.Corners)
}

// amid is print turned so that its lines run level; top and bottom are how far the paper
// is known to reach, middle is where its sides are told from.
type amid struct {
	sin, cos, height    float64
	letters, others     []raster.Point
	top, bottom, middle float64
}

func (a *amid) turned(p raster.Point) raster.Point {
	return raster.Point{X: a.cos*p.X + a.sin*p.Y, Y: a.cos*p.Y - a.sin*p.X}
}

// edge is a side of the paper: x = x0 + lean·(y - y0).
type edge struct{ x0, y0, lean float64 }

func (e edge) at(y float64) float64 { return e.x0 + e.lean*(y-e.y0) }

// along are the places of ps in order.
func along(ps []raster.Point, at func(raster.Point) float64) []float64 {
	out := make([]float64, len(ps))
	for i, p := range ps {
		out[i] = at(p)
	}
	slices.Sort(out)
	return out
}

// sides are the left and right side. Where no page ends the one it leans as the other does.
func (a *amid) sides() (left, right edge) {
	left, bounded := a.side(1)
	right, other := a.side(-1)
	switch {
	case !bounded && other:
		left = a.beside(1, right.lean)
	case bounded && !other:
		right = a.beside(-1, left.lean)
	}
	return left, right
}

// beside is a side, the left one for sign 1, as far from the letters as paper may go on.
func (a *amid) beside(sign, lean float64) edge {
	us := along(a.letters, func(p raster.Point) float64 { return sign * (p.X - lean*(p.Y-a.middle)) })
	return edge{x0: sign * (us[len(us)/50] - roomBeside*a.height), y0: a.middle, lean: lean}
}

// side is the left side for sign 1, the right one for -1: the line beside the letters, by
// its lean, from which the page's print stays furthest away; ok is false where there is none.
func (a *amid) side(sign float64) (e edge, ok bool) {
	best := math.Inf(-1)
	for lean := -leanMost; lean <= leanMost; lean += leanStep {
		at := func(p raster.Point) float64 { return sign * (p.X - lean*(p.Y-a.middle)) }
		us := along(a.letters, at)
		first, mid := us[len(us)/50], us[len(us)/2]
		var before []float64
		within := 0
		for _, p := range a.others {
			switch u := at(p); {
			case p.Y < a.top || p.Y > a.bottom || u > mid:
			case u >= first:
				within++
			default:
				before = append(before, u)
			}
		}
		if len(before) < 2*strays {
			continue
		}
		slices.Sort(before)
		end := before[len(before)-strays]
		if worth := min((first-end)/a.height, 2*roomBeside) - strayCost*float64(within) - leanCost*math.Abs(lean); worth > best {
			best, ok = worth, true
			e = edge{x0: sign * max(min(end+clearOf*a.height, us[len(us)/200]-printRoom*a.height), first-2*roomBeside*a.height), y0: a.middle, lean: lean}
		}
	}
	if !ok {
		e = a.beside(sign, 0)
	}
	return e, ok
}

// ending is where the paper ends above or below, and whether that is sure.
type ending struct {
	y    float64
	sure bool
}

// end is where the paper ends above the letters for sign -1, below for 1: where a page's
// print begins between the sides, else where they leave the picture r.
func (a *amid) end(left, right edge, sign float64, r image.Rectangle) ending {
	from := a.top
	if sign > 0 {
		from = a.bottom
	}
	var away []raster.Point // how far away, and where across the paper
	for _, p := range a.others {
		l, r := left.at(p.Y), right.at(p.Y)
		if d := sign * (p.Y - from); d > 0 && p.X > l && p.X < r {
			away = append(away, raster.Point{X: (p.X - l) / (r - l), Y: d / a.height})
		}
	}
	slices.SortFunc(away, func(p, q raster.Point) int { return cmp.Compare(p.Y, q.Y) })
	within := func(i int, deep float64) []raster.Point {
		n := i
		for n < len(away) && away[n].Y < away[i].Y+deep {
			n++
		}
		return away[i:n]
	}
	for i, p := range away {
		if isPage(within(i, pageDeep), pageRows) {
			return ending{from + sign*max(p.Y-clearOf, 0)*a.height, isPage(within(i, sureDeep), sureRows)}
		}
	}
	for y := from; ; y += sign * a.height {
		x := (left.at(y) + right.at(y)) / 2
		if !image.Pt(int(a.cos*x-a.sin*y), int(a.sin*x+a.cos*y)).In(r) {
			return ending{y: y}
		}
	}
}

// isPage reports whether letters that stand close below each other are more than one row
// of print across the paper, as far apart as rows on the mean.
func isPage(letters []raster.Point, rows float64) bool {
	if len(letters) < pageLetters {
		return false
	}
	first, last, sum, squares := math.Inf(1), math.Inf(-1), 0.0, 0.0
	for _, p := range letters {
		first, last = min(first, p.X), max(last, p.X)
		sum, squares = sum+p.Y, squares+p.Y*p.Y
	}
	n := float64(len(letters))
	return last-first > pageWide && squares/n-sum*sum/(n*n) > rows*rows
}
