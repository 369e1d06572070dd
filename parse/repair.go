package parse

import (
	"slices"

	"tillproof/ocr"
)

// Costs of what repair assumes beside other candidates.
const (
	// otherwiseCost is that of lines being other than their form suggests, for
	// each doubt that is decided so (hypotheses.go); digitCost where one wrong
	// digit may be what makes it look so.
	otherwiseCost = 200
	digitCost     = 500
	// lostCost is that of a statement which no reading fits.
	lostCost = 900
	// costSeenWhole is the most that an amount costs which a reading shows as it is.
	costSeenWhole = 2 * costOtherReading
	// askedAgain is the most lines of a receipt that get a second look.
	askedAgain = 12
)

// repair looks for the amounts that make the sums of a photo work out, after a
// second look where the first leaves them open. Where they are closed as they
// were read it only looks for rivals.
func (p *parser) repair(closed bool, pages []ocr.Page) {
	closed = closed || p.tellsSum(pages)
	best := p.search(closed)
	for _, found := range [...]func(*attempt) bool{p.lookAtCredits, p.lookForAmounts, p.multiplyBlank} {
		if found(best) {
			p.readAs(pages, nil)
			closed = p.choose()
			best = p.search(closed)
		}
	}
	if !closed && p.lookAgain(best) {
		if p.choose() {
			return
		}
		// A line may be another kind by what it shows now: a tender told again.
		p.readAs(pages, nil)
		if p.choose() {
			return
		}
		best = p.search(false)
	}
	asRead := slices.Clone(p.rows)
	p.take(best)
	if closed || p.open(&p.chain) == 0 || p.refunding() {
		return
	}
	repaired := slices.Clone(p.rows)
	copy(p.rows, asRead)
	p.build(0, &p.chain)
	if p.rereadSure(pages) {
		p.take(p.search(true))
		return
	}
	copy(p.rows, repaired)
	p.build(0, &p.chain)
}

// attempt is a chain under one hypothesis, solved.
type attempt struct {
	under  hypothesis
	lost   int // the statement that is left out, -1 for none
	chain  chain
	solver *solver
	cost   int32
	// rivals are the rows that have another amount, or part, under another
	// hypothesis that is nearly as cheap.
	rivals map[int]bool
	cut    bool
}

// search solves the chain under every hypothesis about the lines, and returns
// the cheapest.
func (p *parser) search(closed bool) *attempt {
	steps := mostSteps
	cands := map[int][]candidate{}
	for i := range p.rows {
		if w := &p.rows[i]; w.part != partNone {
			cands[i] = w.candidates(p)
		}
	}
	var all []*attempt
	p.build(0, &p.chain)
	p.implied(cands)
	each := int32(otherwiseCost)
	if p.digitOff(&p.chain) {
		each = digitCost
	}
	hypotheses := p.hypotheses()
	if closed {
		hypotheses = hypotheses[:1]
	}
	for _, h := range hypotheses {
		cost := int32(0)
		for d := h; d != 0; d &= d - 1 {
			cost += each
		}
		a := p.attempt(h, -1, cands, &steps)
		a.cost += cost
		all = append(all, a)
		for k := 0; k+1 < len(a.chain.segs) && k < 8; k++ {
			to, next := a.chain.segs[k].to, a.chain.segs[k+1].to
			between := p.rows[to].kind == LineSubtotal || p.rows[to].kind == LineTotal && next >= 0 && p.rows[next].kind == LineTotal
			if between && a.fails(k) && a.fails(k+1) && (!p.rows[to].steady(p) || p.leavesOut(&a.chain.segs[k])) {
				b := p.attempt(h, to, cands, &steps)
				b.cost += cost + lostCost
				all = append(all, b)
			}
		}
	}
	best := all[0]
	for _, a := range all[1:] {
		if a.cost < best.cost {
			best = a
		}
	}
	for _, a := range all {
		if a != best && a.cost < best.cost+rivalMargin && a.cost < brokenCost {
			best.compare(a)
		}
	}
	best.cut = steps <= 0
	return best
}

