package ocr

import (
	"image"
	"math"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// On a checked cloth the squares stand in rows as letters do, larger than any print and firmer.
// The receipt is what is plain there: as far as a square reaches, its tone hardly changes once
// its print is filled in, while dark and bright squares stand side by side all over the cloth.

const (
	// largeLetters is how high, in pixels of the picture looked at, letters are that may be
	// squares; fewSquares how many a survey finds of them at most.
	largeLetters, fewSquares = 20, 2 * lines.Few
	// checked is by what factor at least tones change within a square's reach over most of a
	// picture with a checked cloth; plainShare how much of that, as a logarithm, is plain.
	checked, plainShare = 1.25, 0.6
	// leastOnPlain is how many letters on what is plain are print.
	leastOnPlain = 24
	// plainReach is how far a cell looks about it: with its own five cells, more than a square.
	plainReach = 2
)

// plain is where a picture is plain, by cells of side pixels.
type plain struct {
	side, w, h int
	is         []bool
}

// plainOf finds where g is plain, on which squares of that size stand in rows; ok is false where
// no such cloth is seen, or nothing but it.
func plainOf(g *image.Gray, size float64) (p plain, ok bool) {
	filled := raster.Close(g, max(int(size/5), 1))
	p.side = max(int(size/4), 2)
	p.w, p.h = g.Rect.Dx()/p.side, g.Rect.Dy()/p.side
	const reach = plainReach
	if p.w <= 2*reach || p.h <= 2*reach {
		return p, false
	}
	tones := p.tones(filled)
	change := make([]float64, len(tones))
	for y := range p.h {
		for x := range p.w {
			least, most := math.Inf(1), math.Inf(-1)
			for v := max(y-reach, 0); v <= min(y+reach, p.h-1); v++ {
				for u := max(x-reach, 0); u <= min(x+reach, p.w-1); u++ {
					least, most = min(least, tones[v*p.w+u]), max(most, tones[v*p.w+u])
				}
			}
			change[y*p.w+x] = most - least
		}
	}
	usual := slices.Sorted(slices.Values(change))[len(change)*6/10]
	if usual < math.Log(checked) {
		return p, false
	}
	p.is = make([]bool, len(change))
	n := 0
	for y := range p.h - 2 {
		for x := range p.w - 2 {
			// What is narrower than three cells is no paper.
			block := [9]int{}
			most := 0.0
			for k := range block {
				block[k] = (y+k/3)*p.w + x + k%3
				most = max(most, change[block[k]])
			}
			if most >= plainShare*usual {
				continue
			}
			for _, i := range block {
				if !p.is[i] {
					p.is[i] = true
					n++
				}
			}
		}
	}
	return p, 50*n >= len(change)
}

// tones are the mean tones of g's cells, as logarithms: a shadow takes the same off all.
func (p *plain) tones(g *image.Gray) []float64 {
	tones := make([]float64, p.w*p.h)
	for y := range p.h {
		for x := range p.w {
			sum := 0
			for dy := range p.side {
				row := g.Pix[(y*p.side+dy)*g.Stride+x*p.side:]
				for dx := range p.side {
					sum += int(row[dx])
				}
			}
			tones[y*p.w+x] = math.Log(float64(sum)/float64(p.side*p.side) + 4)
		}
	}
	return tones
}

// at reports whether the picture is plain at x, y.
func (p *plain) at(x, y float64) bool {
	i, j := int(x)/p.side, int(y)/p.side
	return i >= 0 && j >= 0 && i < p.w && j < p.h && p.is[j*p.w+i]
}

// onPlain surveys what is plain in g, the picture looked at, where s may have taken the
// squares of a cloth for letters; full is the photo, larger by factor. It returns the print
// there and the paper that it is on; ok is false where s saw no such squares or there is no
// print.
func onPlain(g, full *image.Gray, factor float64, firm float32, s lines.Survey) (best lines.Survey, sheet Sheet, ok bool) {
	if len(s.Letters) >= fewSquares || s.Height < largeLetters {
		return s, sheet, false
	}
	on, ok := plainOf(g, s.Height)
	if !ok {
		return s, sheet, false
	}
	for _, look := range [...]struct {
		g      *image.Gray
		larger float64
	}{{g, 1}, {full, factor}} {
		_, ink := raster.Even(look.g, firm)
		other := lines.LookWithin(ink, func(x, y float64) bool { return on.at(x/look.larger, y/look.larger) })
		shrink(&other, look.larger)
		if len(other.Letters) > len(best.Letters) {
			best = other
		}
		if factor == 1 {
			break
		}
	}
	if len(best.Letters) < leastOnPlain {
		return s, sheet, false
	}
	sheet, ok = on.sheet(best)
	return best, sheet, ok
}

// sheet is the paper of which p shows the inner part, as far as print lies on it: along the
// lines of print, with straight sides that need not be parallel.
func (p *plain) sheet(print lines.Survey) (s Sheet, ok bool) {
	sin, cos := math.Sincos(print.Angle)
	side := float64(p.side)
	// As far as a cell sees the cloth beside it.
	rim := plainReach * side * (math.Abs(sin) + math.Abs(cos))
	left, right := map[int]float64{}, map[int]float64{}
	var rows []int
	take := func(cells []int) {
		for _, i := range cells {
			u, v := p.turned(i, sin, cos)
			if _, known := left[v]; !known {
				rows = append(rows, v)
				left[v], right[v] = u, u
			}
			left[v], right[v] = min(left[v], u), max(right[v], u)
		}
		slices.Sort(rows)
	}
	seen := make([]bool, len(p.is))
	take(p.within(print.Letters, seen))
	if len(rows) < 4 {
		return s, false
	}
	l, r := endLine(rows, left), endLine(rows, right)
	// A bar code, a pen's stroke or a shadow's edge may part what is plain.
	for i := range p.is {
		if part := p.part(i, seen); p.fills(part, sin, cos, l, r, rows[0], rows[len(rows)-1]) {
			take(part)
		}
	}
	l, r = endLine(rows, left), endLine(rows, right)
	// A bright square beside the end of the paper is as plain, but not as wide.
	rows = slices.DeleteFunc(rows, func(v int) bool {
		from, to := l[0]+l[1]*float64(v), r[0]+r[1]*float64(v)
		return min(right[v], to)-max(left[v], from) < (to-from)/2
	})
	if len(rows) < 4 {
		return s, false
	}
	top, bottom := float64(rows[0]), float64(rows[len(rows)-1]+1)
	for i, c := range [4]struct{ side, row, out float64 }{{-1, top, -1}, {1, top, -1}, {1, bottom, 1}, {-1, bottom, 1}} {
		at := l
		if c.side > 0 {
			at = r
		}
		v := c.row*side + c.out*rim
		u := at[0] + at[1]*v/side + c.side*rim
		s.Corners[i] = raster.Point{X: u*cos - v*sin, Y: u*sin + v*cos}
	}
	s.Score = 1
	for i := range s.Seen {
		a, b := s.Corners[i], s.Corners[(i+1)%4]
		x, y := (a.X+b.X)/2/side, (a.Y+b.Y)/2/side
		s.Seen[i] = x > 0 && y > 0 && x < float64(p.w) && y < float64(p.h)
	}
	return s, true
}

// endLine is the line, as its value at row 0 and what it gains by a row, of most of the ends
// by row: a shadow's edge or a fold is not plain, and a square beside the paper may be. It is
// that of Theil and Sen: the middle one of all slopes between two ends.
func endLine(rows []int, ends map[int]float64) (line [2]float64) {
	var slopes, at []float64
	for i, v := range rows {
		for _, w := range rows[:i] {
			slopes = append(slopes, (ends[v]-ends[w])/float64(v-w))
		}
	}
	slices.Sort(slopes)
	line[1] = slopes[len(slopes)/2]
	for _, v := range rows {
		at = append(at, ends[v]-line[1]*float64(v))
	}
	slices.Sort(at)
	line[0] = at[len(at)/2]
	return line
}

// fills reports whether a plain part lies between the lines l and r, is a third as wide and
// begins or ends near the rows from first to last.
func (p *plain) fills(part []int, sin, cos float64, l, r [2]float64, first, last int) bool {
	const gap = 4 * plainReach // a bar code, and what looks beyond it
	side, near := float64(p.side), false
	least, most := 1.0, 0.0 // of the way from l to r
	for _, i := range part {
		u, v := p.turned(i, sin, cos)
		from, to := l[0]+l[1]*float64(v), r[0]+r[1]*float64(v)
		if u < from-side || u > to+side || to-from < side {
			return false
		}
		near = near || v >= first-gap && v <= last+gap
		least, most = min(least, (u-from)/(to-from)), max(most, (u-from)/(to-from))
	}
	return near && most-least >= 0.3
}

// turned is the middle of cell i along lines that run in the direction of sin and cos, and its
// row across them.
func (p *plain) turned(i int, sin, cos float64) (u float64, v int) {
	side := float64(p.side)
	x, y := (float64(i%p.w)+0.5)*side, (float64(i/p.w)+0.5)*side
	return x*cos + y*sin, int(math.Floor((y*cos - x*sin) / side))
}

// within are the cells of the plain parts that any of letters stand in, which are then seen.
func (p *plain) within(letters []raster.Point, seen []bool) (cells []int) {
	for _, q := range letters {
		if p.at(q.X, q.Y) {
			cells = append(cells, p.part(int(q.Y)/p.side*p.w+int(q.X)/p.side, seen)...)
		}
	}
	return cells
}

// part are the cells of the plain part that cell i is of, none where it is seen or not plain.
func (p *plain) part(i int, seen []bool) (cells []int) {
	visit := func(i int) {
		if !seen[i] && p.is[i] {
			seen[i] = true
			cells = append(cells, i)
		}
	}
	visit(i)
	for n := 0; n < len(cells); n++ {
		x, y := cells[n]%p.w, cells[n]/p.w
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			if u, v := x+d[0], y+d[1]; u >= 0 && v >= 0 && u < p.w && v < p.h {
				visit(v*p.w + u)
			}
		}
	}
	return cells
}
