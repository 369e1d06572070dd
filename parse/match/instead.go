package match

import (
	"tillproof/money"
	"tillproof/plan"
)

// asWell is how much less the words of a line may say for another offer than for
// the one it was given to, where its amount is just the other's.
const asWell = rather

// instead looks for lines that are another offer's: an offer X has one line, an
// offer Y none, and if X took off nothing, Y would take off just what the line
// does. Where the line is not what X should take off, that is the simpler
// explanation; where it is both, the words decide.
func (s *cutSearch) instead(a *Assignment, p *plan.Plan, tx *plan.Transaction) {
	if !s.anyWithout(a) {
		return
	}
	items := a.Rung(tx)
	for r, x := range s.at {
		cut := s.rows[r].cut
		if x < 0 || s.targets[x].offer == nil || !cut.matched || !cut.Known || cut.Voided {
			continue
		}
		from := s.targets[x].offer
		if m := &a.Offers[from.Index]; len(m.Cuts) != 1 || len(m.Voided) > 0 || m.Cuts[0].Lines[0] != cut.Lines[0] {
			continue
		}
		var bill *plan.TransactionBill
		for y := range s.targets {
			to := s.targets[y].offer
			if !s.without(a, y) || !s.fitsInstead(r, x, y) {
				continue
			}
			if bill == nil {
				bill = p.PriceAs(tx, &plan.Rung{Items: items, Offers: map[int]plan.RungOffer{from.Index: {}}})
			}
			if takenOff(bill, to) != cut.Off {
				continue
			}
			a.unplace(&s.targets[x], cut.Lines[0])
			a.Offers[from.Index] = OfferMatch{}
			a.place(&s.targets[y], *cut, enough, s.text[r*len(s.targets)+y])
			s.move(r, y)
			break
		}
	}
}

// without reports whether target y is an offer that should take something off
// and has no line.
func (s *cutSearch) without(a *Assignment, y int) bool {
	o := s.targets[y].offer
	if o == nil || s.targets[y].total.Sign() <= 0 {
		return false
	}
	m := &a.Offers[o.Index]
	return len(m.Cuts)+len(m.Voided) == 0
}

func (s *cutSearch) anyWithout(a *Assignment) bool {
	for y := range s.targets {
		if s.without(a, y) {
			return true
		}
	}
	return false
}

// fitsInstead reports whether the words of row r, which has target x, let it be
// target y rather.
func (s *cutSearch) fitsInstead(r, x, y int) bool {
	n := len(s.targets)
	was, now := s.text[r*n+x], s.text[r*n+y]
	if s.targets[x].total == s.rows[r].cut.Off {
		return now > was
	}
	return now > -20 && now >= was-asWell
}

// takenOff is what o takes off in a bill.
func takenOff(b *plan.TransactionBill, o *plan.Offer) (sum money.Amount) {
	for i := range b.Lines {
		for _, d := range b.Lines[i].Deductions {
			if d.Offer == o.ID {
				sum = sum.Add(d.Amount)
			}
		}
	}
	for _, d := range b.BasketDeductions {
		if d.Offer == o.ID {
			sum = sum.Add(d.Amount)
		}
	}
	return sum
}
