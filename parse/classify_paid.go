package parse

import (
	"regexp"
	"slices"
	"strings"

	"tillproof/ocr"
)

// tenderRow decides on a line that names a way of paying: below the total, or
// below the subtotal of a receipt that prints no total.
func (c *classifier) tenderRow(w *row) bool {
	if c.at != inPaid && !(c.noTotal && c.at >= inBody && c.at < inFoot && w.said.unknown == 0) {
		return false
	}
	if w.said.has(markBalance|markCondition) || w.said.has(markTax) && !w.said.has(markOwn) {
		return false
	}
	if w.said.has(markCoupon) || w.said.has(markFee) && w.said.tender != tenderCard {
		return false
	}
	if w.tail.minus && (w.said.tender == tenderOther || w.said.unknown > 0 || w.said.has(markOff)) && c.total > 0 && c.tenders == 0 && (c.plainTender() || w.exact && c.totalBelow()) {
		return false // "Paid by the maker 3.65-", where what is paid has no minus
	}
	if c.repeats(w) {
		w.kind, w.informal = LineOther, doubtRepeat
		return true
	}
	due := c.total - c.tendered
	if c.totals == 0 {
		due = c.subtotal - c.tendered
	}
	if w.exact && w.said.has(markFuture|markReward) && w.said.tender != tenderCash && w.said.tender != tenderCard && due > 0 &&
		(w.tail.cents > due || w.tail.cents < due && (w.standsApart(c.p.edge) || w.urges())) {
		w.kind = c.footKind(w) // nobody pays more than is due by gift card: "GIFT CARDS SOLD HERE FROM 50.00"
		return true
	}
	if w.sure && c.paidBefore(w) && c.totals > 0 && !w.said.has(markTendered) ||
		!w.exact && c.totals > 0 && c.tenders > 0 && c.tendered >= c.total && (w.said.unknown > 0 || w.said.marks&^(markTender|markTendered) != 0) {
		w.kind = c.footKind(w) // all is paid, or more by a digit misread: "Gift cards sold here from 10.00"
		return true
	}
	c.takeTender(w, w.said.tender)
	return true
}

// plainTender reports whether a tender below is printed without a minus.
func (c *classifier) plainTender() bool {
	return slices.ContainsFunc(c.below(), func(v row) bool {
		return v.tail.ok && !v.tail.minus && v.tail.cents > 0 && v.said.tender != "" && v.said.unknown == 0
	})
}

// repeats reports whether a tender is told again, on the card's own slip: all
// is paid and the same amount was tendered above. This is the one place where
// amounts decide; a sum with such lines below it proves less (proof.go).
//
// On a photo one of the two, or the total, may have been misread by a digit.
func (c *classifier) repeats(w *row) bool {
	if c.tenders == 0 {
		return false
	}
	above := c.above()
	if c.tenders == 1 && !w.exact && c.totals > 0 && nearly(w.tail.cents, c.total) && nearly(c.tendered, c.total) && nearly(w.tail.cents, c.tendered) && !nearly(w.tail.cents+c.tendered, c.total) {
		return true
	}
	if c.tendered < c.total {
		return false
	}
	for i := range above {
		if v := &above[i]; v.part == partTender && v.tail.cents == w.tail.cents {
			return true
		}
	}
	return w.said.has(markSlip) && c.tendered == c.total
}

// takeTender makes w a tender. A minus is only how some tills print what is
// paid, but where goods were brought back.
func (c *classifier) takeTender(w *row, kind string) {
	if w.last4 = lastDigits(w.text); w.last4 != "" && (kind == "" || kind == tenderOther) {
		kind = tenderCard
	}
	if kind == "" {
		kind = tenderOther
	}
	w.kind, w.part, w.tender, w.cents = LineTender, partTender, kind, w.tail.cents
	if c.total < 0 {
		w.cents = -w.tail.cents
	}
	if w.said.has(markTendered) && c.tenders > 0 {
		above := c.above()
		for i := range above {
			if v := &above[i]; v.part == partTender {
				v.informal = doubtTendered
			}
		}
	}
}

// paidRow decides on a line below the total whose words say nothing: a card
// by its masked number or its amount, the total's.
func (c *classifier) paidRow(w *row) {
	switch {
	case w.exact && c.tenders == 0 && c.totals > 0 && c.changeBelow(w):
		c.takeTender(w, tenderCash)
	case c.tenders == 0 && c.totals > 0 && w.tail.cents == c.total && w.said.has(markSlip) && strings.Contains(strings.ToLower(w.text), "card"):
		c.takeTender(w, tenderCard) // "Card ending 1234 33.02": nothing else says what was paid with
	case c.tenders == 0 && c.totals > 0 && w.tail.cents == c.total && !c.tenderBelow() && !c.cutBelow() && !w.said.has(markTax|markTaxInfo|markFee|markMessage|markBalance):
		c.takeTender(w, tenderOther)
	case c.endsLikeTotal(w):
		c.takeTender(w, tenderOther)
	case c.restPaid(w):
		c.takeTender(w, tenderCard)
	case c.partPaid(w):
		kind := tenderOther
		if slices.Contains(foldWords(w.text, nil), fold("gift")) {
			kind = tenderGiftCard
		}
		c.takeTender(w, kind)
	case w.said.has(markSlip | markMessage | markCondition | markBalance | markSummary | markTip | markSuggested | markCount):
		w.kind = LineOther
	case c.tenders == 0 && lastDigits(w.text) != "":
		c.takeTender(w, tenderCard)
	default:
		w.kind = LineOther
	}
}

