package plan

import (
	"slices"

	"tillproof/money"
)

// Price works out what the till should do with the whole plan, with the steps
// of every sum and all warnings.
func (p *Plan) Price() *Bill {
	c := p.ready(len(p.Transactions))
	n := &notes{c: c, offers: make([]noted, len(p.Offers))}
	b := &Bill{
		Version: 1, Store: p.Store.Name, Date: p.Date, Currency: p.Currency,
		Transactions: make([]*TransactionBill, len(p.Transactions)), Warnings: []Warning{},
	}
	units := 0
	for i := range c.txs {
		tb := c.price(&c.txs[i], nil, c.before[i], n)
		b.Transactions[i] = tb
		b.OutOfPocket = b.OutOfPocket.Add(tb.OutOfPocket)
		b.FinalCost = b.FinalCost.Add(tb.FinalCost)
		for _, cr := range tb.Credits {
			b.Credits = b.Credits.Add(cr.Value)
		}
		for _, rb := range tb.Rebates {
			b.Rebates = b.Rebates.Add(rb.Value)
		}
		for _, l := range tb.Lines {
			units += l.Quantity
		}
	}
	b.PerUnit = perUnit(b.FinalCost, units)
	b.Toward = n.towards()
	b.Warnings = append(b.Warnings, n.finish(b)...)
	return b
}

// PriceAs works out what the till should do with tx, a transaction of p, given
// what it rang: in the order of the rules an entry of rung is taken as it
// stands, and what has none is worked out from what was rung by then. rung nil
// is as planned. The bill has no steps: Explain has them.
func (p *Plan) PriceAs(tx *Transaction, rung *Rung) *TransactionBill {
	c, t, before := p.readyFor(tx)
	return c.price(t, rung, before, nil)
}

// Explain is PriceAs with the steps of every sum.
func (p *Plan) Explain(tx *Transaction, rung *Rung) *TransactionBill {
	c, t, before := p.readyFor(tx)
	return c.price(t, rung, before, &notes{c: c, offers: make([]noted, len(p.Offers))})
}

// readyFor returns tx as it was compiled, and the state it begins in; for one
// that is not of this plan, made anew and with nothing used before.
func (p *Plan) readyFor(tx *Transaction) (*compiled, *compiledTx, tally) {
	i := tx.Index
	if i < 0 || i >= len(p.Transactions) || p.Transactions[i] != tx {
		i = slices.Index(p.Transactions, tx)
	}
	c := p.ready(i)
	if i < 0 {
		t := compileTx(p, tx)
		return c, &t, newTally(c)
	}
	return c, &c.txs[i], c.before[i]
}

// price prices one transaction. With notes it also keeps steps and warnings.
func (c *compiled) price(t *compiledTx, rung *Rung, before tally, n *notes) *TransactionBill {
	r := newRun(c, t, rung)
	r.notes, r.explain = n, n != nil
	r.tally.copy(before)
	b := r.price()
	r.release()
	return b
}

// checkSize refuses prices that no till has, before anything is worked out of them.
func (l *loader) checkSize() {
	for _, tx := range l.plan.Transactions {
		var sum money.Amount
		for _, it := range tx.Items {
			sum = sum.Add(it.Cost(it.Quantity)).Add(it.Shelf.Mul(it.Quantity)).Add(it.Fee.Mul(it.Quantity))
		}
		if sum.Cmp(largest) > 0 {
			l.faultAt(tx.Pos, "check prices, quantities and fees", "the transaction comes to more than %s", largest)
		}
	}
}

var largest = money.FromCents(money.Largest)

// checkSums checks what can only be known from the sums themselves.
func (l *loader) checkSums() {
	c := l.plan.compiled
	for _, i := range c.tooLarge {
		o := l.plan.Offers[i]
		l.faultAt(o.Pos, "check its value and its spend", "the offer %s comes to more than %s", quote(o.ID), largest)
	}
	for i, tx := range l.plan.Transactions {
		left := c.before[i].snapshot() // payments of one transaction add up
		for _, pay := range tx.PayWith {
			if pay.Credit == nil {
				continue
			}
			at := pay.Credit.Index
			has := left.earned[at].Sub(left.paid[at])
			if pay.Amount.Cmp(has) > 0 {
				hint := "write at most " + has.String()
				if has.Sign() <= 0 {
					hint = "pay with it after the transaction that earns it, and with no more than it earns"
				}
				l.faultAt(pay.Pos, hint,
					"%s is paid with the credit %s, and %s is left of it then", pay.Amount, quote(pay.Credit.ID), has)
			}
			left.paid[at] = left.paid[at].Add(pay.Amount)
		}
	}
}
