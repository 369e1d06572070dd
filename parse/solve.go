package parse

import (
	"cmp"
	"slices"
)

// What is sought is the cheapest set of candidates, one for each amount, for
// which all sums of the chain work out, and for every amount whether a set that
// is hardly dearer has another value of it.
//
// The chain falls apart at its statements. Given what the statements before
// and after a segment say, its addends must make up the difference: what their
// likeliest candidates leave open must be made up by changes, a change being
// one addend taken for another candidate, with what it adds more and costs
// more. So a segment is a search for sets of changes that add up to a given
// number (set). Changes are sorted by cost, and the last of a set is looked up
// by what is still missing instead of being searched for, so that sets of
// three cost the pairs that can begin one. The bound is the cost: no set is
// begun that is dearer than the best whole so far plus the margin in which
// rivals count. Sets of more than three are not looked for: that many misread
// amounts in one sum never have one answer.
//
// Over the statements goes a forward and a backward pass. forward is the least
// cost of all segments above with a statement at a certain candidate, backward
// that of all below. Whatever costs forward + segment + backward within the
// margin of the best is a rival.

const (
	// brokenCost is that of a segment that does not work out: less the margin,
	// the most that a misreading may cost. A line that was not seen at all is
	// about one in fifty receipts, and one in twenty of such gaps is filled by
	// some reading by chance.
	brokenCost = 1000
	// rivalMargin is how much dearer an amount's cheapest rival must be before
	// the amount is believed: about twelve to one.
	rivalMargin = 250
	// mostSteps bounds the search of one receipt; it takes about 20 ns a step.
	mostSteps = 1_500_000
	never     = int32(1) << 28
)

// solver solves one chain.
type solver struct {
	p     *parser
	segs  []segment
	cands map[int][]candidate // by row; shared between chains
	steps *int                // left of mostSteps

	parts             []part // of the rows in the segments' adds
	changes           [][]change
	byDelta           []map[int64][]int32
	open              []int64 // what the addends' likeliest candidates add up to
	baseCost          []int32
	unknown           []bool // an addend without any candidate
	nodes             [][]candidate
	forward, backward [][]int32
	best              int32
}

// change is an addend taken for another candidate than its likeliest.
type change struct {
	row, cand int
	delta     int64
	cost      int32
}

// set is up to three changes, by index.
type set struct {
	n    int
	at   [3]int32
	cost int32
}

// adding is what candidate cents of row i adds to the running sum.
func (s *solver) adding(i int, cents int64) int64 {
	if s.p.rows[i].part == partTender {
		return -cents
	}
	return cents
}

// solve runs the search.
func (s *solver) solve() {
	m := len(s.segs)
	s.changes, s.byDelta = make([][]change, m), make([]map[int64][]int32, m)
	s.open, s.baseCost, s.unknown = make([]int64, m), make([]int32, m), make([]bool, m)
	s.nodes = append(s.nodes, []candidate{{}})
	for k := range s.segs {
		s.prepare(k)
		s.nodes = append(s.nodes, s.statements(s.segs[k].to))
	}
	s.forward, s.backward = make([][]int32, m+1), make([][]int32, m+1)
	for k := range s.nodes {
		s.forward[k], s.backward[k] = make([]int32, len(s.nodes[k])), make([]int32, len(s.nodes[k]))
	}
	limit := s.asRead() + rivalMargin
	for k := range m {
		for b := range s.nodes[k+1] {
			least := never
			for a := range s.nodes[k] {
				before := s.forward[k][a] + s.nodes[k+1][b].cost
				if before <= min(limit, least) {
					least = min(least, before+s.cheapest(k, a, b, limit-before))
				}
			}
			s.forward[k+1][b] = least
		}
	}
	s.best = slices.Min(s.forward[m])
	for k := m - 1; k >= 0; k-- {
		for a := range s.nodes[k] {
			least := never
			for b := range s.nodes[k+1] {
				after := s.backward[k+1][b] + s.nodes[k+1][b].cost
				if s.forward[k][a]+after <= s.best+rivalMargin {
					least = min(least, after+s.cheapest(k, a, b, s.best+rivalMargin-after-s.forward[k][a]))
				}
			}
			s.backward[k][a] = least
		}
	}
}

// prepare lists the changes of segment k, cheapest first.
func (s *solver) prepare(k int) {
	for _, i := range s.segs[k].adds {
		cands := s.cands[i]
		if len(cands) == 0 {
			s.unknown[k] = s.unknown[k] || s.p.rows[i].needsAmount()
			continue
		}
		base := s.adding(i, cands[0].cents)
		s.open[k] += base
		s.baseCost[k] += cands[0].cost
		for c := 1; c < len(cands); c++ {
			s.changes[k] = append(s.changes[k], change{i, c, s.adding(i, cands[c].cents) - base, cands[c].cost - cands[0].cost})
		}
	}
	slices.SortFunc(s.changes[k], func(a, b change) int { return cmp.Compare(a.cost, b.cost) })
	s.byDelta[k] = make(map[int64][]int32, len(s.changes[k]))
	for i, c := range s.changes[k] {
		s.byDelta[k][c.delta] = append(s.byDelta[k][c.delta], int32(i))
	}
}

// statements are the candidates of a statement, as running sums.
func (s *solver) statements(row int) []candidate {
	if row < 0 {
		return []candidate{{}}
	}
	out := slices.Clone(s.cands[row])
	if s.p.rows[row].part == partChange {
		for i := range out {
			out[i].cents = -out[i].cents
		}
	}
	return out
}