// cutBelow reports whether below a photo's line a coupon's word and an amount with a minus
// stand, before a line that tells of change or of the card's slip: the sums go on there.
func (c *classifier) cutBelow() bool {
	below := c.below()
	for i := range below {
		switch v := &below[i]; {
		case v.exact || v.said.has(markChange|markSlip):
			return false
		case v.tail.ok && v.tail.minus && v.said.has(markCoupon|markOff) && !v.said.has(markSaved|markYouSaved):
			return true
		}
	}
	return false
}

// urges reports whether the line says what is to be done for a reward.
func (w *row) urges() bool {
	return slices.ContainsFunc(w.words, func(word ocr.Word) bool {
		return slices.Contains([]string{"NEXT", "EARN", "SPEND", "COLLECT", "WHEN"}, strings.ToUpper(word.Text))
	})
}

// changeBelow reports whether w is more than the total and the next amount is what it is
// more: what was handed over, whatever it is called.
func (c *classifier) changeBelow(w *row) bool {
	below := c.below()
	next := slices.IndexFunc(below, func(v row) bool { return v.tail.ok })
	return next >= 0 && w.tail.cents > c.total && c.total > 0 && below[next].tail.cents == w.tail.cents-c.total && !w.said.has(markCoupon|markSaved|markTax|markBalance)
}

// leavesChange reports whether a photo's line below the tenders has just what was paid too much.
func (c *classifier) leavesChange(w *row) bool {
	return !w.exact && c.at == inPaid && c.tenders > 0 && !c.changed && c.total > 0 && c.tendered > c.total && w.tail.cents == c.tendered-c.total
}

// restPaid reports whether w, a line about a card, is what is left to pay below
// another tender: "Card ending 1234 48.99" below a store credit of 5.00.
func (c *classifier) restPaid(w *row) bool {
	return c.tenders > 0 && c.totals > 0 && c.tendered < c.total && w.tail.cents == c.total-c.tendered &&
		w.said.has(markSlip) && strings.Contains(strings.ToLower(w.text), "card") && !w.said.has(markBalance|markSummary)
}

// partPaid reports whether w, a line whose words say nothing, is a part of what
// was paid: with the tenders on the next lines with an amount, less the change
// below them, it makes the total.
func (c *classifier) partPaid(w *row) bool {
	if c.tenders > 0 || c.totals == 0 || w.tail.cents <= 0 || w.tail.cents >= c.total || w.said.has(markTax|markTaxInfo|markFee|markBalance|markSaved|markCoupon) {
		return false
	}
	paid, tenders := w.tail.cents, 0
	for i := c.i + 1; i < len(c.p.rows); i++ {
		switch v := &c.p.rows[i]; {
		case !v.tail.ok:
			continue
		case v.said.tender != "" && paid < c.total:
			paid += v.tail.cents
			tenders++
			if paid == c.total {
				return true
			}
		case v.said.has(markChange) && tenders > 0:
			return paid-v.tail.cents == c.total
		default:
			return false
		}
	}
	return false
}

// lastDigits returns the digits at the end of a masked card number in s, at
// most four: "****1234", "XXXXXXXXXXXX1234". "" where there is none.
func lastDigits(s string) string {
	for i := 0; i < len(s); i++ {
		n := i
		for n < len(s) && (s[n] == '*' || s[n] == 'X' || s[n] == 'x' || s[n] == '#' || s[n] == '.') {
			n++
		}
		if n-i < 3 {
			i = max(i, n-1)
			continue
		}
		m := n
		for m < len(s) && (s[m] == ' ' || s[m] == '-' || s[m] == '*' || s[m] == 'X') && m-n < 12 {
			m++
		}
		from := m
		for m < len(s) && digit(s[m]) {
			m++
		}
		if m-from >= 2 && (m == len(s) || s[m] != '.') {
			return s[max(from, m-4):m]
		}
		i = n
	}
	return ""
}

