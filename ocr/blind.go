package ocr

import (
	"image"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// blindScore is how clearly the edges of a paper stand out at least that is found without
// regard to print, blindWorth how much more print must show in it than by the print.
const blindScore, blindWorth = 0.6, 1.5

// blindly finds the paper in g by its edges alone, whatever print a survey took for the
// receipt's: the weave of a cloth may have looked more like print. It is taken only where
// clearly more print stands in lines on it; height is that of its letters.
func blindly(g *image.Gray, print lines.Survey, firm float32) (sheet paper.Sheet, height float64, ok bool) {
	sheet, found := paper.Find(g, lines.Survey{})
	if !found || sheet.Score < blindScore {
		return sheet, 0, false
	}
	show := printOn(g, firm)
	most, _, _ := show(upright(print, 1, 1, g.Rect))
	most *= blindWorth
	best := sheet
	for range 2 {
		if worth, high, _ := show(layOut(sheet, 1, narrowMargin, g.Rect)); worth > most {
			most, best, height, ok = worth, sheet, high, true
		}
		sheet = quarter(sheet) // or the lines run down the picture
	}
	return best, height, ok
}

// printOn measures the print of g on a flat paper from which to leads to g: its worth, the
// height of its letters, and how many of them stand in lines.
func printOn(g *image.Gray, firm float32) func(to raster.Plane, w, h float64) (worth, height float64, letters int) {
	return func(to raster.Plane, w, h float64) (worth, height float64, letters int) {
		_, ink := raster.Even(raster.Warp(g, int(w), int(h), to), firm)
		l := lines.Find(ink, 1)
		if l.Hollow() {
			return 0, l.Height, 0
		}
		worth, _ = worthOf(l)
		return worth, l.Height, inLines(l)
	}
}

// quarter is s with what was its right side as its top.
func quarter(s Sheet) Sheet {
	c, seen := s.Corners, s.Seen
	s.Corners = [4]raster.Point{c[1], c[2], c[3], c[0]}
	s.Seen = [4]bool{seen[1], seen[2], seen[3], seen[0]}
	return s
}
