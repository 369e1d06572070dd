package parse

import (
	"slices"
	"strings"
)

// isTold reports whether a line only tells of savings, or is the sum of
// coupons told once more. A sale's saving with a minus among the items takes
// part in the sum, and is no such line.
func (c *classifier) isTold(w *row) bool {
	s := &w.said
	told := s.has(markSaved) || s.has(markTotal|markSubtotal) && s.has(markCoupon) && !s.has(markWeak)
	if !told || s.has(markAfter) || s.has(markVoid) && !w.tail.minus && c.namesDeduction(w) {
		return false
	}
	if s.has(markTotal | markSubtotal) {
		return !w.tail.minus || c.at == inFoot || c.tenders > 0 || !w.namesValue()
	}
	if !w.tail.minus {
		return s.unknown <= 1 || s.has(markYouSaved)
	}
	return s.has(markYouSaved) && c.at != inBody || c.at == inFoot || c.tenders > 0
}

// isSuggested reports whether a line below the total suggests a tip.
func (c *classifier) isSuggested(w *row) bool {
	if c.at < inPaid || c.tenders > 0 {
		return false
	}
	return w.said.has(markSuggested) || (c.suggesting || w.said.has(markTip) || w.said.marks == 0) && w.hasPercent() && !c.totalBelow()
}

// takesBack reports whether a line names an item or deduction right above once
// more, behind a sign and the other way round: "-- CPN 40 1.45" under "CPN 40
// 1.45-". Of the amounts only the minus decides.
func (c *classifier) takesBack(w *row) bool {
	if len(w.lx) == 0 || w.lx[0].kind != lexSign || w.lx[0].sign == '$' || w.tail.from == 0 {
		return false
	}
	for j := c.i - 1; j >= max(0, c.i-4); j-- {
		v := &c.p.rows[j]
		if (v.kind == LineDeduction || v.kind == LineItem) && v.tail.minus != w.tail.minus && sameStart(w.beforeAmount(), v.beforeAmount()) {
			return true
		}
	}
	return false
}

// givesBack reports whether a line of a text without a minus has, behind a word or two,
// the name of the deduction right above and just its amount.
func (c *classifier) givesBack(w *row) bool {
	if !w.exact || w.tail.minus || c.tenders > 0 || w.said.has(markYouSaved) {
		return false
	}
	said := fold(w.beforeAmount())
	for j := c.i - 1; j >= max(0, c.i-3); j-- {
		v := &c.p.rows[j]
		if v.kind != LineDeduction {
			if v.tail.ok {
				return false
			}
			continue
		}
		name := fold(v.beforeAmount())
		at := strings.Index(said, name[:min(len(name), 8)])
		return v.tail.minus && v.tail.cents == w.tail.cents && len(name) >= 6 && at > 0 && at <= 16
	}
	return false
}

// namesValue reports whether a line tells what its coupon is worth: "TOTAL PURCHASE
// CPN 5% OFF" is no sum of coupons.
func (w *row) namesValue() bool { return w.hasPercent() || w.said.has(markOff) && w.hasNumberBefore() }

// hasNumberBefore reports whether a number stands in the line before its amount.
func (w *row) hasNumberBefore() bool {
	for i := range w.lx[:w.tail.from] {
		if w.lx[i].kind == lexNumber {
			return true
		}
	}
	return false
}

