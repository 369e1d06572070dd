package lines

import (
	"image"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// What makes print of two strengths two prints of different papers: the mean strength of
// the weaker one is at most so much of the stronger one's, and up to so many pieces for
// each of the fewer ones are of a strength half way between.
const (
	weaker  = 0.82
	between = 0.5
)

// byStrength looks for a receipt that lies on a page of print among the pieces of mask by
// how dark they are in even, which shows paper of one brightness: a press prints darker
// than a till, and neither changes within a paper as much as from one to the other. Lines
// may then run alike on both.
func byStrength(pieces []raster.Piece, mask, even *image.Gray) (on Survey, ok bool) {
	letters, size := lettersOfAnySlant(pieces)
	if len(letters) < page {
		return on, false
	}
	// Those of the receipt may be much smaller or larger than the page's.
	var pool []raster.Piece
	for _, p := range pieces {
		if s := float64(max(p.W(), p.H())); s >= max(5, 0.4*size) && s <= 3*size && p.Area*20 > p.W()*p.H() {
			pool = append(pool, p)
		}
	}
	strengths := make([]int, len(pool))
	for i, p := range pool {
		strengths[i] = strength(p, mask, even)
	}
	limit, ok := twoStrengths(strengths)
	if !ok {
		return on, false
	}
	var kinds [2][]raster.Piece
	for i, p := range pool {
		k := 0
		if strengths[i] >= limit {
			k = 1
		}
		kinds[k] = append(kinds[k], p)
	}
	for k, kind := range kinds {
		if on, _, _ = look(kind, nil); len(on.Letters) < Few || on.Height <= 0 {
			continue
		}
		others := middles(kinds[1-k])
		if len(others) < page || !on.amid(others) || !inRows(kinds[1-k]) {
			continue
		}
		own, page := on.neighbours(kind, others)
		if others, ok = around(&on, page); ok {
			on.Letters, on.Others = append(on.Letters, own...), others
			return on, true
		}
	}
	return on, false
}

// inRows reports whether at least half of the pieces stand in rows as print does: the
// grain of a table, which is fainter than any print, does not.
func inRows(pieces []raster.Piece) bool {
	s, _, _ := look(pieces, nil)
	return 2*len(s.Letters) >= len(pieces)
}

// How far from the letters of rows, in heights of a letter, further print stands in those
// rows: an amount is too short to be one by itself. And how far around letters are compared.
const reachAcross, reachDown, compared = 25, 1, 3

// neighbours are those of kind that are in no row of s but level with one and not amid
// others, which a page's are that are badly printed; and those of others that do not stand
// amid kind, as bold print of a receipt does.
func (s *Survey) neighbours(kind []raster.Piece, others []raster.Point) (own, page []raster.Point) {
	all := middles(kind)
	type cell struct{ x, y int }
	at := func(p raster.Point) cell {
		return cell{int(p.X / (compared * s.Height)), int(p.Y / (compared * s.Height))}
	}
	surplus := map[cell]int{} // how many more are of kind than others
	for _, p := range all {
		surplus[at(p)]++
	}
	for _, p := range others {
		surplus[at(p)]--
	}
	amidKind := func(p raster.Point) bool {
		c, n := at(p), 0
		for y := c.y - 1; y <= c.y+1; y++ {
			for x := c.x - 1; x <= c.x+1; x++ {
				n += surplus[cell{x, y}]
			}
		}
		return n > 0
	}
	for _, p := range others {
		if !amidKind(p) {
			page = append(page, p)
		}
	}
	e := s.extent()
	in := make(map[raster.Point]bool, len(s.Letters))
	rows := map[int][]raster.Point{}
	level := func(p raster.Point) int { return int(math.Floor(p.Y / (reachDown * s.Height))) }
	for _, p := range s.Letters {
		var q raster.Point
		in[p] = true
		q.X, q.Y = e.turned(p)
		rows[level(q)] = append(rows[level(q)], q)
	}
	for _, p := range all {
		var q raster.Point
		q.X, q.Y = e.turned(p)
		near := func(r raster.Point) bool { return math.Abs(r.X-q.X) < reachAcross*s.Height }
		k := level(q)
		if !in[p] && amidKind(p) && (slices.ContainsFunc(rows[k-1], near) || slices.ContainsFunc(rows[k], near) || slices.ContainsFunc(rows[k+1], near)) {
			own = append(own, p)
		}
	}
	return own, page
}

// strength is how much darker than paper the ink of p is.
func strength(p raster.Piece, mask, even *image.Gray) int {
	sum, n := 0, 1
	for y := p.Y0; y < p.Y1; y++ {
		for x := p.X0; x < p.X1; x++ {
			if mask.Pix[y*mask.Stride+x] == raster.Ink {
				sum, n = sum+255-int(even.Pix[y*even.Stride+x]), n+1
			}
		}
	}
	return sum / n
}

// twoStrengths is the strength that divides all best in two; ok is false where they are
// of one kind.
func twoStrengths(all []int) (limit int, ok bool) {
	var hist [256]int
	for _, v := range all {
		hist[v]++
	}
	sum := 0
	for v, n := range hist {
		sum += v * n
	}
	below, sumBelow, best := 0, 0, 0.0
	var low, high float64
	fewer := 0
	for v, n := range hist {
		below, sumBelow = below+n, sumBelow+v*n
		above := len(all) - below
		if below == 0 || above == 0 {
			continue
		}
		a, b := float64(sumBelow)/float64(below), float64(sum-sumBelow)/float64(above)
		if apart := float64(below) * float64(above) * (b - a) * (b - a); apart > best {
			best, limit, low, high, fewer = apart, v+1, a, b, min(below, above)
		}
	}
	if fewer < Few || low > weaker*high {
		return limit, false
	}
	middle := 0
	for v := int(low + (high-low)*0.4); float64(v) < low+(high-low)*0.6; v++ {
		middle += hist[v]
	}
	return limit, float64(middle) <= between*float64(fewer)
}

// amid reports whether some of others stand to the left of s and some to the right, as
// the print of a page does: bold or faded lines of a receipt have others above and below.
func (s *Survey) amid(others []raster.Point) bool {
	e := s.extent()
	left, right := 0, 0
	for _, p := range others {
		x, y := e.turned(p)
		switch {
		case y < e.y0 || y > e.y1:
		case x < e.x0:
			left++
		case x > e.x1:
			right++
		}
	}
	return min(left, right) >= Few/2 && e.x1-e.x0 >= leastWide*s.Height
}

// leastWide is how wide print is at least that is a receipt of its own, in heights of a
// letter: bold words are less wide.
const leastWide = 10
