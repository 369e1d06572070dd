package parse

import "slices"

// What lines beside the sums may be by their amounts: ways of paying, notes, and what
// a sum lacks.

// guessTenders are lines below the total that are just what is left to pay, or more
// with the change on the next line. off: the sums miss by what one wrong digit makes;
// then only what stands right below a tender is change.
func (p *parser) guessTenders(off bool) (all []guess) {
	total, rest, last := -1, int64(0), -1
	for i := range p.rows {
		switch w := &p.rows[i]; {
		case w.part == partCheck && w.has && last < 0:
			total, rest = i, w.cents
		case w.part == partTender && total >= 0:
			rest -= w.cents
			last = i
		case w.part == partChange:
			return nil
		}
	}
	if total < 0 || rest == 0 || off && rest > 0 {
		return nil
	}
	from := max(total, last) + 1
	for i := from; i < len(p.rows); i++ {
		w := &p.rows[i]
		if !w.tail.ok {
			continue
		}
		if w.kind == LineCredit || w.said.has(notPaid) {
			return all
		}
		if rest < 0 { // more was handed over than is due
			if w.tail.cents == -rest && (!off || i == last+1 || w.said.has(markRefund)) {
				all = append(all, guess{saying(i, markChange, "")})
			}
			return all
		}
		if w.tail.cents == rest {
			return append(all, guess{saying(i, markTender, tenderOther)})
		}
		next := slices.IndexFunc(p.rows[i+1:], func(v row) bool { return v.tail.ok })
		if next >= 0 && w.tail.cents > rest && p.rows[i+1+next].tail.cents == w.tail.cents-rest {
			all = append(all, guess{saying(i, markTender, tenderCash), saying(i+1+next, markChange, "")})
		}
		return all
	}
	return all
}

// guessApart are the lines without a known word whose amounts stand apart from the
// column of amounts: notes, all of them.
func (p *parser) guessApart() (all []guess) {
	edge := p.edge
	var g guess
	for i := range p.rows {
		w := &p.rows[i]
		if w.part == partAdd && w.has && w.standsApart(edge) && !w.isPlain() && (w.kind == LineItem && w.isBare() || w.kind == LineFee || w.kind == LineTax) {
			g = append(g, saying(i, markPrice, ""))
		}
	}
	if g == nil {
		return nil
	}
	return []guess{g}
}

// amountEdge is the column in which most amounts of a text end, down to the last that is
// paid with; 0 where there is none.
func (p *parser) amountEdge() (edge int32) {
	ends, all, last := map[int32]int{}, 0, len(p.rows)
	for last > 0 && !p.rows[last-1].said.has(markTender|markChange) {
		last--
	}
	for i := range p.rows[:last] {
		w := &p.rows[i]
		if !w.tail.ok {
			continue
		}
		all++
		x := w.lx[w.tail.at].x1
		if ends[x]++; ends[x] > ends[edge] || ends[x] == ends[edge] && x > edge {
			edge = x
		}
	}
	if !p.exact || ends[edge] < 4 || ends[edge]*2 < all {
		return 0
	}
	return edge
}

// standsApart reports whether the line's amount ends well left of edge.
func (w *row) standsApart(edge int32) bool {
	return edge > 0 && w.tail.ok && w.lx[w.tail.at].x1+columnWidth*3/2 < edge
}

// guessNotes are lines that begin alike, each further right than the goods it stands
// beneath, or of one wording and with several amounts: what the goods would cost
// otherwise, or what was saved on them.
func (p *parser) guessNotes(off bool) (all []guess) {
	groups, order := map[string]guess{}, []string{}
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineItem || w.part != partAdd || !w.has || len(w.words) == 0 || !w.isBare() {
			continue
		}
		lead := fold(w.words[0].Text)
		if lead == "" || p.goodsOver(i, lead) < 0 {
			lead = formOf(w.lx[:w.tail.from])
		}
		if _, seen := groups[lead]; !seen {
			order = append(order, lead)
			groups[lead] = guess{}
		}
		groups[lead] = append(groups[lead], saying(i, markPrice, ""))
	}
	for _, lead := range order {
		if g := groups[lead]; p.mayBeNotes(g, off) {
			all = append(all, g)
		}
	}
	return all
}

// mayBeNotes reports whether the lines of g, which are worded alike, may be notes.
func (p *parser) mayBeNotes(g guess, off bool) bool {
	under, amounts := 0, map[int64]bool{}
	for _, s := range g {
		w := &p.rows[s.row]
		amounts[w.cents] = true
		if p.goodsOver(s.row, fold(w.words[0].Text)) >= 0 {
			under++
		}
	}
	if under == len(g) {
		return len(g) > 1 || !off
	}
	return under == 0 && len(amounts) > 1
}

// goodsOver is the item that row i, which begins with lead, stands beneath and begins
// further right than; -1 for none.
func (p *parser) goodsOver(i int, lead string) int {
	for j := i - 1; j >= max(0, i-4); j-- {
		w := &p.rows[j]
		if w.kind != LineItem || len(w.words) == 0 || fold(w.words[0].Text) == lead {
			continue
		}
		if p.rows[i].words[0].Box.X > w.words[0].Box.X {
			return j
		}
		return -1
	}
	return -1
}

// guessRest are lines in no sum that are just what an open sum lacks, a tax where it
// lacks something and a coupon where it has too much; a line without a known word
// that is just what it has too much; and a statement that only tells what the lines
// above it took off. Where the sum misses by what one wrong digit makes (off), only
// words of taxes are trusted.
func (p *parser) guessRest(off bool) (all []guess) {
	for k := range p.chain.segs {
		s := &p.chain.segs[k]
		got, want, ok := p.got(s)
		if !ok || got == want || s.from < 0 {
			continue
		}
		if k > 0 && !p.holds(&p.chain.segs[k-1]) && p.rows[s.from].tail.minus {
			all = append(all, guess{saying(s.from, markTotal|markCoupon, "")})
		}
		end := s.to
		if end < 0 {
			continue
		}
		for i := s.from + 1; i < end; i++ {
			switch w := &p.rows[i]; {
			case !w.tail.ok || w.tail.cents == 0:
			case w.part == partNone && !w.tail.minus && w.tail.cents == want-got && !w.said.has(markSaved|markCoupon|markPoints|markCount) && (!off || w.said.has(markTax|markTaxInfo)):
				all = append(all, guess{saying(i, markTax, "")})
			case w.part == partNone && w.tail.minus && w.tail.cents == got-want && !off:
				all = append(all, guess{saying(i, markCoupon, "")})
			case w.kind == LineFee && w.part == partAdd && w.said.marks == 0 && w.tail.cents == got-want && !off:
				all = append(all, guess{saying(i, markTaxInfo, "")})
			}
		}
	}
	return all
}
