package parse

import "slices"

// sumRow decides on subtotals, totals, taxes and what is told about them.
func (c *classifier) sumRow(w *row) bool {
	s := &w.said
	if c.toCoin(w) {
		w.part, w.informal = partAdd, doubtRounding
		return true
	}
	if !s.has(markSubtotal|markTotal|markTax|markNet|markTaxInfo|markBalance|markRounding) || !c.fits(w) {
		return false
	}
	if w.exact && c.at <= inBody && (s.unknown > 0 && (w.hasCode() || w.qty.ok && w.qty.sure) || w.multiplies()) {
		return false // goods: a brand cut short, or a flag, may be the word for a tax
	}
	if w.exact && c.at == inSums && s.has(markSubtotal) && !s.has(markTax) && w.isRate() {
		return false // "8.875% ON TAXED GOODS"
	}
	if s.has(markNetTotal) && (s.unknown > 0 || w.tail.minus && !c.refund) {
		return false
	}
	if w.tail.minus && !c.refund && (s.has(markCoupon|markOff|markSaved) || s.has(markTax) && s.unknown > 0) {
		return false // a brand may be a letter from GST
	}
	switch {
	case s.has(markBalance):
		w.kind = c.footKind(w)
	case s.has(markTaxInfo) && s.has(markTax) && c.at == inSums && w.namesMore():
		c.tax(w) // "TAXABLE 14.78 TAX 1.03"
	case s.has(markTaxInfo) && !s.has(markIncluded):
		w.kind = LineOther
	case s.has(markRounding) && !s.has(markTotal) && w.tail.cents < 100 && c.at >= inBody && c.at <= inPaid && c.tenders == 0:
		w.part, w.informal = partAdd, doubtRounding
	case s.has(markRounding) && c.at == inPaid && c.tenders == 0:
		// More than a unit is no rounding, but the total after it.
		c.totalRow(w)
	case s.has(markNet) && c.at <= inPaid:
		w.kind, w.informal = LineSubtotal, doubtNet
		if c.at < inPaid && c.taxBelow() {
			w.part = partCheck
		}
	case s.has(markSubtotal) && c.at <= inSums:
		w.kind, w.part = LineSubtotal, partCheck
		if c.dayFirst && c.taxBelow() {
			w.informal = doubtNet
		}
	case s.has(markTax) && s.first&markTax != 0 && s.has(markIncluded):
		c.tax(w)
	case s.has(markTax) && (!s.has(markTotal) || s.first&markTax != 0 && s.first&markTotal != 0):
		c.tax(w)
	case s.has(markTotal) && s.has(markNetTotal) && c.at <= inBody && c.taxBelow():
		w.kind, w.part = LineSubtotal, partCheck
	case s.has(markTotal) && c.at == inPaid && s.first&markTender != 0 && s.tender != "" && !c.totalBelow():
		return false // "CARD TOTAL 33.02" below the total is what was paid
	case s.has(markTotal):
		c.totalRow(w)
	case s.has(markRounding) || s.has(markSubtotal) && c.at > inSums:
		w.kind = LineOther
	default:
		return false
	}
	return true
}

// coin is the smallest coin that tills round cash to.
const coin = 5

// toCoin reports whether w, right below a sum of a text or its taxes, leads to the next coin, whatever it is
// called, and the amount below it is that sum rounded so: "TL 34.87, ADJ 5C -0.02, TAKE 34.85".
func (c *classifier) toCoin(w *row) bool {
	sum := c.running()
	if !w.exact || c.at < inSums || c.at > inPaid || c.tenders > 0 || sum <= 0 || sum%coin == 0 || w.tail.cents <= 0 || w.tail.cents >= coin || w.said.has(markCoupon|markOff|markSaved|markTax|markTender) {
		return false
	}
	above := c.above()
	for i := len(above) - 1; i >= 0 && above[i].part != partCheck; i-- {
		if above[i].has && above[i].kind != LineTax {
			return false
		}
	}
	for _, v := range c.below() {
		if v.tail.ok {
			return v.tail.cents%coin == 0 && (v.tail.cents == sum-w.tail.cents || !w.tail.minus && v.tail.cents == sum+w.tail.cents)
		}
	}
	return false
}