// asRead is the cost of everything as it was read.
func (s *solver) asRead() (cost int32) {
	for k := range s.segs {
		cost += s.baseCost[k] + s.nodes[k+1][0].cost
		if s.unknown[k] || s.nodes[k][0].cents+s.open[k] != s.nodes[k+1][0].cents {
			cost += brokenCost
		}
	}
	return cost
}

// cheapest is the least cost of segment k between statements a and b: that of
// the cheapest set that makes it work out, or of leaving it open.
func (s *solver) cheapest(k, a, b int, limit int32) int32 {
	least := s.baseCost[k] + brokenCost
	s.sets(k, a, b, min(limit, least), func(f set) {
		least = min(least, f.cost)
	})
	return least
}

// sets calls found for every set of changes that makes segment k work out
// between statements a and b and costs at most limit.
func (s *solver) sets(k, a, b int, limit int32, found func(set)) {
	if s.unknown[k] {
		return
	}
	need := s.nodes[k+1][b].cents - s.nodes[k][a].cents - s.open[k]
	limit -= s.baseCost[k]
	if limit < 0 {
		return
	}
	if need == 0 {
		found(set{cost: s.baseCost[k]})
	}
	all := s.changes[k]
	// ends finds the last change of the set f, which makes up what is missing.
	ends := func(f set, missing int64) {
		for _, i := range s.byDelta[k][missing] {
			c := &all[i]
			if f.n > 0 && (i <= f.at[f.n-1] || c.row == all[f.at[0]].row || f.n == 2 && c.row == all[f.at[1]].row) || f.cost+c.cost > limit {
				continue
			}
			g := f
			g.at[g.n], g.n, g.cost = i, g.n+1, f.cost+c.cost+s.baseCost[k]
			found(g)
		}
	}
	ends(set{}, need)
	for i := range all {
		x := &all[i]
		if 2*x.cost > limit || *s.steps <= 0 {
			break
		}
		one := set{n: 1, at: [3]int32{int32(i)}, cost: x.cost}
		ends(one, need-x.delta)
		for j := i + 1; j < len(all); j++ {
			y := &all[j]
			if x.cost+2*y.cost > limit {
				break
			}
			if *s.steps--; *s.steps <= 0 {
				break
			}
			if y.row != x.row {
				ends(set{n: 2, at: [3]int32{int32(i), int32(j)}, cost: x.cost + y.cost}, need-x.delta-y.delta)
			}
		}
	}
}

// answer is the best of a chain: for each row its candidate, and whether a
// rival has another.
type answer struct {
	chosen  map[int]int
	rivals  map[int]bool
	broken  []bool // by segment
	mayFail []bool // a rival leaves the segment open
}

// answer follows the best of all statements and collects what rivals differ in.
func (s *solver) answer() *answer {
	m := len(s.segs)
	out := &answer{chosen: map[int]int{}, rivals: map[int]bool{}, broken: make([]bool, m), mayFail: make([]bool, m)}
	at := slices.Index(s.forward[m], s.best)
	for k := m - 1; k >= 0; k-- {
		if to := s.segs[k].to; to >= 0 {
			out.chosen[to] = at
		}
		at = s.pick(out, k, at)
	}
	for k := range m {
		s.collect(out, k)
	}
	return out
}

// pick takes the best set of segment k that leads to statement b, and returns
// the statement that it comes from.
func (s *solver) pick(out *answer, k, b int) int {
	for a := range s.nodes[k] {
		want := s.forward[k+1][b] - s.forward[k][a] - s.nodes[k+1][b].cost
		var best *set
		s.sets(k, a, b, want, func(f set) {
			if f.cost == want && best == nil {
				best = &f
			}
		})
		if best == nil && want != s.baseCost[k]+brokenCost {
			continue
		}
		out.broken[k] = best == nil
		for _, i := range s.segs[k].adds {
			out.chosen[i] = 0
		}
		if best != nil {
			for _, i := range best.at[:best.n] {
				out.chosen[s.changes[k][i].row] = s.changes[k][i].cand
			}
		}
		return a
	}
	out.broken[k] = true
	return 0
}

// collect marks the rows of segment k for which a rival has another amount.
func (s *solver) collect(out *answer, k int) {
	other := func(row, cand int) {
		if chosen, ok := out.chosen[row]; !ok || chosen != cand {
			out.rivals[row] = true
		}
	}
	for a := range s.nodes[k] {
		for b := range s.nodes[k+1] {
			slack := s.best + rivalMargin - s.forward[k][a] - s.backward[k+1][b] - s.nodes[k+1][b].cost
			if slack < 0 {
				continue
			}
			rival := false
			s.sets(k, a, b, slack, func(f set) {
				rival = true
				changed := map[int]int{}
				for _, i := range f.at[:f.n] {
					changed[s.changes[k][i].row] = s.changes[k][i].cand
				}
				for _, i := range s.segs[k].adds {
					other(i, changed[i])
				}
			})
			if slack >= s.baseCost[k]+brokenCost {
				rival, out.mayFail[k] = true, true
			}
			if !rival {
				continue
			}
			if from := s.segs[k].from; from >= 0 {
				other(from, a)
			}
			if to := s.segs[k].to; to >= 0 {
				other(to, b)
			}
		}
	}
}
