package audit

import (
	"slices"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

// tax compares the tax added with what the rates give on what was rung.
func (c *check) tax() {
	if len(c.p.Taxes) == 0 || !c.paid.known && c.r.Tax == nil {
		return
	}
	got := c.paid.tax
	if c.taxOfUnplanned(got) || c.bill.Tax == got {
		return
	}
	want := c.bill.Tax
	if c.taxRounding(got) || c.taxByUnit(got) {
		c.rung.Tax = &got
		c.tolerated = c.tolerated.Add(c.fix())
		return
	}
	g := c.open(ofTax, want, got)
	for i := range c.r.Lines {
		if l := &c.r.Lines[i]; l.Kind == "tax" && l.Amount != nil {
			g.lines = append(g.lines, l.N)
		}
	}
	g.rests = g.lines
	g.rival = c.openSpread || c.taxedElsewhere() || slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofUnplanned && g.weak })
	g.rival = g.rival || (want.Sub(got).Abs().Cents() <= fewCents || !c.taxComesOut(got)) && c.silentByItem(want)
	// A balance that comes to the subtotal by chance hides the tax between the two.
	g.rival = g.rival || got.IsZero() && slices.ContainsFunc(c.r.Lines, func(l parse.Line) bool { return l.Kind == parse.LineTax && l.Amount != nil && !l.Amount.IsZero() })
	g.rival = g.rival || c.namelessTax() || c.sharedLine()
	g.weak = c.unsureTaxed()
	c.rung.Tax = &got
	g.effect = c.fix()
}

// sharedLine reports whether a line of deductions was laid to two offers in part: whose part
// is how large decides what is taxed.
func (c *check) sharedLine() bool {
	of := map[int]int{}
	for i := range c.m.Offers {
		for _, cut := range c.m.Offers[i].Cuts {
			for _, n := range cut.Lines {
				if at, ok := of[n]; ok && at != i {
					return true
				}
				of[n] = i
			}
		}
	}
	return false
}

// fewCents is the most by which a tax differs where only what a coupon came off is not
// known. One of a known cause that is more than that is wrong wherever it came off.
const fewCents = 3

// namelessTax reports whether a line of a text was taken for the tax without a word for
// one: it may be a gift or a charge as well.
func (c *check) namelessTax() bool {
	return c.text && slices.ContainsFunc(c.r.Lines, func(l parse.Line) bool {
		return l.Kind == parse.LineTax && !parse.SaysTax(l.Text, c.p.Store.Prints)
	})
}

// taxOfUnplanned lays a difference in tax to what was rung or taken off without
// being planned: it is its consequence. Where the printed flags do not say
// whether that is taxed, the tax is not checked.
func (c *check) taxOfUnplanned(got money.Amount) bool {
	var first *gap
	var flagged []money.Amount
	known := len(c.p.Taxes) == 1 // which of several rates a flag means is not known
	taxed, untaxed := c.flags()
	for _, g := range c.gaps {
		if g.what != ofUnplanned && (g.what != ofDeduction || g.offer != nil) {
			continue
		}
		if first == nil {
			first = g
		}
		flag := ""
		if g.entry != nil {
			flag = c.entryFlag(g.entry)
		}
		switch {
		case g.what == ofUnplanned && c.text && flag != "" && len(taxed) > 0 && !taxed[""] && !taxed[flag]:
			// The flag of taxed goods is known, and this is another.
		case g.what == ofDeduction || taxed[flag] == untaxed[flag]:
			known = false
		case taxed[flag]:
			flagged = append(flagged, g.actual)
		}
	}
	if first == nil {
		return false
	}
	// What a coupon is worth above its item comes off all that was rung, by shares
	// that goods without a plan have too.
	known = known && !(c.p.Store.Policy.Overage && slices.ContainsFunc(c.bill.BasketDeductions, func(d plan.BasketDeduction) bool { return c.offer(d.Offer).Spend == nil }))
	if known {
		c.flagged = flagged
		// What the flags say is the goods' own; what is left is the till's.
		want := c.taxWith(flagged...)
		c.rung.Tax = &want
		first.effect = first.effect.Add(c.fix())
		return want == got
	}
	if !known {
		c.notChecked(Note{What: "tax", Why: "the receipt has items or deductions that were not planned, and does not say how they are taxed"})
	}
	c.rung.Tax = &got
	first.effect = first.effect.Add(c.fix())
	return true
}

