package lines

// What a piece of the paper's edge is that came to a line for its first letter: it is an upright
// stroke, stands by itself, and does so left of where nearly all lines begin.
const (
	edgeWidth  = 0.4 // of its own height, at most
	edgeApart  = 0.8 // of the line's height to the next letter, at least
	edgeBeyond = 0.4 // of the line's height left of the others, at least
	edgeLines  = 8   // lines that say where lines begin
	edgeShare  = 0.2 // of them begin further left than the others
)

// shed takes pieces of the paper's left edge off the lines they came to: a short line that
// begins with one is no longer of one size, nor read. The right edge is left alone: the signs
// and flags behind amounts stand there.
func (l *Layout) shed() {
	var begin []float64
	for _, c := range l.lines {
		if len(c.letters) >= 4 {
			begin = append(begin, c.x0)
		}
	}
	if len(begin) < edgeLines {
		return
	}
	margin := quantile(begin, edgeShare)
	for _, c := range l.lines {
		if len(c.letters) < 3 {
			continue
		}
		first, next := c.letters[0], c.letters[1]
		if float64(first.W()) < edgeWidth*float64(first.H()) && float64(first.X1) < margin-edgeBeyond*c.height &&
			float64(next.X0-first.X1) > edgeApart*c.height {
			c.letters = c.letters[1:]
			c.measure()
			l.setLevel(c)
		}
	}
}
