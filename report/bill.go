package report

import (
	"strconv"

	"tillproof/money"
	"tillproof/plan"
)

func itoa(n int) string { return strconv.Itoa(n) }

// Bill shows what the till should do with p, each amount with the steps of its
// sum, so that a person can follow it with a pencil.
func Bill(p *plan.Plan, b *plan.Bill) string {
	var pg page
	head := b.Store
	if head == "" {
		head = "Any store"
	}
	if !b.Date.IsZero() {
		head += ", " + b.Date.String()
	}
	if b.Currency != "" {
		head += " (" + b.Currency + ")"
	}
	pg.text(0, head)
	for i, tb := range b.Transactions {
		pg.blank()
		transaction(&pg, p, p.Transactions[i], tb)
	}
	if len(b.Transactions) > 1 {
		pg.blank()
		pg.text(0, "The whole plan")
		costs(&pg, b.OutOfPocket, b.Credits, b.Rebates, b.FinalCost, b.PerUnit)
	}
	for _, t := range b.Toward {
		pg.text(0, "Toward "+title(p, t.Offer)+": "+t.Amount.String()+" of "+t.Of.String())
	}
	if len(b.Warnings) > 0 {
		pg.blank()
		pg.text(0, "Look at these before you shop")
		for _, w := range b.Warnings {
			pg.item(2, "!", w.Text)
		}
	}
	return pg.String()
}

func transaction(pg *page, p *plan.Plan, tx *plan.Transaction, tb *plan.TransactionBill) {
	head := tb.ID
	if !tb.Date.IsZero() && tb.Date != p.Date {
		head += ", " + tb.Date.String()
	}
	pg.text(0, head)
	var prices, off money.Amount
	units := 0
	for i, line := range tb.Lines {
		prices = prices.Add(line.Price)
		units += line.Quantity
		billLine(pg, p, tx.Items[i], line)
		for _, d := range line.Deductions {
			off = off.Add(d.Amount)
		}
	}
	for _, d := range tb.BasketDeductions {
		pg.amount(2, title(p, d.Offer)+", off the basket", d.Amount.Neg())
		steps(pg, 6, d.Steps)
		off = off.Add(d.Amount)
	}
	pg.blank()
	pg.amount(2, "Prices", prices)
	if !tb.Fees.IsZero() {
		pg.amount(2, "Fees", tb.Fees)
	}
	pg.amount(2, "Deductions", off.Neg())
	if len(p.Taxes) > 0 {
		pg.amount(2, "Tax", tb.Tax)
		if !tb.Tax.IsZero() {
			steps(pg, 6, tb.TaxSteps)
		}
	}
	if !tb.Rounding.IsZero() {
		pg.amount(2, "Cash rounding", tb.Rounding)
	}
	pg.amount(2, "Out of pocket", tb.OutOfPocket)
	if tb.CashDue != tb.OutOfPocket {
		pg.amount(2, "Due after the credits it is paid with", tb.CashDue)
	}
	comesBack(pg, p, tb)
	pg.amount(2, "Final cost", tb.FinalCost)
	pg.amount(2, "Per unit ("+count(units, "unit", "units")+")", tb.PerUnit)
}

func billLine(pg *page, p *plan.Plan, it *plan.Item, line plan.BillLine) {
	what := itoa(line.Quantity) + " x " + it.Name
	if line.Weight != nil {
		what = it.Name + ", " + line.Weight.String() + " " + line.Unit
	}
	pg.amount(2, what, line.Price)
	steps(pg, 6, line.Steps)
	if !line.Fee.IsZero() {
		pg.amount(6, "fee", line.Fee)
	}
	for _, d := range line.Deductions {
		text := title(p, d.Offer)
		if d.Uses > 1 {
			text += ", " + itoa(d.Uses) + " times"
		}
		pg.amount(4, text, d.Amount.Neg())
		steps(pg, 6, d.Steps)
	}
	if len(line.Deductions) > 0 {
		pg.amount(4, "left", line.Net)
	}
}

// comesBack shows what is earned at the till and paid after the trip.
func comesBack(pg *page, p *plan.Plan, tb *plan.TransactionBill) {
	for _, c := range tb.Credits {
		text := title(p, c.Offer) + " (" + c.Kind
		if c.Points > 0 {
			text += ", " + itoa(c.Points) + " points"
		}
		if !c.Expires.IsZero() {
			text += ", expires " + c.Expires.String()
		}
		pg.amount(2, "Comes back at the till: "+text+")", c.Value)
		steps(pg, 6, c.Steps)
	}
	for _, r := range tb.Rebates {
		text := "Comes back after the trip: " + title(p, r.Offer)
		if !r.SubmitBy.IsZero() {
			text += " (submit by " + r.SubmitBy.String() + ")"
		}
		pg.amount(2, text, r.Value)
		steps(pg, 6, r.Steps)
	}
}

func costs(pg *page, out, credits, rebates, final, unit money.Amount) {
	pg.amount(2, "Out of pocket", out)
	pg.amount(2, "Credits earned at the till", credits)
	pg.amount(2, "Rebates after the trip", rebates)
	pg.amount(2, "Final cost", final)
	pg.amount(2, "Per unit", unit)
}

// steps shows a sum's steps; its amount already stands in the line above, and
// a step that says no more than that is left out.
func steps(pg *page, indent int, steps []plan.Sum) {
	for _, s := range steps {
		if s.Text != s.Amount.String() {
			pg.text(indent, s.Text)
		}
	}
}

// title is an offer's title, or its id where the plan does not have it.
func title(p *plan.Plan, id string) string {
	for _, o := range p.Offers {
		if o.ID == id {
			return o.Title
		}
	}
	return id
}
