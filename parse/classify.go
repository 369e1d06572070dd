package parse

import "strings"

// place is the part of the receipt that a line stands in.
type place uint8

const (
	inHead place = iota // above the first item
	inBody              // items
	inSums              // below the first subtotal
	inPaid              // below the total: tenders
	inFoot              // below the change, or the first line that is no longer about paying
)

// classifier goes down the rows and decides what each is by its words, its
// form and its place. Amounts decide nothing but for a few lines about the
// card below the total: what a line is must not hang on a digit that may be
// misread, or a wrong digit could make itself right.
type classifier struct {
	p  *parser
	at place
	// relaxed allows for words beside TOTAL that are not known.
	relaxed bool
	// refund: goods were brought back, and a minus is no deduction.
	refund bool
	// dayFirst: of a country that writes dates so; prices there include the tax.
	dayFirst bool
	// inclusive: prices may include the tax, which is then only told.
	inclusive bool
	// noTotal: no line says total, so that the tenders follow the subtotal.
	noTotal bool
	// voiding: the line above says that the next is taken back; earning: that
	// the next is a reward.
	voiding, earning bool
	// guessTotal: on a photo without a line that says total, the amount below
	// the taxes is one.
	guessTotal      bool
	total, tendered int64
	subtotal        int64
	tenders, totals int
	taxes           int
	changed         bool
	suggesting      bool
}

func (p *parser) classify() {
	p.inherit()
	start := classifier{p: p, refund: p.refunding(), dayFirst: p.metric()}
	start.inclusive = start.dayFirst || p.saysIncluded()
	c := start
	c.run()
	if c.totals == 0 {
		start.relaxed = true
		c = start
		c.run()
	}
	if c.totals == 0 {
		c = start
		c.noTotal, c.guessTotal = true, !p.exact
		if p.isSlip() {
			c.at = inFoot
		}
		c.run()
	}
	p.leadingQuantities()
	for i := range p.rows {
		p.rows[i].takeName()
	}
}

// inherit gives the words of a line that has nothing else to the amount that
// stands alone below it: "SUBTOTAL", and in the next line "40.00".
func (p *parser) inherit() {
	const heads = markSubtotal | markTotal | markTax | markTender | markChange | markRounding
	for i := 1; i < len(p.rows); i++ {
		w, above := &p.rows[i], &p.rows[i-1]
		if w.tail.ok && !above.tail.ok && w.said.marks == 0 && w.said.unknown == 0 && !w.qty.ok && !w.hasName() && !w.hasCode() &&
			above.said.has(heads) && above.said.unknown == 0 && !above.said.has(markTaxInfo|markCount|markQuantity) && !above.hasNumber() {
			w.said = above.said
		}
	}
}

// saysIncluded reports whether any line says that something is included.
func (p *parser) saysIncluded() bool {
	for i := range p.rows {
		if p.rows[i].said.has(markIncluded) {
			return true
		}
	}
	return false
}

// isSlip reports whether the paper tells of a reward and of nothing that is
// paid: no item, no sum.
func (p *parser) isSlip() bool {
	rewards := false
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind == LineSubtotal || w.kind == LineTender || w.kind == LineItem && w.has && !w.said.has(markReward|markEarned) {
			return false
		}
		rewards = rewards || w.said.has(markReward|markEarned)
	}
	return rewards
}

func (c *classifier) run() {
	for i := range c.p.rows {
		w := &c.p.rows[i]
		w.kind, w.part, w.has, w.of, w.points, w.tender, w.last4, w.informal = LineOther, partNone, false, 0, 0, "", "", doubtNone
		w.proof = ""
		if w.unread {
			continue
		}
		voiding, earning := c.voiding, c.earning
		c.voiding, c.earning = false, false
		switch {
		case w.tail.ok:
			w.cents, w.has = w.tail.signed(), true
			c.amountRow(w, voiding, earning)
		case w.damaged && c.at < inFoot:
			c.damagedRow(w, voiding)
		default:
			c.bareRow(w)
		}
		c.move(w)
	}
}

// move finds the place of the next row.
func (c *classifier) move(w *row) {
	switch {
	case w.kind == LineTotal && w.part == partCheck:
		c.at = max(c.at, inPaid)
		c.totals++
		c.total = w.cents
	case w.kind == LineSubtotal && w.part == partCheck:
		c.at = max(c.at, inSums)
		c.subtotal = w.cents
	case w.part == partTender:
		c.at = max(c.at, inPaid)
		c.tenders++
		c.tendered += w.cents
	case w.part == partChange:
		c.changed = true
		c.at = inFoot
	case w.part == partAdd && c.at == inHead, w.kind == LineQuantity && c.at == inHead:
		c.at = inBody
	case c.tenders > 0 && c.at == inPaid && (w.said.has(markMessage|markEarned|markCount|markSummary) && !w.said.has(markTender) || w.kind == LineCredit):
		c.at = inFoot
	}
	if w.said.has(markSummary) && c.at == inPaid {
		c.at = inFoot
	}
	if w.said.has(markSuggested) {
		c.suggesting = true
	}
}

