package intake

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// glyph is one printed character of a PDF page, in points, y downwards. Its box
// is the loose one: as wide as the character moves the pen, as high as its font.
type glyph struct {
	r              rune
	x0, y0, x1, y1 float64
	// seq is its place in the order in which the page draws.
	seq int
	// spaced says that a space was drawn before it.
	spaced bool
}

func (g glyph) height() float64 { return g.y1 - g.y0 }
func (g glyph) middle() float64 { return (g.y0 + g.y1) / 2 }

// widest is how many columns a page is laid out in at most: a till's paper has
// some 60, a sheet of paper in small print three times as many.
const widest = 180

// layOut writes glyphs as lines of text in which what stands side by side on
// the page stands side by side, far apart where it is far apart, so that the
// name on the left and the amount on the right are one line.
func layOut(glyphs []glyph) string {
	rows := rowsOf(glyphs)
	left, right, pitch := math.Inf(1), math.Inf(-1), math.Inf(1)
	lines := make([][]word, len(rows))
	for i, row := range rows {
		lines[i] = wordsOf(row)
		for _, w := range lines[i] {
			left, right = min(left, w.x0), max(right, w.x1)
			if n := len(w.text); n >= 3 {
				// As narrow as the narrowest word, so that none runs into the next.
				pitch = min(pitch, max((w.x1-w.x0)/float64(n), w.em/5))
			}
		}
	}
	pitch = max(pitch, (right-left)/widest)
	if math.IsInf(pitch, 0) {
		pitch = 5
	}
	var b strings.Builder
	for _, line := range lines {
		if len(line) == 0 {
			continue
		}
		column, end := 0, left
		for i, w := range line {
			at := int(math.Round((w.x0 - left) / pitch))
			if i > 0 {
				gap := 1
				if w.x0-end > w.em {
					gap = 2 // a step from one column to the next shows as more than a space
				}
				if gap == 1 {
					at = column + 1
				}
				at = max(at, column+gap)
			}
			b.WriteString(strings.Repeat(" ", max(at-column, 0)))
			b.WriteString(string(w.text))
			column, end = max(at, column)+len(w.text), w.x1
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// rowsOf groups glyphs into rows, from the top down, each from left to right.
// A row's glyphs have their middles within half a height of its first.
func rowsOf(glyphs []glyph) [][]glyph {
	sorted := slices.Clone(glyphs)
	slices.SortStableFunc(sorted, func(a, b glyph) int { return cmp.Compare(a.middle(), b.middle()) })
	var rows [][]glyph
	for _, g := range sorted {
		if n := len(rows); n > 0 {
			first := rows[n-1][0]
			if g.middle()-first.middle() < min(g.height(), first.height())/2 {
				rows[n-1] = append(rows[n-1], g)
				continue
			}
		}
		rows = append(rows, []glyph{g})
	}
	for _, row := range rows {
		slices.SortStableFunc(row, func(a, b glyph) int {
			return cmp.Or(cmp.Compare(a.x0, b.x0), cmp.Compare(a.seq, b.seq))
		})
	}
	return rows
}

// word is a run of glyphs without a gap.
type word struct {
	text   []rune
	x0, x1 float64
	em     float64
}

// wordsOf splits a row at gaps, which need not be wide where a space was drawn.
func wordsOf(row []glyph) []word {
	var words []word
	for i, g := range row {
		apart := true
		if i > 0 {
			before := row[i-1]
			if twice(before, g) {
				continue
			}
			gap := g.x0 - before.x1
			apart = gap > g.height()/5 || g.spaced && gap > g.height()/20
		}
		if apart {
			words = append(words, word{x0: g.x0, x1: g.x1, em: g.height()})
		}
		w := &words[len(words)-1]
		w.text, w.x1 = append(w.text, g.r), max(w.x1, g.x1)
	}
	return words
}

// twice reports whether b is a printed over once more, as some programs make
// bold print. The two letters of a ligature have one box too, but follow each
// other in the order of drawing.
func twice(a, b glyph) bool {
	return a.r == b.r && math.Abs(a.x0-b.x0) < (a.x1-a.x0)/3 && (b.seq-a.seq > 1 || a.seq-b.seq > 1)
}
