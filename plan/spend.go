package plan

import "tillproof/money"

// measure adds up what the spend of offer i counts, over its items.
func (r *run) measure(i int) money.Amount {
	var sum money.Amount
	for _, li := range r.t.applies[i] {
		sum = sum.Add(r.measured(&r.lines[li], r.c.offers[i].measure))
	}
	return sum
}

func (r *run) measured(l *line, m Measure) money.Amount {
	switch m {
	case MeasureShelf:
		return l.regular
	case MeasureAfterShelfOffers:
		return l.price.Sub(l.off[stepShelf])
	case MeasureAfterStoreOffers:
		return l.price.Sub(l.off[stepShelf]).Sub(l.off[stepStore])
	case MeasureNet:
		return l.left
	}
	return l.price
}

// spendUses is how often offer i may be used for what was spent.
func (r *run) spendUses(i int, measured money.Amount) (uses int) {
	o := &r.c.offers[i]
	allowed, coupons := r.allowed(i)
	full := int(measured.Cents() / o.Spend.Cents())
	if measured.Sign() < 0 {
		full = 0
	}
	if r.notes != nil {
		r.notes.spent(r, i, measured, full, allowed, coupons)
	}
	return min(full, allowed)
}

// basketDeduct takes the spend offer i off the basket (rule 7).
func (r *run) basketDeduct(i int) {
	if r.rung != nil {
		if as, ok := r.rung.Offers[i]; ok {
			r.basketAsRung(i, as)
			return
		}
	}
	if len(r.t.applies[i]) == 0 {
		return
	}
	measured := r.measure(i)
	uses := r.spendUses(i, measured)
	if uses == 0 {
		return
	}
	o := &r.c.offers[i]
	left := r.leftOf(r.t.applies[i])
	amount := o.fixed.Mul(uses)
	if o.Deduct.Percent != nil {
		amount = o.Deduct.Percent.Of(left)
	}
	amount = money.Min(amount, left)
	if amount.IsZero() {
		return
	}
	var steps []Sum
	if r.explain {
		steps = r.basketSteps(i, uses, measured, left, amount)
	}
	r.shareOut(i, r.t.applies[i], amount, steps)
	r.used(i, uses)
}

// leftOf fills weights with what is left of the lines, and adds it up.
func (r *run) leftOf(lines []int32) money.Amount {
	r.weights = r.weights[:0]
	for _, li := range lines {
		r.weights = append(r.weights, r.lines[li].left)
	}
	return money.Sum(r.weights...)
}

// shareOut takes amount off the basket: off the lines in proportion to what is
// left of them.
func (r *run) shareOut(i int, lines []int32, amount money.Amount, steps []Sum) {
	left := r.leftOf(lines)
	r.shares = append(r.shares[:0], r.weights...)
	money.ShareInto(r.shares, amount, r.weights)
	if left.IsZero() && len(lines) > 0 {
		r.shares[0] = amount // a till took off what is not there: it has to go somewhere
	}
	d := BasketDeduction{Offer: r.c.offers[i].ID, Amount: amount, Shares: make(map[string]money.Amount, len(lines)), Steps: steps}
	for k, li := range lines {
		if share := r.shares[k]; !share.IsZero() {
			d.Shares[r.lines[li].item.ID] = share
			r.takeShare(i, li, share)
		}
	}
	r.bill.BasketDeductions = append(r.bill.BasketDeductions, d)
}

func (r *run) takeShare(i int, li int32, share money.Amount) {
	whose := &r.lines[li].basket[btoi(r.c.offers[i].step == stepMaker)]
	*whose = whose.Add(share)
	r.take(li, nil, share)
}

// overages takes what coupons are worth above their lines off the whole basket.
func (r *run) overages() {
	if len(r.over) == 0 {
		return
	}
	r.pick = r.pick[:0]
	for li := range r.lines {
		r.pick = append(r.pick, int32(li))
	}
	for _, o := range r.over {
		amount := o.amount
		if !o.asRung {
			amount = money.Min(amount, r.leftOf(r.pick))
		}
		if amount.IsZero() {
			continue
		}
		var steps []Sum
		if r.explain {
			steps = []Sum{{"worth more than what is left of its items; " + amount.String() + " of it comes off the rest of the basket", amount}}
		}
		r.shareOut(o.offer, r.pick, amount, steps)
	}
}
