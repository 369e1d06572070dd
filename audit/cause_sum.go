package audit

import (
	"fmt"
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// measures are the ways to add up what was spent, with how to say them.
var measures = []struct {
	measure plan.Measure
	text    string
}{
	{plan.MeasureShelf, "the regular prices"},
	{plan.MeasureSale, "the prices before any offer"},
	{plan.MeasureAfterShelfOffers, "the prices after the store's own offers"},
	{plan.MeasureAfterStoreOffers, "the prices after the store's offers and coupons"},
	{plan.MeasureNet, "what was left after all coupons"},
}

// tryMeasure: the till measured what was spent in another way.
func tryMeasure(c *check, g *gap) []likely {
	o := g.offer
	if o == nil || o.Spend == nil || g.voided {
		return nil
	}
	own := o.Measure
	for _, m := range measures {
		if m.measure == own || c.givesChanged(g, func(o *plan.Offer) { o.Measure = m.measure }) != g.actual {
			continue
		}
		measured := c.measured(g, m.measure)
		if g.actual.IsZero() {
			if short := o.Spend.Sub(measured); short.Sign() > 0 {
				chance := 70
				if byHand(o) {
					chance = 68
				}
				return []likely{{ThresholdMissed, fmt.Sprintf("the till may have measured %s: %s, which is %s under %s", m.text, measured, short, *o.Spend), chance, SideTill}}
			}
			continue
		}
		text := fmt.Sprintf("the till measured %s: %s, which gives %s", m.text, measured, g.actual)
		if g.actual.Cmp(g.expected) < 0 && o.Repeats {
			// It reached one amount to spend less than it should have.
			short := o.Spend.Sub(money.FromCents(measured.Cents() % o.Spend.Cents()))
			return []likely{{ThresholdMissed, fmt.Sprintf("%s: %s under the next full %s", text, short, *o.Spend), 84, SideTill}}
		}
		return []likely{{OtherBase, text, 72, SideTill}, {ThresholdMissed, text, 40, SideTill}}
	}
	return nil
}

// measured adds up what was spent on the offer's items.
func (c *check) measured(g *gap, m plan.Measure) (sum money.Amount) {
	rung := copyRung(&g.before)
	bill := c.p.PriceAs(c.tx, &rung)
	for i, it := range c.tx.Items {
		if !g.offer.Covers(it) {
			continue
		}
		l := &bill.Lines[i]
		one := l.Price
		if m == plan.MeasureShelf {
			one = l.Regular
		}
		for _, d := range l.Deductions {
			step := c.offer(d.Offer).Step()
			if m == plan.MeasureNet || m == plan.MeasureAfterStoreOffers && step != plan.StepMaker || m == plan.MeasureAfterShelfOffers && step == plan.StepShelf {
				one = one.Sub(d.Amount)
			}
		}
		sum = sum.Add(one)
	}
	return sum
}

// orders are the ways in which a till may take the three steps.
var orders = [][]plan.Step{
	{plan.StepShelf, plan.StepStore, plan.StepMaker}, {plan.StepShelf, plan.StepMaker, plan.StepStore},
	{plan.StepStore, plan.StepShelf, plan.StepMaker}, {plan.StepStore, plan.StepMaker, plan.StepShelf},
	{plan.StepMaker, plan.StepShelf, plan.StepStore}, {plan.StepMaker, plan.StepStore, plan.StepShelf},
}

// tryBase: the till took a percentage of another amount.
func tryBase(c *check, g *gap) []likely {
	if !takesPercent(g) {
		return nil
	}
	if all := c.ofBase(g); all != nil {
		return all
	}
	if order := c.underOrder(g); order != nil {
		return []likely{{OtherBase, fmt.Sprintf("the till took %s in another order: %s offers first, then %s, then %s", *g.offer.Deduct.Percent, order[0], order[1], order[2]), 73, SideTill}}
	}
	return nil
}

// takesPercent reports whether g is of a percentage that was taken.
func takesPercent(g *gap) bool {
	o := g.offer
	return o != nil && o.Deduct != nil && o.Deduct.Percent != nil && !g.actual.IsZero()
}

// underOrder is another order of the steps that gives what g has, nil for none.
func (c *check) underOrder(g *gap) []plan.Step {
	for _, order := range orders {
		if c.givesUnderOrder(g, order) == g.actual {
			return order
		}
	}
	return nil
}

// onlyOrder reports whether nothing but another order of the steps explains a percentage.
func (c *check) onlyOrder(g *gap) bool {
	return g.what == ofDeduction && takesPercent(g) && c.ofBase(g) == nil && c.underOrder(g) != nil
}

// ofBase is what gives the percentage of g, taken of another amount.
func (c *check) ofBase(g *gap) []likely {
	o, rate := g.offer, *g.offer.Deduct.Percent
	var regular, price, byRegular, byPrice money.Amount
	for i, it := range c.tx.Items {
		if l := &c.bill.Lines[i]; o.Covers(it) {
			regular, price = regular.Add(l.Regular), price.Add(l.Price)
			byRegular, byPrice = byRegular.Add(rate.Of(l.Regular)), byPrice.Add(rate.Of(l.Price))
		}
	}
	for _, base := range [...]struct {
		amount, byLine money.Amount
		text           string
	}{{regular, byRegular, "the regular price"}, {price, byPrice, "the price before any offer"}} {
		if rate.Of(base.amount) == g.actual || base.byLine == g.actual {
			return []likely{{OtherBase, fmt.Sprintf("the till took %s of %s: %s of %s is %s", rate, base.text, rate, base.amount, g.actual), 75, SideTill}}
		}
	}
	if c.cutBase(g, rate) == g.actual {
		return []likely{{OtherBase, fmt.Sprintf("the till took %s of the regular price, %s, and no more than was left: %s", rate, regular, g.actual), 70, SideTill}}
	}
	return nil
}

// cutBase is rate of the regular price of each line, cut to what all other
// deductions left of it.
func (c *check) cutBase(g *gap, rate money.Rate) (sum money.Amount) {
	for i, it := range c.tx.Items {
		l := &c.bill.Lines[i]
		if !g.offer.Covers(it) {
			continue
		}
		left := l.Net
		for _, d := range l.Deductions {
			if d.Offer == g.offer.ID {
				left = left.Add(d.Amount)
			}
		}
		sum = sum.Add(money.Min(rate.Of(l.Regular), left))
	}
	return sum
}

// givesUnderOrder is what the offer gives where the steps are taken in another
// order; offers that then come after it are not on the receipt's side yet, so
// all that was read of them is taken as rung.
func (c *check) givesUnderOrder(g *gap, order []plan.Step) money.Amount {
	p := *c.p
	p.Store.Policy.Order = order
	rung := copyRung(&g.before)
	for _, o := range c.p.Offers {
		if o == g.offer || o.Deduct == nil {
			continue
		}
		m := &c.m.Offers[o.Index]
		if got, known := total(m.Cuts); known {
			rung.Offers[o.Index] = c.rungOffer(o, m, got)
		}
	}
	return c.givesAs(&p, g, &rung)
}

// tryCut: the till cut a coupon to what an item cost.
func tryCut(c *check, g *gap) []likely {
	o := g.offer
	if o == nil || o.Deduct.Amount == nil || o.Spend != nil || g.actual.IsZero() || g.actual.Cmp(g.expected) >= 0 {
		return nil
	}
	text := fmt.Sprintf("the till cut “%s” to what its item cost: %s", o.Title, g.actual)
	if c.p.Store.Policy.Overage && c.givesUnder(g, func(p *plan.Policy) { p.Overage = false }) == g.actual {
		return []likely{{CutToPrice, text, 78, SideTill}}
	}
	_, uses := c.usesIn(g)
	for i, it := range c.tx.Items {
		l := &c.bill.Lines[i]
		if !o.Covers(it) || l.Quantity == 0 {
			continue
		}
		each := l.Price.Fraction(1, int64(l.Quantity))
		if each.Cmp(*o.Deduct.Amount) < 0 && each.Mul(uses) == g.actual {
			return []likely{{CutToPrice, fmt.Sprintf("the till cut “%s” to what one unit cost: %s", o.Title, each), 70, SideTill}}
		}
	}
	return nil
}

// tryRounding: the till rounded a percentage by unit, or by line.
func tryRounding(c *check, g *gap) []likely {
	if g.offer == nil || g.actual.IsZero() {
		return nil
	}
	if c.givesUnder(g, func(p *plan.Policy) { p.RoundByUnit = !p.RoundByUnit }) != g.actual {
		return nil
	}
	how := "by unit"
	if c.p.Store.Policy.RoundByUnit {
		how = "once for the line"
	}
	return []likely{{Rounding, fmt.Sprintf("the till rounded “%s” %s: %s", g.offer.Title, how, g.actual), 65, SideTill}}
}

func tryOtherItem(_ *check, g *gap) []likely {
	return []likely{{OtherItem, fmt.Sprintf("“%s” came off %s: %s", g.offer.Title, g.place.Name, g.actual), 90, SideTill}}
}

// taxedBy is what a till taxes: which deductions lower it for each rate, and whether it
// is all goods.
type taxedBy struct {
	basis func(*plan.Tax) taxBasis
	all   bool
	text  string
}

// taxBases are the amounts that tills tax by mistake, with how to say them.
var taxBases = []taxedBy{
	{evenly(taxBasis{}), false, "the prices before any deduction"},
	{evenly(taxBasis{store: true}), false, "the prices after the store's offers and before the makers' coupons"},
	{evenly(taxBasis{store: true, maker: true}), false, "the prices after all deductions"},
	{evenly(taxBasis{maker: true}), false, "the prices after the makers' coupons and before the store's offers"},
	{afterStore, true, "all items"},
	{evenly(taxBasis{store: true}), true, "all items"},
	{evenly(taxBasis{store: true, maker: true}), true, "all items, after all deductions"},
	{evenly(taxBasis{}), true, "all items, before any deduction"},
}

// evenly is the same basis for every rate.
func evenly(b taxBasis) func(*plan.Tax) taxBasis { return func(*plan.Tax) taxBasis { return b } }

// taxComesOut reports whether a usual mistake of tills gives got over what was rung,
// rounded as the plan says. A rounding of another kind may hide that something came off
// other goods.
func (c *check) taxComesOut(got money.Amount) bool {
	return got.IsZero() || slices.ContainsFunc(taxBases, func(b taxedBy) bool {
		sum, _ := c.taxOf(b.basis, b.all, false)
		return sum == got
	})
}

// taxOnce reports whether got is right over what was rung, or but for one mistake: which
// deductions lower the tax, or which goods are taxed. Two at once are rarer than a coupon
// that came off other goods.
func (c *check) taxOnce(got money.Amount) bool {
	return got.IsZero() || slices.ContainsFunc(taxBases, func(b taxedBy) bool {
		most := 0
		for k := range c.p.Taxes {
			right, is, mistakes := afterStore(&c.p.Taxes[k]), b.basis(&c.p.Taxes[k]), 0
			for _, wrong := range [...]bool{b.all, is.store != right.store, is.maker != right.maker} {
				if wrong {
					mistakes++
				}
			}
			most = max(most, mistakes)
		}
		sum, _ := c.taxOf(b.basis, b.all, false)
		return most <= 1 && sum == got
	})
}

// tryTaxBase: the till taxed another amount.
func tryTaxBase(c *check, g *gap) []likely {
	if g.actual.IsZero() {
		return []likely{{TaxBase, fmt.Sprintf("the till taxed nothing: %s was due", g.expected), 70, SideTill}}
	}
	for _, b := range taxBases {
		for _, otherwise := range [...]bool{false, true} {
			if sum, bases := c.taxOf(b.basis, b.all, otherwise); sum == g.actual {
				return []likely{{TaxBase, fmt.Sprintf("the till taxed %s: %s, which gives %s", b.text, bases, sum), 70, SideTill}}
			}
		}
	}
	return c.tryFeesTaxed(g)
}

// taxOf is the tax on another basis, of all items or of the taxable ones, and
// what it is of; otherwise: each rate rounded by item where the plan says by
// transaction, and the other way.
func (c *check) taxOf(basis func(*plan.Tax) taxBasis, all, otherwise bool) (sum, bases money.Amount) {
	extra := c.flagged
	if all {
		extra = nil
		for i := range c.m.Unplanned {
			if e := &c.m.Unplanned[i]; !e.Fee {
				extra = append(extra, e.Amount)
			}
		}
	}
	for k := range c.p.Taxes {
		t := &c.p.Taxes[k]
		parts := slices.Clone(extra)
		for i, it := range c.tx.Items {
			if all || inTax(t, it) {
				parts = append(parts, c.taxBase(i, basis(t)))
			}
		}
		base := money.Sum(parts...)
		bases = bases.Add(base)
		if t.ByItem == otherwise {
			sum = sum.Add(t.Rate.TaxOn(base))
			continue
		}
		for _, part := range parts {
			sum = sum.Add(t.Rate.TaxOn(part))
		}
	}
	return sum, bases
}

// tryFeesTaxed: deposits and charges were taxed, or one rate was left out.
func (c *check) tryFeesTaxed(g *gap) []likely {
	if !c.bill.Fees.IsZero() && c.taxWith(c.bill.Fees) == g.actual {
		return []likely{{TaxBase, fmt.Sprintf("the till taxed the fees too: %s", c.bill.Fees), 70, SideTill}}
	}
	for i, it := range c.tx.Items {
		price := c.taxBase(i, taxBasis{store: true})
		if c.taxedItem(it) {
			if c.taxWith(price.Neg()) == g.actual {
				return []likely{{TaxBase, fmt.Sprintf("the till did not tax %s: %s", it.Name, price), 60, SideTill}}
			}
		} else if c.taxWith(price) == g.actual {
			return []likely{{TaxBase, fmt.Sprintf("the till taxed %s, which the plan has as untaxed: %s", it.Name, price), 60, SideTill}}
		}
	}
	return nil
}

// cashSteps are the amounts to which totals paid in cash are rounded.
var cashSteps = []money.Amount{money.FromCents(5), money.FromCents(10)}

// tryCashRounding: a total paid in cash was rounded, to the nearest step or down, and no
// line says so.
func tryCashRounding(c *check, g *gap) []likely {
	kinds := c.paidKinds()
	if kinds == nil || slices.ContainsFunc(kinds, func(k string) bool { return k != "cash" }) {
		return nil
	}
	by := g.actual.Sub(g.expected)
	steps := cashSteps
	if own := c.p.Store.Policy.CashRounding; own.Sign() > 0 {
		steps = append([]money.Amount{own}, steps...)
	}
	for _, step := range steps {
		if g.actual.Cents()%step.Cents() != 0 || by.Cents()*2 > step.Cents() || by.Neg().Cmp(step) >= 0 {
			continue
		}
		how := "to the nearest"
		if by.Cents()*2 < -step.Cents() {
			how = "down to the next"
		}
		return []likely{{CashRounding, fmt.Sprintf("the till rounded the cash total %s %s: %s to %s", how, step, g.expected, g.actual), 70, SideOpen}}
	}
	return nil
}