// undoes reports whether a line takes back an item that was rung twice, or in a text a
// deduction, whatever word it has for that: one to three words before or behind all of
// the line above, with the same amount the other way round, or in a text no word at all.
// With a word, an item that was rung once may as well be free with a coupon.
func (c *classifier) undoes(w *row) bool {
	if c.tenders > 0 || w.tail.from == 0 || w.said.has(markCoupon|markOff) && w.tail.minus && (w.said.has(markCoupon) || w.numberBeforeOff() || !w.exact) {
		return false
	}
	said, rung := fold(w.beforeAmount()), 0
	for j := c.i - 1; j >= 0; j-- {
		v := &c.p.rows[j]
		if v.kind == LineVoid && v.tail.cents == w.tail.cents {
			return false
		}
		if !(v.kind == LineDeduction && w.sure) && v.kind != LineItem && v.kind != LineQuantity || !v.has || v.tail.cents != w.tail.cents || v.tail.minus == w.tail.minus {
			continue
		}
		name := fold(v.beforeAmount())
		if v.kind == LineQuantity {
			if !w.exact || j == 0 || c.p.rows[j-1].kind != LineOther || c.p.rows[j-1].tail.ok {
				continue
			}
			name = fold(c.p.rows[j-1].plainName())
		}
		if v.kind == LineItem {
			name = fold(v.nameText())
			if w.exact && len(name) < 4 && j > 0 && c.p.rows[j-1].kind == LineOther && !c.p.rows[j-1].tail.ok {
				name = fold(c.p.rows[j-1].plainName()) // a code and the units alone
			}
			if w.exact && len(v.lx) > 0 && v.lx[0].isWhole() && len(v.lx[0].text) >= 4 {
				name = strings.TrimPrefix(name, fold(v.lx[0].text)) // a short code
			}
		}
		rest, ok := strings.CutSuffix(said, name)
		if !ok {
			rest, ok = strings.CutPrefix(said, name)
		}
		if !ok && w.sure && (c.at == inBody || v.kind == LineDeduction) && c.i-j <= 3 && !w.hasPercent() {
			// Further down it is an offer: "Club 50% TOOTHPA".
			least := 10
			if c.rungTwice(j) {
				least = 7
			}
			rest, ok = cutBehind(said, name, least)
			if !ok && least < 10 {
				rest, ok = cutAhead(said, name, least)
			}
		}
		if givesWord(rest) {
			return false // given, not taken back
		}
		if !ok || len(name) < 4 || rest == "" && v.kind != LineDeduction && len(name) < 10 && !w.sure || !w.sure && len(name) < 8 || len(rest) > 16 {
			continue
		}
		if rung++; v.kind == LineDeduction || rung > 1 || c.rungTwice(j) || rest == "" && w.sure && len(name) >= 10 && v.kind == LineItem {
			return true
		}
	}
	return false
}

// givesWord reports whether the words beside the name of goods have one of offers.
func givesWord(rest string) bool {
	return slices.ContainsFunc(giving, func(word string) bool { return strings.Contains(rest, word) })
}

// giving are the words of offers, folded.
var giving = foldWords("free buy bogo deal save saving multi match promo offer special bonus bundle combo member club card reward loyalty app digital clip coupon cpn disc sale extra", nil)

// rungTwice reports whether the goods of row j, or what has its amount, are rung just the
// same way right above.
func (c *classifier) rungTwice(j int) bool {
	v := &c.p.rows[j]
	for i := j - 1; i >= max(0, j-3); i-- {
		if u := &c.p.rows[i]; u.has && u.tail.ok {
			return v.exact && u.tail.cents == v.tail.cents && u.text == v.text
		}
	}
	return false
}

// numberBeforeOff reports whether a number or a rate stands right before OFF: "0.50 OFF".
func (w *row) numberBeforeOff() bool {
	for i := range w.lx[:w.tail.from] {
		if l := &w.lx[i]; i > 0 && l.kind == lexWord && strings.EqualFold(l.text, "OFF") && (lxNumber(&w.lx[i-1]) || w.lx[i-1].isSign('%')) {
			return true
		}
	}
	return false
}

func lxNumber(l *lexeme) bool { return l.kind == lexNumber }

// cutBehind reports whether said is one to three words and then the beginning of name,
// at least so many letters of it, cut where the room of the line ends.
func cutBehind(said, name string, least int) (rest string, ok bool) {
	for n := 2; n <= 16 && n+least <= len(said); n++ {
		if strings.HasPrefix(name, said[n:]) {
			return said[:n], true
		}
	}
	return "", false
}

