package join

import (
	"math"
	"slices"
)

// grid holds the likeness of every line of a with every line of b.
type grid struct {
	a, b []entry
	like [][]float64
	// rigid: no line is missing in either between lines that both have.
	rigid bool
}

func newGrid(a, b []entry) *grid {
	g := &grid{a: a, b: b, like: make([][]float64, len(a))}
	for i := range a {
		g.like[i] = make([]float64, len(b))
		for j := range b {
			g.like[i][j] = likeness(a[i], b[j])
		}
	}
	return g
}

// path is one way to lay b over a.
type path struct {
	pairs []pair
	score float64
	// flaws is what the lines cost that do not agree.
	flaws float64
}

// cell is the best way to a place, and the step that led there.
type cell struct {
	score float64
	from  byte
}

// Steps of a path.
const (
	begin = iota
	pairUp
	skipA
	skipB
)

// best finds the best path: it begins at the first line of a or of b and ends
// at the last of either, so that a photo may also lie within another. Pairs in
// without are not taken. It is the usual alignment of two sequences whose ends
// hang over (Needleman and Wunsch 1970, without a price for the overhang).
func (g *grid) best(without map[pair]bool) path {
	n, m := len(g.a), len(g.b)
	cells := make([][]cell, n+1)
	for i := range cells {
		cells[i] = make([]cell, m+1)
	}
	end, top := pair{}, math.Inf(-1)
	for i := 0; i <= n; i++ {
		for j := 0; j <= m; j++ {
			c := &cells[i][j]
			if i == 0 || j == 0 {
				continue // the overhang is free
			}
			c.score = math.Inf(-1)
			if !without[pair{i - 1, j - 1}] {
				c.score, c.from = cells[i-1][j-1].score+g.like[i-1][j-1], pairUp
			}
			if v := cells[i-1][j].score - missing(g.a[i-1]); v > c.score && !g.rigid {
				c.score, c.from = v, skipA
			}
			if v := cells[i][j-1].score - missing(g.b[j-1]); v > c.score && !g.rigid {
				c.score, c.from = v, skipB
			}
			if (i == n || j == m) && c.score > top {
				end, top = pair{i, j}, c.score
			}
		}
	}
	p := path{score: top}
	for i, j := end.a, end.b; i > 0 && j > 0 && !math.IsInf(cells[i][j].score, -1); {
		switch cells[i][j].from {
		case pairUp:
			i, j = i-1, j-1
			p.pairs = append(p.pairs, pair{i, j})
			p.flaws += max(-g.like[i][j], 0)
		case skipA:
			i--
			p.flaws += missing(g.a[i])
		case skipB:
			j--
			p.flaws += missing(g.b[j])
		}
	}
	for i, j := 0, len(p.pairs)-1; i < j; i, j = i+1, j-1 {
		p.pairs[i], p.pairs[j] = p.pairs[j], p.pairs[i]
	}
	return p
}

// missing is what it costs that the other photo does not have the line.
func missing(e entry) float64 { return unseen + (apart-unseen)*e.clear }

// enough reports whether the lines of p that agree can be no chance.
func (g *grid) enough(p path) bool {
	seen := map[string]bool{}
	agree := 0
	for _, s := range p.pairs {
		if g.like[s.a][s.b] < alike {
			continue
		}
		agree++
		e := g.a[s.a]
		key := string(e.text)
		if len(e.amounts) > 0 {
			key = e.amounts[0]
		}
		seen[key] = true
	}
	return len(seen) >= leastLines && p.score >= 2 && p.flaws < p.score && 2*agree >= len(p.pairs)
}

// level reports whether the lines that agree stand as far from each other in
// one photo as in the other, beside the scale, which changes little from one
// line to the next.
func (g *grid) level(p path) bool {
	var steps [][2]float64
	var scales []float64
	last := pair{-1, -1}
	for _, s := range p.pairs {
		if g.like[s.a][s.b] < alike {
			continue
		}
		if last.a >= 0 && g.a[last.a].page == g.a[s.a].page && g.b[last.b].page == g.b[s.b].page {
			da, db := g.a[s.a].y-g.a[last.a].y, g.b[s.b].y-g.b[last.b].y
			if da <= 0 || db <= 0 {
				return true // the photo lies on its side: the heights say nothing
			}
			steps = append(steps, [2]float64{da, db})
			scales = append(scales, db/da)
		}
		last = s
	}
	if len(steps) < 2 {
		return true
	}
	slices.Sort(scales)
	scale := scales[len(scales)/2]
	for _, s := range steps {
		if k := s[1] / s[0] / scale; k < 0.62 || k > 1.6 {
			return false
		}
	}
	return true
}

// rivals reports whether another way to lay b over a is likely too: one that
// shares no pair with p, leaves out or repeats no more lines than a till
// repeats, and in which the lines agree.
func (g *grid) rivals(p path) bool {
	without := map[pair]bool{}
	shift := p.shift()
	// Ways that differ by one step of the same lines are the same way.
	for _, s := range p.pairs {
		without[s] = true
	}
	for range 3 {
		other := g.best(without)
		if other.score < 0.8 {
			return false
		}
		far := other.shift() - shift
		if max(far, -far) <= longest && (other.flaws <= flaw || p.score-other.score < 1) {
			return true
		}
		for _, s := range other.pairs {
			without[s] = true
		}
	}
	return false
}

// shift is how many lines of a stand above b.
func (p path) shift() int {
	if len(p.pairs) == 0 {
		return 0
	}
	s := p.pairs[len(p.pairs)/2]
	return s.a - s.b
}

// settle pairs the lines between those that agree one by one. It is not clean
// where both photos have lines there and not the same number: nobody can tell
// which of them is which. cost is what the lines cost that do not agree.
func (g *grid) settle(p path) (shared []pair, cost float64, clean bool) {
	last := pair{-1, -1}
	level := func(a, b pair) { // from a to b, both without
		for k := 1; a.a+k < b.a && a.b+k < b.b; k++ {
			shared = append(shared, pair{a.a + k, a.b + k})
			cost += max(-g.like[a.a+k][a.b+k], 0)
		}
	}
	for _, s := range p.pairs {
		if g.like[s.a][s.b] < alike {
			continue
		}
		na, nb := s.a-last.a-1, s.b-last.b-1
		switch {
		case last.a < 0: // above them all the photos lie level
			k := min(na, nb)
			level(pair{s.a - k - 1, s.b - k - 1}, s)
		case na == nb:
			level(last, s)
		case na > 0 && nb > 0:
			return nil, 0, false
		default:
			for i := last.a + 1; i < s.a; i++ {
				cost += missing(g.a[i])
			}
			for j := last.b + 1; j < s.b; j++ {
				cost += missing(g.b[j])
			}
		}
		shared = append(shared, s)
		last = s
	}
	level(last, pair{len(g.a), len(g.b)})
	return shared, cost, true
}
