package plan

import (
	"cmp"
	"math"
	"slices"

	"tillproof/money"
)

const unlimited = math.MaxInt32

// allowed is how many uses of offer i its dates, coupons and limits leave in
// this transaction. coupons is the same without the limits.
func (r *run) allowed(i int) (uses, coupons int) {
	o := r.c.offers[i].Offer
	if !o.Valid.Contains(r.date) {
		r.notes.notValid(r, i)
		return 0, 0
	}
	uses = unlimited
	if !o.Repeats {
		uses = 1
	}
	if o.Held != nil {
		uses = min(uses, *o.Held-r.tally.uses[i])
	}
	coupons = uses
	if n := o.Limit.PerTransaction; n > 0 {
		uses = min(uses, n)
	}
	if n := o.Limit.Total; n > 0 {
		uses = min(uses, n-r.tally.uses[i])
	}
	if n := o.Limit.TransactionsPerDay; n > 0 && r.usedToday(i) >= n {
		uses = 0
	}
	return max(uses, 0), max(coupons, 0)
}

// usedToday counts the transactions of this day in which offer i was used.
func (r *run) usedToday(i int) int {
	n := 0
	for _, day := range r.tally.when[i] {
		if day == r.date {
			n++
		}
	}
	return n
}

// used notes uses of offer i.
func (r *run) used(i, uses int) {
	if uses == 0 {
		return
	}
	r.tally.uses[i] += uses
	if r.notes != nil {
		r.notes.offers[i].uses += uses
	}
	if r.c.offers[i].Limit.TransactionsPerDay > 0 {
		r.tally.when[i] = append(r.tally.when[i], r.date)
	}
}

// gather puts into pick the units that offer i may be used on, those with the
// most left first, ties in plan order. It returns how many it could not have
// because another offer has their slot.
func (r *run) gather(i int) (blocked int) {
	o := &r.c.offers[i]
	skipFree := o.coupon && r.c.of.Store.Policy.NoCouponOnFreeUnit
	r.pick = r.pick[:0]
	sorted := true
	for _, li := range r.t.applies[i] {
		for u := r.lines[li].first; u < r.lines[li].last; u++ {
			switch unit := &r.units[u]; {
			case unit.taken&o.slot != 0:
				blocked++
			case skipFree && unit.left == 0:
			default:
				if n := len(r.pick); n > 0 && r.units[r.pick[n-1]].left < unit.left {
					sorted = false
				}
				r.pick = append(r.pick, u)
			}
		}
	}
	if !sorted {
		r.mostLeftFirst(r.pick)
	}
	return blocked
}

func (r *run) mostLeftFirst(units []int32) {
	slices.SortFunc(units, func(a, b int32) int {
		return cmp.Or(cmp.Compare(r.units[b].left, r.units[a].left), cmp.Compare(a, b))
	})
}

// reducedOf returns which units of one use are reduced: all, or the cheapest
// few, the least left first and ties in plan order.
func (r *run) reducedOf(group []int32, cheapest int) []int32 {
	if cheapest == 0 || cheapest >= len(group) {
		return group
	}
	r.group = append(r.group[:0], group...)
	slices.SortFunc(r.group, func(a, b int32) int {
		return cmp.Or(cmp.Compare(r.units[a].left, r.units[b].left), cmp.Compare(a, b))
	})
	return r.group[:cheapest]
}

// occupy puts offer i into its slot on the units.
func (r *run) occupy(i int, units []int32) {
	slot := r.c.offers[i].slot
	if slot == 0 {
		return
	}
	for _, u := range units {
		r.units[u].taken |= slot
		for k := range slotKinds {
			if slot == 1<<k {
				r.units[u].by[k] = int16(i)
			}
		}
	}
}

// deduct takes offer i off the units that it is used on.
func (r *run) deduct(i int) {
	if r.rung != nil {
		if as, ok := r.rung.Offers[i]; ok {
			r.deductAsRung(i, as)
			return
		}
	}
	if len(r.t.applies[i]) == 0 {
		return
	}
	uses, coupons := r.allowed(i)
	if uses == 0 && (coupons == 0 || r.notes == nil) {
		return
	}
	blocked := r.gather(i)
	var used int
	if r.c.offers[i].Deduct.Amount != nil {
		used = r.deductAmount(i, uses)
	} else {
		used = r.deductByUnit(i, uses)
	}
	if r.notes != nil {
		r.notes.deducted(r, i, used, uses, coupons, blocked)
	}
	r.flush(i)
	r.used(i, used)
}

