package match

import (
	"slices"

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
	s := &cutSearch{rows: rows, targets: targets(p, tx, bill, a.Items), overage: p.Store.Policy.Overage}
	s.run()
	if s.learnSavings() {
		s.run()
	}
	s.strays()
	for r, t := range s.at {
		if t >= 0 {
			a.place(&s.targets[t], *rows[r].cut, s.score[r*len(s.targets)+t], s.text[r*len(s.targets)+t])
			rows[r].cut.matched = true
		}
	}
	s.sameWords(a)
	s.lump(a)
	s.byAmount(a)
	s.eliminate(a)
	s.reductions(a)
	s.instead(a, p, tx)
	for r := range rows {
		if !rows[r].cut.matched {
			rows[r].cut.May = s.possible(r)
			a.Extra = append(a.Extra, *rows[r].cut)
		}
	}
}

// sameWords gives a line that is left to the offer of the lines with the very
// same words, where those words are one offer's own, such as its number: the
// last of its uses, cut to what was left of the price.
func (s *cutSearch) sameWords(a *Assignment) {
	for r := range s.rows {
		cut := s.rows[r].cut
		if cut.matched || cut.Voided || !cut.name.distinct() {
			continue
		}
		found := -1
		for q, t := range s.at {
			if t < 0 || s.targets[t].offer == nil || s.rows[q].cut.Name != cut.Name {
				continue
			}
			if found >= 0 && found != t {
				found = -1
				break
			}
			found = t
		}
		if found < 0 {
			continue
		}
		a.place(&s.targets[found], *cut, enough, s.text[r*len(s.targets)+found])
		s.sum[found] = s.sum[found].Add(cut.Off)
		cut.matched = true
	}
}

// sameWords reports whether two texts have the same words, numbers and single letters left
// out: the regular price may stand among them, and the flag of a tax.
func (n *name) sameWords(other *name) bool {
	says := func(w *word) bool { return !w.number && len(w.text) > 1 }
	i, j := 0, 0
	for {
		for i < len(n.words) && !says(&n.words[i]) {
			i++
		}
		for j < len(other.words) && !says(&other.words[j]) {
			j++
		}
		if i == len(n.words) || j == len(other.words) {
			return i == len(n.words) && j == len(other.words)
		}
		if n.words[i].text != other.words[j].text {
			return false
		}
		i, j = i+1, j+1
	}
}

// distinct reports whether the words have a number of four digits or more, as
// coupons are numbered.
func (n *name) distinct() bool {
	return slices.ContainsFunc(n.words, func(w word) bool { return w.number && len(w.text) >= 4 })
}

// learnSavings takes the words of lines that are just what a sale saves for the
// till's words for savings where another line has them too, and reports whether that
// says anything new. Then lines with other words are hardly savings.
func (s *cutSearch) learnSavings() bool {
	n, learnt := len(s.targets), false
	for r, t := range s.at {
		if t < 0 || s.targets[t].offer != nil || s.targets[t].amount(s.rows[r].cut.Off) < amountExact || s.score[r*n+t] < enough {
			continue
		}
		for q := range s.rows {
			if !s.rows[q].cut.name.sameWords(&s.rows[r].cut.name) {
				continue
			}
			v := &s.rows[q].cut.words
			learnt = learnt || q != r && !(v.sale && v.savings)
			v.sale = true
			v.savings = v.savings || q != r
		}
	}
	if learnt {
		for r := range s.rows {
			s.rows[r].cut.words.other = !s.rows[r].cut.words.savings
		}
	}
	return learnt
}

// reductions takes a line that is left, printed beneath an item and with no word
// of a coupon, for a part of the item's price.
func (s *cutSearch) reductions(a *Assignment) {
	for r := range s.rows {
		row := &s.rows[r]
		v := &row.cut.words
		at := row.of
		if at == -1 && row.beneath {
			at = row.near
		}
		if row.cut.matched || at < 0 || row.cut.Voided || !row.cut.Known || v.maker || v.app || v.paper || row.cut.Last && !v.sale {
			continue
		}
		a.Items[at].Savings = append(a.Items[at].Savings, *row.cut)
		row.cut.matched = true
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
	if score = min(max(score, enough), 100); score > m.Score {
		m.Score, m.By = score, ByName
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
	overage bool // of the store's policy
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
				s.worth(from, s.sum[from].Sub(off)) - s.worth(from, s.sum[from]) - s.oddOneOut(r, t)
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

// oddOneOut is what it costs to give row r to a target whose lines have other
// words: a till prints the uses of one offer alike.
func (s *cutSearch) oddOneOut(r, t int) int {
	for q, at := range s.at {
		if at == t && q != r && s.rows[q].cut.Name != s.rows[r].cut.Name {
			return 20
		}
	}
	return 0
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
	if total := s.targets[t].total; sum == total && !total.IsZero() {
		return 25
	}
	return 0
}
