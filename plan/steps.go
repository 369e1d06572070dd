package plan

import (
	"fmt"
	"strconv"
	"strings"

	"tillproof/money"

	"github.com/shopspring/decimal"
)

// The texts of the steps say each sum the way a person would write it down.

// exact writes an exact result, "5.148, so 5.15" where it had to be rounded.
func exact(d decimal.Decimal, rounded money.Amount) string {
	if d.Equal(rounded.Decimal()) {
		return rounded.String()
	}
	return number(d) + ", so " + rounded.String()
}

// number writes d with at least two decimals and at most six.
func number(d decimal.Decimal) string {
	if cut := d.Truncate(6); !cut.Equal(d) {
		return cut.StringFixed(6) + "…"
	}
	if d.Equal(d.Truncate(2)) {
		return d.StringFixed(2)
	}
	return d.String()
}

func ofTicks(ticks int64) decimal.Decimal {
	return decimal.New(ticks, -2).DivRound(decimal.New(ticksPerCent, 0), 10)
}

func times(n int, a money.Amount) string {
	return strconv.Itoa(n) + " x " + a.String()
}

// multiple is "2 x 0.75 = 1.50", or just "0.75" for one.
func multiple(n int, a, product money.Amount) string {
	if n == 1 && a == product {
		return a.String()
	}
	return times(n, a) + " = " + product.String()
}

// WeightText writes a weight with the decimals it was written with.
func WeightText(w decimal.Decimal) string { return w.StringFixed(max(0, -w.Exponent())) }

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

// lineSteps says how the price of a line comes about.
func (r *run) lineSteps(l *line) []Sum {
	it, q := l.item, l.quantity
	var text string
	switch s := it.Sale; {
	case q == 0:
		return nil
	case !l.mine:
		text = "as rung"
	case l.weight != nil:
		text = fmt.Sprintf("%s %s x %s = %s", WeightText(*l.weight), it.Unit, it.UnitPrice(),
			exact(it.UnitPrice().Decimal().Mul(*l.weight), l.price))
	case s == nil:
		text = times(q, it.Shelf) + " = " + l.price.String()
	case s.For == 1 && s.MustBuy == 0:
		text = times(q, s.Price) + " = " + l.price.String()
	case s.MustBuy == 0:
		text = fmt.Sprintf("%d at %d for %s = %s", q, s.For, s.Price,
			exact(s.Price.Decimal().Mul(decimal.New(int64(q), 0)).DivRound(decimal.New(int64(s.For), 0), 10), l.price))
	default:
		text = groupText(it, q, l.price)
	}
	steps := []Sum{{text, l.price}}
	if !l.fee.IsZero() {
		steps = append(steps, Sum{"fee: " + multiple(q, it.Fee, l.fee), l.fee})
	}
	return steps
}

func groupText(it *Item, q int, price money.Amount) string {
	s := it.Sale
	full := q - q%s.MustBuy
	var parts []string
	if full > 0 {
		parts = append(parts, fmt.Sprintf("%d at %d for %s", full, s.For, s.Price))
	}
	if rest := q - full; rest > 0 {
		parts = append(parts, fmt.Sprintf("%s at the shelf price", times(rest, it.Shelf)))
	}
	return strings.Join(parts, " + ") + " = " + price.String()
}

// deductionSteps says how what offer i takes off one line comes about.
func (r *run) deductionSteps(i int, li int32, a lineUse) []Sum {
	o, l := &r.c.offers[i], &r.lines[li]
	if r.rung != nil {
		if _, ok := r.rung.Offers[i]; ok {
			return []Sum{{"as rung", a.amount}}
		}
	}
	d, base := o.Deduct, ofTicks(a.base)
	var text string
	switch {
	case d.Amount != nil:
		text = r.amountText(o.fixed, a)
	case d.Percent != nil && r.c.of.Store.Policy.RoundByUnit && a.covered > 1:
		text = fmt.Sprintf("%s of %s, rounded for each of %d units = %s", d.Percent, number(base), a.covered, a.amount)
	case d.Percent != nil:
		text = fmt.Sprintf("%s x %s = %s", number(base), d.Percent,
			exact(base.Mul(d.Percent.Decimal()).Shift(-2), a.amount))
	case d.Free:
		text = plural(a.covered, "unit") + " free: " + exact(base, a.amount)
	case l.weight != nil:
		text = fmt.Sprintf("down to %s for each %s = %s", d.To, l.item.Unit, a.amount)
	default:
		text = fmt.Sprintf("%s down to %s: %s", plural(a.covered, "unit"), d.To, exact(base, a.amount))
	}
	return []Sum{{text, a.amount}}
}

func (r *run) amountText(value money.Amount, a lineUse) string {
	full := value.Mul(r.offUses)
	text := multiple(r.offUses, value, full)
	if full != r.offAll {
		text += ", cut to the " + r.offAll.String() + " that was left"
	}
	if a.amount != r.offAll {
		text += "; " + a.amount.String() + " of it here, in proportion to what was left"
	}
	return text
}

// sumOf adds up what was counted of each item: "oats 12.87 + jam 6.90 = 19.77".
func (r *run) sumOf(lines []int32, sum money.Amount, of func(l *line) money.Amount) string {
	var parts []string
	for _, li := range lines {
		if a := of(&r.lines[li]); !a.IsZero() {
			parts = append(parts, r.lines[li].item.ID+" "+a.String())
		}
	}
	switch len(parts) {
	case 0:
		return sum.String()
	case 1:
		return parts[0]
	}
	return strings.Join(parts, " + ") + " = " + sum.String()
}

