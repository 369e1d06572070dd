package match

import (
	"tillproof/money"
	"tillproof/plan"
)

// matchCuts gives each deduction line to an offer, to an item's sale price, or
// to none: first one assignment over all lines, then moves that make the lines
// of an offer add up to what is expected of it.
func matchCuts(a *Assignment, p *plan.Plan, tx *plan.Transaction, bill *plan.TransactionBill, items []wanted, c *content) {
	if len(c.cuts) == 0 {
		return
	}
	var rows []reading
	for i := range c.cuts {
		rows = append(rows, read(&c.cuts[i], items, c, p.Store.Prints))
	}
	s := &cutSearch{rows: rows, targets: targets(p, tx, bill, a.Items)}
	s.run()
	for r, t := range s.at {
		if t >= 0 {
			a.place(&s.targets[t], *rows[r].cut, s.score[r*len(s.targets)+t], s.text[r*len(s.targets)+t])
			rows[r].cut.matched = true
		}
	}
	s.lump(a)
	s.eliminate(a)
	for r := range rows {
		if !rows[r].cut.matched {
			rows[r].cut.May = s.possible(r)
			a.Extra = append(a.Extra, *rows[r].cut)
		}
	}
}

// possible are the offers that nothing in the text of line r is against.
func (s *cutSearch) possible(r int) (offers []int) {
	for t := range s.targets {
		if o := s.targets[t].offer; o != nil && s.text[r*len(s.targets)+t] > -20 {
			offers = append(offers, o.Index)
		}
	}
	return offers
}

// place records that cut is t.
func (a *Assignment) place(t *target, cut Cut, score, text int) {
	if t.offer == nil {
		m := &a.Items[t.item]
		if !cut.Voided {
			m.Savings = append(m.Savings, cut)
		}
		return
	}
	m := &a.Offers[t.offer.Index]
	if cut.Voided {
		m.Voided = append(m.Voided, cut)
	} else {
		m.Cuts = append(m.Cuts, cut)
	}
	if score > m.Score {
		m.Score, m.By = min(score, 100), ByName
		if text <= 0 {
			m.By = ByPrice
		}
	}
	m.Weak = m.Weak || text <= 0 && t.amount(cut.Off) < amountExact
}

// cutSearch is the search for which line is which target.
type cutSearch struct {
	rows    []reading
	targets []target
	score   []int // row by row
	text    []int
	at      []int // the target of each row, -1 none
	sum     []money.Amount
}

// run fills in at.
func (s *cutSearch) run() {
	n := len(s.targets)
	s.score, s.text = make([]int, len(s.rows)*n), make([]int, len(s.rows)*n)
	s.at = make([]int, len(s.rows))
	s.sum = make([]money.Amount, n)
	var columns []column
	for t := range s.targets {
		copies := 0
		for r := range s.rows {
			score, text := s.rows[r].score(&s.targets[t])
			s.score[r*n+t], s.text[r*n+t] = score, text
			if score < enough {
				continue
			}
			extra := copies
			if copies >= s.targets[t].uses {
				extra = 80
			}
			columns = append(columns, column{t, min(extra, 80)})
			copies++
		}
	}
	cost := costs(len(s.rows), len(columns), func(r, col int) int {
		return s.score[r*n+columns[col].of]*10 - columns[col].extra
	})
	for r, col := range assign(cost) {
		s.at[r] = -1
		if col < len(columns) && s.score[r*n+columns[col].of] >= enough {
			s.at[r] = columns[col].of
			s.sum[s.at[r]] = s.sum[s.at[r]].Add(s.rows[r].cut.Off)
		}
	}
	s.improve()
}

// improve moves single lines, and swaps two, while that makes more offers
// come out at just what is expected of them: which of two coupons of equal
// wording a line is, only the sums of both tell.
func (s *cutSearch) improve() {
	n := len(s.targets)
	for range 4 * len(s.rows) {
		if !s.improveOnce(n) {
			return
		}
	}
}

func (s *cutSearch) improveOnce(n int) bool {
	for r := range s.rows {
		off := s.rows[r].cut.Off
		for t := range n {
			from := s.at[r]
			if t == from || from < 0 || !s.alike(r, from, t) {
				continue
			}
			gain := (s.score[r*n+t] - s.score[r*n+from]) +
				s.worth(t, s.sum[t].Add(off)) - s.worth(t, s.sum[t]) +
				s.worth(from, s.sum[from].Sub(off)) - s.worth(from, s.sum[from])
			if gain > 0 {
				s.move(r, t)
				return true
			}
		}
		for q := range r {
			t, from := s.at[q], s.at[r]
			if t < 0 || from < 0 || t == from || !s.alike(r, from, t) || !s.alike(q, t, from) {
				continue
			}
			d := off.Sub(s.rows[q].cut.Off)
			gain := s.score[r*n+t] + s.score[q*n+from] - s.score[r*n+from] - s.score[q*n+t] +
				s.worth(t, s.sum[t].Add(d)) - s.worth(t, s.sum[t]) +
				s.worth(from, s.sum[from].Sub(d)) - s.worth(from, s.sum[from])
			if gain > 0 {
				s.move(r, t)
				s.move(q, from)
				return true
			}
		}
	}
	return false
}

// alike reports whether the text of row r lets it be target to about as well as
// target from: sums must not overrule what a line says.
func (s *cutSearch) alike(r, from, to int) bool {
	n := len(s.targets)
	return s.score[r*n+to] >= enough && s.text[r*n+from]-s.text[r*n+to] <= 15
}

func (s *cutSearch) move(r, t int) {
	off := s.rows[r].cut.Off
	s.sum[s.at[r]] = s.sum[s.at[r]].Sub(off)
	s.at[r] = t
	s.sum[t] = s.sum[t].Add(off)
}

// worth is what it is worth that the lines of t add up to sum.
func (s *cutSearch) worth(t int, sum money.Amount) int {
	switch total := s.targets[t].total; {
	case sum == total:
		return 25
	case sum.Cmp(total) > 0:
		return -15
	}
	return 0
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
