package lines

import "math"

// fill joins chains to the line in whose gap they stand: it runs on at their other side, no
// letter of it is where theirs are, and the curve of its own letters passes through them. The
// bend of the whole paper may be off there by more than join allows, and two lines of print
// cannot lie on each other.
func (l *Layout) fill(chains []*chain) []*chain {
	var out []*chain
	for _, b := range chains {
		a := l.gapOf(b, chains)
		if a == nil {
			out = append(out, b)
			continue
		}
		a.letters = append(a.letters, b.letters...)
		sortLetters(a)
		a.measure()
		l.setLevel(a)
		b.letters = nil
	}
	return out
}

// gapOf is the line in whose gap b stands, nil for none. Of the lines that would pass through
// b on a paper that is bent a little otherwise it has to be the nearest.
func (l *Layout) gapOf(b *chain, chains []*chain) (nearest *chain) {
	const through, rival = 0.5, 0.3
	if len(b.letters) < 3 {
		return nil
	}
	least, second, spans := math.Inf(1), math.Inf(1), false
	for _, a := range chains {
		small, large := min(a.height, b.height), max(a.height, b.height)
		if a == b || len(a.letters) < 4 || large > 1.6*small || math.Abs(a.level-b.level) > 2*large || a.standsIn(b) {
			continue
		}
		off := l.strip(a, 1).offOf(b) / large
		if off < least {
			least, second, nearest = off, least, a
			spans = a.x0 < b.x0 && b.x1 < a.x1
		} else {
			second = min(second, off)
		}
	}
	if !spans || least > through || second < least+rival {
		return nil
	}
	return nearest
}

// standsIn reports whether a letter of c stands where b's letters are.
func (c *chain) standsIn(b *chain) bool {
	for i := range c.letters {
		if p := &c.letters[i]; float64(p.X1) > b.x0 && float64(p.X0) < b.x1 {
			return true
		}
	}
	return false
}

// offOf is how far from the baseline of s the letters of b stand, most of them.
func (s Strip) offOf(b *chain) float64 {
	offs := make([]float64, len(b.letters))
	for i, p := range b.letters {
		offs[i] = float64(p.Y1) - s.Base(float64(p.X0+p.X1)/2)
	}
	return math.Abs(median(offs))
}