func measureText(m Measure) string {
	switch m {
	case MeasureShelf:
		return "at shelf prices"
	case MeasureSale:
		return "at prices before any offer"
	case MeasureNet:
		return "at what is left to pay"
	}
	return string(m)
}

func (r *run) measureStep(i int, measured money.Amount) Sum {
	m := r.c.offers[i].measure
	text := "spent, " + measureText(m) + ": " + r.sumOf(r.t.applies[i], measured, func(l *line) money.Amount { return r.measured(l, m) })
	return Sum{text + "; " + r.c.offers[i].Spend.String() + " is asked for", measured}
}

func (r *run) basketSteps(i, uses int, measured, left, amount money.Amount) []Sum {
	o := &r.c.offers[i]
	full := o.fixed.Mul(uses)
	text := multiple(uses, o.fixed, full)
	if o.Deduct.Percent != nil {
		full = o.Deduct.Percent.Of(left)
		text = fmt.Sprintf("%s of the %s left = %s", o.Deduct.Percent, left,
			exact(left.Decimal().Mul(o.Deduct.Percent.Decimal()).Shift(-2), full))
	}
	if full != amount {
		text += ", cut to the " + amount.String() + " that was left"
	}
	return []Sum{r.measureStep(i, measured), {text, amount}}
}

func (r *run) taxSteps(k int, base, tax money.Amount) []Sum {
	t := &r.c.of.Taxes[k]
	text := "taxed: " + r.sumOf(r.t.taxed[k], base, func(l *line) money.Amount { return r.taxable(l, t) })
	if t.ByItem {
		return []Sum{{text, base}, {t.Rate.String() + " of each line, rounded by itself = " + tax.String(), tax}}
	}
	full := base.Decimal().Mul(t.Rate.Decimal()).Shift(-2)
	step := fmt.Sprintf("%s of %s = %s", t.Rate, base, number(full))
	if cut := full.Truncate(3); !cut.Equal(full) {
		step += ", cut to " + cut.String()
	}
	if !full.Equal(tax.Decimal()) {
		step += ", so " + tax.String()
	}
	return []Sum{{text, base}, {step, tax}}
}

func (r *run) creditSteps(i, uses int, measured, value money.Amount) []Sum {
	o := &r.c.offers[i]
	if r.rung != nil {
		if _, ok := r.rung.Credits[i]; ok {
			return []Sum{{"as rung", value}}
		}
	}
	text := multiple(uses, o.Credit.Value, value)
	if p := o.Credit.Percent; p != nil {
		text = fmt.Sprintf("%s of %s = %s", p, measured, exact(measured.Decimal().Mul(p.Decimal()).Shift(-2), value))
	}
	if o.Spend == nil {
		return []Sum{{text, value}}
	}
	return []Sum{r.measureStep(i, measured), {text, value}}
}

func (r *run) rebateSteps(i, uses int, measured, uncut, value money.Amount) []Sum {
	o := &r.c.offers[i]
	var steps []Sum
	if o.Spend != nil {
		steps = append(steps, r.measureStep(i, measured))
	}
	text := multiple(uses, o.Rebate.Value, uncut)
	switch {
	case o.Rebate.Paid && o.Spend != nil:
		text = "paid for its items: " + uncut.String()
	case o.Rebate.Paid:
		text = "paid for " + plural(uses*o.Buy, "unit") + ": " + uncut.String()
	}
	if value != uncut {
		text += ", at most " + value.String()
	}
	return append(steps, Sum{text, value})
}

// billSteps says how what is paid and what it costs in the end come about.
func (r *run) billSteps(units int) []Sum {
	b := r.bill
	var prices, off, credits, rebates money.Amount
	for i := range b.Lines {
		prices = prices.Add(b.Lines[i].Price)
		off = off.Add(b.Lines[i].Price.Sub(b.Lines[i].Net))
	}
	for _, d := range b.BasketDeductions {
		off = off.Add(d.Amount)
	}
	for _, c := range b.Credits {
		credits = credits.Add(c.Value)
	}
	for _, rb := range b.Rebates {
		rebates = rebates.Add(rb.Value)
	}
	with := func(text, sign, name string, a money.Amount) string {
		if a.IsZero() {
			return text
		}
		return text + " " + sign + " " + name + " " + a.String()
	}
	out := with("prices "+prices.String(), "-", "deductions", off)
	out = with(with(out, "+", "fees", b.Fees), "+", "tax", b.Tax)
	out = with(out, "+", "cash rounding", b.Rounding)
	end := with(with("out of pocket "+b.OutOfPocket.String(), "-", "credits", credits), "-", "rebates", rebates)
	steps := []Sum{{out + " = " + b.OutOfPocket.String(), b.OutOfPocket}, {end + " = " + b.FinalCost.String(), b.FinalCost}}
	if units > 0 {
		steps = append(steps, perUnitStep(b.FinalCost, units, b.PerUnit))
	}
	return steps
}

func perUnitStep(cost money.Amount, units int, each money.Amount) Sum {
	full := cost.Decimal().DivRound(decimal.New(int64(max(units, 1)), 0), 10)
	return Sum{fmt.Sprintf("%s / %s = %s", cost, plural(units, "unit"), exact(full, each)), each}
}
