package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"

	"github.com/shopspring/decimal"
)

// walk compares in the till's order: what was rung, at what price, with what
// taken off, what tax was added, which credits were given.
func (c *check) walk() {
	c.printedUnits()
	c.savingsBack()
	start := *c
	start.rung = copyRung(&c.rung)
	c.rungLines()
	c.gatherUses()
	c.claim()
	c.searchStrays()
	c.otherwise(&start, 1)
	c.doubtMatches()
	c.doubtSpread()
	c.doubtCents()
	c.doubtStrays()
	c.doubtElsewhere()
	c.doubtTakenElsewhere()
	c.doubtTakenBack()
	c.doubtOverage()
	c.doubtExcess()
	c.doubtVarieties()
	c.doubtTornGoods()
	c.doubtUnits()
	c.doubtTold()
	c.doubtBelowNought()
	c.doubtMixed()
	c.doubtCharges()
	c.settle()
	c.credits()
	c.doubtCredits()
	c.doubtLayings()
	c.doubtSwapped()
	c.doubtBesideUnsure()
	c.doubtSpent()
	c.follow()
	c.rebates()
	c.cards()
	c.printedCodes()
	c.doubtMisread()
}

// rungLines compares all that was rung up, before anything is taken off.
func (c *check) rungLines() {
	rung := c.m.Rung(c.tx)
	c.weighed(rung)
	c.items(rung)
	c.prices(rung)
	c.exchangeFees(rung)
	c.fees(rung)
	c.unplanned()
}

// weighed takes the weights rung as they are: they are the shopper's choice.
// What a weight should have cost is expected, not what the planned one would; where
// none is printed the price is taken as it was rung.
func (c *check) weighed(rung map[int]plan.RungItem) {
	changed := false
	for i, it := range c.tx.Items {
		m := &c.m.Items[i]
		if it.Weight == nil || len(m.Entries) == 0 {
			continue
		}
		if c.weightless(m, it) && rung[i].Quantity == it.Quantity && rung[i].Price != nil {
			c.notChecked(Note{Item: it.ID, Why: "the receipt does not print the weight, so its price cannot be worked out"})
			c.rung.Items[i] = plan.RungItem{Quantity: it.Quantity, Price: rung[i].Price}
		} else if w := c.m.Weight(it); w != nil {
			c.rung.Items[i] = plan.RungItem{Quantity: it.Quantity, Weight: w}
			c.note("%s: %s %s was rung where %s was planned; the sums are for what was rung", it.Name, w, it.Unit, it.Weight)
		} else {
			continue
		}
		changed = true
	}
	if changed {
		c.bill = c.p.PriceAs(c.tx, &c.rung)
		c.expected = c.bill
		c.result.Expected = c.expected
		c.result.OutOfPocket.Expected = c.expected.OutOfPocket
	}
}

// items compares what was bought.
func (c *check) items(rung map[int]plan.RungItem) {
	for i, it := range c.tx.Items {
		got, m := rung[i], &c.m.Items[i]
		if got.Quantity == it.Quantity {
			continue
		}
		was := c.bill.Lines[i]
		var g *gap
		if got.Quantity == 0 {
			g = c.open(ofItem, was.Price, money.Amount{})
			for k := range m.Voided {
				g.voided = true
				g.lines = append(g.lines, m.Voided[k].Lines...)
			}
			c.findVariety(g, it)
		} else {
			g = c.open(ofQuantity, was.Price, money.Amount{})
			g.lines = m.Lines()
			if got.Quantity < it.Quantity {
				c.findVariety(g, it)
			}
		}
		g.item, g.items, g.wanted, g.got, g.weak = it, []string{it.ID}, it.Quantity, got.Quantity, m.Unsure() || c.countOpen(it) || c.vagueUnits(m)
		g.rests = g.lines
		c.rung.Items[i] = plan.RungItem{Quantity: got.Quantity, Weight: c.rung.Items[i].Weight}
		g.effect = c.fix()
		if g.what == ofQuantity {
			g.actual = c.bill.Lines[i].Price
		}
	}
}

// prices compares the price of each item before any offer.
func (c *check) prices(rung map[int]plan.RungItem) {
	for i, it := range c.tx.Items {
		got, m := rung[i], &c.m.Items[i]
		if got.Quantity == 0 || got.Price == nil {
			continue
		}
		if it.Weight != nil && c.weightless(m, it) {
			continue // taken as it was rung
		}
		want := c.bill.Lines[i].Price
		if want == *got.Price {
			continue
		}
		g := c.open(ofPrice, want, *got.Price)
		g.item, g.items, g.wanted, g.got, g.weak = it, []string{it.ID}, it.Quantity, got.Quantity, m.Unsure() || c.countOpen(it) || c.text && (c.strangeWord(m, it) || c.extraWord(m, it))
		g.lines = evidence(m)
		g.rests = g.lines
		g.effect = c.setPrice(i, *got.Price)
	}
}