// compare marks the rows for which the rival b has another amount, or which add
// in one and not in the other.
func (a *attempt) compare(b *attempt) {
	if a.rivals == nil {
		a.rivals = map[int]bool{}
	}
	mine, its := a.amounts(), b.amounts()
	for i, cents := range mine {
		other, ok := its[i]
		if ok && other != cents || !ok && cents != 0 && a.adds(i) {
			a.rivals[i] = true
		}
	}
	for i, cents := range its {
		if _, ok := mine[i]; !ok && cents != 0 && b.adds(i) {
			a.rivals[i] = true
		}
	}
}

// amounts are those of the rows in the cheapest set, by row.
func (a *attempt) amounts() map[int]int64 {
	out := map[int]int64{}
	for i, k := range a.solver.answer().chosen {
		if cands := a.solver.cands[i]; len(cands) > 0 {
			out[i] = cands[k].cents
		}
	}
	return out
}

// adds reports whether row i adds to a segment of a.
func (a *attempt) adds(i int) bool {
	for k := range a.chain.segs {
		if slices.Contains(a.chain.segs[k].adds, i) {
			return true
		}
	}
	return false
}

// attempt solves the chain under h, without the statement of row lost.
func (p *parser) attempt(h hypothesis, lost int, cands map[int][]candidate, steps *int) *attempt {
	a := &attempt{under: h, lost: lost}
	if lost >= 0 {
		was := p.rows[lost].part
		p.rows[lost].part = partNone
		defer func() { p.rows[lost].part = was }()
	}
	p.build(h, &a.chain)
	a.solver = &solver{p: p, segs: a.chain.segs, cands: cands, steps: steps}
	a.solver.solve()
	a.cost = a.solver.best
	return a
}

// fails reports whether segment k does not work out as it was read.
func (a *attempt) fails(k int) bool { return !a.solver.p.holds(&a.chain.segs[k]) }

// take gives the rows the amounts of the cheapest attempt.
func (p *parser) take(a *attempt) {
	if a.cut {
		p.warn("so many readings were possible that the search for those that work out was cut short")
	}
	if a.under != 0 {
		p.assume(a.under)
	}
	if a.lost >= 0 {
		p.rows[a.lost].part, p.rows[a.lost].lost = partNone, true
	}
	p.build(0, &p.chain)
	best := a.solver.answer()
	for k := range a.chain.segs {
		s := &a.chain.segs[k]
		if best.broken[k] || p.guessed(a, best, k) || p.doctored(a, best, k) {
			continue
		}
		for _, i := range s.rows() {
			w := &p.rows[i]
			cands := a.solver.cands[i]
			if len(cands) == 0 {
				continue
			}
			c := cands[best.chosen[i]]
			w.ambiguous = w.ambiguous || a.cut || a.rivals[i] || best.rivals[i] || best.mayFail[k]
			if !w.has || c.cents != w.cents {
				w.cents, w.has, w.repaired, w.damaged = c.cents, true, true, false
				w.invented, w.otherwise = c.seen >= costNotSeen, c.seen <= costSeenWhole
				switch {
				case w.kind == LineFee && c.cents < 0 && !w.said.has(markFee):
					w.kind = LineDeduction // its first words were not seen
				case w.kind == LineDeduction && c.cents > 0:
					w.kind, w.of = LineItem, 0
				case w.kind == LineItem && c.cents < 0 && w.informal == doubtNone && !w.said.has(markRefund):
					w.kind = LineDeduction
				}
			}
		}
	}
}

// rows are all rows of s.
func (s *segment) rows() []int {
	all := slices.Clone(s.adds)
	if s.from >= 0 {
		all = append(all, s.from)
	}
	if s.to >= 0 {
		all = append(all, s.to)
	}
	return all
}

