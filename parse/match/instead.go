package match

import (
	"tillproof/money"
	"tillproof/plan"
)

// asWell is how much less the words of a line may say for another offer than for
// the one it was given to, where its amount is just the other's.
const asWell = rather

// clearly is how much more they must say for it where the amount is just both's.
const clearly = 6

// instead looks for lines that are another offer's: an offer Y has no line, and
// over what was rung it should take off just what a line does that offer X has, or
// none. Where X does not come out either way, that is the simpler explanation;
// where it does, the words decide.
func (s *cutSearch) instead(a *Assignment, p *plan.Plan, tx *plan.Transaction) {
	if !s.anyWithout(a) {
		return
	}
	items := a.Rung(tx)
	for r := range s.rows {
		cut := s.rows[r].cut
		x, sum, ok := s.holder(a, r)
		if !ok {
			continue
		}
		for y := range s.targets {
			if !s.without(a, y) || s.text[r*len(s.targets)+y] <= -20 {
				continue
			}
			rest := sum.Sub(cut.Off)
			if off, _ := p.PriceAs(tx, s.asRung(a, items, y, x, rest)).Taken(s.targets[y].offer.ID); off != cut.Off {
				continue
			}
			if x >= 0 {
				fits := sum == s.targets[x].total
				if !fits {
					off, _ := p.PriceAs(tx, s.asRung(a, items, x, y, money.Amount{})).Taken(s.targets[x].offer.ID)
					fits = off == sum
				}
				if d := s.text[r*len(s.targets)+y] - s.text[r*len(s.targets)+x]; fits && rest.IsZero() && max(d, -d) < clearly {
					a.Offers[s.targets[x].offer.Index].Either, a.Offers[s.targets[y].offer.Index].Either = true, true
				}
				if !s.rather(r, x, y, fits) {
					continue
				}
				a.unplace(&s.targets[x], cut.Lines[0])
				if m := &a.Offers[s.targets[x].offer.Index]; len(m.Cuts) == 0 {
					*m = OfferMatch{Either: m.Either}
				}
				s.sum[x] = rest
			}
			a.place(&s.targets[y], *cut, enough, s.text[r*len(s.targets)+y])
			s.sum[y], cut.matched = cut.Off, true
			break
		}
	}
}

// asRung is what was rung if the offers without a line took off nothing, but for
// target y, and target x took off rest.
func (s *cutSearch) asRung(a *Assignment, items map[int]plan.RungItem, y, x int, rest money.Amount) *plan.Rung {
	rung := &plan.Rung{Items: items, Offers: map[int]plan.RungOffer{}}
	for t := range s.targets {
		if t != y && s.without(a, t) {
			rung.Offers[s.targets[t].offer.Index] = plan.RungOffer{}
		}
	}
	if x >= 0 {
		rung.Offers[s.targets[x].offer.Index] = plan.RungOffer{Basket: rest}
	}
	return rung
}

// holder is the target that has the line of row r, -1 where it is left, and what
// all its lines take off; ok is false where it has more or less than the line.
func (s *cutSearch) holder(a *Assignment, r int) (x int, sum money.Amount, ok bool) {
	cut := s.rows[r].cut
	switch {
	case !cut.Known || cut.Voided || cut.Off.Sign() <= 0:
		return -1, sum, false
	case !cut.matched:
		return -1, cut.Off, true
	}
	x = -1
	for t := range s.targets {
		o := s.targets[t].offer
		if o == nil {
			continue
		}
		for i := range a.Offers[o.Index].Cuts {
			if c := &a.Offers[o.Index].Cuts[i]; c.Lines[0] == cut.Lines[0] {
				if x >= 0 || c.Off != cut.Off || len(a.Offers[o.Index].Voided) > 0 {
					return -1, sum, false
				}
				x = t
			}
		}
	}
	if x >= 0 {
		for _, c := range a.Offers[s.targets[x].offer.Index].Cuts {
			sum = sum.Add(c.Off)
		}
	}
	return x, sum, x >= 0
}

// without reports whether target y is an offer that has no line and should take
// something off, or would if a threshold were reached.
func (s *cutSearch) without(a *Assignment, y int) bool {
	o := s.targets[y].offer
	if o == nil || s.targets[y].total.Sign() <= 0 && o.Spend == nil {
		return false
	}
	m := &a.Offers[o.Index]
	return len(m.Cuts)+len(m.Voided) == 0
}

// anyWithout reports whether something should be taken off and has no line.
func (s *cutSearch) anyWithout(a *Assignment) bool {
	for y := range s.targets {
		if s.targets[y].total.Sign() > 0 && s.without(a, y) {
			return true
		}
	}
	return false
}

// rather reports whether the words of row r, which has target x, let it be
// target y rather. fits: x takes off what it should with it.
func (s *cutSearch) rather(r, x, y int, fits bool) bool {
	n := len(s.targets)
	was, now := s.text[r*n+x], s.text[r*n+y]
	if fits {
		return now >= was+clearly
	}
	return now >= was-asWell
}
