package audit

import (
	"fmt"

	"tillproof/money"
	"tillproof/plan"
)

// tryVoided: it was taken and taken back. Where that does not give what is left, what is
// left is explained by nothing.
func tryVoided(c *check, g *gap) []likely {
	if !g.voided || g.actual.Cmp(g.expected) >= 0 {
		return nil
	}
	var back money.Amount
	for _, cut := range c.m.Offers[g.offer.Index].Voided {
		back = back.Add(cut.Was)
	}
	if !g.actual.IsZero() && g.actual.Add(back) != g.expected {
		return []likely{{Unexplained, fmt.Sprintf("the till took %s for “%s” and took it back, and none of the known causes gives the %s that it took besides", back, g.offer.Title, g.actual), 30, SideTill}}
	}
	return []likely{{Voided, fmt.Sprintf("the till took “%s” and took it back: both lines are on the receipt, %s", g.offer.Title, owed(g)), 100, SideTill}}
}

// owed says what an offer should have come to and what it did, as the end of a sentence.
func owed(g *gap) string {
	due, did := dueAndDone(g)
	return fmt.Sprintf("%s was due, and %s", due, did)
}

// planned is owed where nobody owes anything.
func planned(g *gap) string {
	due, did := dueAndDone(g)
	return fmt.Sprintf("the plan has %s, and %s", due, did)
}

func dueAndDone(g *gap) (due, did string) {
	due, did = g.expected.String(), g.actual.String()
	if g.expected.IsZero() {
		due = "nothing"
	}
	if g.actual.IsZero() {
		did = "nothing"
	}
	switch g.what {
	case ofCredit:
		return due, did + " was given"
	case ofRebate:
		return due, did + " is paid back"
	}
	return due, did + " was taken off"
}

func tryNotScanned(c *check, g *gap) []likely {
	if g.offer == nil || !g.actual.IsZero() || g.expected.IsZero() || g.voided {
		return nil
	}
	chance := 60
	how := "the till did not apply it"
	if byHand(g.offer) {
		chance, how = 75, "it was not scanned, or not taken"
	}
	if g.offer.CarriedAs == "app" || g.offer.CarriedAs == "loyalty" {
		how = "it was not loaded, or not applied"
	}
	found := []likely{{NotScanned, fmt.Sprintf("the receipt shows nothing of “%s”: %s; %s", g.offer.Title, how, owed(g)), chance, SideTill}}
	if g.what == ofDeduction && g.offer.Deduct.Free {
		chance = 40
		if g.offer.CarriedAs == "shelf" {
			chance = 65
		}
		found = append(found, likely{FreeUnitCharged, fmt.Sprintf("a unit that “%s” makes free was charged: %s", g.offer.Title, g.expected), chance, SideTill})
	}
	return found
}

// tryDates: the offer was past its dates, or the till took it although it was.
func tryDates(c *check, g *gap) []likely {
	o := g.offer
	if o == nil {
		return nil
	}
	valid := c.in.Plan.Offers[o.Index].Valid
	if c.isLate(o) && g.actual.IsZero() {
		return []likely{{OutOfDate, fmt.Sprintf("“%s” was valid %s, and the receipt is of %s: %s", o.Title, valid, c.day, planned(g)), 95, SideShopper}}
	}
	if g.what == ofRebate || g.actual.Cmp(g.expected) <= 0 || valid == (plan.Span{}) || valid.Contains(c.day) {
		return nil
	}
	if c.givesChanged(g, func(o *plan.Offer) { o.Valid = plan.Span{} }) != g.actual {
		return nil
	}
	return []likely{{OutOfDate, fmt.Sprintf("the till took “%s”, which is valid %s, on %s: %s", o.Title, valid, c.day, owed(g)), 80, SideTill}}
}

// tryReward: paid with something that stops the credit.
func tryReward(c *check, g *gap) []likely {
	kinds := c.paidKinds()
	if !g.actual.IsZero() || kinds == nil {
		return nil
	}
	rung := copyRung(&g.before)
	rung.PaidWith = kinds
	if c.givesAs(c.p, g, &rung).IsZero() {
		return []likely{{PaidWithReward, fmt.Sprintf("the receipt was paid with what stops “%s”: %s; %s", g.offer.Title, voidText(g.offer), planned(g)), 92, SideShopper}}
	}
	for _, k := range kinds {
		if k == g.offer.Credit.Kind {
			return []likely{{PaidWithReward, fmt.Sprintf("the receipt was paid with %s, and some tills give no %s on what is paid with it; the plan's offer does not say so", k, k), 30, SideOpen}}
		}
	}
	return nil
}

func voidText(o *plan.Offer) string {
	text := ""
	for i, v := range o.VoidIfPaidWith {
		if i > 0 {
			text += ", "
		}
		text += v.Kind
	}
	return text
}

