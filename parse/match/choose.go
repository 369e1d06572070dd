package match

import (
	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

// Choice is the transaction of a plan that a receipt is most likely of.
type Choice struct {
	Transaction *plan.Transaction
	Bill        *plan.TransactionBill
	Assignment  *Assignment
	// Rivals are other transactions that it may be as well.
	Rivals []*plan.Transaction
}

// What speaks for a transaction besides its items.
const (
	sameDate  = 0.10
	sameTotal = 0.10
	// margin is by how much the best must be ahead of the others.
	margin = 0.05
)

// Choose finds the transaction of p that r is of: by its items and deductions,
// the date and the total. bills are by Transaction.Index.
func Choose(p *plan.Plan, bills []*plan.TransactionBill, r *parse.Receipt) *Choice {
	c := &Choice{}
	best := -1.0
	scores := make([]float64, len(p.Transactions))
	for i, tx := range p.Transactions {
		a := Assign(p, tx, bills[i], r)
		score := a.Score + a.offerShare()/10
		if r.Date != "" && bills[i].Date.String() == r.Date {
			score += sameDate
		}
		if r.Total != nil && *r.Total == bills[i].OutOfPocket {
			score += sameTotal
		}
		scores[i] = score
		if score > best {
			best = score
			c.Transaction, c.Bill, c.Assignment = tx, bills[i], a
		}
	}
	for i, tx := range p.Transactions {
		if tx != c.Transaction && scores[i] > best-margin {
			c.Rivals = append(c.Rivals, tx)
		}
	}
	return c
}

// offerShare is the share of the receipt's deductions that are planned ones.
func (a *Assignment) offerShare() float64 {
	var planned, all money.Amount
	for i := range a.Offers {
		for k := range a.Offers[i].Cuts {
			planned = planned.Add(a.Offers[i].Cuts[k].Off)
		}
	}
	all = planned
	for i := range a.Extra {
		all = all.Add(a.Extra[i].Off)
	}
	if all.IsZero() {
		return 0
	}
	return float64(planned.Cents()) / float64(all.Cents())
}
