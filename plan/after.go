package plan

import "encoding/binary"

// State is how far a plan has got before a transaction: which coupons are used
// up and what limits leave. The zero State is the beginning.
type State struct{ tally tally }

// PriceAfter works out what the till should do with tx after transactions that
// ended in before, and returns the state in which the next one begins. tx need
// not be one of p's transactions, so that other ways of dividing up a basket can
// be tried; its items must count their Index from 0. A tx that is paid with
// credits counts them as paid whether they were earned or not.
func (p *Plan) PriceAfter(tx *Transaction, before State) (*TransactionBill, State) {
	c := p.ready(0)
	t := compileTx(p, tx)
	r := newRun(c, &t, nil)
	if before.tally.uses == nil {
		before.tally = newTally(c)
	}
	r.tally.copy(before.tally)
	b := r.price()
	after := State{r.tally}
	r.tally = tally{}
	r.release()
	return b, after
}

// Key tells apart the states that can matter to a transaction on day: equal
// keys, equal bills. It leaves out offers without coupons to count and without
// limits over several transactions.
func (s State) Key(p *Plan, day Date) string {
	var key []byte
	for i, o := range p.Offers {
		uses, today := 0, 0
		if s.tally.uses != nil {
			uses = s.tally.uses[i]
		}
		if o.Held != nil {
			key = binary.AppendUvarint(key, uint64(max(0, *o.Held-uses)))
		}
		if n := o.Limit.Total; n > 0 {
			key = binary.AppendUvarint(key, uint64(max(0, n-uses)))
		}
		if n := o.Limit.TransactionsPerDay; n > 0 {
			if s.tally.when != nil {
				for _, d := range s.tally.when[i] {
					today += btoi(d == day)
				}
			}
			key = binary.AppendUvarint(key, uint64(max(0, n-today)))
		}
	}
	return string(key)
}