// tryUses: the till gave fewer uses than planned, because not all were scanned
// or because it stopped at a limit.
func tryUses(c *check, g *gap) (found []likely) {
	o := g.offer
	if o == nil || g.actual.Cmp(g.expected) >= 0 || o.Spend != nil && !o.Repeats {
		return nil
	}
	_, most := c.usesIn(g)
	if g.actual.IsZero() {
		if (o.Limit.Total > 0 || o.Limit.TransactionsPerDay > 0) && !g.voided {
			return []likely{{LimitReached, fmt.Sprintf("the till counted uses in other transactions toward the limit of “%s”, %s: %s", o.Title, limitText(o.Limit), owed(g)), 25, SideOpen}}
		}
		return nil
	}
	for n := most - 1; n >= 1; n-- {
		if c.givesChanged(g, func(o *plan.Offer) { o.Limit.PerTransaction = n }) != g.actual {
			continue
		}
		found = append(found, likely{ScannedFewer, fmt.Sprintf("the till gave “%s” %s where %d were due: %s", o.Title, times(n), most, g.actual), 80, SideTill})
		chance, which := 50, fmt.Sprintf("a limit of %s in a transaction, which the plan does not have", times(n))
		for _, units := range [...]int{o.Limit.PerTransaction, o.Limit.Total} {
			if o.Buy > 1 && units/o.Buy == n {
				chance, which = 82, fmt.Sprintf("the limit of %d, counted in units and not in uses", units)
			}
		}
		found = append(found, likely{LimitReached, fmt.Sprintf("the till stopped “%s” after %s, as at %s", o.Title, times(n), which), chance, SideOpen})
		return found
	}
	return nil
}

// tryNoLimit: the till gave more uses than the plan's limit or coupons allow.
// No kind of cause says so; the text does.
func tryNoLimit(c *check, g *gap) []likely {
	o := g.offer
	if o == nil || g.actual.Cmp(g.expected) <= 0 || o.Limit == (plan.Limit{}) && o.Held == nil {
		return nil
	}
	if c.givesChanged(g, func(o *plan.Offer) { o.Limit, o.Held = plan.Limit{}, nil }) != g.actual {
		return nil
	}
	return []likely{{Unexplained, fmt.Sprintf("the till gave “%s” more often than its limit or the coupons held allow: %s", o.Title, owed(g)), 78, SideOpen}}
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func limitText(l plan.Limit) string {
	if l.TransactionsPerDay > 0 {
		return fmt.Sprintf("%d transactions a day", l.TransactionsPerDay)
	}
	return fmt.Sprintf("%d in all", l.Total)
}

// usesIn is what g's offer should have come to, and in how many uses.
func (c *check) usesIn(g *gap) (money.Amount, int) {
	rung := copyRung(&g.before)
	bill := c.p.PriceAs(c.tx, &rung)
	if g.what == ofCredit {
		return earned(bill, g.offer)
	}
	var sum money.Amount
	uses := 0
	for i := range bill.Lines {
		for _, d := range bill.Lines[i].Deductions {
			if d.Offer == g.offer.ID {
				sum, uses = sum.Add(d.Amount), uses+d.Uses
			}
		}
	}
	for _, d := range bill.BasketDeductions {
		if d.Offer == g.offer.ID {
			sum, uses = sum.Add(d.Amount), max(uses, 1)
			if a := g.offer.Deduct.Amount; a != nil && !a.IsZero() {
				uses = max(uses, int(sum.Cents()/a.Cents()))
			}
		}
	}
	return sum, uses
}

// tryMoreUnits: the till wants more units for one use.
func tryMoreUnits(c *check, g *gap) []likely {
	o := g.offer
	if o == nil || o.Spend != nil || g.voided {
		return nil
	}
	units := 0
	for i, it := range c.tx.Items {
		if o.Covers(it) {
			units += c.bill.Lines[i].Quantity
		}
	}
	for n := o.Buy + 1; n <= min(units, 2*o.Buy+2); n++ {
		if c.givesChanged(g, func(o *plan.Offer) { o.Buy = n }) == g.actual && !g.actual.IsZero() {
			return []likely{{NeedsMoreUnits, fmt.Sprintf("the till wants %d units for one use of “%s”, where %d were planned: %s", n, o.Title, o.Buy, g.actual), 55, SideOpen}}
		}
	}
	if g.actual.IsZero() && units < 2*o.Buy && !byHand(o) {
		return []likely{{NeedsMoreUnits, fmt.Sprintf("the till may want more than %d units for one use of “%s”: %s", units, o.Title, owed(g)), 20, SideOpen}}
	}
	return nil
}

// tryValue: the till used another value that the offer is known to carry.
func tryValue(c *check, g *gap) []likely {
	o := g.offer
	if o == nil || g.actual.IsZero() {
		return nil
	}
	for i := range o.SeenValues {
		seen := &o.SeenValues[i]
		var got money.Amount
		if g.what == ofCredit {
			if seen.Amount == nil {
				continue
			}
			got = c.givesChanged(g, func(o *plan.Offer) {
				credit := *o.Credit
				credit.Value, credit.Percent = *seen.Amount, nil
				o.Credit = &credit
			})
		} else {
			got = c.givesChanged(g, func(o *plan.Offer) { o.Deduct = seen })
		}
		if got == g.actual {
			return []likely{{OtherValue, fmt.Sprintf("the till used another value that “%s” was seen with: %s, which gives %s", o.Title, deductText(seen), got), 85, SideOpen}}
		}
	}
	return nil
}

func deductText(d *plan.Deduct) string {
	switch {
	case d.Amount != nil:
		return d.Amount.String()
	case d.Percent != nil:
		return d.Percent.String()
	case d.To != nil:
		return "to " + d.To.String()
	}
	return "free"
}