// weightless reports whether goods sold by weight stand on the receipt without it.
func (c *check) weightless(m *match.ItemMatch, it *plan.Item) bool {
	e := &m.Entries[0]
	return e.Weight == nil && !namesWeight(e.Name, it) && !namesWeight(c.r.Line(e.Lines[0]).Text, it) && !c.weightBeside(m, it)
}

// namesWeight reports whether the text of goods without a weight that the parser could
// prove begins with the planned one, as in a column of quantities, to which the name may
// stick.
func namesWeight(text string, it *plan.Item) bool {
	number := text[:len(text)-len(strings.TrimLeft(text, "0123456789."))]
	w, err := decimal.NewFromString(number)
	return err == nil && strings.Contains(number, ".") && w.Equal(*it.Weight)
}

// weightBeside reports whether the planned weight stands with its unit in a line of
// the goods, or alone in the line above or beneath, where no price of a unit makes
// a sum of it.
func (c *check) weightBeside(m *match.ItemMatch, it *plan.Item) bool {
	if len(m.Entries) != 1 {
		return false
	}
	own := m.Entries[0].Lines
	for n := own[0] - 1; n <= own[len(own)-1]+1; n++ {
		if n < 1 || n > len(c.r.Lines) {
			continue
		}
		l := c.r.Line(n)
		if (l.Amount == nil || slices.Contains(own, n)) && saysWeight(l.Text, it) {
			return true
		}
	}
	return false
}

// saysWeight reports whether a text has the weight of it, with its unit.
func saysWeight(text string, it *plan.Item) bool {
	words := strings.Fields(strings.ToLower(text))
	unit := strings.ToLower(it.Unit)
	for i, word := range words {
		number, glued := strings.CutSuffix(word, unit)
		if !glued && (i+1 == len(words) || words[i+1] != unit) {
			continue
		}
		if w, err := decimal.NewFromString(number); err == nil && w.Equal(*it.Weight) {
			return true
		}
	}
	return false
}

func (c *check) setPrice(i int, price money.Amount) money.Amount {
	now, ok := c.rung.Items[i]
	if !ok {
		now.Quantity = c.tx.Items[i].Quantity
	}
	now.Price = &price
	c.rung.Items[i] = now
	return c.fix()
}

// evidence are the lines that make an item's price.
func evidence(m *match.ItemMatch) []int {
	lines := m.Lines()
	for i := range m.Savings {
		lines = append(lines, m.Savings[i].Lines...)
	}
	slices.Sort(lines)
	return slices.Compact(lines)
}

// unplanned lists what was rung without being planned; lines of the same print
// are units of the same thing.
func (c *check) unplanned() {
	for i := range c.m.Unplanned {
		if e := &c.m.Unplanned[i]; !e.Fee {
			c.unplannedEntry(e)
		}
	}
	for i := range c.m.Unplanned { // what fees are for is known only then
		if e := &c.m.Unplanned[i]; e.Fee {
			c.unplannedEntry(e)
		}
	}
}

func (c *check) unplannedEntry(e *match.Entry) {
	if e.Amount.IsZero() && e.Known || e.Fee && c.feeOfUnplanned(e) {
		return
	}
	g := c.sameUnplanned(e)
	if g == nil {
		g = c.open(ofUnplanned, money.Amount{}, money.Amount{})
		g.entry, g.items = e, []string{e.Name}
		g.weak = c.belowSums(e.Lines[0]) || c.seemsTax(e) || e.Fee && c.feeOfDoubtful(e)
	}
	g.actual = g.actual.Add(e.Amount)
	g.lines = append(g.lines, e.Lines...)
	g.rests = g.lines
	g.effect = g.actual.Neg()
	for _, missing := range c.gaps {
		if missing.standIn == e {
			g.standsFor = missing.item
		}
	}
}

// seemsTax reports whether what was taken for goods says tax and a rate: it is the tax
// where the line of the subtotal above it was not seen.
func (c *check) seemsTax(e *match.Entry) bool {
	return strings.Contains(e.Name, "%") && parse.SaysTax(strings.ReplaceAll(e.Name, "%", ""), c.p.Store.Prints)
}

// belowSums reports whether a line stands below the last subtotal, where no goods
// are rung: what looks like goods there is a tax, a charge or a rounding whose
// words say nothing.
func (c *check) belowSums(line int) bool {
	last := 0
	for i := range c.r.Lines {
		if c.r.Lines[i].Kind == parse.LineSubtotal {
			last = c.r.Lines[i].N
		}
	}
	return last > 0 && line > last
}

