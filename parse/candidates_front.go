package parse

import (
	"slices"
	"strings"

	"tillproof/money"
)

// What may have become of the first signs of an amount.

// dollar adds the amounts that differ in the currency sign. Where the receipt prints it
// before amounts and this one has none, its first digits may be it; where this is the
// only one that has one, it may be a digit.
func (s *shortlist) dollar(p *parser) {
	w, t := s.w, s.w.tail
	printed := w.lx[t.at].text
	signs := p.dollars && !p.bareGoods(w) || p.signedSums(w)
	enter := func(text string, cost int32) {
		if digits, dec := number(text); dec == 2 && digits <= largest {
			t.cents = digits
			s.add(t, cost, false)
		}
	}
	switch {
	case signs && !w.hasMark() && len(printed) >= 5 && strings.IndexByte("01345689", printed[0]) >= 0:
		enter(printed[1:], costDollar)
		if len(printed) >= 7 {
			enter(printed[2:], costDollar+costWide)
		}
	case !signs && w.hasMark() && w.tail.at > 0 && w.lx[w.tail.at-1].isSign('$') && w.lx[w.tail.at].glued:
		enter("5"+printed, costDollar)
		for _, d := range "389" {
			enter(string(d)+printed, costDollar+costWide)
		}
	}
}

// nought adds what an amount below one unit is whose nought was read as two digits: no till
// prints "09.27". Where none is printed, the units are dirt if each reading has others.
func (s *shortlist) nought(p *parser) {
	t := s.w.tail
	if printed := s.w.lx[t.at].text; len(printed) == 5 && printed[0] == '0' && printed[1] != '0' && printed[2] == '.' {
		t.cents %= 100
		s.add(t, costDollar, false)
		return
	}
	if !p.unitless || t.cents < 100 {
		return
	}
	units := map[int64]bool{}
	for _, r := range s.w.line.Readings {
		if o := p.tailOf(r.Words); o.ok && o.cents%100 == t.cents%100 {
			units[o.cents/100] = true
		}
	}
	if len(units) > 2 {
		t.cents %= 100
		s.add(t, costDollar, false)
	}
}

// twice adds the amount without its first digit where the second is the same: readers that
// follow blurred print see a digit twice.
func (s *shortlist) twice() {
	t := s.w.tail
	if printed := s.w.lx[t.at].text; len(printed) >= 5 && digit(printed[0]) && printed[0] == printed[1] {
		if digits, dec := number(printed[1:]); dec == 2 {
			t.cents = digits
			s.add(t, costTwice, false)
		}
	}
}

// bracket adds the amount without its first digit where it stands behind an opening bracket
// that a reader may have seen twice: "(60.45)" for "(0.45)".
func (s *shortlist) bracket() {
	w, t := s.w, s.w.tail
	if printed := w.lx[t.at].text; len(printed) >= 5 && strings.IndexByte("016", printed[0]) >= 0 && digit(printed[1]) && t.at > 0 && w.lx[t.at-1].isSign('(') {
		if digits, dec := number(printed[1:]); dec == 2 {
			t.cents = digits
			s.add(t, costDollar, false)
		}
	}
}

// half adds the amount as one that is taken off, where a closing bracket stands behind it and
// none before it, "4.47)", and the line or the one above says that something comes off.
func (s *shortlist) half(p *parser) {
	w := s.w
	if w.part != partAdd || w.tail.minus || w.cents <= 0 {
		return
	}
	closed := slices.ContainsFunc(w.lx[w.tail.at:], func(l lexeme) bool { return l.isSign(')') })
	if !closed || slices.ContainsFunc(w.lx, func(l lexeme) bool { return l.isSign('(') }) {
		return
	}
	const off = markCoupon | markSaved | markOff
	above := p.rowNumber(w) - 2
	if w.said.has(off) || above >= 0 && !p.rows[above].tail.ok && p.rows[above].said.has(off) {
		s.enter(candidate{cents: -w.cents, cost: costHalf, seen: costHalf})
	}
}

// paid adds the total above to a tender that shows its last digits: the first was not seen.
// What rewards are called may be one that was earned.
func (s *shortlist) paid(p *parser) {
	if s.w.part != partTender || !s.w.tail.ok || s.w.said.has(markReward|markFuture|markEarned|markCondition) {
		return
	}
	own := money.FromCents(s.w.tail.cents).String()
	for i := range p.rows {
		w := &p.rows[i]
		if w == s.w {
			return
		}
		if w.kind == LineTotal && w.has && w.cents >= 1000 && strings.HasSuffix(money.FromCents(w.cents).String(), own) {
			s.enter(candidate{cents: w.cents, cost: costDollar, seen: unseen})
		}
	}
}

// bareGoods reports whether w is of the goods or what comes off them, and no more than a third of
// these have a currency sign: many tills print it with their sums alone.
func (p *parser) bareGoods(w *row) bool {
	if w.part != partAdd || w.kind == LineTax {
		return false
	}
	with, all := 0, 0
	for i := range p.rows {
		if v := &p.rows[i]; v != w && v.part == partAdd && v.kind != LineTax && v.tail.ok {
			all++
			if v.hasMark() {
				with++
			}
		}
	}
	return with*3 <= all
}

// signedSums reports whether w is of the sums at the receipt's end, and another of
// these has a currency sign: many tills print it there alone.
func (p *parser) signedSums(w *row) bool {
	ofSums := func(v *row) bool {
		return v.part == partCheck || v.part == partTender || v.part == partChange || v.kind == LineTax
	}
	if !ofSums(w) {
		return false
	}
	for i := range p.rows {
		if v := &p.rows[i]; v != w && ofSums(v) && v.tail.ok && v.hasMark() {
			return true
		}
	}
	return false
}
