// Package lines finds the lines of print on a flattened paper and cuts them out.
//
// Find gives a Layout; its Strips are the lines, each with the curve that it
// follows, and Strip.Cut makes the picture that an engine reads. Lines are
// followed by their letters, so that paper may be bent, and a name and an
// amount far to its right are one line.
package lines

import (
	"cmp"
	"image"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// chain is a run of letters that stand close to each other on one line; later
// a whole line, with its gaps.
type chain struct {
	letters []raster.Piece
	x0, x1  float64
	height  float64 // that of its capitals
	level   float64 // its baseline where it crosses the middle of the picture
	small   []raster.Piece
}

// Layout is where the print stands in a flattened picture.
type Layout struct {
	// Height is the height that most letters have, in pixels; 0 where there is
	// no print.
	Height float64
	bend   bend
	lines  []*chain
}

// Find finds the lines of print in mask (as raster.Even marks it), which is a picture of the
// paper shrunk by coarse; the layout is in pixels of the paper. Letters are chained
// to their neighbours, the chains tell how the paper is bent, and chains on
// the same level of the bent paper are one line, however far apart.
func Find(mask *image.Gray, coarse int) *Layout {
	pieces := piecesOf(mask, raster.Ink, coarse)
	w, h := float64(coarse*mask.Rect.Dx()), float64(coarse*mask.Rect.Dy())
	var heights []float64
	for _, p := range pieces {
		if p.H() >= 4*coarse && p.W() >= 2*coarse && float64(p.H()) < h/8 {
			heights = append(heights, float64(p.H()))
		}
	}
	if len(heights) < 3 {
		return &Layout{}
	}
	l := &Layout{Height: singleHeight(pieces, commonHeight(heights))}
	letters, small := sortPieces(stack(pieces, l.Height), l.Height)
	chains := l.fill(l.onLevels(chainLetters(letters), w, h))
	l.lines = absorb(l.keep(chains))
	l.addSmall(small)
	l.addFaded(piecesOf(mask, raster.Weak, coarse))
	slices.SortFunc(l.lines, func(a, b *chain) int { return cmp.Compare(a.level, b.level) })
	return l
}

// onLevels joins chains that are one line, on a paper of w by h pixels. Most papers are
// bent little, and what little that is is known best where much of it is ruled out.
func (l *Layout) onLevels(chains []*chain, w, h float64) []*chain {
	tolerance := 0.12 * l.Height
	feet := baselines(chains)
	bends := [2]bend{stiff(w, h), free(feet, w, h)}
	var off [2]float64
	for i := range bends {
		bends[i].fit(feet, tolerance)
		off[i] = bends[i].off(feet, tolerance)
	}
	l.bend = bends[0]
	if off[1] < muchBetter*off[0] {
		l.bend = bends[1]
	}
	chains = l.join(chains)
	for range 2 {
		if guesses := l.guess(chains); len(guesses) >= leastGuesses {
			l.bend.refit(append(baselines(chains), guesses...), 0.4*l.Height)
			chains = l.join(chains)
		}
		l.bend.fit(baselines(chains), tolerance)
		chains = l.join(chains)
	}
	return chains
}

// piecesOf are the pieces of a mask shrunk by coarse, in pixels of the paper.
func piecesOf(mask *image.Gray, least uint8, coarse int) []raster.Piece {
	pieces := raster.Pieces(mask, least)
	for i := range pieces {
		p := &pieces[i]
		p.X0, p.X1, p.Y0, p.Y1, p.Area = coarse*p.X0, coarse*p.X1, coarse*p.Y0, coarse*p.Y1, coarse*coarse*p.Area
	}
	return pieces
}

// sortPieces divides pieces into letters and small print (points, dashes);
// rules, pictures, bar codes and specks are neither.
func sortPieces(pieces []raster.Piece, height float64) (letters, small []raster.Piece) {
	for _, p := range pieces {
		w, h := float64(p.W()), float64(p.H())
		switch {
		case h > 4*height || w > 14*height:
		case h > 2.2*height && w < 0.25*h: // a bar of a bar code, or a border
		case h < 0.25*height && w > 3*height, w > 4*height && float64(p.Area) < 0.2*height*w: // a rule
		case h >= 0.5*height && w >= 0.1*height:
			letters = append(letters, p)
		case w >= 0.1*height && h >= 0.1*height, w >= 0.2*height && w < height && h >= 0.04*height:
			// A dash is wide and may be a pixel high: with a minus lost a
			// deduction becomes a price.
			small = append(small, p)
		}
	}
	return letters, small
}

// stack joins pieces that stand above each other and are no higher together
// than a letter: the dot and body of an i, colons, print that fell apart.
func stack(pieces []raster.Piece, height float64) []raster.Piece {
	slices.SortFunc(pieces, func(a, b raster.Piece) int { return cmp.Compare(a.X0, b.X0) })
	gone := make([]bool, len(pieces))
	limit := int(1.25 * height)
	for i := range pieces {
		if gone[i] || pieces[i].H() > limit {
			continue
		}
		for j := i + 1; j < len(pieces) && pieces[j].X0 < pieces[i].X1; j++ {
			a, b := pieces[i], pieces[j]
			if gone[j] || b.H() > limit || max(a.W(), b.W()) > 2*limit {
				continue
			}
			across := min(a.X1, b.X1) - b.X0
			gap := max(a.Y0, b.Y0) - min(a.Y1, b.Y1)
			both := max(a.Y1, b.Y1) - min(a.Y0, b.Y0)
			if 5*across < 3*min(a.W(), b.W()) || gap > int(0.4*height) || both > limit {
				continue
			}
			pieces[i] = raster.Piece{X0: a.X0, X1: max(a.X1, b.X1), Y0: min(a.Y0, b.Y0), Y1: max(a.Y1, b.Y1), Area: a.Area + b.Area}
			gone[j] = true
		}
	}
	var out []raster.Piece
	for i, p := range pieces {
		if !gone[i] {
			out = append(out, p)
		}
	}
	return out
}

// chainLetters links each letter to the next one to its right where both take
// each other for their nearest.
func chainLetters(letters []raster.Piece) []*chain {
	slices.SortFunc(letters, func(a, b raster.Piece) int { return cmp.Compare(a.X0, b.X0) })
	n := len(letters)
	right, left := make([]int, n), make([]int, n)
	rightCost, leftCost := make([]float64, n), make([]float64, n)
	for i := range n {
		right[i], left[i] = -1, -1
		rightCost[i], leftCost[i] = math.Inf(1), math.Inf(1)
	}
	for i, a := range letters {
		for j := i + 1; j < n && letters[j].X0 < a.X1+3*a.H(); j++ {
			cost, ok := linkCost(a, letters[j])
			if !ok {
				continue
			}
			if cost < rightCost[i] {
				right[i], rightCost[i] = j, cost
			}
			if cost < leftCost[j] {
				left[j], leftCost[j] = i, cost
			}
		}
	}
	var chains []*chain
	for i := range n {
		if left[i] >= 0 && right[left[i]] == i {
			continue // not the first of its chain
		}
		c := &chain{}
		for k := i; ; k = right[k] {
			c.letters = append(c.letters, letters[k])
			if right[k] < 0 || left[right[k]] != k {
				break
			}
		}
		c.measure()
		chains = append(chains, c)
	}
	return chains
}

// linkCost says how ill b fits as the next letter to the right of a.
func linkCost(a, b raster.Piece) (cost float64, ok bool) {
	small, large := float64(min(a.H(), b.H())), float64(max(a.H(), b.H()))
	gap := float64(b.X0 - a.X1)
	overlap := float64(min(a.Y1, b.Y1) - max(a.Y0, b.Y0))
	if gap > 1.6*large || gap < -0.5*float64(min(a.W(), b.W())) || overlap < 0.5*small || large > 2.2*small {
		return 0, false
	}
	return math.Abs(gap) + 2*math.Abs(float64(a.Y1-b.Y1)) + (large-small)/2, true
}

// measure works out what a chain's letters have in common.
func (c *chain) measure() {
	c.x0, c.x1 = math.Inf(1), math.Inf(-1)
	for _, p := range c.letters {
		c.x0, c.x1 = min(c.x0, float64(p.X0)), max(c.x1, float64(p.X1))
	}
	c.height = quantile(c.heights(), 0.7)
}

// heights are those of the letters.
func (c *chain) heights() []float64 {
	out := make([]float64, len(c.letters))
	for i, p := range c.letters {
		out[i] = float64(p.H())
	}
	return out
}

// middleHeight is the height that half of the letters stay below.
func (c *chain) middleHeight() float64 { return median(c.heights()) }

// baselines are the feet of the letters of each chain that is long enough to
// say how the paper runs.
func baselines(chains []*chain) [][]raster.Point {
	var groups [][]raster.Point
	for _, c := range chains {
		if len(c.letters) < 4 {
			continue
		}
		var g []raster.Point
		for _, p := range c.letters {
			g = append(g, raster.Point{X: float64(p.X0+p.X1) / 2, Y: float64(p.Y1)})
		}
		groups = append(groups, g)
	}
	return groups
}

// join makes one chain of those that stand on the same level and beside each
// other, the closest levels first.
func (l *Layout) join(chains []*chain) []*chain {
	for _, c := range chains {
		l.setLevel(c)
	}
	slices.SortFunc(chains, func(a, b *chain) int { return cmp.Compare(a.level, b.level) })
	type pair struct {
		a, b int
		cost float64
	}
	var pairs []pair
	for i, a := range chains {
		for j := i + 1; j < len(chains); j++ {
			b := chains[j]
			if b.level-a.level > l.Height*2 {
				break
			}
			if cost, ok := l.joinCost(a, b); ok {
				pairs = append(pairs, pair{i, j, cost})
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.cost, b.cost) })
	owner := make([]*chain, len(chains))
	copy(owner, chains)
	find := func(i int) *chain { return owner[i] }
	for _, p := range pairs {
		a, b := find(p.a), find(p.b)
		if a == b {
			continue
		}
		if _, ok := l.joinCost(a, b); !ok {
			continue
		}
		a.letters = append(a.letters, b.letters...)
		a.measure()
		l.setLevel(a)
		for i := range owner {
			if owner[i] == b {
				owner[i] = a
			}
		}
	}
	var out []*chain
	seen := map[*chain]bool{}
	for _, c := range owner {
		if !seen[c] {
			seen[c] = true
			sortLetters(c)
			out = append(out, c)
		}
	}
	return out
}

// sortLetters puts the letters of c from left to right.
func sortLetters(c *chain) {
	slices.SortFunc(c.letters, func(a, b raster.Piece) int { return cmp.Compare(a.X0, b.X0) })
}

// setLevel works out where c's baseline crosses the middle of the picture.
func (l *Layout) setLevel(c *chain) {
	levels := make([]float64, len(c.letters))
	for i, p := range c.letters {
		y := float64(p.Y1)
		levels[i] = y - l.bend.at(float64(p.X0+p.X1)/2, y)
	}
	c.level = median(levels)
}

// joinCost says how ill a and b fit into one line.
func (l *Layout) joinCost(a, b *chain) (cost float64, ok bool) {
	small, large := min(a.height, b.height), max(a.height, b.height)
	off := math.Abs(a.level - b.level)
	// Chains that reach into each other are parts of one line only where their
	// levels agree well: print that falls apart, not two lines.
	overlap := min(a.x1, b.x1) - max(a.x0, b.x0)
	gap := max(-overlap, 0)
	allowed := 0.4 * small
	if overlap > 0.3*small && overlap > 0.1*min(a.x1-a.x0, b.x1-b.x0) {
		allowed = 0.25 * small
	}
	if off > allowed {
		return 0, false
	}
	if large > 2.6*small {
		return 0, false
	}
	return off/small + 0.01*gap/large, true
}

// absorb drops lines that lie within another line: the upper or lower parts of
// letters that fell apart.
func absorb(chains []*chain) []*chain {
	inside := func(a, b *chain) bool {
		across := min(a.x1, b.x1) - max(a.x0, b.x0)
		down := min(a.level, b.level) - max(a.level-a.height, b.level-b.height)
		return across > 0.7*(a.x1-a.x0) && down > 0.6*a.height
	}
	var out []*chain
	for _, a := range chains {
		if !slices.ContainsFunc(chains, func(b *chain) bool {
			return a != b && len(a.letters) < len(b.letters) && inside(a, b)
		}) {
			out = append(out, a)
		}
	}
	return out
}

// keep drops chains that are no line of print: a lone blot, specks.
func (l *Layout) keep(chains []*chain) []*chain {
	var out []*chain
	for _, c := range chains {
		if len(c.letters) < 2 && (c.height < 0.7*l.Height || c.height > 2*l.Height || c.x1-c.x0 < 0.3*l.Height) {
			continue
		}
		out = append(out, c)
	}
	return out
}

// addSmall gives points and dashes to the line that they stand in, so that a
// minus before or behind an amount belongs to the line's ends.
func (l *Layout) addSmall(small []raster.Piece) {
	for _, p := range small {
		x, y := float64(p.X0+p.X1)/2, float64(p.Y0+p.Y1)/2
		level := y - l.bend.at(x, y)
		for _, c := range l.lines {
			near := float64(p.X1) > c.x0-1.5*c.height && float64(p.X0) < c.x1+1.5*c.height
			overline := p.W() > 2*p.H() && level < c.level-0.8*c.height
			if near && !overline && level > c.level-1.1*c.height && level < c.level+0.3*c.height {
				c.x0, c.x1 = min(c.x0, float64(p.X0)), max(c.x1, float64(p.X1))
				c.small = append(c.small, p)
				break
			}
		}
	}
}