// isCredit reports whether a line says that a reward was given: it was earned,
// issued or awarded, or stands below the tenders and names a reward.
func (c *classifier) isCredit(w *row, earning bool) bool {
	s := &w.said
	if s.has(markCondition|markBalance) && !s.has(markOwn) || s.has(markExpires) && !s.has(markOwn) && !earning {
		return false
	}
	valued := w.tail.ok || w.anyAmount() >= 0 || w.pointsNamed() > 0
	if !valued || w.tail.ok && w.tail.minus {
		return false
	}
	switch {
	case s.has(markEarned) && s.has(markReward|markPoints|markCoupon):
		return true
	case earning && c.at >= inPaid && w.tail.ok && (s.unknown == 0 || formCountsAs.MatchString(w.text)) && !s.has(markSubtotal|markTax|markTender|markChange|markCount|markSaved):
		return true // "You have received a gift card", and below it "Value 5.00"
	case s.has(markEarned):
		return c.at != inBody || s.unknown <= 2
	case s.has(markReward) && earning:
		return true
	case s.has(markReward) && (c.at == inFoot || c.paidBefore(w)):
		return !s.has(markFuture | markTotal)
	case s.has(markReward) && s.has(markOwn):
		return c.at != inPaid && c.at != inFoot || !s.has(markTender) || s.tender == ""
	}
	return false
}

// formCountsAs begins the line that says what points are worth.
var formCountsAs = regexp.MustCompile(`(?i)^\s*(counts as|equals|equal to|worth|good for|= )`)

// leadsAmount reports whether the line begins with an amount, in a text or read for sure.
func (w *row) leadsAmount() bool {
	at := 0
	for at < len(w.lx) && isCurrency(w.lx, at) {
		at++
	}
	return at < len(w.lx) && w.lx[at].isAmount() && (w.exact || w.sureOfNumbers())
}

// hangs reports whether the sentence of row i goes on in the next line with what something is
// worth: "you receive a gift card of".
func (p *parser) hangs(i int) bool {
	if i < 0 || len(p.rows[i].lx) == 0 {
		return false
	}
	last := strings.ToUpper(p.rows[i].lx[len(p.rows[i].lx)-1].text)
	return last == "OF" || last == "WORTH"
}

// paidBefore reports whether all was paid above w, so that w is no tender.
func (c *classifier) paidBefore(w *row) bool {
	return c.at == inPaid && c.tenders > 0 && c.total > 0 && c.tendered >= c.total && !c.repeats(w)
}

// credit takes what a reward is worth.
func (c *classifier) credit(w *row) {
	w.kind = LineCredit
	w.points = w.pointsNamed()
	w.has = w.tail.ok && !(w.points > 0 && w.lx[w.tail.at].digits == int64(w.points))
	if !w.tail.ok {
		if cents := w.anyAmount(); cents >= 0 {
			w.cents, w.has = cents, true
		}
	}
	w.cents = max(w.cents, -w.cents)
}

// isCount reports whether a line tells how many items were sold. Among the
// items "QTY 3" is the quantity of one.
func (c *classifier) isCount(w *row) bool {
	s := &w.said
	if !s.has(markCount) || s.unknown > 0 || c.at == inHead || s.has(markTax|markTaxInfo|markSubtotal|markCoupon|markSaved|markTender) {
		return false
	}
	if w.tail.ok {
		return s.has(markTotalQty)
	}
	if c.at == inBody && s.has(markQuantity) && !s.has(markTotal) {
		return false
	}
	return w.wholeNumber() >= 0
}

// count takes the number of items.
func (c *classifier) count(w *row) {
	w.kind = LineOther
	if n := w.wholeNumber(); c.p.r.ItemCount == nil && n >= 0 && n < 10000 {
		c.p.r.ItemCount = &n
		c.p.countRow = w
	}
}

// takeAtWord drops what a line among the goods may say only if a word of it was
// misread, where it may as well be the name of one: a brand may be a letter or two
// from a word of tills.
func (c *classifier) takeAtWord(w *row) {
	if w.exact || c.at != inBody || w.said.marks == 0 || w.said.unknown < 2 {
		return
	}
	if plain := mark(foldWords(w.spoken(), nil), c.p.own, nil); plain.marks == 0 {
		w.said = plain
	}
}

// damagedRow decides on a line whose amount cannot be read: it is what its
// words say, without an amount.
func (c *classifier) damagedRow(w *row, voiding bool) {
	s := &w.said
	w.proof = Doubtful
	switch {
	case c.at == inPaid && s.has(markTender):
		w.kind = LineTender
	case c.at == inPaid && !s.has(markTotal|markCoupon):
		w.proof = ""
	case s.has(markSubtotal):
		w.kind, w.part = LineSubtotal, partCheck
	case s.has(markTax):
		w.kind, w.part = LineTax, partAdd
	case s.has(markTotal) && c.fits(w):
		w.kind, w.part = LineTotal, partCheck
	case s.has(markVoid) || voiding:
		w.kind, w.part = LineVoid, partAdd
	case s.has(markCoupon):
		w.kind, w.part = LineDeduction, partAdd
	case c.at <= inBody:
		w.kind, w.part = LineItem, partAdd
	}
}

// footKind is what a line with an amount below the tenders is: a message where
// it tells of savings, offers or rewards, else nothing.
func (c *classifier) footKind(w *row) LineKind {
	if w.said.has(markReward|markCoupon|markSaved|markFuture|markMessage|markEarned|markCondition|markOff) && !w.said.has(markSlip) {
		return LineMessage
	}
	return LineOther
}