// multiplies reports whether the line has units and a price that come to its amount.
func (w *row) multiplies() bool {
	cents, ok := w.qty.extension()
	return ok && w.qty.sure && w.tail.ok && cents == w.tail.cents && !w.hasPercent()
}

// namesMore reports whether the line names a larger amount before its own.
func (w *row) namesMore() bool {
	for i := range w.lx[:w.tail.from] {
		if l := &w.lx[i]; l.isAmount() && l.digits > w.tail.cents {
			return true
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
	case c.tenders > 0 && (w.tail.cents == 0 || !c.morePaid() || w.sure && c.tendered >= c.total):
		// What is left to pay, or a line of the card's own slip.
		w.kind = LineOther
	default:
		w.kind, w.part = LineTotal, partCheck
	}
}

// sumByAmount decides on a line of a text that its amount says to be of the sums: one
// that names an amount and a rate, and whose own is just that share, is a tax; one with
// a word of coupons and no minus that is all the sum has come to is told before them.
func (c *classifier) sumByAmount(w *row) bool {
	if w.tail.minus || c.tenders > 0 || w.tail.cents == 0 {
		return false
	}
	if c.sumsUp(w) {
		w.kind, w.part = LineSubtotal, partCheck
		return true
	}
	if !w.exact && c.at == inSums && c.taxes == 0 && w.isShare() && !w.said.has(markCoupon|markOff|markSaved|markTip|markSuggested) {
		c.tax(w) // three numbers agree, whatever its word was read as
		return true
	}
	if !w.sure {
		return c.mayState(w)
	}
	switch {
	case c.at == inSums && w.said.has(markTax) && !w.said.has(markTaxInfo|markCoupon|markOff|markSaved|markTotal) && w.said.unknown < 3 && w.isBare() && w.tail.cents*100 < c.running()*30 && c.taxes == 0:
		c.tax(w) // "Pellbrook tax"
	case c.at == inSums && w.isRate() && !w.said.has(markCoupon|markOff|markSaved|markTip|markSuggested|markTotal|markCount) && w.tail.cents*100 < c.running()*30:
		c.tax(w)
	case c.at >= inSums && c.at <= inPaid && w.isShare() && !w.said.has(markCoupon|markOff|markSaved|markTip|markSuggested) && (c.at == inSums || c.totalBelow()):
		c.tax(w)
	case c.at >= inBody && w.said.has(markCoupon|markSaved|markAfter) && w.isBare() && w.tail.cents == c.running() && !c.p.likeAbove(c.i):
		w.kind, w.part = LineSubtotal, partCheck
	default:
		return !w.exact && c.mayState(w)
	}
	return true
}

// sumsUp reports whether a line of a photo has just what three lines or more above it come
// to, and nothing that goods have: a subtotal, its word misread.
func (c *classifier) sumsUp(w *row) bool {
	if w.exact || c.at != inBody || w.said.has(markCoupon|markOff|markSaved|markTax|markTender|markVoid|markFee) || !w.isBare() || !w.hasName() || hasNumberIn(w.lx[:w.tail.from]) || w.tail.cents != c.running() || c.p.likeAbove(c.i) || c.p.saidOfGoods(c.i) {
		return false
	}
	adds := 0
	for _, w := range c.above() {
		if w.part == partAdd {
			adds++
		}
	}
	return adds >= 3
}

// leavesTotal reports whether a line of a photo, with the taxes right below it, comes to
// the total that follows them: "NET OF COUPONS 53.90", "TAX 0.38", "TOTAL 54.28".
func (c *classifier) leavesTotal(w *row) bool {
	if w.exact || c.at < inBody || c.at > inSums || c.running() <= 0 || w.tail.minus || w.said.has(markTax|markTender|markVoid|markFee|markYouSaved) || !w.isBare() || hasNumberIn(w.lx[:w.tail.from]) || c.p.likeAbove(c.i) {
		return false
	}
	sum, taxes := w.tail.cents, int64(0)
	below := c.below()
	for i := range below {
		switch v := &below[i]; {
		case !v.tail.ok:
		case v.said.has(markTax) && !v.said.has(markTotal|markIncluded) && !v.tail.minus:
			taxes += v.tail.cents
		default:
			return taxes > 0 && v.said.has(markTotal) && sum+taxes == v.tail.cents
		}
	}
	return false
}

// saidOfGoods reports whether the words of row i stand again below further goods, with another
// amount: what is left to pay for each of them.
func (p *parser) saidOfGoods(i int) bool {
	words, goods := fold(p.rows[i].beforeAmount()), false
	for k := i + 1; k < len(p.rows); k++ {
		switch w := &p.rows[k]; {
		case !w.tail.ok || w.tail.minus:
		case fold(w.beforeAmount()) != words:
			goods = true
		case goods && w.tail.cents != p.rows[i].tail.cents:
			return true
		}
	}
	return false
}

// mayState takes a line of a photo with a word of coupons and no minus for what the sum
// has come to, where a reading of it is just that: "Less coupons ... $8.67" for 58.67.
func (c *classifier) mayState(w *row) bool {
	if c.at != inSums || !w.said.has(markCoupon|markSaved|markAfter) || w.said.unknown > 0 || !w.isBare() || c.p.likeAbove(c.i) {
		return false
	}
	run := c.running()
	if !slices.ContainsFunc(w.candidates(c.p), func(v candidate) bool { return v.cents == run && !v.guess }) {
		return false
	}
	w.kind, w.part = LineSubtotal, partCheck
	return true
}

// isRate reports whether the line names a rate and no other number: "6.25% ON GOODS".
func (w *row) isRate() bool {
	rate := -1
	for i := range w.lx[:w.tail.from] {
		switch {
		case w.lx[i].kind != lexNumber:
		case rate >= 0 || i+1 >= w.tail.from || !w.lx[i+1].isSign('%'):
			return false
		default:
			rate = i
		}
	}
	return rate >= 0
}

// atRate reports whether a line of a photo whose word was misread charges a rate and stands
// where a tax does: right above the total, with an @ before its rate or the goods' sum above.
func (c *classifier) atRate(w *row) bool {
	end := w.tail.from
	if w.exact || !w.tail.ok || w.tail.minus || w.tail.cents == 0 || w.said.marks != 0 || c.at > inSums || c.tenders > 0 || w.hasCode() ||
		end < 3 || !w.lx[end-1].isSign('%') || w.lx[end-2].kind != lexNumber || !c.totalNext() {
		return false
	}
	above := c.i > 0 && c.p.rows[c.i-1].said.has(markSubtotal)
	return above || w.lx[end-3].isSign('@')
}

// totalNext reports whether the next line that shows an amount says that it is the total.
func (c *classifier) totalNext() bool {
	below := c.below()
	for i := range below {
		if v := &below[i]; v.tail.ok {
			return v.said.has(markTotal) && !v.said.has(markSubtotal|markTax)
		}
	}
	return false
}

// isShare reports whether the line names a larger amount and a rate, and its own amount
// is that share of it.
func (w *row) isShare() bool {
	for i := range w.lx[:w.tail.from] {
		rate := &w.lx[i]
		if rate.kind != lexNumber || rate.dec < -1 || i+1 >= w.tail.from || !w.lx[i+1].isSign('%') {
			continue
		}
		per := int64(100)
		for range max(rate.dec, 0) {
			per *= 10
		}
		for k := range w.lx[:w.tail.from] {
			if base := &w.lx[k]; k != i && base.isAmount() && base.digits > w.tail.cents && base.digits <= largest {
				if d := base.digits*rate.digits - w.tail.cents*per; d < per && d > -per {
					return true
				}
			}
		}
	}
	return false
}

// refunding reports whether the receipt is one of goods brought back: a total
// with a minus, and no more above it without one; on a photo, where a speck may look like a
// minus and a minus may be lost, most totals have one, and not much fewer goods.
func (p *parser) refunding() bool {
	above, back, forth, minus, plain := int64(0), 0, 0, 0, 0
	for i := range p.rows {
		w := &p.rows[i]
		switch {
		case !w.tail.ok:
		case w.said.has(markTotal|markSubtotal) && !w.said.has(markSaved|markCoupon|markVoid|markAfter|markNetTotal|markOff) && w.said.unknown == 0:
			if !w.tail.minus {
				forth++
				continue
			}
			if p.exact {
				return above <= 0
			}
			back++
		case w.said.marks == 0:
			above += w.tail.signed()
			if w.tail.minus {
				minus++
			} else if w.tail.cents > 0 {
				plain++
			}
		}
	}
	return back > forth && 2*minus >= plain
}
