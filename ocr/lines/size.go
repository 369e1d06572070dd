package lines

import "tillproof/ocr/raster"

// singleHeight is the height of print of single height, where height is that of
// most print: on a receipt with much print of double height that of a line
// would be two lines' otherwise, and letters that stand above each other
// would be taken for one. Print counts that stands in regular rows and is no
// half of letters that fell apart.
func singleHeight(pieces []raster.Piece, height float64) float64 {
	var half []raster.Piece
	full := 0
	for _, p := range pieces {
		switch h := float64(p.H()); {
		case h > 0.8*height && h < 1.25*height:
			full++
		case h > 0.4*height && h < 0.62*height && 5*p.W() > p.H() && p.W() < 2*p.H():
			half = append(half, p)
		}
	}
	var heights []float64
	for _, c := range chainLetters(half) {
		if !c.regular() {
			continue
		}
		for _, p := range c.letters {
			if !brokenOff(p, half, height) {
				heights = append(heights, float64(p.H()))
			}
		}
	}
	if 4*len(heights) < full || len(heights) < Few {
		return height
	}
	return commonHeight(heights)
}

// brokenOff reports whether another piece stands so close above or below p that
// both are a letter of the given height which fell apart.
func brokenOff(p raster.Piece, pieces []raster.Piece, height float64) bool {
	for _, q := range pieces {
		across := min(p.X1, q.X1) - max(p.X0, q.X0)
		gap := max(p.Y0, q.Y0) - min(p.Y1, q.Y1)
		if q != p && 2*across > min(p.W(), q.W()) && float64(gap) < 0.15*height {
			return true
		}
	}
	return false
}
