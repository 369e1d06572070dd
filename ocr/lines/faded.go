package lines

import (
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// leastFaded is the least number of letters that weak print must have in a row
// to count: grain and spots are mostly alone.
const leastFaded = 2

// addFaded gives to each line the weak print that goes on behind its ends or
// stands in its gaps, on its level and as high as its letters: ink that a
// worn head or the light has faded there. The lines keep their curves, which weak
// print must not bend.
func (l *Layout) addFaded(pieces []raster.Piece) {
	letters, _ := sortPieces(stack(pieces, l.Height), l.Height)
	letters = slices.DeleteFunc(letters, l.covered)
	for _, run := range chainLetters(letters) {
		if len(run.letters) < leastFaded {
			continue
		}
		l.setLevel(run)
		if c := l.lineOf(run); c != nil {
			c.x0, c.x1 = min(c.x0, run.x0), max(c.x1, run.x1)
			c.small = append(c.small, run.letters...)
		}
	}
}

// covered reports whether p is of print that a line has already.
func (l *Layout) covered(p raster.Piece) bool {
	x, y := middle(p)
	level := y - l.bend.at(x, y)
	for _, c := range l.lines {
		if level > c.level-1.2*c.height && level < c.level+0.3*c.height && slices.ContainsFunc(c.letters, func(q raster.Piece) bool {
			return 2*(min(p.X1, q.X1)-max(p.X0, q.X0)) > q.W() && 4*q.H() > 3*p.H()
		}) {
			return true
		}
	}
	return false
}

// lineOf is the line that run goes on: the one on whose level it stands.
func (l *Layout) lineOf(run *chain) *chain {
	var best *chain
	off := math.Inf(1)
	for _, c := range l.lines {
		d := math.Abs(c.level-run.level) / c.height
		if d < off && d < 0.25 && run.height > 0.7*c.height && run.height < 1.2*c.height {
			best, off = c, d
		}
	}
	return best
}