// flush records what offer i did to the lines.
func (r *run) flush(i int) {
	for _, li := range r.t.applies[i] {
		if a := r.acc[li]; !a.amount.IsZero() {
			r.record(i, li, a)
		}
		r.acc[li] = lineUse{}
	}
}

func (r *run) record(i int, li int32, a lineUse) {
	off := &r.lines[li].off[r.c.offers[i].step]
	*off = off.Add(a.amount)
	d := Deduction{Offer: r.c.offers[i].ID, Uses: a.uses, Amount: a.amount, Covered: a.covered}
	if r.explain {
		d.Steps = r.deductionSteps(i, li, a)
	}
	r.found = append(r.found, found{Deduction: d})
	l, at := &r.lines[li], int32(len(r.found))
	if l.lastFound == 0 {
		l.firstFound = at
	} else {
		r.found[l.lastFound-1].next = at
	}
	l.lastFound = at
}

// deductAmount takes a fixed amount off for each use: off the lines of the
// units that are reduced, cut to what is left of them.
func (r *run) deductAmount(i, uses int) (used int) {
	o := &r.c.offers[i]
	above := r.c.of.Store.Policy.Overage && o.coupon
	var over, all money.Amount
	g := 0
	for ; g+o.Buy <= len(r.pick) && used < uses; g += o.Buy {
		group := r.pick[g : g+o.Buy]
		taken := r.takeUse(r.reducedOf(group, o.Reduces), o.fixed)
		if taken.IsZero() && !above {
			continue
		}
		over, all = over.Add(o.fixed.Sub(taken)), all.Add(taken)
		r.occupy(i, group)
		used++
	}
	if above && !over.IsZero() {
		r.over = append(r.over, overage{offer: i, amount: over})
	}
	r.next, r.offUses, r.offAll = g, used, all
	return used
}

// takeUse takes value, or what is left, off the lines of the units that one use
// reduces, in proportion to what is left of the lines (rule 8).
func (r *run) takeUse(reduced []int32, value money.Amount) money.Amount {
	if li := r.units[reduced[0]].line; r.onOneLine(reduced, li) {
		value = money.Min(value, r.lines[li].left)
		r.take(li, reduced, value)
		r.acc[li].add(value, len(reduced), 1)
		return value
	}
	r.reduced = append(r.reduced[:0], reduced...)
	slices.Sort(r.reduced)
	r.weights = r.weights[:0]
	for rest := r.reduced; len(rest) > 0; {
		li, n := r.runOfLine(rest)
		r.weights, rest = append(r.weights, r.lines[li].left), rest[n:]
	}
	value = money.Min(value, money.Sum(r.weights...))
	r.shares = append(r.shares[:0], r.weights...)
	money.ShareInto(r.shares, value, r.weights)
	uses := 1
	for k, rest := 0, r.reduced; len(rest) > 0; k++ {
		li, n := r.runOfLine(rest)
		r.take(li, rest[:n], r.shares[k])
		if r.shares[k].IsZero() {
			r.acc[li].add(r.shares[k], n, 0)
		} else {
			r.acc[li].add(r.shares[k], n, uses)
			uses = 0
		}
		rest = rest[n:]
	}
	return value
}

func (a *lineUse) add(amount money.Amount, covered, uses int) {
	a.amount = a.amount.Add(amount)
	a.covered += covered
	if !amount.IsZero() {
		a.uses += uses
	}
}

func (r *run) onOneLine(units []int32, li int32) bool {
	for _, u := range units[1:] {
		if r.units[u].line != li {
			return false
		}
	}
	return true
}

// runOfLine returns the line of the first of units, which are in ascending
// order, and how many of them are on it.
func (r *run) runOfLine(units []int32) (li int32, n int) {
	li = r.units[units[0]].line
	for n < len(units) && units[n] < r.lines[li].last {
		n++
	}
	return li, n
}