// guessed reports whether segment k works out only with a guess that nothing
// else bears out. An addend's guess is borne out by its quantity and unit
// price, which make it no guess (candidates.go); a statement's where the sums
// on both sides of it want the same.
func (p *parser) guessed(a *attempt, best *answer, k int) bool {
	s := &a.chain.segs[k]
	isGuess := func(i int) bool {
		cands := a.solver.cands[i]
		return i >= 0 && len(cands) > 0 && cands[best.chosen[i]].guess
	}
	for _, i := range s.adds {
		if isGuess(i) {
			return true
		}
	}
	if s.to >= 0 && isGuess(s.to) && (k+1 == len(a.chain.segs) || best.broken[k+1] || p.guessedAdds(a, best, k+1)) {
		return true
	}
	return s.from >= 0 && isGuess(s.from) && (k == 0 || best.broken[k-1] || p.guessedAdds(a, best, k-1))
}

// guessedAdds reports whether an addend of segment k is a guess.
func (p *parser) guessedAdds(a *attempt, best *answer, k int) bool {
	for _, i := range a.chain.segs[k].adds {
		if cands := a.solver.cands[i]; len(cands) > 0 && cands[best.chosen[i]].guess {
			return true
		}
	}
	return false
}

// lookAgain asks for a second look, where there is one, at the lines of sums that stay open
// as they were read, the least confident first; it reports whether anything is now read
// otherwise or more was seen.
func (p *parser) lookAgain(a *attempt) bool {
	var ask []int
	for k := range a.chain.segs {
		if a.fails(k) {
			ask = append(ask, a.chain.segs[k].rows()...)
		}
	}
	slices.SortStableFunc(ask, func(i, j int) int {
		switch x, y := p.rows[i].amountConfidence(), p.rows[j].amountConfidence(); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return i - j
	})
	ask = slices.Compact(ask)
	again := false
	for _, i := range ask[:min(len(ask), askedAgain)] {
		w := &p.rows[i]
		var more []ocr.Reading
		if p.opts.Again != nil && !p.lookedAt(w) {
			more = p.opts.Again(*w.line)
		}
		if len(more) == 0 && !w.tail.ok {
			continue
		}
		again = again || len(more) > 0
		line := *w.line
		line.Readings = mergeReadings(line.Readings, more)
		p.keepLook(w, &line)
		if w.tail.ok {
			// Pages that were kept have had their second look, and come to the same.
			again = w.takeMost(p) || again
			w.sure = w.surelyRead(p)
			continue
		}
		said := w.said
		p.readRow(w, nil)
		w.said = said
		if w.tail.ok {
			w.cents, w.has, w.damaged = w.tail.signed(), true, false
			if (w.kind == LineDeduction || w.kind == LineVoid) && w.cents > 0 {
				w.cents = -w.cents
			}
		}
	}
	return again
}

// lookedAt reports whether w shows what a second look has seen.
func (p *parser) lookedAt(w *row) bool {
	for _, l := range p.looked {
		if l == w.line {
			return true
		}
	}
	return false
}

// takeMost takes the amount that most looks at the line have seen, and reports whether that
// is another than was read first. What else is known of the line stays; the line is the
// row's own.
func (w *row) takeMost(p *parser) bool {
	votes := map[int64]int{}
	best, at := int64(0), -1
	for k, r := range w.line.Readings {
		t := p.tailOf(r.Words)
		if !t.ok || t.minus != w.tail.minus {
			continue
		}
		votes[t.cents] += max(r.Votes, 1)
		if at < 0 || votes[t.cents] > votes[best] {
			best, at = t.cents, k
		}
	}
	if at < 0 || best == w.tail.cents || votes[best] <= votes[w.tail.cents] {
		return false
	}
	all := w.line.Readings
	w.line.Readings = slices.Concat(all[at:at+1], all[:at], all[at+1:])
	p.takeReading(w, 0)
	if w.qty.to > 0 { // its place in the line may be another
		w.qty.from, w.qty.to, w.qty.leads = 0, 0, false
	}
	if w.has {
		if w.cents < 0 {
			best = -best
		}
		w.cents = best
	}
	return true
}

// mergeReadings adds further readings to those there are; the votes of the
// same text add up.
func mergeReadings(all, more []ocr.Reading) []ocr.Reading {
	out := slices.Clone(all)
next:
	for _, m := range more {
		for i := range out {
			if out[i].Own == m.Own && out[i].Text() == m.Text() {
				out[i].Votes += max(m.Votes, 1)
				continue next
			}
		}
		out = append(out, m)
	}
	return out
}
