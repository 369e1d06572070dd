package parse

import (
	"strings"

	"tillproof/money"
)

// costImplied is that of a statement which no reader saw, where the sums above and below it
// want the same: more than any that looks alike, less than one segment that stays open.
const costImplied = 650

// implied adds to cands, for each total of a photo that was not surely read, what
// the amounts above it come to, where those below it want just that as they were read too.
// It is a guess, and believed only where both sums then work out (guessed).
func (p *parser) implied(cands map[int][]candidate) {
	for k := 0; k+1 < len(p.chain.segs); k++ {
		above, below := &p.chain.segs[k], &p.chain.segs[k+1]
		w := &p.rows[above.to]
		if w.kind != LineTotal || w.part != partCheck || w.steady(p) || len(above.adds) == 0 || len(below.adds) == 0 {
			continue
		}
		got, want, ok := p.got(above)
		gives, states, known := p.got(below)
		if !ok || !known || got == want || got != states-(gives-w.states()) {
			continue
		}
		s := shortlist{w: w, all: cands[above.to]}
		s.enter(candidate{cents: got, cost: costImplied, guess: true, seen: unseen})
		cands[above.to] = s.all
	}
}

// implyTotal gives a total of a photo of which the word alone was read the amount that the
// sums leave it: where the chain works out from the goods to what was paid, and nothing adds
// between that line and the first tender. What was read of its amount must not contradict.
func (p *parser) implyTotal() {
	if p.exact || p.open(&p.chain) > 0 || len(p.chain.segs) == 0 {
		return
	}
	at := -1
	for i := range p.rows {
		switch w := &p.rows[i]; {
		case w.part == partTender:
			if at >= 0 {
				p.takeImplied(at)
			}
			return
		case w.kind == LineTotal && w.part == partCheck && w.has:
			return
		case w.part != partNone && w.has:
			at = -1
		case !w.has && !w.tail.ok && w.said.has(markTotal) && !w.said.has(markSubtotal|markCoupon|markSaved|markTax) && w.said.unknown == 0:
			at = i
		}
	}
}

// takeImplied makes row at a total that states what the sum has come to above it.
func (p *parser) takeImplied(at int) {
	sum := int64(0)
	for i := range p.rows[:at] {
		switch w := &p.rows[i]; {
		case !w.has:
		case w.part == partAdd:
			sum += w.cents
		case w.part == partCheck:
			sum = w.cents
		}
	}
	w := &p.rows[at]
	if n := w.wholeNumber(); sum <= 0 || n >= 0 && int64(n) != sum/100 || n < 0 && w.hasNumber() {
		return
	}
	w.kind, w.part, w.cents, w.has = LineTotal, partCheck, sum, true
	w.repaired, w.invented, w.damaged = true, true, false
	p.build(0, &p.chain)
}

// nearly reports whether a and b are the same amount, or a digit apart.
func nearly(a, b int64) bool {
	return a == b || money.FromCents(a).OneDigitOff(money.FromCents(b))
}

// endsLikeTotal reports whether w, the first amount of a photo below the total, is what is
// left of the total's own digits where the first were not seen: "CS03,32" below 83.32.
func (c *classifier) endsLikeTotal(w *row) bool {
	if w.exact || c.at != inPaid || c.tenders > 0 || c.totals == 0 || w.tail.cents < 100 || c.total < 1000 || c.tenderBelow() || c.cutBelow() || w.said.marks != 0 || w.said.unknown > 1 {
		return false
	}
	above := c.above()
	for i := len(above) - 1; i >= 0 && above[i].part != partCheck; i-- {
		if above[i].tail.ok {
			return false
		}
	}
	return strings.HasSuffix(money.FromCents(c.total).String(), money.FromCents(w.tail.cents).String())
}
