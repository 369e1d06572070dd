package ocr

import (
	"cmp"
	"slices"

	"tillproof/ocr/raster"
)

// amongFew are those of letters that stand in the rectangle with the most of them more than
// others: where the receipt covers other print. A letter of that may have been taken for one of
// the receipt's here and there.
func amongFew(letters, others []raster.Point) []raster.Point {
	if len(others) == 0 {
		return letters
	}
	x := func(p raster.Point) float64 { return p.X }
	y := func(p raster.Point) float64 { return p.Y }
	within, without := letters, others
	cost := float64(len(letters)) / float64(2*len(others)) // above and below the receipt others stand too
	for range 3 {
		from, to := mostMore(within, without, x, cost)
		column := ranging(letters, x, from, to)
		up, down := mostMore(column, ranging(others, x, from, to), y, 1)
		if within, cost = ranging(column, y, up, down), 1; len(within) == 0 {
			return letters
		}
		letters, others = ranging(letters, y, up, down), ranging(others, y, up, down)
		without = others
	}
	return within
}

// ranging are the points from from up to to.
func ranging(points []raster.Point, at func(raster.Point) float64, from, to float64) (in []raster.Point) {
	for _, p := range points {
		if v := at(p); v >= from && v <= to {
			in = append(in, p)
		}
	}
	return in
}

// mostMore is the run of places in which letters are the most more than others, each of which
// takes cost letters away.
func mostMore(letters, others []raster.Point, at func(raster.Point) float64, cost float64) (from, to float64) {
	type place struct{ at, worth float64 }
	var all []place
	for _, p := range letters {
		all = append(all, place{at(p), 1})
	}
	for _, p := range others {
		all = append(all, place{at(p), -cost})
	}
	slices.SortFunc(all, func(a, b place) int { return cmp.Compare(a.at, b.at) })
	best, sum, start := 0.0, 0.0, 0
	for i, p := range all {
		if sum += p.worth; sum <= 0 {
			sum, start = 0, i+1
		} else if sum > best {
			best, from, to = sum, all[start].at, p.at
		}
	}
	return from, to
}
