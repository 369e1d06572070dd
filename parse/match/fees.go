package match

import (
	"tillproof/money"
	"tillproof/plan"
)

// matchFees gives fee lines to the items they are for: the item they are
// printed for, else those whose planned fees they add up to.
func matchFees(a *Assignment, tx *plan.Transaction, c *content) {
	for k := range c.entries {
		e := &c.entries[k]
		if !e.Fee || e.Voided {
			continue
		}
		item := -1
		if e.Of > 0 && c.byLine[e.Of] > 0 {
			item = c.entries[c.byLine[e.Of]-1].item
		}
		if item < 0 || tx.Items[item].Fee.IsZero() {
			item = a.feeByAmount(tx, e.Amount)
		}
		switch {
		case item >= 0:
			a.Items[item].Fees = append(a.Items[item].Fees, *e)
			e.matched = true
		default:
			e.matched = a.shareFee(tx, e)
		}
	}
}

// feeByAmount is the one item without a fee line whose planned fee is amount.
func (a *Assignment) feeByAmount(tx *plan.Transaction, amount money.Amount) int {
	found := -1
	for i, it := range tx.Items {
		m := &a.Items[i]
		if it.Fee.IsZero() || len(m.Fees) > 0 || len(m.Entries) == 0 {
			continue
		}
		if fee := it.Fee.Mul(m.Units); fee == amount || it.Fee == amount {
			if found < 0 || fee == amount {
				found = i
			}
		}
	}
	return found
}

// shareFee splits a line that is the fees of several items in one.
func (a *Assignment) shareFee(tx *plan.Transaction, e *Entry) bool {
	var sum money.Amount
	var items []int
	for i, it := range tx.Items {
		if m := &a.Items[i]; !it.Fee.IsZero() && len(m.Fees) == 0 && len(m.Entries) > 0 {
			sum = sum.Add(it.Fee.Mul(m.Units))
			items = append(items, i)
		}
	}
	if len(items) == 1 && len(a.Items[items[0]].Fees) == 0 && !sum.IsZero() && closeness(sum, e.Amount) >= 50 {
		a.Items[items[0]].Fees = append(a.Items[items[0]].Fees, *e)
		return true
	}
	if len(items) < 2 || sum != e.Amount {
		return false
	}
	for _, i := range items {
		part := *e
		part.Amount = tx.Items[i].Fee.Mul(a.Items[i].Units)
		a.Items[i].Fees = append(a.Items[i].Fees, part)
	}
	return true
}
