package plan

import (
	"slices"

	"tillproof/money"
)

// credit works out what offer i gives at the till for later (rule 10).
func (r *run) credit(i int) {
	o := &r.c.offers[i]
	rung, isRung := money.Amount{}, false
	if r.rung != nil {
		rung, isRung = r.rung.Credits[i]
	}
	uses, value, measured := 0, rung, money.Amount{}
	switch {
	case isRung:
		if value.IsZero() {
			return
		}
		uses = 1
		if !o.Credit.Value.IsZero() {
			uses = max(1, int(value.Cents()/o.Credit.Value.Cents()))
		}
	case len(r.t.applies[i]) == 0:
		return
	default:
		uses, measured = r.rewardUses(i)
		if uses > 0 && r.void(o.Offer) {
			r.notes.paidWithReward(r, i)
			return
		}
		value = o.Credit.Value.Mul(uses)
		if o.Credit.Percent != nil {
			value = o.Credit.Percent.Of(measured)
		}
		if uses == 0 || value.IsZero() {
			return
		}
	}
	c := BillCredit{Offer: o.ID, Kind: o.Credit.Kind, Value: value, Points: o.Credit.Points * uses, Uses: uses}
	if o.Credit.ExpiresAfter > 0 && !r.date.IsZero() {
		c.Expires = r.date.AddDays(o.Credit.ExpiresAfter)
	}
	if r.explain {
		c.Steps = r.creditSteps(i, uses, measured, value)
	}
	r.checkLarge(i, value)
	r.bill.Credits = append(r.bill.Credits, c)
	r.tally.earned[i] = r.tally.earned[i].Add(value)
	r.used(i, uses)
}

// checkLarge notes a planned value that would make later sums overflow, for
// Load to refuse the plan.
func (r *run) checkLarge(i int, value money.Amount) {
	if r.rung == nil && value.Cmp(largest) > 0 {
		r.c.tooLarge = append(r.c.tooLarge, i)
	}
}

// rewardUses is how often the credit or rebate of offer i is earned, and what
// its spend measured.
func (r *run) rewardUses(i int) (uses int, measured money.Amount) {
	o := &r.c.offers[i]
	if o.Spend != nil {
		measured = r.measure(i)
		if o.Accumulates != nil { // paid over many receipts: this one only counts toward it
			r.notes.toward(r, i, measured)
			return 0, measured
		}
		return r.spendUses(i, measured), measured
	}
	allowed, coupons := r.allowed(i)
	units := 0
	for _, li := range r.t.applies[i] {
		units += r.lines[li].quantity
	}
	full := units / o.Buy
	if r.notes != nil {
		r.notes.bought(i, full, allowed, coupons)
	}
	return min(full, allowed), measured
}

// void reports whether the transaction is paid with something that stops the
// credit or rebate of o.
func (r *run) void(o *Offer) bool {
	for _, stop := range o.VoidIfPaidWith {
		if stop.Credit == nil && r.rung != nil && r.rung.PaidWith != nil {
			if slices.Contains(r.rung.PaidWith, stop.Kind) {
				return true
			}
			continue
		}
		for _, pay := range r.t.tx.PayWith {
			if pay.Kind == stop.Kind && (stop.Credit == nil || pay.Credit == stop.Credit) && r.paidWith(pay.Kind) {
				return true
			}
		}
	}
	return false
}
