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

// slope is a line that runs down the paper: x = a + b·y.
type slope struct{ a, b float64 }

func (s slope) at(y float64) float64 { return s.a + s.b*y }

// leastColumns is how many lines must have an item and its price twice for the
// paper to be taken for two side by side.
const leastColumns = 4

var (
	priced = regexp.MustCompile(`\d[.,]\d\d\D{0,2}$`)
	named  = regexp.MustCompile(`\pL{3}`)
)

// columns finds the gutter between two columns of which each has names and
// prices: the line along the right end of the left one, and that along the left
// end of the right one. toFlat maps the boxes of words to the flat paper.
func columns(all []Line, toFlat raster.Plane) (left, right slope, ok bool) {
	var ends, begins []raster.Point
	for _, l := range all {
		if len(l.Readings) == 0 {
			continue
		}
		if a, b, ok := gutter(l.Readings[0].Words); ok {
			ends = append(ends, toFlat.Map(raster.Point{X: float64(a.X + a.W), Y: float64(a.Y) + float64(a.H)/2}))
			begins = append(begins, toFlat.Map(raster.Point{X: float64(b.X), Y: float64(b.Y) + float64(b.H)/2}))
		}
	}
	if len(ends) < leastColumns {
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
