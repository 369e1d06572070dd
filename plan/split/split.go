// Package split looks for a cheaper way to do a planned trip: in which
// transactions to divide it up, and what to add to reach a threshold.
//
// BestSplit and Fill are the functions to read first. Both try things out on
// the pricing engine of package plan and repeat none of its rules.
package split

import (
	"cmp"
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// Options bound a search. The zero value is the usual one.
type Options struct {
	// MoreDays also lets units move to so many days after the plan's last,
	// for offers that are limited by the day. Prices are taken to stay the same.
	MoreDays int
	// Effort is how many divisions are weighed against each other at most;
	// 0: DefaultEffort.
	Effort int
}

// DefaultEffort takes a few seconds at most.
const DefaultEffort = 3_000_000

// Result is the best way found to divide up a plan.
type Result struct {
	// Plan is the plan with its transactions divided up and paid as found;
	// where nothing is gained, it is the plan as it was.
	Plan *plan.Plan
	// Planned and Best are the bills before and after.
	Planned, Best *plan.Bill
	// Saves is how much less the final cost is.
	Saves money.Amount
	// Exact: no other division of the same items comes to less. Otherwise Why
	// says what kept the search from trying them all.
	Exact bool
	Why   string
	// Fewer are the lowest final costs with fewer transactions a day, the fewest
	// first: the last cent may not be worth another queue.
	Fewer []Fewer
}

// Fewer is the lowest final cost with at most so many transactions a day.
type Fewer struct {
	Transactions int
	FinalCost    money.Amount
}

// BestSplit looks for the order and the division into transactions with the
// lowest final cost. Units stay on the day they are planned for, and each
// transaction is paid with a tender that the plan has for that day; credits that
// it earns then pay for later transactions wherever that stops no reward.
//
// The search is exact for small plans. Items that no offer, limit or rounding
// ties together cannot influence each other, so each group of tied items is
// divided up by itself: of every part of it that may still be to buy, and every
// state its coupons and limits may be in, the best rest is worked out once. The
// work that this may take is bounded; above the bound, first the ties by
// rounding alone are cut (which costs cents at most), and then a division is
// only improved step by step, and the result says that it is not exact.
func BestSplit(p *plan.Plan, opt Options) Result {
	if opt.Effort == 0 {
		opt.Effort = DefaultEffort
	}
	planned := p.Price()
	res := Result{Plan: p, Planned: planned, Best: planned, Exact: true}
	t := newTrip(p, opt)
	groups := t.groups(true)
	slices.SortStableFunc(groups, func(a, b *group) int { return cmp.Compare(a.size(), b.size()) })
	for _, g := range groups {
		if !g.solve() {
			res.Exact = false
			res.Why = "too many ways to divide up " + g.names() + ": not all of them were tried"
			g.approximate()
		}
	}
	if opt.MoreDays > 0 && t.noDates {
		res.Exact, res.Why = false, "the plan has no date, so nothing could be moved to other days"
	}
	best := t.pay(t.arrange(groups), groups)
	bill := best.Price()
	if bill.FinalCost.Cmp(planned.FinalCost) < 0 {
		res.Plan, res.Best = best, bill
		res.Saves = planned.FinalCost.Sub(bill.FinalCost)
	}
	if res.Exact {
		res.Fewer = t.fewer(groups, res.Best)
	}
	return res
}

// fewer works out what fewer transactions a day would cost, for as far as the
// effort goes.
func (t *trip) fewer(groups []*group, best *plan.Bill) []Fewer {
	most, today := 0, map[plan.Date]int{}
	for _, tb := range best.Transactions {
		today[tb.Date]++
		most = max(most, today[tb.Date])
	}
	var list []Fewer
	for k := 1; k < most; k++ {
		var sum money.Amount
		for _, g := range groups {
			cost, ok := g.solveWithin(k)
			if !ok {
				return list
			}
			sum = sum.Add(cost)
		}
		if n := len(list); n > 0 && list[n-1].FinalCost == sum {
			continue
		}
		if sum.Cmp(best.FinalCost) <= 0 {
			break
		}
		list = append(list, Fewer{k, sum})
	}
	return list
}
