package plan

import (
	"fmt"
	"strings"

	"tillproof/money"
)

// finish adds the warnings that only the whole plan shows, and returns all.
func (n *notes) finish(b *Bill) []Warning {
	for i := range n.offers {
		n.limit(i)
	}
	for i := range n.offers {
		n.held(i)
	}
	for i := range n.offers {
		if o := n.offers[i]; o.uses == 0 && o.sum.IsZero() {
			n.add("unused", i, nil, nil, "it does nothing in this plan")
		}
	}
	n.expired(b)
	for i, tb := range b.Transactions {
		tx := n.c.of.Transactions[i]
		n.claims(tx.Claimed, tx.ID, tb.OutOfPocket, tb.FinalCost, tb.PerUnit, tb.Steps)
	}
	n.claims(n.c.of.Claimed, "the plan", b.OutOfPocket, b.FinalCost, b.PerUnit, planSteps(b))
	return n.list
}

// limit warns of uses that a limit leaves out, and proposes how to split the
// plan to have them.
func (n *notes) limit(i int) {
	o, w := n.c.offers[i].Offer, n.offers[i]
	if w.wanted <= w.had {
		return
	}
	var items []string
	for _, tx := range n.c.of.Transactions {
		for _, it := range tx.Items {
			if o.Covers(it) {
				items = appendNew(items, it.ID)
			}
		}
	}
	text := fmt.Sprintf("%s planned and %d can be had so (%s). %s", isAre(w.wanted, "use"), w.had, limitText(o.Limit), splitText(o, w))
	n.add("limit", i, items, nil, "%s", text)
}

func limitText(l Limit) string {
	var parts []string
	if l.PerTransaction > 0 {
		parts = append(parts, fmt.Sprintf("at most %d a transaction", l.PerTransaction))
	}
	if l.TransactionsPerDay > 0 {
		parts = append(parts, fmt.Sprintf("%s a day", plural(l.TransactionsPerDay, "transaction")))
	}
	if l.Total > 0 {
		parts = append(parts, fmt.Sprintf("at most %d in all", l.Total))
	}
	return strings.Join(parts, ", ")
}

// splitText proposes the transactions and days that have every use a limit allows.
func splitText(o *Offer, w noted) string {
	uses, text := w.wanted, ""
	if o.Limit.Total > 0 && uses > o.Limit.Total {
		uses = o.Limit.Total
		text = fmt.Sprintf("No split gives more than %d. ", uses)
		if uses <= w.had {
			return strings.TrimSpace(text)
		}
	}
	transactions, each := w.transactions, ""
	if per := o.Limit.PerTransaction; per > 0 {
		full, rest := uses/per, uses%per
		transactions = full + btoi(rest > 0)
		switch {
		case full == 0:
			each = " of " + useText(o, rest)
		case rest == 0:
			each = " of " + useText(o, per) + " each"
		default:
			each = fmt.Sprintf(": %d of %s and 1 of %s", full, useText(o, per), useText(o, rest))
		}
	}
	text += "Split into " + plural(transactions, "transaction") + each
	if day := o.Limit.TransactionsPerDay; day > 0 {
		days := (transactions + day - 1) / day
		if days == 1 {
			return text + ", all on one day."
		}
		text += fmt.Sprintf(", on %d days with at most %d on each", days, day)
	}
	return text + "."
}

func useText(o *Offer, uses int) string {
	text := plural(uses, "use")
	if o.Spend == nil && o.Buy > 1 {
		text += ", " + plural(uses*o.Buy, "unit")
	}
	return text
}

// held warns of coupons that cannot be used.
func (n *notes) held(i int) {
	o, uses := n.c.offers[i].Offer, n.offers[i].uses
	if o.Held == nil || uses == 0 || *o.Held <= uses {
		return
	}
	n.add("held", i, nil, nil, "%d are held and %d can be used", *o.Held, uses)
}

// expired warns of credits spent after the day they expire.
func (n *notes) expired(b *Bill) {
	for i, tb := range b.Transactions {
		for _, pay := range n.c.of.Transactions[i].PayWith {
			if pay.Credit == nil || tb.Date.IsZero() {
				continue
			}
			var last Date
			for _, earlier := range b.Transactions[:i] {
				for _, c := range earlier.Credits {
					if c.Offer == pay.Credit.ID {
						last = c.Expires
					}
				}
			}
			if !last.IsZero() && last.Before(tb.Date) {
				amount := pay.Amount
				n.add("dates", pay.Credit.Index, nil, &amount, "its credit expires on %s, before %s, the day of %s, which is paid with it", last, tb.Date, tb.ID)
			}
		}
	}
}

// claims warns of the planner's own figures that do not work out.
func (n *notes) claims(c *Claimed, of string, out, final, unit money.Amount, steps []Sum) {
	if c == nil {
		return
	}
	check := func(name string, claimed *money.Amount, is money.Amount, step int) {
		if claimed == nil || *claimed == is {
			return
		}
		sum := ""
		if step < len(steps) {
			sum = ": " + steps[step].Text
		}
		n.list = append(n.list, Warning{Kind: "claim", Amount: &is, Text: fmt.Sprintf(
			"%s of %s is claimed to be %s and comes to %s%s", name, of, claimed, is, sum)})
	}
	check("out_of_pocket", c.OutOfPocket, out, 0)
	check("final_cost", c.FinalCost, final, 1)
	check("per_unit", c.PerUnit, unit, 2)
}

// planSteps are the sums of the whole plan, as billSteps are those of one transaction.
func planSteps(b *Bill) []Sum {
	var outs, finals []string
	for _, tb := range b.Transactions {
		outs = append(outs, tb.ID+" "+tb.OutOfPocket.String())
		finals = append(finals, tb.ID+" "+tb.FinalCost.String())
	}
	units := 0
	for _, tb := range b.Transactions {
		for _, l := range tb.Lines {
			units += l.Quantity
		}
	}
	return []Sum{
		{strings.Join(outs, " + ") + " = " + b.OutOfPocket.String(), b.OutOfPocket},
		{strings.Join(finals, " + ") + " = " + b.FinalCost.String(), b.FinalCost},
		perUnitStep(b.FinalCost, units, b.PerUnit),
	}
}