// fits reports whether a line may be what its words say although other words
// stand beside them: product names have such words too ("TOTAL CEREAL").
func (c *classifier) fits(w *row) bool {
	switch {
	case w.said.unknown == 0:
		return true
	case !w.exact && c.at >= inSums:
		return w.said.unknown <= 2
	case c.relaxed:
		return w.said.unknown <= 2 && (w.said.lead == 0 || !w.exact)
	case !w.exact || c.at >= inSums:
		return w.said.unknown <= 1 && w.said.lead == 0
	}
	return false
}

// amountRow decides what a line with an amount at its end is.
func (c *classifier) amountRow(w *row, voiding, earning bool) {
	s := &w.said
	switch {
	case c.isCredit(w, earning):
		c.credit(w)
	case c.isTold(w):
		w.kind = LineMessage
	case c.isSuggested(w):
		w.kind = LineOther
	case c.isCount(w):
		c.count(w)
	case s.has(markChange) && c.at >= inPaid && !c.changed && c.tenders > 0 && c.fits(w):
		w.kind, w.part, w.cents = LineChange, partChange, w.tail.cents
	case s.has(markVoid) || voiding || c.takesBack(w):
		c.void(w)
	case c.sumRow(w):
	case s.has(markTender) && c.tenderRow(w):
	case c.at == inFoot:
		w.kind = c.footKind(w)
	case c.deduction(w):
	case c.addition(w):
	case c.at == inPaid:
		c.paidRow(w)
	default:
		c.item(w)
	}
}

// sumRow decides on subtotals, totals, taxes and what is told about them.
func (c *classifier) sumRow(w *row) bool {
	s := &w.said
	if !s.has(markSubtotal|markTotal|markTax|markNet|markTaxInfo|markBalance|markRounding) || !c.fits(w) {
		return false
	}
	if w.tail.minus && !c.refund && s.has(markCoupon|markOff|markSaved) {
		return false
	}
	switch {
	case s.has(markBalance):
		w.kind = c.footKind(w)
	case s.has(markTaxInfo) && !s.has(markIncluded):
		w.kind = LineOther
	case s.has(markRounding) && !s.has(markTotal) && w.tail.cents < 100 && c.at >= inBody && c.at <= inPaid && c.tenders == 0:
		w.part, w.informal = partAdd, doubtRounding
	case s.has(markRounding) && c.at == inPaid && c.tenders == 0:
		// More than a unit is no rounding, but the total after it.
		c.totalRow(w)
	case s.has(markNet) && c.at <= inPaid:
		w.kind, w.informal = LineSubtotal, doubtNet
		if c.at < inPaid && c.taxBelow(w) {
			w.part = partCheck
		}
	case s.has(markSubtotal) && c.at <= inSums:
		w.kind, w.part = LineSubtotal, partCheck
		if c.dayFirst && c.taxBelow(w) {
			w.informal = doubtNet
		}
	case s.has(markTax) && s.first&markTax != 0 && s.has(markIncluded):
		c.tax(w)
	case s.has(markTax) && (!s.has(markTotal) || s.first&markTax != 0 && s.first&markTotal != 0):
		c.tax(w)
	case s.has(markTotal) && s.has(markNetTotal) && c.at <= inBody && c.taxBelow(w):
		w.kind, w.part = LineSubtotal, partCheck
	case s.has(markTotal):
		c.totalRow(w)
	case s.has(markRounding) || s.has(markSubtotal) && c.at > inSums:
		w.kind = LineOther
	default:
		return false
	}
	return true
}

// taxBelow reports whether a tax follows w before the next total.
func (c *classifier) taxBelow(w *row) bool {
	below := false
	for i := range c.p.rows {
		v := &c.p.rows[i]
		switch {
		case v == w:
			below = true
		case !below || !v.tail.ok:
		case v.said.has(markTax) && !v.said.has(markTaxInfo|markIncluded):
			return true
		case v.said.has(markTotal | markTender):
			return false
		}
	}
	return false
}

// tax decides on a line of tax: it adds to the sum until the tenders, below
// them it only tells.
func (c *classifier) tax(w *row) {
	w.kind = LineTax
	switch {
	case c.at == inHead || c.at == inFoot || c.tenders > 0:
		w.kind = LineOther
	case w.said.has(markIncluded):
		w.informal = doubtIncluded
	case w.said.has(markTotal) && c.taxes > 0:
		// The sum of the taxes above, told once more.
	default:
		w.part = partAdd
		if c.inclusive {
			w.informal = doubtTax
		}
		c.taxes++
	}
}

// totalRow decides on a line that says total, balance or amount due.
func (c *classifier) totalRow(w *row) {
	switch {
	case c.at == inFoot:
		w.kind = c.footKind(w)
	case c.tenders > 0 && (w.tail.cents == 0 || !c.morePaid(w)):
		// What is left to pay, or a line of the card's own slip.
		w.kind = LineOther
	default:
		w.kind, w.part = LineTotal, partCheck
	}
}