// cutAhead reports whether said is the beginning of name, cut to make room, and then one to
// three words.
func cutAhead(said, name string, least int) (rest string, ok bool) {
	n := 0
	for n < len(said) && n < len(name) && said[n] == name[n] {
		n++
	}
	if rest = said[n:]; n < least || len(rest) < 2 || len(rest) > 16 || strings.ContainsAny(rest, "0123456789") {
		return "", false
	}
	return rest, true
}

// nameText is what stands before the amount of an item's line, without quantity and
// code.
func (w *row) nameText() string {
	var b strings.Builder
	for i := range w.lx[:w.tail.from] {
		if w.qty.ok && (i >= w.qty.from && i < w.qty.to || i == 0 && w.qty.leads) || w.isCode(i) {
			continue
		}
		b.WriteString(w.lx[i].text)
	}
	return b.String()
}

// plainName is the text of a line without an amount, codes left out.
func (w *row) plainName() string {
	var b strings.Builder
	for i := range w.lx {
		if !w.isCode(i) && !(i == 0 && w.lx[i].isWhole()) {
			b.WriteString(w.lx[i].text)
		}
	}
	return b.String()
}

// namesDeduction reports whether a line has the whole name of a deduction above.
func (c *classifier) namesDeduction(w *row) bool {
	said := fold(w.beforeAmount())
	above := c.above()
	for i := range above {
		v := &above[i]
		if v.kind != LineDeduction {
			continue
		}
		// A short name must be the whole of it: "DIG 25%".
		if name := fold(v.beforeAmount()); len(name) >= 6 && strings.Contains(said, name[:min(len(name), 12)]) || len(name) >= 3 && name == said {
			return true
		}
	}
	return false
}

// sameStart reports whether the letters and digits of one text begin with those
// of the other, at least four.
func sameStart(a, b string) bool {
	x, y := fold(a), fold(b)
	n := min(len(x), len(y))
	return n >= 4 && x[:n] == y[:n]
}

// void decides on a line that takes back another. A coupon that is taken back
// is printed without a minus: it adds again.
func (c *classifier) void(w *row) {
	if c.at == inFoot || c.tenders > 0 {
		w.kind = LineOther
		return
	}
	w.kind, w.part = LineVoid, partAdd
	if !w.tail.minus && !w.said.has(markCoupon|markOff) && !c.takesBack(w) && !c.namesDeduction(w) && !c.onlyDeduction(w) {
		w.cents, w.informal = -w.tail.cents, doubtVoid
	}
}

// onlyDeduction reports whether of all lines of a text above w it is a deduction alone
// that has its amount.
func (c *classifier) onlyDeduction(w *row) bool {
	cuts := 0
	above := c.above()
	for i := range above {
		v := &above[i]
		switch {
		case v.part != partAdd || v.tail.cents != w.tail.cents:
		case v.kind == LineDeduction && v.tail.minus:
			cuts++
		case v.kind != LineVoid:
			return false
		}
	}
	return w.sure && cuts > 0
}

// deduction decides on lines that take off: printed with a minus, or a coupon
// by its words.
func (c *classifier) deduction(w *row) bool {
	s := &w.said
	if c.tenders > 0 {
		return false
	}
	coupon := s.has(markCoupon) && !s.has(markWeak) || s.has(markOff) && w.hasPercent() || s.has(markCoupon) && s.has(markOwn)
	switch {
	case w.tail.minus && s.has(markRefund), w.tail.minus && c.refund && !coupon:
		return false
	case w.tail.minus:
		if s.has(markSaved) {
			w.informal = doubtSaved
		} else if c.at >= inSums {
			w.informal = doubtTold
		} else if w.lx[w.tail.from].isSign('(') && !coupon {
			w.informal = doubtBracket
		}
	case coupon && w.tail.cents > 0 && !w.qty.ok:
		w.cents, w.informal = -w.tail.cents, doubtUnsigned
	case coupon:
	default:
		return false
	}
	w.kind, w.part = LineDeduction, partAdd
	return true
}

