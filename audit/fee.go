package audit

import (
	"slices"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// exchangeFees gives a fee that was laid to one item to another that lacks just so
// much, where both then come out: where a fee stands is not always beneath its goods.
func (c *check) exchangeFees(rung map[int]plan.RungItem) {
	due := func(i int) money.Amount { return c.tx.Items[i].Fee.Mul(rung[i].Quantity) }
	for i := range c.tx.Items {
		if rung[i].Fee == nil || rung[i].Quantity == 0 {
			continue
		}
		lacks := due(i).Sub(*rung[i].Fee)
		for k := range c.tx.Items {
			if k == i || lacks.Sign() <= 0 || rung[k].Fee == nil || rung[k].Fee.Sub(lacks) != due(k) {
				continue
			}
			from, to := &c.m.Items[k], &c.m.Items[i]
			at := slices.IndexFunc(from.Fees, func(e match.Entry) bool { return e.Amount == lacks })
			if at < 0 || c.m.ItemOfLine(from.Fees[at].Of) == k {
				continue
			}
			to.Fees = append(slices.Clone(to.Fees), from.Fees[at])
			from.Fees = slices.Delete(slices.Clone(from.Fees), at, at+1)
			for _, n := range [...]int{i, k} {
				now, fee := rung[n], due(n)
				now.Fee = &fee
				rung[n] = now
			}
			break
		}
	}
}

// fees compares deposits and charges.
func (c *check) fees(rung map[int]plan.RungItem) {
	for i, it := range c.tx.Items {
		got := rung[i]
		if got.Quantity == 0 || got.Fee == nil {
			continue
		}
		want := c.bill.Lines[i].Fee
		if want == *got.Fee {
			continue
		}
		g := c.open(ofFee, want, *got.Fee)
		g.item, g.items, g.wanted, g.got = it, []string{it.ID}, it.Quantity, got.Quantity
		m := &c.m.Items[i]
		g.lines, g.weak = m.Lines(), m.Unsure()
		g.rests = g.lines
		g.rival = got.Fee.IsZero() && c.feeElsewhere(i, want)
		now, ok := c.rung.Items[i]
		if !ok {
			now.Quantity = it.Quantity
		}
		now.Fee = got.Fee
		c.rung.Items[i] = now
		g.effect = c.fix()
	}
}

// feeElsewhere reports whether a fee of this amount, printed beneath no item of
// its own, was laid to another item: it may be the one of item i.
func (c *check) feeElsewhere(i int, want money.Amount) bool {
	for k := range c.m.Items {
		for _, fee := range c.m.Items[k].Fees {
			if k != i && fee.Amount == want && c.m.ItemOfLine(fee.Of) != k {
				return true
			}
		}
	}
	return false
}

// feesExchanged reports whether the fee of one item charged twice and that of another left
// out come to this difference as well, where neither's is printed beneath its goods: a line
// that is the sum of several fees does not say whose it lacks.
func (c *check) feesExchanged(difference money.Amount) bool {
	var loose []money.Amount
	for i, it := range c.tx.Items {
		fees := c.m.Items[i].Fees
		if due := it.Fee.Mul(c.m.Items[i].Units); !due.IsZero() && !slices.ContainsFunc(fees, func(fee match.Entry) bool { return c.m.ItemOfLine(fee.Of) == i }) {
			loose = append(loose, due)
		}
	}
	for _, a := range loose {
		if slices.ContainsFunc(loose, func(b money.Amount) bool { return b.Sub(a).Abs() == difference.Abs() }) {
			return true
		}
	}
	return false
}

// feeOfUnplanned lays a deposit or charge to the goods it is printed for, which
// were not planned themselves: it is their consequence.
func (c *check) feeOfUnplanned(e *match.Entry) bool {
	above := c.goodsOfFee(e)
	for _, g := range c.gaps {
		if g.what == ofUnplanned && (slices.Contains(g.lines, above) || g.standsFor != nil && !g.standsFor.Fee.IsZero()) {
			g.effect = g.effect.Sub(e.Amount)
			g.lines = append(g.lines, e.Lines...)
			g.rests = g.lines
			return true
		}
	}
	return false
}

// goodsOfFee is the line of the goods that a deposit or charge is printed for, or else stands
// beneath; 0 for none.
func (c *check) goodsOfFee(e *match.Entry) int {
	if e.Of > 0 {
		return e.Of
	}
	for n := e.Lines[0] - 1; n > 0; n-- {
		if k := c.r.Line(n).Kind; k == parse.LineItem || k == parse.LineQuantity {
			return n
		}
	}
	return 0
}

// feeOfDoubtful reports whether the goods that a deposit or charge is for were laid to planned
// ones without a deposit by more than their name: they may be others, and it be theirs.
func (c *check) feeOfDoubtful(e *match.Entry) bool {
	i := c.m.ItemOfLine(c.goodsOfFee(e))
	return i >= 0 && c.m.Items[i].Unsure()
}
