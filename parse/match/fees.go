package match

import (
	"tillproof/money"
	"tillproof/plan"
)

// matchFees gives fee lines to the items they are for: the item they are
// printed for, else those whose planned fees they add up to.
func matchFees(a *Assignment, tx *plan.Transaction, c *content) {
	// Those printed for goods first: what is left says nothing of which it is for.
	for _, placed := range [...]bool{true, false} {
		for k := range c.entries {
			e := &c.entries[k]
			if !e.Fee || e.Voided || e.matched {
				continue
			}
			if item := c.feeItem(e); (item >= 0 && !tx.Items[item].Fee.IsZero()) == placed {
				a.layFee(tx, c, e, item)
			}
		}
	}
	for k := range c.entries {
		e := &c.entries[k]
		if e.Fee || e.Voided || e.matched || e.Code != "" || e.Amount.Sign() <= 0 {
			continue
		}
		// A line without a known word that has just the fee of the item it stands
		// beneath is that fee.
		if i := c.goodsAbove(e.Lines[0]); i >= 0 && len(a.Items[i].Fees) == 0 && tx.Items[i].Fee.Mul(a.Items[i].Units) == e.Amount {
			a.Items[i].Fees = append(a.Items[i].Fees, *e)
			e.matched = true
		}
	}
}

// feeItem is the item that a fee line is printed for or stands beneath, -1 for none.
func (c *content) feeItem(e *Entry) int {
	item := -1
	if e.Of > 0 && c.byLine[e.Of] > 0 {
		item = c.entries[c.byLine[e.Of]-1].item
	}
	if item < 0 {
		item = c.goodsAbove(e.Lines[0])
	}
	return item
}

// layFee gives a fee line, printed for item if that is one, to the items it is for.
func (a *Assignment) layFee(tx *plan.Transaction, c *content, e *Entry, item int) {
	if a.feesInOne(tx, c, e, item) && a.shareFee(tx, e) {
		e.matched = true
		return
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

// mostBetween is how many lines that say nothing of goods may stand between these and their fee:
// the number of a coupon, what is left to pay.
const mostBetween = 3

// goodsAbove is the planned item that a line stands beneath, with no more than deductions, other
// fees and mostBetween further lines between; -1 for none.
func (c *content) goodsAbove(line int) int {
	between := 0
	for n := line - 1; n > 0; n-- {
		if k := c.byLine[n]; k > 0 && !c.entries[k-1].Fee {
			return max(c.entries[k-1].item, -1)
		} else if k == 0 && c.cutAt(n) == nil {
			if between++; between > mostBetween {
				return -1
			}
		}
	}
	return -1
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

// shareFee splits a line that is the fees of several items in one: those of all
// of them, or of all where one was left out or charged twice.
func (a *Assignment) shareFee(tx *plan.Transaction, e *Entry) bool {
	var sum money.Amount
	var items []int
	for i, it := range tx.Items {
		if m := &a.Items[i]; !it.Fee.IsZero() && len(m.Fees) == 0 && len(m.Entries) > 0 {
			sum = sum.Add(it.Fee.Mul(m.Units))
			items = append(items, i)
		}
	}
	if len(items) == 1 && !sum.IsZero() && closeness(sum, e.Amount) >= 50 {
		a.Items[items[0]].Fees = append(a.Items[items[0]].Fees, *e)
		return true
	}
	odd := -1 // the item whose fee is the difference
	for _, i := range items {
		if fee := tx.Items[i].Fee.Mul(a.Items[i].Units); sum.Sub(e.Amount).Abs() == fee {
			if odd >= 0 {
				return false
			}
			odd = i
		}
	}
	if len(items) < 2 || sum != e.Amount && odd < 0 {
		return false
	}
	for _, i := range items {
		part := *e
		part.Amount = tx.Items[i].Fee.Mul(a.Items[i].Units)
		if i == odd && sum != e.Amount {
			part.Amount = part.Amount.Add(e.Amount.Sub(sum))
		}
		if !part.Amount.IsZero() {
			a.Items[i].Fees = append(a.Items[i].Fees, part)
		}
	}
	return true
}

// feesInOne reports whether e is the receipt's only fee line, for several items
// with fees, and not just the fee of the one it stands beneath.
func (a *Assignment) feesInOne(tx *plan.Transaction, c *content, e *Entry, item int) bool {
	lines, items := 0, 0
	for k := range c.entries {
		if c.entries[k].Fee && !c.entries[k].Voided {
			lines++
		}
	}
	for i, it := range tx.Items {
		if !it.Fee.IsZero() && len(a.Items[i].Entries) > 0 {
			items++
		}
	}
	return lines == 1 && items > 1 && (item < 0 || e.Amount != tx.Items[item].Fee.Mul(a.Items[item].Units))
}
