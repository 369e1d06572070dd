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

// sidesOf finds the sides of the flat paper g, from which toPicture leads to the picture.
func sidesOf(g *image.Gray, toPicture raster.Plane) *sides {
	const step = 8
	s := &sides{}
	s.at[0], s.at[1] = paper.Sides(g)
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

// wipe takes away the print that ink, of the paper shrunk by coarse, seems to have beyond
// the sides: it is that of a table, whose grain and print would make lines longer than
// they are.
func (s *sides) wipe(ink *image.Gray, coarse int) {
	if s == nil {
		return
	}
	for y := range ink.Rect.Dy() {
		row := ink.Pix[y*ink.Stride : y*ink.Stride+ink.Rect.Dx()]
		for k, at := range s.at {
			if len(at) == 0 {
				continue
			}
			edge := min(max(int(at[min(y*coarse, len(at)-1)])/coarse, 0), len(row))
			if k == 0 {
				clear(row[:edge])
			} else {
				clear(row[edge:])
			}
		}
	}
}
