package plan

import "tillproof/money"

// rebate works out what offer i pays after the trip.
func (r *run) rebate(i int) {
	o := &r.c.offers[i]
	if len(r.t.applies[i]) == 0 {
		return
	}
	uses, measured := r.rewardUses(i)
	if uses > 0 && r.void(o.Offer) {
		r.notes.paidWithReward(r, i)
		return
	}
	if uses == 0 {
		return
	}
	value := o.Rebate.Value.Mul(uses)
	if o.Rebate.Paid {
		value = cents(r.paidFor(i, uses))
	}
	uncut := value
	if most := o.Rebate.AtMost; most != nil {
		value = money.Min(value, *most)
	}
	if value.IsZero() {
		return
	}
	b := BillRebate{Offer: o.ID, Value: value, Uses: uses, SubmitBy: o.Rebate.SubmitBy}
	if o.Rebate.SubmitWithin > 0 && !r.date.IsZero() {
		b.SubmitBy = r.date.AddDays(o.Rebate.SubmitWithin)
	}
	if r.explain {
		b.Steps = r.rebateSteps(i, uses, measured, uncut, value)
	}
	r.checkLarge(i, value)
	r.bill.Rebates = append(r.bill.Rebates, b)
	r.used(i, uses)
}

// paidFor is what was paid, in ticks, for the units of that many uses: those
// for which most was paid; with spend, for all the offer's items.
func (r *run) paidFor(i, uses int) int64 {
	o := &r.c.offers[i]
	r.pick = r.pick[:0]
	for _, li := range r.t.applies[i] {
		for u := r.lines[li].first; u < r.lines[li].last; u++ {
			r.pick = append(r.pick, u)
		}
	}
	n := len(r.pick)
	if o.Spend == nil && uses*o.Buy < n {
		n = uses * o.Buy
		r.mostLeftFirst(r.pick)
	}
	var ticks int64
	for _, u := range r.pick[:n] {
		ticks += r.units[u].left
	}
	return ticks
}
