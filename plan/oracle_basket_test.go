package plan_test

import (
	"math/big"
	"slices"
	"sort"

	"tillproof/plan"
)

// take takes cents off the line: off the named units in proportion, and off
// the others in proportion where they have not enough.
func (l *oLine) take(of *plan.Offer, cents int64, named []*oUnit) {
	if cents == 0 {
		return
	}
	switch {
	case named == nil && of.FundedBy == "maker":
		l.shareM += cents
	case named == nil:
		l.shareS += cents
	default:
		l.offs[of.ID] += cents
		switch of.Step() {
		case plan.StepShelf:
			l.shelf += cents
		case plan.StepStore:
			l.store += cents
		default:
			l.maker += cents
		}
	}
	rest := rat(cents)
	for _, units := range [][]*oUnit{named, l.units} {
		sum := new(big.Rat)
		for _, u := range units {
			sum.Add(sum, u.left)
		}
		if sum.Sign() == 0 {
			continue
		}
		cut := rest
		if sum.Cmp(rest) < 0 {
			cut = sum
		}
		part := new(big.Rat).Quo(cut, sum)
		for _, u := range units {
			u.left = new(big.Rat).Sub(u.left, new(big.Rat).Mul(u.left, part))
		}
		rest = new(big.Rat).Sub(rest, cut)
	}
}

func leftOf(lines []*oLine) (sum int64) {
	for _, l := range lines {
		sum += l.left()
	}
	return sum
}

// shares splits amount over lines by what is left of them, largest remainder
// first, ties to the earlier.
func shares(amount int64, lines []*oLine) []int64 {
	all := leftOf(lines)
	parts := make([]int64, len(lines))
	if all == 0 {
		return parts
	}
	rest, order := amount, make([]int, len(lines))
	fraction := make([]*big.Rat, len(lines))
	for i, l := range lines {
		exact := big.NewRat(1, 1).SetFrac64(l.left(), all)
		exact.Mul(exact, rat(amount))
		parts[i] = new(big.Int).Quo(exact.Num(), exact.Denom()).Int64()
		fraction[i] = exact.Sub(exact, rat(parts[i]))
		rest -= parts[i]
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return fraction[order[a]].Cmp(fraction[order[b]]) > 0 })
	for _, i := range order[:rest] {
		parts[i]++
	}
	return parts
}

func (o *oracle) shareOut(b *oBill, of *plan.Offer, lines []*oLine, amount int64) {
	if amount == 0 {
		return
	}
	for i, share := range shares(amount, lines) {
		lines[i].take(of, share, nil)
	}
	b.baskets = append(b.baskets, oBasket{of.ID, amount})
}

func (o *oracle) covered(b *oBill, of *plan.Offer) (lines []*oLine) {
	for _, l := range b.lines {
		if covers(of.AppliesTo, l.item) {
			lines = append(lines, l)
		}
	}
	return lines
}

func (o *oracle) measured(lines []*oLine, of *plan.Offer) (sum int64) {
	m := of.Measure
	if m == "" {
		m = o.p.Store.Policy.Measure
	}
	for _, l := range lines {
		switch m {
		case plan.MeasureShelf:
			sum += l.regular
		case plan.MeasureAfterShelfOffers:
			sum += l.price - l.shelf
		case plan.MeasureAfterStoreOffers:
			sum += l.price - l.shelf - l.store
		case plan.MeasureNet:
			sum += l.left()
		default:
			sum += l.price
		}
	}
	return sum
}

func (o *oracle) basket(tx *plan.Transaction, b *oBill, of *plan.Offer) {
	lines := o.covered(b, of)
	uses := min(int(o.measured(lines, of)/of.Spend.Cents()), o.allowed(tx, of))
	if uses == 0 {
		return
	}
	amount := leftOf(lines)
	if of.Deduct.Percent != nil {
		amount = min(amount, halfUp(new(big.Rat).Mul(rat(amount), rate(*of.Deduct.Percent))))
	} else {
		amount = min(amount, of.Deduct.Amount.Cents()*int64(uses))
	}
	if amount > 0 {
		o.shareOut(b, of, lines, amount)
		o.use(tx, of, uses)
	}
}

func (o *oracle) tax(b *oBill) {
	for _, t := range o.p.Taxes {
		var base, byItem int64
		for _, l := range b.lines {
			if t.Items != nil && !covers(t.Items, l.item) {
				continue
			}
			taxable := l.price - l.shelf - l.store - l.shareS
			if t.MakerUntaxed {
				taxable -= l.maker + l.shareM
			}
			base += taxable
			byItem += o.taxOn(t, taxable)
		}
		if t.ByItem {
			b.tax += byItem
		} else {
			b.tax += o.taxOn(t, base)
		}
	}
}

// taxOn cuts after the third decimal, then rounds to the cent.
func (o *oracle) taxOn(t plan.Tax, base int64) int64 {
	exact := new(big.Rat).Mul(rat(base*10), rate(t.Rate)) // in tenths of a cent
	mills := new(big.Int).Quo(exact.Num(), exact.Denom()).Int64()
	return mills/10 + (mills%10+5)/10
}

// reward works out the credit or rebate of an offer.
func (o *oracle) reward(tx *plan.Transaction, b *oBill, of *plan.Offer) {
	lines := o.covered(b, of)
	if of.Deduct != nil || of.Accumulates != nil || len(lines) == 0 {
		return
	}
	units := 0
	for _, l := range lines {
		units += len(l.units)
	}
	measured := o.measured(lines, of)
	uses := 0
	if of.Spend != nil {
		uses = int(measured / of.Spend.Cents())
	} else {
		uses = units / of.Buy
	}
	uses = min(uses, o.allowed(tx, of))
	for _, stop := range of.VoidIfPaidWith {
		if slices.ContainsFunc(tx.PayWith, func(p plan.Payment) bool {
			return p.Kind == stop.Kind && (stop.Credit == nil || p.Credit == stop.Credit)
		}) {
			uses = 0
		}
	}
	if uses == 0 {
		return
	}
	var value int64
	switch {
	case of.Credit != nil && of.Credit.Percent != nil:
		value = halfUp(new(big.Rat).Mul(rat(measured), rate(*of.Credit.Percent)))
	case of.Credit != nil:
		value = of.Credit.Value.Cents() * int64(uses)
	case of.Rebate.Paid:
		value = o.paid(lines, of, uses)
	default:
		value = of.Rebate.Value.Cents() * int64(uses)
	}
	if of.Rebate != nil && of.Rebate.AtMost != nil {
		value = min(value, of.Rebate.AtMost.Cents())
	}
	if value == 0 {
		return
	}
	o.use(tx, of, uses)
	b.final -= value
	if of.Credit != nil {
		b.credits[of.ID] = value
	} else {
		b.rebates[of.ID] = value
	}
}

func (o *oracle) paid(lines []*oLine, of *plan.Offer, uses int) int64 {
	var lefts []*big.Rat
	for _, l := range lines {
		for _, u := range l.units {
			lefts = append(lefts, u.left)
		}
	}
	sort.SliceStable(lefts, func(i, j int) bool { return lefts[i].Cmp(lefts[j]) > 0 })
	if n := uses * of.Buy; of.Spend == nil && n < len(lefts) {
		lefts = lefts[:n]
	}
	sum := new(big.Rat)
	for _, l := range lefts {
		sum.Add(sum, l)
	}
	return halfUp(sum)
}
