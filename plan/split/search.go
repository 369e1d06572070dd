package split

import (
	"tillproof/money"
	"tillproof/plan"
)

// search finds the best division of one group exactly.
type search struct {
	*group
	known  map[string]found
	prices map[string]priced // of transactions, by what is bought and the state before
}

// found is the best way to buy the rest: the next transaction, or the next day.
type found struct {
	cost         money.Amount
	transactions int
	next         choice
	ok           bool
}

// choice is one transaction: how many units of each of the group's products,
// and how it is paid. Without part it is nothing more today.
type choice struct {
	part   string
	tender int
}

type priced struct {
	cost  money.Amount
	after plan.State
}

// rest is what is still to buy, and where the trip stands.
type rest struct {
	counts string // of the group's products, a byte each
	day    int
	// most is how many transactions each day may have, left how many today still
	// may; unbounded: any number.
	most, left int
	state      plan.State
}

const unbounded = 255

// pricingEffort is how many divisions can be weighed in the time of one pricing.
const pricingEffort = 20

// solve finds the group's best division, and reports whether the effort that is
// left was enough.
func (g *group) solve() bool {
	g.search = &search{group: g, known: map[string]found{}, prices: map[string]priced{}}
	start, ok := g.start(unbounded)
	if !ok || !g.search.best(start).ok {
		return false
	}
	g.bins = g.search.trace(start)
	if planned := g.planned(); g.cost(planned) == g.cost(g.bins) {
		g.bins = planned // what gains nothing stays as it is
	}
	return true
}

// solveWithin is the group's lowest cost with at most most transactions a day.
func (g *group) solveWithin(most int) (money.Amount, bool) {
	start, _ := g.start(most)
	f := g.search.best(start)
	return f.cost, f.ok
}

// start is everything still to buy; not ok: more than the search is made for.
func (g *group) start(most int) (rest, bool) {
	counts := make([]byte, len(g.of))
	for k, i := range g.of {
		n := g.trip.products[i].count
		if n > 200 {
			return rest{}, false
		}
		counts[k] = byte(n)
	}
	return rest{counts: string(counts), most: most, left: most}, g.size() <= g.trip.opt.Effort
}

func (s *search) key(r rest) string {
	return r.counts + string([]byte{byte(r.day >> 8), byte(r.day), byte(r.most), byte(r.left)}) + r.state.Key(s.plan, s.trip.days[r.day].date)
}

// best is the best way to buy the rest. It is not ok where the effort ran out,
// or not everything can be bought within the transactions that are left.
func (s *search) best(r rest) found {
	if nothing(r.counts) {
		return found{ok: true}
	}
	key := s.key(r)
	if f, ok := s.known[key]; ok {
		return f
	}
	var best found
	better := func(cost money.Amount, transactions int, next choice) {
		c := cost.Cmp(best.cost)
		if !best.ok || c < 0 || c == 0 && transactions < best.transactions {
			best = found{cost, transactions, next, true}
		}
	}
	if r.left > 0 {
		s.eachPart(r, func(part []byte) {
			next := s.without(r, part)
			for tender := range s.trip.days[r.day].tenders {
				cost, after := s.price(r.day, tender, part, r.state)
				next.state = after
				if f := s.best(next); f.ok {
					better(f.cost.Add(cost), f.transactions+1, choice{string(part), tender})
				}
			}
		})
	}
	if tomorrow, ok := s.tomorrow(r); ok {
		if f := s.best(tomorrow); f.ok {
			better(f.cost, f.transactions, choice{})
		}
	}
	if s.trip.left < 0 {
		best.ok = false
	}
	s.known[key] = best
	return best
}

// without is r after a transaction of part.
func (s *search) without(r rest, part []byte) rest {
	counts := []byte(r.counts)
	for k, n := range part {
		counts[k] -= n
	}
	r.counts = string(counts)
	if r.left != unbounded {
		r.left--
	}
	return r
}

// tomorrow is the rest on the next day; not ok where something can only be
// bought today.
func (s *search) tomorrow(r rest) (rest, bool) {
	for k, i := range s.of {
		if r.counts[k] > 0 && s.trip.products[i].last <= r.day {
			return r, false
		}
	}
	if r.day+1 >= len(s.trip.days) {
		return r, false
	}
	r.day++
	r.left = r.most
	return r, true
}

// eachPart calls do with every transaction that may come next. Where the order
// of transactions cannot matter, the first product that is left is always in it:
// another order would be the same division again.
func (s *search) eachPart(r rest, do func(part []byte)) {
	first := -1
	for k, i := range s.of {
		if r.counts[k] > 0 && s.trip.products[i].first <= r.day {
			first = k
			break
		}
	}
	if first < 0 {
		return
	}
	part := make([]byte, len(r.counts))
	for s.nextPart(part, r) {
		if s.trip.left--; s.trip.left < 0 {
			return
		}
		if (s.ordered || part[first] > 0) && s.together(part) {
			do(part)
		}
	}
}

// nextPart counts part on to the next choice of units that can be bought today.
func (s *search) nextPart(part []byte, r rest) bool {
	for k := range part {
		if s.trip.products[s.of[k]].first > r.day {
			continue
		}
		if part[k] < r.counts[k] {
			part[k]++
			return true
		}
		part[k] = 0
	}
	return false
}

// together reports whether the part's units may be in one transaction.
func (s *search) together(part []byte) bool {
	for _, c := range s.conflicts {
		if part[c[0]] > 0 && part[c[1]] > 0 {
			return false
		}
	}
	return true
}

// price is what a transaction of the part costs in the end.
func (s *search) price(day, tender int, part []byte, before plan.State) (money.Amount, plan.State) {
	key := string(part) + string([]byte{byte(day >> 8), byte(day), byte(tender)}) + before.Key(s.plan, s.trip.days[day].date)
	if p, ok := s.prices[key]; ok {
		return p.cost, p.after
	}
	s.trip.left -= pricingEffort
	bill, after := s.plan.PriceAfter(s.trip.transaction(s.bin(day, tender, part)), before)
	s.prices[key] = priced{bill.FinalCost, after}
	return bill.FinalCost, after
}

func (s *search) bin(day, tender int, part []byte) bin {
	b := bin{day: day, tender: tender, counts: make([]int, len(s.trip.products))}
	for k, n := range part {
		b.counts[s.of[k]] = int(n)
	}
	return b
}

// trace lists the transactions of the best way that was found from r on.
func (s *search) trace(r rest) []bin {
	var bins []bin
	for !nothing(r.counts) {
		next := s.known[s.key(r)].next
		if next.part == "" {
			r, _ = s.tomorrow(r)
			continue
		}
		part := []byte(next.part)
		bins = append(bins, s.bin(r.day, next.tender, part))
		_, r.state = s.price(r.day, next.tender, part, r.state)
		r = s.without(r, part)
	}
	return bins
}

// nothing reports whether nothing is left to buy.
func nothing(counts string) bool {
	for i := range len(counts) {
		if counts[i] != 0 {
			return false
		}
	}
	return true
}
