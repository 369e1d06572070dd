package parse

import "slices"

// bareRow decides on a line without an amount at its end.
func (c *classifier) bareRow(w *row, earning bool) {
	c.takeAtWord(w)
	s := &w.said
	switch {
	case c.isCredit(w, earning && (w.exact || w.sureOfNumbers()) && s.has(markReward)),
		earning && c.at >= inPaid && w.leadsAmount() && c.p.hangs(c.p.rowNumber(w)-2):
		c.credit(w)
	case w.qty.ok && w.qty.sure && w.qty.hasPrice && c.at <= inBody && (!w.hasName() || c.weighsAbove(w)):
		w.kind = LineQuantity
	case c.isCount(w):
		c.count(w)
	case earning && c.at >= inPaid && len(w.lx) == 1 && w.lx[0].isWhole():
		w.kind, c.earning = LineOther, true // the points, and below them what they are worth
	case s.has(markVoid) && s.unknown == 0 && (c.at == inBody || c.at == inSums || c.at == inPaid && c.tenders == 0):
		c.voiding = true
	case w.qty.ok && w.qty.sure && c.at <= inBody && !w.hasName():
		w.kind = LineQuantity
	case s.has(markEarned) && !s.has(markCondition), (w.exact || w.anyAmount() < 0) && earning && c.at >= inPaid && s.has(markReward) && s.unknown == 0 && !s.has(markBalance|markFuture|markCondition):
		w.kind, c.earning = LineMessage, true // also "Gift card ...0549" between what was earned and its value
	case w.exact && c.tenders > 0 && s.has(markReward) && !s.has(markBalance|markFuture|markCondition) && !w.hasNumber() && (s.unknown == 0 && c.i > 0 && c.p.rows[c.i-1].isRule() || s.unknown <= 1 && c.aloneNext()):
		w.kind, c.earning = LineMessage, true // a coupon to cut off: a rule, "GIFT CARD", and below it "AMOUNT 4.50"
	case s.has(markMessage|markReward|markCondition|markYouSaved) && !s.has(markTender|markSlip) || s.has(markFuture|markCondition) && c.at == inFoot:
		w.kind = LineMessage
	case c.at == inFoot && s.marks == 0 && s.unknown >= 2:
		w.kind = LineMessage
	case c.at == inPaid && c.tenders > 0 && s.has(markTender):
		c.lastTender(w)
	case c.at == inPaid && c.tenders > 0:
		c.lastTender(w)
	}
	if w.kind == LineMessage {
		if cents := w.anyAmount(); cents >= 0 {
			w.cents, w.has = cents, true
		}
		w.points = w.pointsNamed()
	}
}

// weighsAbove reports whether w, a line of a text, says in words of its own the weight and price
// of the goods right above it: "on our scale: 0.49 kg, 1 kg = 2.09".
func (c *classifier) weighsAbove(w *row) bool {
	above := c.above()
	cents, ok := w.qty.extension()
	if !w.exact || !ok || w.qty.unit == "" || len(above) == 0 {
		return false
	}
	goods := &above[len(above)-1]
	return goods.kind == LineItem && goods.has && !goods.qty.ok && goods.cents == cents
}

// aloneNext reports whether the next line is an amount and nothing else.
func (c *classifier) aloneNext() bool {
	below := c.below()
	return len(below) > 0 && below[0].tail.ok && !below[0].tail.minus && below[0].tail.from == 0 && below[0].tail.flags == ""
}

// isRule reports whether the line is a printed rule: signs and no word.
func (w *row) isRule() bool {
	return len(w.lx) > 0 && !slices.ContainsFunc(w.lx, func(l lexeme) bool { return l.kind != lexSign })
}

// lastTender gives the card number on a line of its own to the tender above.
func (c *classifier) lastTender(w *row) {
	digits := lastDigits(w.text)
	if digits == "" {
		return
	}
	for i := c.i - 1; i >= 0; i-- {
		if v := &c.p.rows[i]; v.part == partTender && v.last4 == "" && (v.tender == tenderCard || v.tender == tenderOther || v.tender == tenderGiftCard) {
			v.last4 = digits
			if v.tender == tenderOther {
				v.tender = tenderCard
			}
			return
		}
	}
}
