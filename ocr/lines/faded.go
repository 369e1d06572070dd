package lines

import (
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// leastFaded is the least number of letters that weak print must have in a row
// to count away from firm print: grain and spots are mostly alone.
const leastFaded = 2

// addFaded gives to each line the weak print that goes on behind its ends or
// stands in its gaps, on its level and as high as its letters: ink that a
// worn head or the light has faded there. A last letter of which only a part is
// firm is taken whole. The lines keep their curves, which weak print must not bend.
func (l *Layout) addFaded(pieces []raster.Piece) {
	letters, _ := sortPieces(stack(pieces, l.Height), l.Height)
	letters = slices.DeleteFunc(letters, func(p raster.Piece) bool {
		c := l.coveredBy(p)
		if c != nil && float64(p.W()) < 1.2*c.height {
			c.x0, c.x1 = min(c.x0, float64(p.X0)), max(c.x1, float64(p.X1))
		}
		return c != nil
	})
	for _, run := range chainLetters(letters) {
		l.setLevel(run)
		c := l.lineOf(run)
		if c != nil && (len(run.letters) >= leastFaded || math.Abs(run.x0-c.x1) < 0.8*c.height) {
			c.x0, c.x1 = min(c.x0, run.x0), max(c.x1, run.x1)
			c.small = append(c.small, run.letters...)
		}
	}
}

// coveredBy is the line that has the print already that p is of, if any.
func (l *Layout) coveredBy(p raster.Piece) *chain {
	x, y := middle(p)
	level := y - l.bend.at(x, y)
	for _, c := range l.lines {
		if level > c.level-1.2*c.height && level < c.level+0.3*c.height && slices.ContainsFunc(c.letters, func(q raster.Piece) bool {
			return 2*(min(p.X1, q.X1)-max(p.X0, q.X0)) > q.W() && 4*q.H() > 3*p.H()
		}) {
			return c
		}
	}
	return nil
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
