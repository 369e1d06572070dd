package ocr

import (
	"image"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// A letter of a page is no larger than this in heights of a letter of the receipt on it,
// and lies beside the paper or no further within it than nearSide.
const (
	pageHigh, pageWide = 4, 12
	nearSide           = 1.5
)

// page are the letters, in the picture looked at, of the page of print that the paper in s
// lies on, those beside the paper and at its sides: what is further within may be the
// receipt's own in bold print.
func (s *sight) page() (all []raster.Point) {
	if !s.found || len(s.print.Others) < pageLetters {
		return nil
	}
	c := s.sheet.Corners
	to, ok := raster.PlaneBetween(c, unitSquare)
	if !ok {
		return nil
	}
	x := nearSide * s.print.Height / math.Hypot(c[1].X-c[0].X, c[1].Y-c[0].Y)
	y := nearSide * s.print.Height / math.Hypot(c[3].X-c[0].X, c[3].Y-c[0].Y)
	for _, p := range s.print.Others {
		if q := to.Map(p); q.X < x || q.X > 1-x || q.Y < y || q.Y > 1-y {
			all = append(all, p)
		}
	}
	return all
}

// onFlat are points of a picture that is smaller by factor than the one that leads to the
// flat paper by toFlat.
func onFlat(points []raster.Point, factor float64, toFlat raster.Plane) []raster.Point {
	out := make([]raster.Point, len(points))
	for i, p := range points {
		out[i] = toFlat.Map(raster.Point{X: p.X * factor, Y: p.Y * factor})
	}
	return out
}

// wipe takes away what ink, of the paper shrunk by coarse, has of what the paper lies on.
func (f *flattened) wipe(ink *image.Gray, coarse int) {
	f.sides.wipe(ink, coarse)
	if len(f.page) == 0 {
		return
	}
	w, h := ink.Rect.Dx(), ink.Rect.Dy()
	on := make([]bool, w*h)
	for _, p := range f.page {
		if x, y := int(p.X)/coarse, int(p.Y)/coarse; p.X >= 0 && p.Y >= 0 && x < w && y < h {
			on[y*w+x] = true
		}
	}
	for _, least := range [2]uint8{raster.Ink, raster.Weak} {
		for _, p := range raster.Pieces(ink, least) {
			if float64(p.H()*coarse) > pageHigh*f.pageHeight || float64(p.W()*coarse) > pageWide*f.pageHeight || !holds(on, w, p) {
				continue
			}
			for y := p.Y0; y < p.Y1; y++ {
				clear(ink.Pix[y*ink.Stride+p.X0 : y*ink.Stride+p.X1])
			}
		}
	}
}

// holds reports whether p has one of the points that are on in a picture w pixels wide.
func holds(on []bool, w int, p raster.Piece) bool {
	for y := p.Y0; y < p.Y1; y++ {
		if slices.Contains(on[y*w+p.X0:y*w+p.X1], true) {
			return true
		}
	}
	return false
}
