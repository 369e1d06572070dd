package match

import (
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// strayClose is how near the rest must come to what is expected of an offer: a
// coupon that came off the wrong item leaves less for the right one.
const strayClose = 80

// besideVoided gives a line with other words than the voided line of its offer
// to the offer that it suits next best: what was taken back is not rung again
// under another name.
func (s *cutSearch) besideVoided() {
	n := len(s.targets)
	for r, x := range s.at {
		if x < 0 || s.rows[r].cut.Voided || s.targets[x].offer == nil {
			continue
		}
		voided := false
		for q, t := range s.at {
			voided = voided || t == x && s.rows[q].cut.Voided && s.rows[q].cut.Name != s.rows[r].cut.Name
		}
		best := -1
		for y := range s.targets {
			if y != x && s.targets[y].offer != nil && s.score[r*n+y] >= enough && (best < 0 || s.score[r*n+y] > s.score[r*n+best]) {
				best = y
			}
		}
		if voided && best >= 0 {
			s.move(r, best)
		}
	}
}

// strays looks for a line beyond what its offer should take off that is just
// what an offer without a line should: the coupon came off another item, and so
// its line names that item. Where the lines without it are all that its offer
// should take, and have other words than it, a coupon's number, an offer that its text suits as well
// is enough, whatever it should take.
func (s *cutSearch) strays() {
	s.besideVoided()
	for r, x := range s.at {
		if x < 0 || s.rows[r].cut.Voided {
			continue
		}
		off := s.rows[r].cut.Off
		rest := -1
		if s.overage {
			rest = s.remainder(r)
		}
		switch {
		case off.IsZero(), s.another(r, x):
			continue
		case rest >= 0 && s.rows[r].cut.words.nameAmount(s.targets[rest].offer.Deduct):
			s.move(r, rest) // it tells what the coupon is worth
			continue
		case s.targets[x].offer == nil: // a saving that is not the sale's
			if s.targets[x].amount(off) >= amountExact {
				continue
			}
		case rest >= 0 && s.sum[x].Sub(off) == s.targets[x].total:
			s.move(r, rest)
			continue
		case s.sum[x] == off || closeness(s.sum[x].Sub(off), s.targets[x].total) < strayClose && s.targets[x].amount(off) >= amountOther:
			continue
		}
		odd := s.rows[r].cut.name.distinct() && s.sum[x].Sub(off) == s.targets[x].total && s.oddOneOut(r, x) > 0
		for y := range s.targets {
			o := s.targets[y].offer
			if y == x || o == nil || !s.sum[y].IsZero() || s.rows[r].cut.words.fits(o) < 0 || s.targets[y].total != off && !(odd && s.suitsAsWell(r, x, y)) {
				continue
			}
			s.move(r, y)
			break
		}
	}
}

// suitsAsWell reports whether the text of row r, which has target x, suits target y
// as well.
func (s *cutSearch) suitsAsWell(r, x, y int) bool {
	n := len(s.targets)
	return s.targets[y].total.Sign() > 0 && s.score[r*n+y] >= enough && s.text[r*n+y] >= s.text[r*n+x]
}

// another reports whether another line of x has the very words of row r, which are
// one offer's own.
func (s *cutSearch) another(r, x int) bool {
	if !s.rows[r].cut.name.distinct() || s.targets[x].offer == nil {
		return false
	}
	for q, t := range s.at {
		if q != r && t == x && s.rows[q].cut.Name == s.rows[r].cut.Name {
			return true
		}
	}
	return false
}

const (
	// maxLump bounds the subsets that lump tries (2 to that power).
	maxLump = 10
	// lumpText is how much the text must say for one offer, so that the line is
	// that offer's and no sum of several.
	lumpText = 30
)

// lump looks for lines that are the sum of several offers in one, such as all
// app offers together: a line matched to none, or by its text alone, whose
// amount is just what two or more offers without a line should take off.
func (s *cutSearch) lump(a *Assignment) {
	n := len(s.targets)
	for r := range s.rows {
		cut := s.rows[r].cut
		at := s.at[r]
		if !cut.Known || cut.Voided || at >= 0 && (s.targets[at].amount(cut.Off) >= amountOther || s.text[r*n+at] >= lumpText) {
			continue
		}
		var open []int
		for t := range s.targets {
			if s.targets[t].offer != nil && s.targets[t].total.Sign() > 0 && (t == at || s.sum[t].IsZero()) && cut.words.fits(s.targets[t].offer) >= 0 && s.text[r*n+t] > -20 {
				open = append(open, t)
			}
		}
		if len(open) < 2 || len(open) > maxLump {
			continue
		}
		set := onlySubset(open, cut.Off, func(t int) money.Amount { return s.targets[t].total })
		if set == nil {
			continue
		}
		if at >= 0 {
			a.unplace(&s.targets[at], cut.Lines[0])
		}
		for _, t := range set {
			part := *cut
			part.Off = s.targets[t].total
			a.place(&s.targets[t], part, enough, 1)
			s.sum[t] = part.Off
		}
		cut.matched = true
	}
}

// onlySubset is the one set of two or more of the targets whose totals add up
// to sum, nil where there is none or more than one.
func onlySubset(open []int, sum money.Amount, total func(int) money.Amount) (found []int) {
	for set := uint(1); set < 1<<len(open); set++ {
		var got money.Amount
		var members []int
		for i, t := range open {
			if set&(1<<i) != 0 {
				got = got.Add(total(t))
				members = append(members, t)
			}
		}
		if len(members) < 2 || got != sum {
			continue
		}
		if found != nil {
			return nil
		}
		found = members
	}
	return found
}

// unplace takes back that the cut on a line is t.
func (a *Assignment) unplace(t *target, line int) {
	m := &a.Offers[t.offer.Index]
	for i := range m.Cuts {
		if m.Cuts[i].Lines[0] == line {
			m.Cuts = append(m.Cuts[:i], m.Cuts[i+1:]...)
			break
		}
	}
}

// byAmount gives a line that is left to an offer that is left where its amount
// is just what the offer should take off, and only the place it is printed at
// speaks against it: it came off another item.
func (s *cutSearch) byAmount(a *Assignment) {
	for r := range s.rows {
		cut := s.rows[r].cut
		if cut.matched || !cut.Known || cut.Voided {
			continue
		}
		found := -1
		for t := range s.targets {
			o := s.targets[t].offer
			if o == nil || s.targets[t].total != cut.Off || len(a.Offers[o.Index].Cuts) > 0 || cut.words.fits(o) < -8 && !(s.overage && cut.words.nameAmount(o.Deduct)) {
				continue
			}
			if found < 0 || s.text[r*len(s.targets)+t] > s.text[r*len(s.targets)+found] {
				found = t
			}
		}
		if found < 0 && s.overage {
			found = s.remainder(r)
		}
		if found < 0 {
			continue
		}
		o := s.targets[found].offer
		a.place(&s.targets[found], *cut, enough, 1)
		a.Offers[o.Index].By = ByPrice
		cut.matched = true
	}
}

// eliminate gives the one line that is left to the one offer that is left,
// where nothing in the text is against it.
func (s *cutSearch) eliminate(a *Assignment) {
	row, at := -1, -1
	for r := range s.rows {
		if !s.rows[r].cut.matched && !s.rows[r].cut.words.sale {
			if row >= 0 {
				return
			}
			row = r
		}
	}
	if row < 0 {
		return
	}
	for t := range s.targets {
		if s.targets[t].offer == nil || s.targets[t].total.IsZero() {
			continue
		}
		if m := &a.Offers[s.targets[t].offer.Index]; len(m.Cuts)+len(m.Voided) > 0 {
			continue
		}
		if at >= 0 {
			return
		}
		at = t
	}
	if at < 0 || s.text[row*len(s.targets)+at] < 0 || s.rows[row].of == -2 {
		return
	}
	a.place(&s.targets[at], *s.rows[row].cut, enough, s.text[row*len(s.targets)+at])
	a.Offers[s.targets[at].offer.Index].By = ByElimination
	s.rows[row].cut.matched = true
}

// basketsAgain gives lines that are left to offers on the whole basket, whose
// amounts follow from what the other offers really took off.
func (a *Assignment) basketsAgain(p *plan.Plan, tx *plan.Transaction) {
	if len(a.Extra) == 0 {
		return
	}
	rung := plan.Rung{Items: a.Rung(tx), Offers: map[int]plan.RungOffer{}}
	open := false
	for _, o := range p.Offers {
		if o.Deduct == nil {
			continue
		}
		m := &a.Offers[o.Index]
		if o.Spend != nil && len(m.Cuts) == 0 {
			open = true
			continue
		}
		var sum money.Amount
		for i := range m.Cuts {
			sum = sum.Add(m.Cuts[i].Off)
		}
		rung.Offers[o.Index] = plan.RungOffer{Basket: sum}
	}
	if !open {
		return
	}
	for _, d := range p.PriceAs(tx, &rung).BasketDeductions {
		at := slices.IndexFunc(p.Offers, func(o *plan.Offer) bool { return o.ID == d.Offer })
		if at < 0 || p.Offers[at].Spend == nil || len(a.Offers[at].Cuts) > 0 || d.Amount.IsZero() {
			continue
		}
		line := slices.IndexFunc(a.Extra, func(c Cut) bool {
			return c.Known && !c.Voided && c.Off == d.Amount && c.words.fits(p.Offers[at]) >= -8
		})
		if line < 0 {
			continue
		}
		m := &a.Offers[at]
		m.Cuts = append(m.Cuts, a.Extra[line])
		m.Score, m.By = max(m.Score, enough), ByPrice
		a.Extra = slices.Delete(a.Extra, line, line+1)
	}
}

// remainder is the offer of which line r is what its coupon is worth above its
// item, in a store that takes that off the rest of the basket; -1 for none.
func (s *cutSearch) remainder(r int) int {
	cut := s.rows[r].cut
	for t := range s.targets {
		if s.targets[t].offer != nil && !s.sum[t].IsZero() && s.sum[t].Add(cut.Off) == s.targets[t].total {
			return t
		}
	}
	return -1
}