// addition decides on fees, tips and what else is added below the items.
func (c *classifier) addition(w *row) bool {
	s := &w.said
	switch {
	case c.tenders > 0 || c.suggesting:
		return false
	case s.has(markFee):
		if s.has(markOff) && c.at == inBody {
			return false
		}
	case s.has(markTip) && c.at >= inSums && c.fits(w) && (!w.hasPercent() || c.at == inSums):
	case c.guessTotal && c.at == inSums && s.marks == 0 && (w.tail.cents >= c.subtotal || c.leadsToTender(w)):
		return false
	case w.sure && c.at == inSums && s.marks == 0 && !w.tail.minus && w.tail.cents == c.running() && w.tail.cents > 0:
		w.kind, w.part = LineSubtotal, partCheck // what the sum has come to, whatever it is called
		if c.paysNext() {
			w.kind = LineTotal
		}
		return true
	case c.at == inSums && s.marks == 0 && (w.exact || w.hasName()):
		// Something between subtotal and total that has no known word: it is
		// charged, or the total will not come out.
	default:
		return false
	}
	if c.at == inPaid && !c.totalBelow() {
		return false
	}
	if w.sure && s.marks == 0 && w.hasPercent() && !w.tail.minus {
		c.tax(w) // "STX 6.25%": what is added at a rate
		return true
	}
	w.kind, w.part = LineFee, partAdd
	return true
}

// tellsFor reports whether the line has nothing but a code and what goods come to with the
// coupon above: "510620952868 FOR 4.40".
func (w *row) tellsFor() bool {
	return w.tail.ok && w.tail.from == 2 && len(w.lx[0].text) >= 6 && isDigits(w.lx[0].text, 20) && isFor(&w.lx[1])
}

// paysNext reports whether the next amount is plainly one that is paid with.
func (c *classifier) paysNext() bool {
	below := c.below()
	for i := range below {
		if v := &below[i]; v.tail.ok && !v.standsApart(c.p.edge) {
			return v.said.has(markTender) && !v.said.has(markTotal|markSubtotal|markCoupon|markTax|markBalance) && v.said.unknown == 0
		}
	}
	return false
}

// item decides on what is left: a line of goods, its quantity line, or a price
// that is only told.
func (c *classifier) item(w *row) {
	switch {
	case c.at == inHead && (w.said.has(markDate|markTransaction) && w.said.unknown == 0 || !w.exact && w.said.has(markRegister) && w.said.unknown == 0 && !w.qty.ok && w.hasNumberBefore() || !w.exact && w.said.has(markDate)):
		w.kind = LineOther
	case w.qty.ok && w.qty.units == 0 && !w.hasName() && w.tail.from >= w.qty.to:
		// "2 for 5.00 = 5.00": a group's price and an amount.
		w.kind, w.part = LineQuantity, partAdd
		if w.tail.cents == w.qty.price {
			w.qty.units, w.qty.unitsDec = int64(w.qty.per), 0
		}
	case w.qty.ok && w.qty.sure && w.qty.units > 0 && w.qty.hasPrice && !w.hasName() && !w.hasCode():
		w.kind, w.part = LineQuantity, partAdd // also "6 @ 1.69 each 10.14"
	case w.said.has(markPrice) && w.standsApart(c.p.edge) && w.isBare(), w.said.has(markPrice) && w.said.unknown == 0 && !w.said.has(markOwn), w.qty.ok && w.qty.units == 0 && !w.hasName():
		w.kind = LineOther
	case w.qty.ok && w.qty.sure && !w.hasName() && !w.hasCode():
		w.kind, w.part = LineQuantity, partAdd
	case c.guessTotal && (c.at == inSums || c.taxes > 0) && c.totals == 0 && (w.tail.cents >= c.subtotal || c.leadsToTender(w)):
		w.kind, w.part = LineTotal, partCheck
	default:
		w.kind, w.part = LineItem, partAdd
		if !w.exact && !w.hasName() && !w.hasCode() {
			w.informal = doubtBare
		}
	}
}
