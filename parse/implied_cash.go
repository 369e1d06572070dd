package parse

import (
	"slices"
	"strings"

	"tillproof/money"
)

// notes are what cash that is handed over is rounded up to.
var notes = [...]int64{500, 1000, 2000, 5000, 10000}

// handedOver reports whether somebody who owes total may hand over paid: total rounded up to
// some note. So what a line that was not seen took off shows in the change.
func handedOver(total, paid int64) bool {
	return slices.ContainsFunc(notes[:], func(note int64) bool { return paid == (total+note-1)/note*note })
}

// implyCash gives the cash of a photo, or the change for it, of which the word alone or the first
// digits were read, the amount that the total and the other leave it: people hand over
// notes, so that a misread digit of either shows. Nothing is implied where the total does
// not work out.
func (p *parser) implyCash() {
	if p.exact {
		return
	}
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineTotal || w.part != partCheck || !w.has || i == 0 {
			continue
		}
		last := len(p.chain.segs) - 1
		if k := slices.IndexFunc(p.chain.segs, func(s segment) bool { return s.to == i }); k < 0 || slices.ContainsFunc(p.chain.segs[:k+1], func(s segment) bool { return !p.holds(&s) }) || k < last-1 {
			return
		}
		cash := p.paidWith(i)
		if cash < 0 || cash+1 >= len(p.rows) {
			return
		}
		tender, change := &p.rows[cash], &p.rows[cash+1]
		switch {
		case !tender.has && change.tail.ok && change.said.has(markChange) && change.part != partTender && change.tail.cents > 0 && handedOver(w.cents, w.cents+change.tail.cents):
			tender.kind, tender.part, tender.tender, tender.cents = LineTender, partTender, tenderCash, w.cents+change.tail.cents
			change.kind, change.part, change.cents, change.has = LineChange, partChange, change.tail.cents, true
			tender.has, tender.repaired, tender.invented = true, true, true
		case tender.part == partTender && handedOver(w.cents, tender.cents) && change.part == partNone && !change.tail.ok && beginsLike(change.text, tender.cents-w.cents):
			change.kind, change.part, change.cents = LineChange, partChange, tender.cents-w.cents
			change.has, change.repaired, change.invented = true, true, true
		default:
			return
		}
		p.build(0, &p.chain)
		return
	}
}

// paidWith is the row below the total at i that says how all was paid, in cash, -1 where
// another amount stands between or below it.
func (p *parser) paidWith(i int) int {
	cash := -1
	for k := i + 1; k < len(p.rows); k++ {
		w := &p.rows[k]
		switch {
		case cash < 0 && w.said.tender == tenderCash && w.said.unknown == 0 && (w.part == partTender || !w.has && !w.tail.ok):
			cash = k
		case w.part != partNone && k != cash+1:
			return -1
		}
	}
	return cash
}

// beginsLike reports whether the last word of a text is what the change is, cut off at the
// paper's side: "ANGE $3.9" of 3.96.
func beginsLike(text string, cents int64) bool {
	words := strings.Fields(text)
	if cents <= 0 || len(words) == 0 || len(words) > 3 {
		return false
	}
	last := strings.TrimPrefix(words[len(words)-1], "$")
	return len(last) >= 3 && strings.HasPrefix(money.FromCents(cents).String(), last)
}
