package parse

// sumRow decides on subtotals, totals, taxes and what is told about them.
func (c *classifier) sumRow(w *row) bool {
	s := &w.said
	if !s.has(markSubtotal|markTotal|markTax|markNet|markTaxInfo|markBalance|markRounding) || !c.fits(w) {
		return false
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
	case c.tenders > 0 && (w.tail.cents == 0 || !c.morePaid() || w.exact && c.tendered >= c.total):
		// What is left to pay, or a line of the card's own slip.
		w.kind = LineOther
	default:
		w.kind, w.part = LineTotal, partCheck
	}
}