// overShared reports whether what a coupon is worth above its goods came off the basket, and
// goods without a plan have a part of that, which is not known: a share of the rest hangs on it.
func (c *check) overShared() bool {
	return c.p.Store.Policy.Overage && slices.ContainsFunc(c.bill.BasketDeductions, func(d plan.BasketDeduction) bool { return c.offer(d.Offer).Spend == nil }) &&
		slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofUnplanned })
}

// flags are the flags printed beside planned items that are taxed, and beside
// those that are not.
func (c *check) flags() (taxed, untaxed map[string]bool) { return c.flagsBut(-1) }

// flagsBut is flags of all items but one.
func (c *check) flagsBut(but int) (taxed, untaxed map[string]bool) {
	taxed, untaxed = map[string]bool{}, map[string]bool{}
	for i, it := range c.tx.Items {
		if i == but {
			continue
		}
		for k := range c.m.Items[i].Entries {
			flag := c.entryFlag(&c.m.Items[i].Entries[k])
			if c.taxedItem(it) {
				taxed[flag] = true
			} else {
				untaxed[flag] = true
			}
		}
	}
	if !c.text || !untaxed[""] || len(taxed) == 0 {
		// No flag says something only where taxed goods have one, and where it
		// cannot have been overlooked.
		delete(taxed, "")
		delete(untaxed, "")
	}
	return taxed, untaxed
}

func (c *check) taxedItem(it *plan.Item) bool {
	for k := range c.p.Taxes {
		if inTax(&c.p.Taxes[k], it) {
			return true
		}
	}
	return false
}

// inTax reports whether t is taken of it.
func inTax(t *plan.Tax, it *plan.Item) bool {
	if t.Items == nil {
		return true
	}
	o := plan.Offer{AppliesTo: t.Items}
	return o.Covers(it)
}

// taxWith is the tax on what was rung if the extra amounts were taxed too.
func (c *check) taxWith(extra ...money.Amount) (sum money.Amount) {
	for k := range c.p.Taxes {
		t := &c.p.Taxes[k]
		if t.ByItem {
			for i, it := range c.tx.Items {
				if inTax(t, it) {
					sum = sum.Add(t.Rate.TaxOn(c.taxBase(i, afterStore(t))))
				}
			}
			for _, e := range extra {
				sum = sum.Add(t.Rate.TaxOn(e))
			}
			continue
		}
		base := money.Sum(extra...)
		for i, it := range c.tx.Items {
			if inTax(t, it) {
				base = base.Add(c.taxBase(i, afterStore(t)))
			}
		}
		sum = sum.Add(t.Rate.TaxOn(base))
	}
	return sum
}

// taxBasis says which deductions lower the taxed amount.
type taxBasis struct{ store, maker bool }

func afterStore(t *plan.Tax) taxBasis { return taxBasis{store: true, maker: t.MakerUntaxed} }

// taxBase is the taxed amount of one line.
func (c *check) taxBase(line int, basis taxBasis) money.Amount {
	l := &c.bill.Lines[line]
	base := l.Price
	for i := range l.Deductions {
		if basis.takes(c.offer(l.Deductions[i].Offer)) {
			base = base.Sub(l.Deductions[i].Amount)
		}
	}
	for i := range c.bill.BasketDeductions {
		d := &c.bill.BasketDeductions[i]
		if basis.takes(c.offer(d.Offer)) {
			base = base.Sub(d.Shares[l.Item])
		}
	}
	return base
}

