package split

import (
	"math/rand/v2"
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// approximate finds a good division of a group that is too large for an exact
// search: the exact ones of its parts, where only rounding ties them together,
// or what a person would try first, improved step by step.
func (g *group) approximate() {
	g.trip.left = g.trip.opt.Effort
	starts := append([][]bin{g.planned()}, g.fillings()...)
	if parts := g.trip.groupsOf(g.of, false); len(parts) > 1 {
		for _, part := range parts {
			if !part.solve() {
				g.trip.left = g.trip.opt.Effort
				part.improve(append([][]bin{part.planned()}, part.fillings()...))
			}
		}
		starts = append(starts, g.trip.arrange(parts))
	}
	g.trip.left = g.trip.opt.Effort
	g.improve(starts)
}

// kicks are how many units a division is shaken by before it is improved again.
const kicks = 4

// improve keeps the best of the divisions and improves it for as long as moving
// units from one transaction to another lowers the cost. Then it shakes the best
// one and improves that, over and over while there is effort left: where moves one
// by one lead nowhere, a few at once may.
func (g *group) improve(starts [][]bin) {
	best, cost := starts[0], g.cost(starts[0])
	for _, bins := range starts[1:] {
		if c := g.cost(bins); c.Cmp(cost) < 0 {
			best, cost = bins, c
		}
	}
	best, cost = g.climb(best, cost)
	rng := rand.New(rand.NewPCG(uint64(len(g.of)), kicks)) // the same plan is always divided the same way
	for g.trip.left > 0 {
		shaken := g.shake(best, rng)
		if bins, c := g.climb(shaken, g.cost(shaken)); c.Cmp(cost) < 0 || c == cost && len(bins) < len(best) {
			best, cost = bins, c
		}
	}
	g.bins = best
}

func (g *group) climb(bins []bin, cost money.Amount) ([]bin, money.Amount) {
	for {
		next, c, ok := g.step(bins, cost)
		if !ok {
			return bins, cost
		}
		bins, cost = next, c
	}
}

// shake moves a few units at random.
func (g *group) shake(bins []bin, rng *rand.Rand) []bin {
	for range kicks {
		from := rng.IntN(len(bins))
		i := g.of[rng.IntN(len(g.of))]
		have := bins[from].counts[i]
		if have == 0 {
			continue
		}
		if moved := g.moves(bins, from, i, 1+rng.IntN(have)); len(moved) > 0 {
			bins = moved[rng.IntN(len(moved))]
		}
		g.trip.left--
	}
	return bins
}

// step is the first division with one move that costs less.
func (g *group) step(bins []bin, cost money.Amount) ([]bin, money.Amount, bool) {
	for from := range bins {
		for _, i := range g.of {
			for _, n := range g.amounts(bins[from].counts[i]) {
				for _, moved := range g.moves(bins, from, i, n) {
					if g.trip.left < 0 {
						return nil, cost, false
					}
					if c := g.cost(moved); c.Cmp(cost) < 0 {
						return moved, c, true
					}
				}
			}
		}
	}
	return nil, cost, false
}

// amounts are how many units of have it is tried to move at once.
func (g *group) amounts(have int) []int {
	if have == 0 {
		return nil
	}
	list := []int{have, 1, have / 2}
	for _, o := range g.plan.Offers {
		list = append(list, o.Buy, o.Buy*o.Limit.PerTransaction, have-o.Buy*o.Limit.PerTransaction)
	}
	slices.Sort(list)
	return slices.DeleteFunc(slices.Compact(list), func(n int) bool { return n < 1 || n > have })
}

// moves are the divisions with n units of product i moved from one transaction
// to another of its days, or to a new one.
func (g *group) moves(bins []bin, from, i, n int) [][]bin {
	var all [][]bin
	q := &g.trip.products[i]
	for to := range bins {
		if to == from || bins[to].day < q.first || bins[to].day > q.last || g.clash(bins[to], i) {
			continue
		}
		moved := copyBins(bins)
		moved[to].counts[i] += n
		all = append(all, take(moved, from, i, n))
	}
	for day := q.first; day <= q.last; day++ {
		end := len(bins)
		for end > 0 && bins[end-1].day > day {
			end--
		}
		for tender := range g.trip.days[day].tenders {
			moved := copyBins(bins)
			fresh := bin{day: day, tender: tender, counts: make([]int, len(g.trip.products))}
			fresh.counts[i] = n
			take(moved, from, i, n)
			moved = slices.Insert(moved, end, fresh)
			all = append(all, slices.DeleteFunc(moved, bin.empty))
		}
	}
	return all
}

func take(bins []bin, from, i, n int) []bin {
	bins[from].counts[i] -= n
	return slices.DeleteFunc(slices.Clone(bins), bin.empty)
}

func (b bin) empty() bool {
	return !slices.ContainsFunc(b.counts, func(n int) bool { return n > 0 })
}

func (g *group) clash(b bin, i int) bool {
	for j, n := range b.counts {
		if n > 0 && conflict(&g.trip.products[i], &g.trip.products[j]) {
			return true
		}
	}
	return false
}

func copyBins(bins []bin) []bin {
	all := slices.Clone(bins)
	for i := range all {
		all[i].counts = slices.Clone(all[i].counts)
	}
	return all
}

// fillings are the divisions that a person would try first: each day's units in
// order, a new transaction whenever an offer's limit or threshold is full.
func (g *group) fillings() [][]bin {
	if len(g.conflicts) > 0 {
		return nil
	}
	var all [][]bin
	for _, o := range g.plan.Offers {
		if units := o.Buy * o.Limit.PerTransaction; units > 0 {
			all = append(all, g.filling(o, func(n int, _ money.Amount) bool { return n >= units }))
		}
		if o.Spend != nil {
			all = append(all, g.filling(o, func(_ int, spent money.Amount) bool { return spent.Cmp(*o.Spend) >= 0 }))
		}
	}
	return all
}

func (g *group) filling(o *plan.Offer, full func(n int, spent money.Amount) bool) []bin {
	var bins []bin
	for day := range g.trip.days {
		first := len(bins)
		units, spent := 0, money.Amount{}
		for _, i := range g.of {
			q := &g.trip.products[i]
			if q.first != day {
				continue
			}
			for range q.count {
				if len(bins) == first || o.Covers(q.item) && full(units, spent) {
					bins = append(bins, bin{day: day, counts: make([]int, len(g.trip.products))})
					units, spent = 0, money.Amount{}
				}
				bins[len(bins)-1].counts[i]++
				if o.Covers(q.item) {
					units, spent = units+1, spent.Add(q.item.Cost(1))
				}
			}
		}
	}
	return bins
}
