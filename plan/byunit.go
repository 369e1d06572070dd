package plan

import (
	"slices"

	"tillproof/money"

	"github.com/shopspring/decimal"
)

// deductByUnit takes offer i off where what comes off depends on the units: a
// percentage, free, or down to a price. It is taken of all the units that the
// offer covers in one line and rounded once (rule 6).
func (r *run) deductByUnit(i, uses int) (used int) {
	o := &r.c.offers[i]
	r.starts, r.reduced = r.starts[:0], r.reduced[:0]
	g := 0
	for ; g+o.Buy <= len(r.pick) && len(r.starts) < uses; g += o.Buy {
		reduced := r.reducedOf(r.pick[g:g+o.Buy], o.Reduces)
		if r.takesOff(o, reduced) {
			r.starts = append(r.starts, int32(g))
			r.reduced = append(r.reduced, reduced...)
		}
	}
	r.next = g
	slices.Sort(r.reduced)
	for rest := r.reduced; len(rest) > 0; {
		li, n := r.runOfLine(rest)
		r.acc[li] = r.reduction(o, li, rest[:n])
		rest = rest[n:]
	}
	// A use whose lines all come to 0.00 takes nothing off and is not used.
	for _, g := range r.starts {
		group := r.pick[g : int(g)+o.Buy]
		if li := r.firstReduced(r.reducedOf(group, o.Reduces)); li >= 0 {
			r.acc[li].uses++
			r.occupy(i, group)
			used++
		}
	}
	for rest := r.reduced; len(rest) > 0; {
		li, n := r.runOfLine(rest)
		r.take(li, rest[:n], r.acc[li].amount)
		rest = rest[n:]
	}
	return used
}

// takesOff reports whether there is anything to take off one of the units.
func (r *run) takesOff(o *compiledOffer, reduced []int32) bool {
	for _, u := range reduced {
		unit := &r.units[u]
		if o.Deduct.To == nil && unit.left > 0 {
			return true
		}
		if o.Deduct.To != nil && (r.lines[unit.line].weight != nil || unit.left > o.Deduct.To.Cents()*ticksPerCent) {
			return true
		}
	}
	return false
}

// firstReduced returns the first line in plan order of which a use takes
// something, -1 where it takes nothing at all.
func (r *run) firstReduced(reduced []int32) int32 {
	first := int32(-1)
	for _, u := range reduced {
		if li := r.units[u].line; !r.acc[li].amount.IsZero() && (first < 0 || li < first) {
			first = li
		}
	}
	return first
}

// reduction is what offer o takes off the given units of one line.
func (r *run) reduction(o *compiledOffer, li int32, units []int32) lineUse {
	l, d := &r.lines[li], o.Deduct
	use := lineUse{covered: len(units)}
	byUnit := r.c.of.Store.Policy.RoundByUnit && d.Percent != nil
	for _, u := range units {
		left := r.units[u].left
		if d.To != nil {
			left = max(0, left-d.To.Cents()*ticksPerCent)
		}
		if byUnit {
			use.amount = use.amount.Add(d.Percent.OfFraction(left, ticksPerCent))
		}
		use.base += left
	}
	switch {
	case d.To != nil && l.weight != nil:
		use.amount = downTo(l, *d.To)
	case byUnit:
	case d.Percent != nil:
		use.amount = d.Percent.OfFraction(use.base, ticksPerCent)
	default:
		use.amount = cents(use.base)
	}
	use.amount = money.Min(use.amount, l.left)
	return use
}

// downTo is what comes off a weighed line for it to cost to for each unit of
// weight: worked out by unit of weight and then rounded, less what came off before.
func downTo(l *line, to money.Amount) money.Amount {
	exact := l.price.Decimal()
	if l.mine {
		exact = l.item.UnitPrice().Decimal().Mul(*l.weight)
	}
	before := l.price.Sub(l.left).Decimal()
	off := exact.Sub(before).Sub(to.Decimal().Mul(*l.weight))
	if !off.IsPositive() {
		off = decimal.Decimal{}
	}
	return money.Round(off)
}
