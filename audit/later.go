package audit

import (
	"fmt"

	"tillproof/money"
	"tillproof/plan"
)

// A credit of one transaction pays for a later one. Where it was not given, or was
// spent on another transaction than planned, what follows there is said, and is no
// fault of its own.

// follow says what a credit that was given otherwise, and how this receipt was paid,
// mean for the plan's other transactions.
func (c *check) follow() {
	for _, o := range c.p.Offers {
		if o.Credit != nil {
			c.followCredit(o)
		}
	}
	if c.firm && len(c.r.Tenders) > 0 {
		c.followTenders()
	}
}

// followCredit tells of the later payments for which too little of o was given here.
func (c *check) followCredit(o *plan.Offer) {
	planned, _ := earned(c.expected, o)
	given, told := c.givenHere(o)
	if !told || given.Cmp(planned) >= 0 {
		return
	}
	left := given
	for _, tx := range c.p.Transactions[c.tx.Index+1:] {
		for _, pay := range tx.PayWith {
			if pay.Credit == nil || pay.Credit.Index != o.Index {
				continue
			}
			paid := money.Min(left, pay.Amount)
			left = left.Sub(paid)
			if short := pay.Amount.Sub(paid); !short.IsZero() {
				c.note("transaction %s is planned to be paid with %s of “%s”: this receipt shows %s of the %s planned, so unless the rest is given later, %s has to be paid there in another way; that is what follows from here, and no fault there",
					tx.ID, pay.Amount, o.Title, given, planned, short)
			}
		}
	}
}

// givenHere is how much of o's credit the receipt shows; told is false where it would
// not be shown there.
func (c *check) givenHere(o *plan.Offer) (given money.Amount, told bool) {
	for _, g := range c.gaps {
		if g.what == ofCredit && g.offer == o {
			return g.actual, true
		}
	}
	if len(c.m.Offers[o.Index].Rewards) == 0 && (o.Credit.Shows == "slip" || o.Credit.Shows == "account") {
		return given, false
	}
	given, _ = earned(c.bill, o)
	return given, true
}

// followTenders compares the credits that the plan pays with to what was paid.
func (c *check) followTenders() {
	left := map[string]money.Amount{}
	for i := range c.r.Tenders {
		t := &c.r.Tenders[i]
		left[t.Kind] = left[t.Kind].Add(t.Amount)
	}
	for _, pay := range c.tx.PayWith {
		if pay.Credit == nil && !pay.Held {
			if pay.Kind != "card" && pay.Kind != "cash" {
				delete(left, pay.Kind) // the plan pays any amount with it
			}
			continue
		}
		paid := money.Min(left[pay.Kind], pay.Amount)
		left[pay.Kind] = left[pay.Kind].Sub(paid)
		if short := pay.Amount.Sub(paid); !short.IsZero() && pay.Amount.Cmp(c.paid.total) <= 0 {
			c.note("%s", c.unpaid(&pay, paid))
		}
	}
	for _, tx := range c.p.Transactions[c.tx.Index+1:] {
		for _, pay := range tx.PayWith {
			if pay.Credit == nil && !pay.Held {
				continue
			}
			spent := money.Min(left[pay.Kind], pay.Amount)
			if spent.Sign() > 0 {
				left[pay.Kind] = left[pay.Kind].Sub(spent)
				c.note("%s was paid with %s here, which the plan keeps for transaction %s: if it is the same, so much has to be paid there in another way, and that is no fault there", spent, pay.Kind, tx.ID)
			}
		}
	}
}

// unpaid says that less was paid with a credit than planned, and where to look for
// the reason.
func (c *check) unpaid(pay *plan.Payment, paid money.Amount) string {
	if pay.Credit == nil {
		return fmt.Sprintf("the plan pays %s with %s, and the receipt shows %s of it: what was paid with is the shopper's choice, and no fault", pay.Amount, pay.Kind, paid)
	}
	text := fmt.Sprintf("the plan pays %s with “%s”, and the receipt shows %s paid with %s", pay.Amount, pay.Credit.Title, paid, pay.Kind)
	for _, tx := range c.p.Transactions[:c.tx.Index] {
		for _, it := range tx.Items {
			if pay.Credit.Covers(it) {
				return text + fmt.Sprintf(": if transaction %s did not give it, that follows from there and is no fault of this receipt; check that one first", tx.ID)
			}
		}
	}
	return text
}

// notStopped reports whether a credit of o that the plan gives up, because of what it
// pays with, was given since the receipt was paid otherwise: that follows, too.
func (c *check) notStopped(o *plan.Offer, got money.Amount) bool {
	kinds := c.paidKinds()
	if len(o.VoidIfPaidWith) == 0 || kinds == nil {
		return false
	}
	rung := copyRung(&c.rung)
	rung.PaidWith = kinds
	due, _ := earned(c.p.PriceAs(c.tx, &rung), o)
	return due == got
}