func (b taxBasis) takes(o *plan.Offer) bool {
	if o.FundedBy == "maker" {
		return b.maker
	}
	return b.store
}

func (c *check) offer(id string) *plan.Offer {
	for _, o := range c.p.Offers {
		if o.ID == id {
			return o
		}
	}
	return &plan.Offer{ID: id}
}

// everTaxed reports whether what o takes off lowers the taxed amount at all: by itself, or
// by what it leaves of goods to the offers after it.
func (c *check) everTaxed(o *plan.Offer) bool {
	if slices.ContainsFunc(c.p.Taxes, func(t plan.Tax) bool { return afterStore(&t).takes(o) }) {
		return true
	}
	order := c.inTillOrder()
	return slices.ContainsFunc(order[slices.Index(order, o)+1:], func(later *plan.Offer) bool {
		return later.FundedBy != "maker" && (later.Spend != nil || rounds(later) || later.Deduct.To != nil)
	})
}

// allTaxedSame reports whether all that was rung is taxed by the same rates, so that the
// tax does not hang on what anything came off.
func (c *check) allTaxedSame() bool {
	first := -1
	for i := range c.tx.Items {
		switch {
		case c.bill.Lines[i].Quantity == 0:
		case first < 0:
			first = i
		case !c.taxedSame(first, i):
			return false
		}
	}
	return first < 0 || c.taxedSame(first, first)
}

// unsureTaxed reports whether the tax hangs on goods that were matched on a guess, and
// whose flag does not say that they are taxed as those that were planned.
func (c *check) unsureTaxed() bool {
	for i, it := range c.tx.Items {
		if !c.m.Items[i].Unsure() {
			continue
		}
		if len(c.p.Taxes) != 1 || c.p.Taxes[0].ByItem || c.sharesOff(it) {
			return true
		}
		taxed, untaxed := c.flagsBut(i)
		for k := range c.m.Items[i].Entries {
			flag := c.entryFlag(&c.m.Items[i].Entries[k])
			if taxed[flag] == untaxed[flag] || taxed[flag] != c.taxedItem(it) {
				return true
			}
		}
	}
	return false
}

// sharesOff reports whether something came off it and other goods together: then what came
// off those hangs on whether it is what was planned.
func (c *check) sharesOff(it *plan.Item) bool {
	return slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
		return o.Deduct != nil && o.Covers(it) && len(c.m.Offers[o.Index].Cuts) > 0 && (o.Spend != nil || c.onlyItem(o) < 0)
	})
}

// taxByUnit reports whether got is the right tax where the percentages of offers were
// rounded by unit, or the other way, which may come to the same in all and to other cents
// on taxed goods.
func (c *check) taxByUnit(got money.Amount) bool {
	p := *c.p
	p.Store.Policy.RoundByUnit = !p.Store.Policy.RoundByUnit
	return c.bill.Tax.Sub(got).Abs().Cents() <= 1 && p.PriceAs(c.tx, &c.rung).Tax == got
}

// taxRounding reports whether got is the right tax but for how it is rounded:
// by line where the plan says by transaction or the other way, or each rate
// not cut first. Such cents are no finding.
func (c *check) taxRounding(got money.Amount) bool {
	for _, byItem := range [...]bool{false, true} {
		var sum, plain money.Amount
		for k := range c.p.Taxes {
			t := &c.p.Taxes[k]
			var base money.Amount
			for i, it := range c.tx.Items {
				if !inTax(t, it) {
					continue
				}
				one := c.taxBase(i, afterStore(t))
				base = base.Add(one)
				if byItem {
					sum = sum.Add(t.Rate.TaxOn(one))
					plain = plain.Add(t.Rate.Of(one))
				}
			}
			if !byItem {
				sum = sum.Add(t.Rate.TaxOn(base))
				plain = plain.Add(t.Rate.Of(base))
			}
		}
		if got == sum || got == plain {
			return true
		}
	}
	return false
}
