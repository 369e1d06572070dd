package plan

import (
	"sync"

	"tillproof/money"
)

// run is one pricing of one transaction. Its methods follow the rules of the
// plan format in their order: price below is the whole story.
type run struct {
	c     *compiled
	t     *compiledTx
	rung  *Rung
	date  Date
	tally tally
	// explain: keep the steps of every sum. notes collects warnings; nil: none.
	explain bool
	notes   *notes

	lines []line
	units []unit
	found []found
	over  []overage
	bill  *TransactionBill

	// Room for the offer at hand.
	pick, group, reduced, whole, starts []int32
	acc                                 []lineUse
	weights, shares                     []money.Amount
	savedLines                          []line
	savedUnits                          []unit

	// next is where in pick the offer at hand stopped forming uses; offUses and
	// offAll are its uses and what they take off in all lines.
	next, offUses int
	offAll        money.Amount
}

// found is a deduction on one line, kept until all are known. next is the
// line's next one, counted from 1, 0 for none.
type found struct {
	next int32
	Deduction
}

// overage is what a coupon is worth above its line.
type overage struct {
	offer  int
	amount money.Amount
	asRung bool
}

// lineUse adds up what the offer at hand does to one line.
type lineUse struct {
	uses, covered int
	amount        money.Amount
	base          int64 // what a percentage was taken of, in ticks
}

var runs = sync.Pool{New: func() any { return new(run) }}

// newRun prepares a pricing of t; rung nil is as planned.
func newRun(c *compiled, t *compiledTx, rung *Rung) *run {
	r := runs.Get().(*run)
	r.c, r.t, r.rung = c, t, rung
	r.date = t.tx.Date
	if r.date.IsZero() {
		r.date = c.of.Date
	}
	if rung != nil && !rung.Date.IsZero() {
		r.date = rung.Date
	}
	r.lines, r.units = r.lines[:0], r.units[:0]
	if rung == nil || len(rung.Items) == 0 {
		r.lines, r.units = append(r.lines, t.lines...), append(r.units, t.units...)
	} else {
		for i, it := range t.tx.Items {
			as, ok := rung.Items[i]
			if !ok {
				as = RungItem{Quantity: it.Quantity}
			}
			r.lines, r.units = appendLine(r.lines, r.units, it, as)
		}
	}
	r.found, r.over = r.found[:0], r.over[:0]
	r.acc = append(r.acc[:0], make([]lineUse, len(r.lines))...)
	return r
}

// release gives r's room back; its bill is the caller's.
func (r *run) release() {
	r.c, r.t, r.rung, r.bill, r.notes, r.explain = nil, nil, nil, nil, nil, false
	clear(r.found[:cap(r.found)])
	clear(r.tally.when)
	runs.Put(r)
}

// price prices the transaction: line prices stand already.
func (r *run) price() *TransactionBill {
	b := &TransactionBill{
		ID: r.t.tx.ID, Date: r.date,
		BasketDeductions: []BasketDeduction{}, Credits: []BillCredit{}, Rebates: []BillRebate{},
	}
	r.bill = b
	for _, i := range r.c.steps {
		r.deduct(i)
	}
	r.overages()
	for _, i := range r.c.spends {
		r.basketDeduct(i)
	}
	r.billLines()
	r.tax()
	r.total()
	for _, i := range r.c.credits {
		r.credit(i)
	}
	for _, i := range r.c.rebates {
		r.rebate(i)
	}
	r.final()
	return b
}

// billLines makes the bill's lines of the lines and what was taken off them.
func (r *run) billLines() {
	b := r.bill
	b.Lines = make([]BillLine, len(r.lines))
	all := make([]Deduction, 0, len(r.found))
	for i := range r.lines {
		l, first := &r.lines[i], len(all)
		net := l.price
		for f := l.firstFound; f != 0; f = r.found[f-1].next {
			d := &r.found[f-1].Deduction
			all = append(all, *d)
			net = net.Sub(d.Amount)
		}
		b.Lines[i] = BillLine{
			Item: l.item.ID, Quantity: l.quantity, Weight: l.weight, Unit: l.item.Unit,
			Price: l.price, Regular: l.regular, Fee: l.fee,
			Deductions: all[first:len(all):len(all)], Net: net,
		}
		if r.explain {
			b.Lines[i].Steps = r.lineSteps(l)
		}
	}
}

// total works out what is paid at the till.
func (r *run) total() {
	b := r.bill
	out := b.Tax
	for i := range b.Lines {
		b.Fees = b.Fees.Add(b.Lines[i].Fee)
		out = out.Add(b.Lines[i].Net)
	}
	for _, d := range b.BasketDeductions {
		out = out.Sub(d.Amount)
	}
	out = out.Add(b.Fees)
	if step := r.c.of.Store.Policy.CashRounding; !step.IsZero() && r.cashAlone() {
		rounded := roundCash(out, step)
		b.Rounding = rounded.Sub(out)
		out = rounded
	}
	b.OutOfPocket = out
	b.CashDue = out.Sub(r.creditsPaid(out))
}

// final works out what the basket costs in the end.
func (r *run) final() {
	b, units := r.bill, 0
	b.FinalCost = b.OutOfPocket
	for _, c := range b.Credits {
		b.FinalCost = b.FinalCost.Sub(c.Value)
	}
	for _, rb := range b.Rebates {
		b.FinalCost = b.FinalCost.Sub(rb.Value)
	}
	for i := range r.lines {
		units += r.lines[i].quantity
	}
	b.PerUnit = perUnit(b.FinalCost, units)
	if r.explain {
		b.Steps = r.billSteps(units)
	}
}

func perUnit(cost money.Amount, units int) money.Amount {
	if units == 0 {
		return money.Amount{}
	}
	return cost.Fraction(1, int64(units))
}

// take takes amount off line i: from the named units of it first, in proportion
// to what is left of them, and what is above that from the line's others. What
// is left does not go under zero; a till that took more shows it in the net.
func (r *run) take(i int32, named []int32, amount money.Amount) {
	l := &r.lines[i]
	if amount.Sign() <= 0 {
		return
	}
	amount = money.Min(amount, l.left)
	l.left = l.left.Sub(amount)
	ticks := amount.Cents() * ticksPerCent
	if len(named) > 0 {
		ticks = r.lower(named, ticks)
	}
	if ticks > 0 {
		r.whole = r.whole[:0]
		for u := l.first; u < l.last; u++ {
			r.whole = append(r.whole, u)
		}
		r.lower(r.whole, ticks)
	}
}

// lower takes ticks off the units and returns those that were too many.
func (r *run) lower(units []int32, ticks int64) int64 {
	var sum int64
	for _, u := range units {
		sum += r.units[u].left
	}
	if sum <= ticks {
		for _, u := range units {
			r.units[u].left = 0
		}
		return ticks - sum
	}
	rest := ticks
	for _, u := range units {
		cut := part(r.units[u].left, ticks, sum)
		r.units[u].left -= cut
		rest -= cut
	}
	for _, u := range units {
		if rest > 0 && r.units[u].left > 0 {
			r.units[u].left--
			rest--
		}
	}
	return 0
}
