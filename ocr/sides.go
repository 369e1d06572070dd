package ocr

import (
	"image"

	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// sides are the left and right edge of a paper: as points of the picture that it was laid
// flat from, and as x at every y of the flat paper; nil where none is clear.
type sides struct {
	points [2][]raster.Point
	at     [2][]float64
}

// sidesOf finds the sides of the flat paper g, from which toPicture leads to the picture,
// within reach of those of g.
func sidesOf(g *image.Gray, toPicture raster.Plane, reach float64) *sides {
	const step = 8
	s := &sides{}
	s.at[0], s.at[1] = paper.Sides(g, reach)
	for k, side := range s.at {
		for y := 0; y < len(side); y += step {
			s.points[k] = append(s.points[k], toPicture.Map(raster.Point{X: side[y], Y: float64(y)}))
		}
	}
	return s
}

// onto is s on another flat paper of the same picture, h pixels high.
func (s *sides) onto(fromPicture raster.Plane, h int) *sides {
	out := &sides{points: s.points}
	for k, points := range s.points {
		if len(points) < 2 {
			continue
		}
		at := make([]float64, h)
		y := 0
		a, b := fromPicture.Map(points[0]), fromPicture.Map(points[1])
		for i := 2; y < h; y++ {
			for ; float64(y) > b.Y && i < len(points); i++ {
				a, b = b, fromPicture.Map(points[i])
			}
			at[y] = a.X
			if b.Y > a.Y {
				at[y] += (b.X - a.X) * (min(max(float64(y), a.Y), b.Y) - a.Y) / (b.Y - a.Y)
			}
		}
		out.at[k] = at
	}
	return out
}

// leastWorth is how much of the print in lines may be lost with what lies beyond the sides, and
// moreInLines how much more of the print is in lines then.
const leastWorth, moreInLines = 0.9, 0.05

// endAt takes away what lies beyond the sides of the paper, which are within reach of those of
// the picture that toPicture leads from, where only then most print is in lines. Where it is
// anyhow, what looks like a side may be the edge of a shadow, or of a coloured stripe on the
// paper.
func (f *flattened) endAt(toPicture raster.Plane, reach float64, mark func()) {
	worth, share := worthOf(f.lines())
	if share >= mostlyInLines {
		return
	}
	was := *f
	f.sides = sidesOf(f.grey, toPicture, reach)
	mark()
	if w, s := worthOf(f.lines()); w < leastWorth*worth || s < share+moreInLines {
		*f = was
	}
}

// bare is the part of a paper's width, at each side, on which nothing is printed.
const bare = 70

// wipe takes away the print that ink, of the paper shrunk by coarse, seems to have beyond
// the sides: it is that of a table, whose grain and print would make lines longer than
// they are. It goes piece by piece: cut off, the shadow at an edge would look like letters.
func (s *sides) wipe(ink *image.Gray, coarse int) {
	if s == nil {
		return
	}
	w, h := ink.Rect.Dx(), ink.Rect.Dy()
	for k, at := range s.at {
		if len(at) == 0 {
			continue
		}
		edge := func(y int) int { return min(max(int(at[min(y*coarse, len(at)-1)])/coarse, 0), w) }
		low, high := w, 0
		for y := range h {
			low, high = min(low, edge(y)), max(high, edge(y))
		}
		strip := image.Rect(0, 0, min(high+w/20, w), h)
		if k == 1 {
			strip = image.Rect(max(low-w/20, 0), 0, w, h)
		}
		part := ink.SubImage(strip).(*image.Gray)
		for _, least := range [2]uint8{raster.Ink, raster.Weak} {
			for _, p := range raster.Pieces(part, least) {
				x, at := strip.Min.X+(p.X0+p.X1)/2, edge((p.Y0+p.Y1)/2)
				if k == 0 && (p.X1 == strip.Dx() || x >= at+w/bare) || k == 1 && (p.X0 == 0 || x < at-w/bare) {
					continue
				}
				for y := p.Y0; y < p.Y1; y++ {
					clear(part.Pix[y*part.Stride+p.X0 : y*part.Stride+p.X1])
				}
			}
		}
	}
}
