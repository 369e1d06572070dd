package parse

import "slices"

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
	i  int // the row it has come to
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
		if !p.exact {
			p.lastSubtotal()
		}
	}
	p.onlyAddition()
	p.leadingQuantities()
	for i := range p.rows {
		p.rows[i].takeName()
	}
}

// onlyAddition takes the one line of a text that is added between subtotal and total
// and has no known word for the tax, where no line is called so.
func (p *parser) onlyAddition() {
	found := -1
	for i := range p.rows {
		switch w := &p.rows[i]; {
		case w.kind == LineTax, !w.exact:
			return
		case w.kind == LineFee && w.said.marks == 0 && w.cents > 0:
			if found >= 0 {
				return
			}
			found = i
		}
	}
	if found >= 0 {
		p.rows[found].kind = LineTax
	}
}

// lastSubtotal makes the subtotal that the tenders follow the total, where no
// line of a photo says total: it was misread, or the till prints it so.
func (p *parser) lastSubtotal() {
	last := -1
	for i := range p.rows {
		switch w := &p.rows[i]; {
		case w.kind == LineTotal && w.part == partCheck:
			return
		case w.part == partTender && last >= 0:
			p.rows[last].kind = LineTotal
			return
		case w.kind == LineSubtotal && w.part == partCheck:
			last = i
		case w.part == partAdd:
			last = -1
		}
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
		c.i = i
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
			c.bareRow(w, earning)
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
	case w.said.unknown == 0, c.at == inSums && w.said.unknown == 1 && w.said.has(markTax) && w.hasPercent():
		return true
	case !w.exact && c.at >= inSums:
		return w.said.unknown <= 2
	case !w.exact && !w.isBare():
		return false // a brand that reads like a tax: "OST BIN BAGS 4.99 T"
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
	if !w.exact && w.tail.minus && s.has(markSubtotal|markTotal) && !s.has(markCoupon|markSaved|markOff|markVoid|markRefund) && s.unknown == 0 && c.running() > 0 {
		w.tail.minus, w.cents = false, w.tail.cents // what goods come to is more than nothing: a speck
	}
	switch {
	case c.isCredit(w, earning) && !c.givesBack(w):
		c.credit(w)
	case !voiding && c.lostMinus(w):
		w.kind, w.part, w.cents, w.informal = LineDeduction, partAdd, -w.tail.cents, doubtUnsigned
	case c.leavesTotal(w):
		w.kind, w.part = LineSubtotal, partCheck
	case c.isTold(w) && !(voiding && c.namesDeduction(w)) && !c.givesBack(w):
		w.kind = LineMessage
	case c.isSuggested(w):
		w.kind = LineOther
	case c.isCount(w):
		c.count(w)
	case s.has(markChange) && c.at >= inPaid && !c.changed && c.tenders > 0 && c.fits(w) && (!w.exact || s.unknown == 0 || c.tendered != c.total):
		w.kind, w.part, w.cents = LineChange, partChange, w.tail.cents
	case s.marks == markFuture && len(w.words) == 2 && c.leavesChange(w):
		w.kind, w.part, w.cents = LineChange, partChange, w.tail.cents // "Chance 10.96"
	case s.has(markVoid) || voiding || c.takesBack(w) || c.givesBack(w) || c.undoes(w):
		c.void(w)
	case c.at == inPaid && c.tenders == 0 && w.sure && s.has(markPrice) && s.unknown == 0 && !w.tail.minus && w.tail.cents == c.running() && w.tail.cents != c.total:
		w.kind, w.part = LineTotal, partCheck // "YOU PAY", after coupons below the total
	case c.sumRow(w):
	case s.has(markTender) && c.tenderRow(w):
	case c.at == inFoot:
		w.kind = c.footKind(w)
	case c.sumByAmount(w):
	case c.atRate(w):
		c.tax(w)
	case c.deduction(w):
	case c.at >= inSums && w.tellsFor():
		w.kind = LineOther
	case c.addition(w):
	case s.marks == 0 && c.leavesChange(w):
		w.kind, w.part, w.cents = LineChange, partChange, w.tail.cents // its word was misread
	case c.at == inPaid:
		c.paidRow(w)
	case c.at == inBody && s.tender == tenderCash && s.marks == markTender && s.unknown == 0 && c.totalBelow():
		// what was handed over, told when the bill was printed: no goods are called CASH
	default:
		c.item(w)
	}
}

// above and below are the rows above and below the one it has come to.
func (c *classifier) above() []row { return c.p.rows[:c.i] }

func (c *classifier) below() []row { return c.p.rows[c.i+1:] }

// morePaid reports whether a tender with an amount follows before the foot.
func (c *classifier) morePaid() bool {
	below := c.below()
	for i := range below {
		v := &below[i]
		switch {
		case !v.tail.ok:
		case v.said.has(markChange | markMessage | markSummary | markEarned | markSlip | markTotal):
			return false
		case v.said.has(markTender):
			return true
		}
	}
	return false
}

// taxBelow reports whether a tax follows before the next total.
func (c *classifier) taxBelow() bool {
	below := c.below()
	for i := range below {
		v := &below[i]
		switch {
		case !v.tail.ok:
		case v.said.has(markTax) && !v.said.has(markTaxInfo|markIncluded):
			return true
		case v.said.has(markTotal | markTender):
			return false
		}
	}
	return false
}

// totalBelow reports whether another total follows before the tenders, so that
// an amount above it is in it.
func (c *classifier) totalBelow() bool {
	below := c.below()
	for i := range below {
		v := &below[i]
		switch {
		case !v.tail.ok, v.exact && v.tail.minus:
		case v.said.has(markTender | markSummary):
			return false
		case v.said.has(markTotal) && !v.said.has(markSaved|markCount):
			return true
		}
	}
	return false
}

// tenderBelow reports whether a line below names a way of paying. Below the
// number of items, the savings or a greeting a smaller amount than the total is
// the worth of something: "Points worth of 3.00 are waiting".
func (c *classifier) tenderBelow() bool {
	below, foot := c.below(), false
	for i := range below {
		v := &below[i]
		foot = foot || v.said.has(markCount|markYouSaved|markMessage)
		if v.exact && (v.said.has(markFuture|markCondition) || v.standsApart(c.p.edge) && v.tail.cents < c.total) {
			continue
		}
		if v.tail.ok && v.said.has(markTender) && (!foot || v.tail.cents >= c.total || v.paysPlainly(c.p.edge)) {
			return true
		}
	}
	return false
}

// paysPlainly reports whether a line of a text says card or cash and nothing else, in the
// column of the amounts.
func (w *row) paysPlainly(edge int32) bool {
	return w.exact && edge > 0 && w.said.unknown == 0 && (w.said.tender == tenderCard || w.said.tender == tenderCash) && !w.standsApart(edge) &&
		!w.said.has(markSlip|markEarned|markReward|markSaved|markCoupon|markBalance)
}

// running is what the sum has come to above the line.
func (c *classifier) running() (sum int64) {
	above := c.above()
	for i := range above {
		switch u := &above[i]; u.part {
		case partAdd:
			sum += u.cents
		case partCheck:
			sum = u.cents
		}
	}
	return sum
}

// leadsToTender reports whether w, a line of a photo between subtotal and
// tenders whose words say nothing, is a total whose words were misread: the next
// amount is a tender's, and is the same as w's or what the sum has come to.
func (c *classifier) leadsToTender(w *row) bool {
	running, below := c.running(), c.below()
	next := slices.IndexFunc(below, func(v row) bool { return v.tail.ok })
	if next < 0 || !below[next].said.has(markTender) {
		return false
	}
	paid := below[next].tail.cents
	return paid == w.tail.cents || paid == running
}
