package week

import (
	"cmp"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// slot is one planned transaction.
type slot struct {
	plan *PlanFile
	tx   *plan.Transaction
	day  plan.Date
	// like groups transactions of a plan that are the same.
	like string
}

// fit is how well a receipt fits a slot.
type fit struct {
	slot  int
	score float64
}

// assign decides which receipt is of which planned transaction, jointly: no
// transaction has two receipts, and the fits add up to the most possible.
func (a *assessor) assign() {
	slots := a.slots()
	var rs []*Receipt
	for _, r := range a.w.Receipts {
		if r.Counted() {
			rs = append(rs, r)
		}
	}
	fits := make([][]fit, len(rs))
	var wg sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, r := range rs {
		free <- struct{}{}
		wg.Go(func() {
			fits[i] = a.answered(r, slots, a.fits(r, r.full(), slots))
			<-free
		})
	}
	wg.Wait()
	chosen := map[int]int{} // the slot of each receipt
	open := settled(fits, len(slots), chosen)
	for _, group := range groups(open, len(slots)) {
		solve(group, rs, open, chosen)
	}
	inTurn(chosen, rs, slots)
	holder := map[int]int{} // the receipt of each slot
	for i, s := range chosen {
		holder[s] = i
	}
	for i := range slots {
		if _, taken := holder[i]; !taken {
			a.w.Unshopped = append(a.w.Unshopped, Planned{slots[i].plan.File, slots[i].tx.ID})
		}
	}
	for i, r := range rs {
		at, ok := chosen[i]
		if !ok {
			continue
		}
		s := &slots[at]
		r.plan, r.tx, r.Planned, r.Score = s.plan, s.tx, Planned{s.plan.File, s.tx.ID}, valueOf(fits[i], at)
		if _, done := a.in.Answers[transactionID(r)]; !done {
			a.rivals(i, chosen, holder, rs, fits, slots)
		}
	}
	for i, r := range rs {
		if r.tx == nil && len(fits[i]) > 0 {
			if k, taken := holder[fits[i][0].slot]; taken {
				a.badCopy(r, rs[k])
			}
		}
	}
	a.leftOver()
}

// leftOver says of each receipt that is of no transaction why. One of which not
// even the total was read is none to count: it is left aside.
func (a *assessor) leftOver() {
	const again = "too little of it was read to tell which planned transaction it is of: photograph it again, closer, in even light"
	waits := func(r *Receipt) bool { // a part of it, or a copy, is asked about
		return slices.ContainsFunc(a.w.Receipts, func(o *Receipt) bool { return o.SameAs == r.ID })
	}
	a.w.Receipts = slices.DeleteFunc(a.w.Receipts, func(r *Receipt) bool {
		switch {
		case !r.Counted() || r.tx != nil:
		case r.Read.Firm || r.isText():
			r.Notes = append(r.Notes, "no planned transaction that is left fits it")
		case r.Total != nil || waits(r):
			r.Notes = append(r.Notes, again)
		default:
			for _, f := range r.Files {
				a.aside(f, again)
			}
			return true
		}
		return false
	})
}

// slots are the transactions of all plans.
func (a *assessor) slots() (all []slot) {
	for i := range a.in.Plans {
		p := &a.in.Plans[i]
		for _, tx := range p.Plan.Transactions {
			s := slot{plan: p, tx: tx, day: tx.Date}
			if s.day.IsZero() {
				s.day = p.Plan.Date
			}
			same := []any{i, s.day, p.Plan.PriceAs(tx, nil).OutOfPocket}
			for _, it := range tx.Items {
				same = append(same, it.ID, it.Quantity, it.Weight)
			}
			s.like = id("like", same...)
			all = append(all, s)
		}
	}
	return all
}

func transactionID(r *Receipt) string { return id("question", "transaction", r.Files[0].Part) }

// answered leaves of the fits what a person said.
func (a *assessor) answered(r *Receipt, slots []slot, fits []fit) []fit {
	answer, ok := a.in.Answers[transactionID(r)]
	if !ok {
		return fits
	}
	for i := range slots {
		if slots[i].name() == answer {
			return []fit{{i, 3}}
		}
	}
	return nil
}

// name is the slot as questions and answers call it.
func (s *slot) name() string { return s.plan.File + ":" + s.tx.ID }

// groups are the receipts that compete with each other for slots.
func groups(fits [][]fit, slots int) (all [][]int) {
	of := make([]int, slots) // the group of each slot, counted from 1
	for i, fs := range fits {
		var joined []int
		for _, f := range fs {
			if g := of[f.slot]; g > 0 && !slices.Contains(joined, g-1) {
				joined = append(joined, g-1)
			}
		}
		group := []int{i}
		for _, g := range joined {
			group = append(group, all[g]...)
			all[g] = nil
		}
		slices.Sort(group)
		all = append(all, group)
		for _, k := range group {
			for _, f := range fits[k] {
				of[f.slot] = len(all)
			}
		}
	}
	return slices.DeleteFunc(all, func(g []int) bool { return g == nil })
}

// settled chooses the slots that are clear, and returns the fits that are left. A
// slot is a receipt's own where that loses more by any other than anybody else
// would gain by the slot over staying alone: no other assignment adds up to
// more. Most receipts are so; what is left falls into small groups.
func settled(fits [][]fit, slots int, chosen map[int]int) [][]fit {
	const tie = 0.001 // closer ones are left to the whole group
	left := slices.Clone(fits)
	taken := make([]bool, slots)
	for found := true; found; {
		found = false
		first, second := make([]float64, slots), make([]float64, slots)
		for i, fs := range left {
			left[i] = slices.DeleteFunc(slices.Clone(fs), func(f fit) bool { return taken[f.slot] })
			for _, f := range left[i] {
				first[f.slot], second[f.slot] = max(first[f.slot], f.score), max(second[f.slot], min(first[f.slot], f.score))
			}
		}
		for i, fs := range left {
			if len(fs) == 0 {
				continue
			}
			best, other := fs[0], least
			for _, f := range fs[1:] {
				if f.score > best.score {
					best, f = f, best
				}
				other = max(other, f.score)
			}
			rival := first[best.slot]
			if rival == best.score {
				rival = second[best.slot]
			}
			if best.score-other > max(rival-least, 0)+tie {
				chosen[i], taken[best.slot], left[i], found = best.slot, true, nil, true
			}
		}
	}
	return left
}

// valueOf is how well a receipt of those fits fits a slot; -1 where it is not
// among them.
func valueOf(fits []fit, slot int) float64 {
	for _, f := range fits {
		if f.slot == slot {
			return f.score
		}
	}
	return -1
}

// solve chooses the slots of one group of receipts.
func solve(group []int, rs []*Receipt, fits [][]fit, chosen map[int]int) {
	var columns []int
	for _, i := range group {
		for _, f := range fits[i] {
			columns = append(columns, f.slot)
		}
	}
	if columns == nil {
		return
	}
	slices.Sort(columns)
	columns = slices.Compact(columns)
	// Whole numbers: a score of 1 is unit, and of two receipts that fit alike
	// the earlier one goes first.
	const unit, never = 100_000, 100_000_000
	slices.SortStableFunc(group, func(x, y int) int {
		return cmp.Or(cmp.Compare(rs[x].Date, rs[y].Date), cmp.Compare(rs[x].Time, rs[y].Time), cmp.Compare(x, y))
	})
	cost := make([][]int32, len(group))
	for k, i := range group {
		cost[k] = make([]int32, len(columns)+len(group))
		for j := range cost[k] {
			cost[k][j] = never
		}
		for j, column := range columns {
			if v := valueOf(fits[i], column); v > 0 {
				cost[k][j] = int32(10*unit-unit*v) + int32(k)
			}
		}
		cost[k][len(columns)+k] = int32((10 - least) * unit) // it stays alone
	}
	for k, j := range match.LeastCost(cost) {
		if j < len(columns) {
			chosen[group[k]] = columns[j]
		}
	}
}

// inTurn gives transactions that are the same to their receipts in the order of
// time: which is which makes no difference.
func inTurn(chosen map[int]int, rs []*Receipt, slots []slot) {
	like := map[string][]int{}
	for i, s := range chosen {
		like[slots[s].like] = append(like[slots[s].like], i)
	}
	for _, is := range like {
		if len(is) < 2 {
			continue
		}
		var ss []int
		for _, i := range is {
			ss = append(ss, chosen[i])
		}
		slices.Sort(ss)
		slices.SortFunc(is, func(x, y int) int {
			return cmp.Or(cmp.Compare(rs[x].Date, rs[y].Date), cmp.Compare(rs[x].Time, rs[y].Time), cmp.Compare(x, y))
		})
		for k, i := range is {
			chosen[i] = ss[k]
		}
	}
}

// rivals asks about receipt i where the folder as a whole would fit nearly as
// well with it at another transaction.
func (a *assessor) rivals(i int, chosen, holder map[int]int, rs []*Receipt, fits [][]fit, slots []slot) {
	own := chosen[i]
	value := func(k, s int) float64 { return max(valueOf(fits[k], s), 0) }
	choices := []string{slots[own].name()}
	for _, f := range fits[i] {
		if f.slot == own || slots[f.slot].like == slots[own].like {
			continue
		}
		loss := value(i, own) - f.score
		if k, ok := holder[f.slot]; ok { // the other moves to this one's, or stays alone
			loss += value(k, f.slot) - max(value(k, own), least)
		}
		if loss < margin {
			choices = append(choices, slots[f.slot].name())
		}
	}
	if len(choices) == 1 {
		return
	}
	r := rs[i]
	stake := money.Amount{}
	if r.Total != nil {
		stake = *r.Total
	}
	r.Notes = append(r.Notes, "it fits several planned transactions: "+fmt.Sprint(choices))
	a.question(Question{ID: transactionID(r), Kind: "transaction", Amount: stake, File: r.Files[0], Receipt: r.ID, Choices: append(choices, "none"),
		Text: "Which planned transaction is the receipt in " + r.Files[0].Name + " of?"})
}
