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
	show := func(to raster.Plane, w, h float64) (worth, height float64) {
		_, ink := raster.Even(raster.Warp(g, int(w), int(h), to), firm)
		l := lines.Find(ink, 1)
		worth, _ = worthOf(l)
		return worth, l.Height
	}
	most, _ := show(upright(print, 1, 1, g.Rect))
	most *= blindWorth
	best := sheet
	for range 2 {
		if worth, high := show(layOut(sheet, 1, g.Rect)); worth > most {
			most, best, height, ok = worth, sheet, high, true
		}
		// Or the lines run down the picture.
		c, s := sheet.Corners, sheet.Seen
		sheet.Corners, sheet.Seen = [4]raster.Point{c[1], c[2], c[3], c[0]}, [4]bool{s[1], s[2], s[3], s[0]}
	}
	return best, height, ok
}
