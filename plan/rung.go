package plan

import "tillproof/money"

// deductAsRung takes off exactly what the till took for offer i. What the offer
// should have done is worked out all the same, for the units that carry it.
func (r *run) deductAsRung(i int, as RungOffer) {
	o := &r.c.offers[i]
	total := as.Basket
	for _, a := range as.Items {
		total = total.Add(a)
	}
	if total.IsZero() && allZero(as.Items) {
		return
	}
	over, used := len(r.over), 0
	r.savedLines = append(r.savedLines[:0], r.lines...)
	r.savedUnits = append(r.savedUnits[:0], r.units...)
	if uses, _ := r.allowed(i); uses > 0 {
		r.gather(i)
		if !o.fixed.IsZero() {
			used = r.deductAmount(i, min(uses, int((total.Abs().Cents()+o.fixed.Cents()-1)/o.fixed.Cents())))
			if most := min(uses, len(r.pick)/o.Buy); used < most && r.c.of.Store.Policy.Overage && o.coupon && !as.Basket.IsZero() {
				used = r.deductMost(i, as, used, most, over)
			}
		} else {
			used = r.deductByUnit(i, uses)
		}
	}
	r.over = r.over[:over]
	if r.c.of.Store.Policy.Overage && o.coupon && !as.Basket.IsZero() {
		r.over = append(r.over, overage{offer: i, amount: as.Basket, asRung: true})
		as.Basket = money.Amount{}
	}
	used = max(used, 1)
	r.spreadRung(i, as, used)
	r.used(i, used)
}

// deductMost works out most uses of coupon i instead of used, where they take the same off the
// lines: on goods that cost nothing a use is worth what it takes off the basket alone, and of that
// there may have been less left than the uses are worth. before is how much overage there was.
func (r *run) deductMost(i int, as RungOffer, used, most, before int) int {
	anew := func(uses int) int {
		copy(r.lines, r.savedLines)
		copy(r.units, r.savedUnits)
		for _, li := range r.t.applies[i] {
			r.acc[li] = lineUse{}
		}
		r.over = r.over[:before]
		r.gather(i)
		return r.deductAmount(i, uses)
	}
	got := anew(most)
	for _, li := range r.t.applies[i] {
		if r.acc[li].amount != as.Items[int(li)] {
			return anew(used)
		}
	}
	return got
}

func allZero(items map[int]money.Amount) bool {
	for _, a := range items {
		if !a.IsZero() {
			return false
		}
	}
	return true
}

// spreadRung records the amounts a till took off, by line. What it took off
// nothing in particular is shared as the offer should have been, so that a
// coupon printed at the foot of a receipt comes off its own items.
func (r *run) spreadRung(i int, as RungOffer, uses int) {
	lines := r.whereRung(i, as)
	r.weights = r.weights[:0]
	should, left := false, false
	for _, li := range lines {
		should = should || r.acc[li].amount.Sign() > 0
		left = left || r.lines[li].left.Sign() > 0
	}
	for _, li := range lines {
		switch {
		case should:
			r.weights = append(r.weights, r.acc[li].amount)
		case left:
			r.weights = append(r.weights, r.lines[li].left)
		default:
			r.weights = append(r.weights, money.FromCents(1))
		}
	}
	r.shares = append(r.shares[:0], r.weights...)
	money.ShareInto(r.shares, as.Basket, r.weights)
	counted := false // a use off lines where it should not be counts on the first
	for k, li := range lines {
		counted = counted || r.acc[li].uses > 0 && !r.shares[k].Add(as.Items[int(li)]).IsZero()
	}
	for k, li := range lines {
		a := r.acc[li]
		r.acc[li] = lineUse{}
		rung := r.shares[k].Add(as.Items[int(li)])
		if a.amount != rung { // else what it did to the units is right already
			r.restore(li)
			r.take(li, r.carrying(i, li), rung)
			a.amount = rung
		}
		if a.amount.IsZero() {
			continue
		}
		if !counted {
			a.uses, counted = uses, true
		}
		r.record(i, li, a)
	}
}

// restore puts back what was left of the line and its units before the offer
// at hand was worked out. The slots stay taken.
func (r *run) restore(li int32) {
	l := &r.lines[li]
	l.left = r.savedLines[li].left
	for u := l.first; u < l.last; u++ {
		r.units[u].left = r.savedUnits[u].left
	}
}

// whereRung returns the lines that a till took offer i off, and those it is for.
func (r *run) whereRung(i int, as RungOffer) []int32 {
	r.pick = r.pick[:0]
	k, applies := 0, r.t.applies[i]
	for li := range r.lines {
		mine := k < len(applies) && int(applies[k]) == li
		if mine {
			k++
		}
		if mine || len(applies) == 0 || !as.Items[li].IsZero() {
			r.pick = append(r.pick, int32(li))
		}
	}
	return r.pick
}

// carrying returns the units of the line that have offer i in its slot.
func (r *run) carrying(i int, li int32) []int32 {
	r.reduced = r.reduced[:0]
	slot := r.c.offers[i].slot
	for u := r.lines[li].first; u < r.lines[li].last; u++ {
		for k := range slotKinds {
			if slot == 1<<k && r.units[u].taken&slot != 0 && int(r.units[u].by[k]) == i {
				r.reduced = append(r.reduced, u)
			}
		}
	}
	return r.reduced
}

// basketAsRung takes off exactly what the till took for the spend offer i.
func (r *run) basketAsRung(i int, as RungOffer) {
	if as.Basket.IsZero() && allZero(as.Items) {
		return
	}
	if !as.Basket.IsZero() {
		lines := r.t.applies[i]
		if len(lines) == 0 {
			lines = r.whereRung(i, as)
		}
		r.shareOut(i, lines, as.Basket, nil)
	}
	if !allZero(as.Items) {
		d := BasketDeduction{Offer: r.c.offers[i].ID, Shares: map[string]money.Amount{}}
		for li := range r.lines {
			if a := as.Items[li]; !a.IsZero() {
				d.Amount = d.Amount.Add(a)
				d.Shares[r.lines[li].item.ID] = a
				r.takeShare(i, int32(li), a)
			}
		}
		r.bill.BasketDeductions = append(r.bill.BasketDeductions, d)
	}
	r.used(i, 1)
}
