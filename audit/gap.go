package audit

import (
	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// gap is one difference between what should be by then and what the receipt
// shows. A rule makes a finding of it.
type gap struct {
	what  subject
	offer *plan.Offer
	item  *plan.Item
	items []string
	// expected and actual are the amounts, wanted and got units where units
	// are what differs.
	expected, actual money.Amount
	wanted, got      int
	// effect is on out_of_pocket, or on credits for a credit.
	effect money.Amount
	// lines are the evidence, rests the lines whose amounts it rests on.
	lines, rests []int
	// weak: it rests on a match that the name alone does not make.
	weak bool
	// rival: a deduction on the receipt that was matched to nothing may be it.
	rival bool
	// misread: amounts that make up for each other may have been misread.
	misread bool
	// voided: it was taken and taken back.
	voided bool
	// before is what had been rung when it was found.
	before plan.Rung
	// entry is what was rung without being planned; standsFor the missing
	// item that it seems to be another variety of.
	entry     *match.Entry
	standsFor *plan.Item
	standIn   *match.Entry
	// place is the item a misplaced deduction came off.
	place *plan.Item
	// text is what the line says that card-digits is about.
	text string
}

// subject is what differs.
type subject int

const (
	ofItem subject = iota
	ofQuantity
	ofPrice
	ofFee
	ofUnplanned
	ofDeduction
	ofPlace
	ofCredit
	ofTax
	ofSum
	ofRebate
	ofCard
)

// difference is the contract's: from the shopper's side, negative is lost.
func (g *gap) difference() money.Amount {
	switch g.what {
	case ofDeduction, ofPlace, ofCredit, ofRebate:
		return g.actual.Sub(g.expected)
	case ofCard:
		return money.Amount{}
	}
	return g.expected.Sub(g.actual)
}

// open starts a gap with what had been rung until now.
func (c *check) open(what subject, expected, actual money.Amount) *gap {
	g := &gap{what: what, expected: expected, actual: actual, before: copyRung(&c.rung)}
	c.gaps = append(c.gaps, g)
	return g
}

// fix prices the plan anew after rung was changed, and returns what that
// changed in the shopper's favour.
func (c *check) fix() money.Amount {
	before := c.bill.OutOfPocket
	c.bill = c.p.PriceAs(c.tx, &c.rung)
	return before.Sub(c.bill.OutOfPocket)
}

func copyRung(r *plan.Rung) plan.Rung {
	to := *r
	to.Items = make(map[int]plan.RungItem, len(r.Items))
	for k, v := range r.Items {
		to.Items[k] = v
	}
	to.Offers = make(map[int]plan.RungOffer, len(r.Offers))
	for k, v := range r.Offers {
		to.Offers[k] = v
	}
	to.Credits = make(map[int]money.Amount, len(r.Credits))
	for k, v := range r.Credits {
		to.Credits[k] = v
	}
	return to
}