// morePaid reports whether a tender with an amount follows w before the foot.
func (c *classifier) morePaid(w *row) bool {
	below := false
	for i := range c.p.rows {
		v := &c.p.rows[i]
		if v == w {
			below = true
			continue
		}
		if !below || !v.tail.ok {
			continue
		}
		if v.said.has(markChange|markMessage|markSummary|markEarned|markSlip) || v.said.has(markTotal) {
			return false
		}
		if v.said.has(markTender) {
			return true
		}
	}
	return false
}

// isTold reports whether a line only tells of savings, or is the sum of
// coupons told once more. A sale's saving with a minus among the items takes
// part in the sum, and is no such line.
func (c *classifier) isTold(w *row) bool {
	s := &w.said
	told := s.has(markSaved) || s.has(markTotal|markSubtotal) && s.has(markCoupon) && !s.has(markWeak)
	if !told || s.has(markAfter) {
		return false
	}
	if s.has(markTotal | markSubtotal) {
		return true
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
	return w.said.has(markSuggested) || (c.suggesting || w.said.has(markTip) || w.said.marks == 0) && w.hasPercent() && !c.totalBelow(w)
}

// takesBack reports whether a line names an item or deduction right above once
// more, behind a sign and the other way round: "-- CPN 40 1.45" under "CPN 40
// 1.45-". Of the amounts only the minus decides.
func (c *classifier) takesBack(w *row) bool {
	if len(w.lx) == 0 || w.lx[0].kind != lexSign || w.lx[0].sign == '$' || w.tail.from == 0 {
		return false
	}
	for i := range c.p.rows {
		if &c.p.rows[i] != w {
			continue
		}
		for j := i - 1; j >= max(0, i-4); j-- {
			above := &c.p.rows[j]
			if (above.kind == LineDeduction || above.kind == LineItem) && above.tail.minus != w.tail.minus && sameStart(w.beforeAmount(), above.beforeAmount()) {
				return true
			}
		}
	}
	return false
}

// namesDeduction reports whether a line has the whole name of a deduction above.
func (c *classifier) namesDeduction(w *row) bool {
	said := fold(w.beforeAmount())
	for i := range c.p.rows {
		v := &c.p.rows[i]
		if v == w {
			return false
		}
		if name := fold(v.beforeAmount()); v.kind == LineDeduction && len(name) >= 6 && strings.Contains(said, name[:min(len(name), 12)]) {
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
	if !w.tail.minus && !w.said.has(markCoupon|markOff) && !c.takesBack(w) && !c.namesDeduction(w) {
		w.cents, w.informal = -w.tail.cents, doubtVoid
	}
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

// refunding reports whether the receipt is one of goods brought back: a total
// with a minus.
func (p *parser) refunding() bool {
	for i := range p.rows {
		w := &p.rows[i]
		if w.said.has(markTotal|markSubtotal) && !w.said.has(markSaved|markCoupon|markVoid|markAfter) && w.said.unknown == 0 && w.tail.ok && w.tail.minus {
			return true
		}
	}
	return false
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
	case c.guessTotal && c.at == inSums && s.marks == 0 && w.tail.cents >= c.subtotal:
		return false
	case c.at == inSums && s.marks == 0 && (w.exact || w.hasName()):
		// Something between subtotal and total that has no known word: it is
		// charged, or the total will not come out.
	default:
		return false
	}
	if c.at == inPaid && !c.totalBelow(w) {
		return false
	}
	w.kind, w.part = LineFee, partAdd
	return true
}

// totalBelow reports whether another total follows w, so that an amount
// between the two is in it.
func (c *classifier) totalBelow(w *row) bool {
	below := false
	for i := range c.p.rows {
		v := &c.p.rows[i]
		if v == w {
			below = true
		} else if below && v.tail.ok {
			if v.said.has(markTender | markSummary) {
				return false
			}
			if v.said.has(markTotal) && !v.said.has(markSaved|markCount) {
				return true
			}
		}
	}
	return false
}

// item decides on what is left: a line of goods, its quantity line, or a price
// that is only told.
func (c *classifier) item(w *row) {
	switch {
	case c.at == inHead && (w.said.has(markDate|markTransaction) && w.said.unknown == 0 || !w.exact && w.said.has(markDate)):
		w.kind = LineOther
	case w.said.has(markPrice) && w.said.unknown == 0 && !w.said.has(markOwn), w.qty.ok && w.qty.units == 0 && !w.hasName():
		w.kind = LineOther
	case w.qty.ok && w.qty.sure && !w.hasName() && !w.hasCode():
		w.kind, w.part = LineQuantity, partAdd
	case c.guessTotal && c.at == inSums && c.totals == 0 && w.tail.cents >= c.subtotal:
		w.kind, w.part = LineTotal, partCheck
	default:
		w.kind, w.part = LineItem, partAdd
		if !w.exact && !w.hasName() && !w.hasCode() {
			w.informal = doubtBare
		}
	}
}
