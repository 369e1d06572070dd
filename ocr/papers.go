package ocr

import (
	"image"
	"regexp"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// Sheet is one paper of a photo, in pixels of the photo at full size as the
// camera's own note turns it.
type Sheet = paper.Sheet

// paperIn finds the paper in g, which is smaller than the photo by shrink, and
// the papers in the photo where there are several; only is taken where it is
// given.
func paperIn(g *image.Gray, print lines.Survey, only *Sheet, shrink float64) (sheet Sheet, found bool, papers []Sheet) {
	if only != nil {
		return scaled(*only, 1/shrink), true, nil
	}
	sheet, found, papers = paper.Look(g, print)
	for i := range papers {
		papers[i] = scaled(papers[i], shrink)
	}
	return sheet, found, papers
}

func scaled(s Sheet, by float64) Sheet {
	for i := range s.Corners {
		s.Corners[i].X *= by
		s.Corners[i].Y *= by
	}
	return s
}

// papersOf are the papers in the photo, where there are several: by their edges,
// else by what was read. None of the latter was seen: their score is 0.
func (f *flattened) papersOf(p *photo, page *Page) []Sheet {
	if page.Paper != nil || f.papers != nil {
		return f.papers
	}
	// The photo was turned by f.turn since its edges were looked for.
	w, h := p.width, p.height
	turned := quarterTurns(f.turn, w, h)
	flat := turned.Inverse().After(f.toPhoto)
	left, right, ok := columns(page.Lines, f.toPhoto.Inverse())
	if !ok {
		return nil
	}
	fw, fh := float64(f.grey.Rect.Dx()), float64(f.grey.Rect.Dy())
	sheet := func(x0, x1, x2, x3 float64) (s Sheet) {
		for i, c := range [4]raster.Point{{X: x0}, {X: x1}, {X: x2, Y: fh}, {X: x3, Y: fh}} {
			s.Corners[i] = flat.Map(c)
		}
		s.Seen = [4]bool{f.seen[paper.Top], false, f.seen[paper.Bottom], false}
		return s
	}
	return []Sheet{sheet(0, left.at(0), left.at(fh), 0), sheet(right.at(0), fw, fw, right.at(fh))}
}

// columns finds the gutter between two columns of which each has names and prices:
// the line along the right end of the left one, and that along the left end of the
// right one. It is looked for in lines that have both twice; then in those where a
// price ends, or a name whose price another paper hides, and a name begins after a
// wide blank; then between lines that stand beside each other. toFlat maps the boxes
// of words to the flat paper.
func columns(all []Line, toFlat raster.Plane) (left, right slope, ok bool) {
	for _, way := range []struct {
		find  func([]Word) (Box, Box, bool)
		least int
	}{{gutter, leastColumns}, {wideGutter, leastColumns}, {nameGutter, leastNames}} {
		var ends, begins []raster.Point
		for _, l := range all {
			if len(l.Readings) == 0 {
				continue
			}
			if a, b, ok := way.find(l.Readings[0].Words); ok {
				ends = append(ends, toFlat.Map(raster.Point{X: float64(a.X + a.W), Y: float64(a.Y) + float64(a.H)/2}))
				begins = append(begins, toFlat.Map(raster.Point{X: float64(b.X), Y: float64(b.Y) + float64(b.H)/2}))
			}
		}
		if left, right, ok := between(ends, begins, way.least); ok {
			return left, right, ok
		}
	}
	ends, begins := besides(all, toFlat)
	return between(ends, begins, leastColumns)
}

// between is the gutter between ends and begins, where most of them agree on one.
func between(ends, begins []raster.Point, least int) (left, right slope, ok bool) {
	all := len(ends)
	if all < least {
		return left, right, false
	}
	ends, begins = agreeing(ends, begins)
	if len(ends) < least || 10*len(ends) < 6*all {
		return left, right, false
	}
	left, right = along(ends, 1), along(begins, -1)
	mid := ends[len(ends)/2].Y
	gap := right.at(mid) - left.at(mid)
	if gap <= 2 {
		return left, right, false
	}
	left.a, right.a = left.a+gap/3, right.a-gap/3
	return left, right, true
}

// agreeing are those of the blanks from ends to begins through which one line
// runs down the paper.
func agreeing(ends, begins []raster.Point) (e, b []raster.Point) {
	mids := make([]raster.Point, len(ends))
	for i := range ends {
		mids[i] = raster.Point{X: (ends[i].X + begins[i].X) / 2, Y: (ends[i].Y + begins[i].Y) / 2}
	}
	down := along(mids, 1).b
	through := func(i int, x float64) bool {
		return ends[i].X-down*ends[i].Y <= x && x <= begins[i].X-down*begins[i].Y
	}
	best, most := 0.0, 0
	for k := range ends {
		x, n := ends[k].X-down*ends[k].Y, 0
		for i := range ends {
			if through(i, x) {
				n++
			}
		}
		if n > most {
			best, most = x, n
		}
	}
	for i := range ends {
		if through(i, best) {
			e, b = append(e, ends[i]), append(b, begins[i])
		}
	}
	return e, b
}

// besides finds the blanks between lines that have a name and a price each and
// of which one stands wholly to the right of the one before or after it.
func besides(all []Line, toFlat raster.Plane) (ends, begins []raster.Point) {
	type extent struct{ from, to raster.Point }
	var lines []extent
	for _, l := range all {
		if len(l.Readings) == 0 {
			continue
		}
		ws := l.Readings[0].Words
		if !hasName(ws) || !slices.ContainsFunc(ws, func(w Word) bool { return priced.MatchString(w.Text) }) {
			continue
		}
		first, last := ws[0].Box, ws[len(ws)-1].Box
		lines = append(lines, extent{toFlat.Map(raster.Point{X: float64(first.X), Y: float64(first.Y) + float64(first.H)/2}),
			toFlat.Map(raster.Point{X: float64(last.X + last.W), Y: float64(last.Y) + float64(last.H)/2})})
	}
	for i := 1; i < len(lines); i++ {
		a, b := lines[i-1], lines[i]
		if a.from.X > b.from.X {
			a, b = b, a
		}
		if a.to.X < b.from.X {
			ends, begins = append(ends, a.to), append(begins, b.from)
		}
	}
	return ends, begins
}

// slope is a line that runs down the paper: x = a + b·y.
type slope struct{ a, b float64 }

func (s slope) at(y float64) float64 { return s.a + s.b*y }

// leastColumns is how many lines must have an item and its price twice for the
// paper to be taken for two side by side, leastNames how many must have two
// names far apart: heads of a receipt have that too.
const (
	leastColumns = 4
	leastNames   = 7
)

var (
	priced = regexp.MustCompile(`\d[.,]\d\d\D{0,2}$`)
	named  = regexp.MustCompile(`\pL{3}`)
)

// gutter finds in a line that has a name and a price twice the words on either
// side of the gutter: the price may have a flag behind it.
func gutter(ws []Word) (left, right Box, ok bool) {
	isPrice := func(w Word) bool { return priced.MatchString(w.Text) }
	i := slices.IndexFunc(ws, isPrice)
	if i < 1 || !hasName(ws[:i]) {
		return left, right, false
	}
	j := slices.IndexFunc(ws[i+1:], isPrice) + i + 1
	if j == i || !hasName(ws[i+1:j]) {
		return left, right, false
	}
	widest := -1
	for k := i; k < j; k++ {
		if k > i && len(ws[k].Text) > 2 {
			break
		}
		if gap := ws[k+1].Box.X - ws[k].Box.X - ws[k].Box.W; gap > widest {
			widest, left, right = gap, ws[k].Box, ws[k+1].Box
		}
	}
	return left, right, true
}

// wideGutter finds in a line the words on either side of its widest blank after a
// price, where a name follows and the blank is no mere space.
func wideGutter(ws []Word) (left, right Box, ok bool) {
	return widestBlank(ws, func(k int) bool {
		return priced.MatchString(ws[k].Text) || k > 0 && len(ws[k].Text) <= 2 && priced.MatchString(ws[k-1].Text)
	})
}

// nameGutter finds in a line the words on either side of its widest blank with
// names before and behind it.
func nameGutter(ws []Word) (left, right Box, ok bool) {
	return widestBlank(ws, func(k int) bool { return hasName(ws[:k+1]) })
}

// widestBlank is the widest blank of a line that a name follows and where, after
// word k, one may end.
func widestBlank(ws []Word, ends func(k int) bool) (left, right Box, ok bool) {
	wide, letters := 0, 0
	for _, w := range ws {
		wide, letters = wide+w.Box.W, letters+len(w.Text)
	}
	const spaces = 2.5
	widest := int(spaces * float64(wide) / float64(max(letters, 1)))
	for k := range max(len(ws)-1, 0) {
		if gap := ws[k+1].Box.X - ws[k].Box.X - ws[k].Box.W; gap > widest && ends(k) && hasName(ws[k+1:]) {
			widest, left, right, ok = gap, ws[k].Box, ws[k+1].Box, true
		}
	}
	return left, right, ok
}

func hasName(ws []Word) bool {
	return slices.ContainsFunc(ws, func(w Word) bool { return named.MatchString(w.Text) })
}

// along is the line with the middle slope through points, moved sideways (to the
// right for side 1) until all but a few of them are on one side of it.
func along(ps []raster.Point, side float64) slope {
	var slopes []float64
	for i, p := range ps {
		for _, q := range ps[i+1:] {
			if dy := q.Y - p.Y; dy > 1 || dy < -1 {
				slopes = append(slopes, (q.X-p.X)/dy)
			}
		}
	}
	s := slope{}
	if len(slopes) > 0 {
		slices.Sort(slopes)
		s.b = slopes[len(slopes)/2]
	}
	var rest []float64
	for _, p := range ps {
		rest = append(rest, side*(p.X-s.b*p.Y))
	}
	slices.Sort(rest)
	s.a = side * rest[len(rest)-1-len(rest)/10]
	return s
}
