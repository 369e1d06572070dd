package audit

import (
	"tillproof/money"
	"tillproof/parse"
)

// paid is what a receipt's lines add up to.
type paid struct {
	// body is all items, fees, deductions and voids; tax what was added to it.
	body, tax money.Amount
	// rounding is a cash total's.
	rounding money.Amount
	// total is what the printed total leaves to pay: the total less coupons
	// that stand below it. known is false where none was read.
	total money.Amount
	known bool
	// open is what the total has more than the lines account for.
	open money.Amount
	// gapless: each line that belongs to the sum has an amount.
	gapless bool
}

// MostRounding is the largest sum that cash rounding in use changes a total
// by: half of 0.10 (New Zealand; 0.05 steps elsewhere change at most 0.02).
const MostRounding = 5

// readPaid adds up r.
func readPaid(r *parse.Receipt) paid {
	p := paid{gapless: true}
	var below money.Amount // deductions under the total
	seenTotal, seenTender := false, false
	for i := range r.Lines {
		l := &r.Lines[i]
		switch l.Kind {
		case parse.LineTotal:
			seenTotal = true
		case parse.LineItem, parse.LineQuantity, parse.LineDeduction, parse.LineVoid, parse.LineFee:
			if l.Kind == parse.LineQuantity && toldAgain(r, l) {
				continue
			}
			if l.Amount == nil {
				p.gapless = p.gapless && l.Proof != parse.Doubtful
				continue
			}
			p.body = p.body.Add(*l.Amount)
			if seenTotal {
				below = below.Add(*l.Amount)
			}
		}
		seenTender = seenTender || l.Kind == parse.LineTender
		p.gapless = p.gapless && (!l.Unread || seenTender) // below the tenders no coupon stands
	}
	var tax money.Amount
	if r.Tax != nil {
		tax = *r.Tax
	}
	p.tax = tax
	if r.Total == nil {
		return p
	}
	p.known = true
	p.settle(*r.Total, below, tax)
	return p
}

// toldAgain reports whether the quantity line l only repeats its item's amount.
func toldAgain(r *parse.Receipt, l *parse.Line) bool {
	if l.Amount == nil || l.Of < 1 || l.Of > len(r.Lines) {
		return false
	}
	of := r.Line(l.Of)
	return of.Amount != nil && *of.Amount == *l.Amount
}

// settle finds the sum that gives the printed total: with the tax on top or
// within the prices, deductions below the total in it or not.
func (p *paid) settle(total, below, tax money.Amount) {
	for _, t := range []struct{ total, tax money.Amount }{
		{total, tax}, {total.Add(below), tax}, {total, money.Amount{}}, {total.Add(below), money.Amount{}},
	} {
		if p.body.Add(t.tax) == t.total {
			p.total, p.tax = t.total, t.tax
			return
		}
	}
	p.total = total
	p.open = total.Sub(p.body).Sub(tax)
	if p.open.Abs().Cents() <= MostRounding && p.open.Add(p.body).Add(tax).Cents()%5 == 0 {
		p.rounding, p.open = p.open, money.Amount{}
	}
}