func (c *check) sameUnplanned(e *match.Entry) *gap {
	for _, g := range c.gaps {
		if g.what == ofUnplanned && (sameName(unnumbered(g.entry.Name), unnumbered(e.Name)) || sameWords(unnumbered(g.entry.Name), unnumbered(e.Name)) && eachOf(g.entry) == eachOf(e)) && g.entry.Code == e.Code && g.entry.Fee == e.Fee && g.entry.Flags == e.Flags {
			return g
		}
	}
	return nil
}

// unnumbered is a printed name without the number of its line, or of its units, that a till
// prints before it: “04 PEAS”, “(3) PEAS”.
func unnumbered(name string) string {
	first, rest, found := strings.Cut(name, " ")
	if digits := strings.Trim(first, "()"); found && len(digits) > 0 && len(digits) <= 2 && strings.Trim(digits, "0123456789") == "" {
		return rest
	}
	return name
}

// sameName reports whether two printed names are the same but for where they
// were cut.
func sameName(a, b string) bool {
	return a == b || min(len(a), len(b)) >= 12 && (strings.HasPrefix(a, b) || strings.HasPrefix(b, a))
}

// sameWords reports whether one of two printed names has all the words of the other, cut short.
func sameWords(a, b string) bool {
	p, q := strings.Fields(strings.ToUpper(a)), strings.Fields(strings.ToUpper(b))
	if len(p) != len(q) || len(p) < 3 {
		return false
	}
	if len(a) > len(b) {
		p, q = q, p
	}
	for i := range p {
		if p[i] != q[i] && (len(p[i]) < 3 || !strings.HasPrefix(q[i], p[i])) {
			return false
		}
	}
	return true
}

// eachOf is what one unit of an entry cost.
func eachOf(e *match.Entry) money.Amount {
	return money.FromCents(e.Amount.Cents() / int64(max(e.Units, 1)))
}

// inTillOrder are the plan's deductions in the order in which a till takes
// them: the steps of the store, then what comes off the basket.
func (c *check) inTillOrder() []*plan.Offer {
	order := c.p.Store.Policy.Order
	if order == nil {
		order = []plan.Step{plan.StepShelf, plan.StepStore, plan.StepMaker}
	}
	all := make([]*plan.Offer, 0, len(c.p.Offers))
	for _, step := range order {
		for _, o := range c.p.Offers {
			if o.Deduct != nil && o.Spend == nil && o.Step() == step {
				all = append(all, o)
			}
		}
	}
	for _, o := range c.p.Offers {
		if o.Deduct != nil && o.Spend != nil {
			all = append(all, o)
		}
	}
	return all
}

// settle closes the account: what the total says beyond what the lines
// explain is the till's rounding of cash, or a sum that does not work out.
func (c *check) settle() {
	if !c.paid.known {
		return
	}
	actual := c.paid.total
	effects := c.tolerated
	for _, g := range c.gaps {
		effects = effects.Add(g.effect)
	}
	rest := c.expected.OutOfPocket.Sub(actual).Sub(effects)
	switch {
	case c.firm:
		c.result.OutOfPocket.Actual = &actual
		c.tolerated = c.tolerated.Add(rest)
		if rest.Abs().Cents() > MostRounding {
			// A line that the receipt's sums have was taken for nothing here, so
			// that any of the findings may be its consequence.
			c.firm = false
			c.undecided("%s of what was paid is explained by no line: look at the receipt yourself", rest.Abs())
		}
	case c.paid.gapless && !c.paid.open.IsZero() && c.r.Complete.Top:
		c.result.OutOfPocket.Actual = &actual
		g := c.open(ofSum, c.paid.total.Sub(c.paid.open), c.paid.total)
		g.effect = rest
		for i := range c.r.Lines {
			if l := &c.r.Lines[i]; l.Amount != nil && (l.Kind == "subtotal" || l.Kind == "total" || l.Kind == "tax") {
				g.lines = append(g.lines, l.N)
			}
		}
	case c.paid.open.IsZero():
		c.result.OutOfPocket.Actual = &actual
		c.tolerated = c.tolerated.Add(rest)
		c.openSum()
	}
}

// openSum tells of a sum that the receipt states and its own amounts do not give,
// where what was paid comes out all the same: a subtotal, or cents that would pass
// for the rounding of cash.
func (c *check) openSum() {
	if c.firm || !c.paid.gapless || !c.r.Complete.Top {
		return
	}
	for i := range c.r.Sums {
		s := &c.r.Sums[i]
		if s.Holds || s.To == 0 || s.Kind != "items" && s.Kind != "total" {
			continue
		}
		g := c.open(ofSum, s.Got, s.Want)
		g.lines = append(append(g.lines, s.Lines...), s.To)
		return
	}
}

func (c *check) notChecked(n Note) { c.result.NotChecked = append(c.result.NotChecked, n) }
