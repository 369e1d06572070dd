package plan

import (
	"tillproof/money"
)

// tax works the tax out (rule 9), or takes the one that was rung.
func (r *run) tax() {
	b := r.bill
	if r.rung != nil && r.rung.Tax != nil {
		b.Tax = *r.rung.Tax
		return
	}
	for k := range r.c.of.Taxes {
		t := &r.c.of.Taxes[k]
		var base, one money.Amount
		for _, li := range r.t.taxed[k] {
			taxable := r.taxable(&r.lines[li], t)
			base = base.Add(taxable)
			if t.ByItem {
				one = one.Add(t.Rate.TaxOn(taxable))
			}
		}
		if !t.ByItem {
			one = t.Rate.TaxOn(base)
		}
		b.Tax = b.Tax.Add(one)
		if r.explain {
			b.TaxSteps = append(b.TaxSteps, r.taxSteps(k, base, one)...)
		}
	}
}

// taxable is what tax t is taken of in one line: what is left after
// store-funded deductions, and after the makers' where they lower it.
func (r *run) taxable(l *line, t *Tax) money.Amount {
	base := l.price.Sub(l.off[stepShelf]).Sub(l.off[stepStore]).Sub(l.basket[0])
	if t.MakerUntaxed {
		base = base.Sub(l.off[stepMaker]).Sub(l.basket[1])
	}
	return base
}

// cashAlone reports whether the transaction is paid in cash and nothing else.
func (r *run) cashAlone() bool {
	if r.rung != nil && r.rung.PaidWith != nil {
		for _, kind := range r.rung.PaidWith {
			if kind != "cash" {
				return false
			}
		}
		return len(r.rung.PaidWith) > 0
	}
	for _, pay := range r.t.tx.PayWith {
		if pay.Kind != "cash" {
			return false
		}
	}
	return len(r.t.tx.PayWith) > 0
}

// roundCash rounds a to the nearest multiple of step, half up.
func roundCash(a, step money.Amount) money.Amount {
	return step.Mul(int(a.Fraction(1, step.Cents()).Cents()))
}

// creditsPaid is how much of out is paid with credits of this plan and held
// ones; a credit that is more than what is left to pay keeps the rest.
func (r *run) creditsPaid(out money.Amount) money.Amount {
	var sum money.Amount
	left := money.Max(out, money.Amount{})
	for _, pay := range r.t.tx.PayWith {
		if pay.Credit == nil && !pay.Held || !r.paidWith(pay.Kind) {
			continue
		}
		used := money.Min(pay.Amount, left)
		left, sum = left.Sub(used), sum.Add(used)
		if pay.Credit != nil && pay.Credit.Index < len(r.tally.paid) {
			paid := &r.tally.paid[pay.Credit.Index]
			*paid = paid.Add(used)
		}
	}
	return sum
}

// paidWith reports whether a payment of that kind was read, where that is known.
func (r *run) paidWith(kind string) bool {
	if r.rung == nil || r.rung.PaidWith == nil {
		return true
	}
	for _, k := range r.rung.PaidWith {
		if k == kind {
			return true
		}
	}
	return false
}
