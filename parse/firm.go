package parse

import (
	"slices"
	"strings"
)

// firmBody finds out what FirmBody reports.
func (p *parser) firmBody() bool {
	first, total, end, tenders := -1, -1, -1, 0 // end: the first tender, or the last row of the sums
	for i := range p.rows {
		w := &p.rows[i]
		if w.part == partNone {
			continue
		}
		if first < 0 && w.part == partAdd {
			if first = i; w.kind == LineItem && w.said.has(markSubtotal) {
				return false // a subtotal of goods that were not seen
			}
		}
		if w.kind == LineTotal && w.part == partCheck && w.has && tenders == 0 {
			total = i
		}
		if tenders == 0 {
			end = i
		}
		if w.part == partTender {
			tenders++
		}
	}
	if first < 0 || total < first || len(p.chain.segs) == 0 || p.open(&p.chain) > 0 {
		return false
	}
	if p.mendedBeside(first, total) || p.exact && p.cutLeftOut(first) || p.sumsGoOn(end) || p.cutWithoutAmount(first, total) || p.exact && (p.totalBelow(end) || p.unnamed(total, end)) {
		return false
	}
	for i := first; i < len(p.rows); i++ {
		w := &p.rows[i]
		if i > end && w.part == partNone {
			continue // below the first tender no coupon stands
		}
		if w.unread || w.damaged && w.proof == Doubtful || w.part != partNone && !w.proof.Firm() {
			return false
		}
	}
	return tenders > 0 || p.unpaid(total)
}

// cutLeftOut reports whether a line of a text with a minus is in no sum and told of nothing,
// although a plain way of paying stands below it: it was not understood. What all that came off
// above it makes is told again.
func (p *parser) cutLeftOut(first int) bool {
	last := len(p.rows) - 1
	for last > first && !(p.rows[last].tail.ok && p.rows[last].said.has(markTender|markChange) && p.rows[last].said.unknown == 0 && !p.rows[last].standsApart(p.edge)) {
		last--
	}
	block := int64(0) // what came off since the last sum
	for i := first; i < last; i++ {
		w := &p.rows[i]
		switch {
		case w.part == partCheck:
			block = 0
		case w.part == partAdd && w.kind == LineDeduction:
			block += w.cents
		case w.kind == LineOther && w.part == partNone && w.tail.ok && w.tail.minus && w.tail.cents > 0 && -w.tail.cents != block && !w.standsApart(p.edge):
			return true
		}
	}
	return false
}

// totalBelow reports whether below row end of a text a line says total or subtotal and pays nothing
// of what was taken for it: that was another line, and this is the total.
func (p *parser) totalBelow(end int) bool {
	total := int64(0)
	for i := range p.rows {
		w := &p.rows[i]
		switch {
		case i <= end && w.kind == LineTotal && w.part == partCheck && w.has:
			if mark(foldWords(w.beforeAmount(), nil), p.own, nil).marks&markTotal != 0 {
				return false // what stands below is another receipt
			}
			total = w.cents
		case i > end && w.part == partNone && w.tail.ok && w.said.first&(markTotal|markSubtotal) != 0 && w.said.unknown == 0 && w.said.marks&^(markTotal|markSubtotal) == 0 && w.tail.cents > total:
			return true
		}
	}
	return false
}

// unnamed reports whether neither the total of a text nor the way it was paid says so by a word
// that is known, and both look like goods: three lines of one thing make a receipt of their own.
func (p *parser) unnamed(total, tender int) bool {
	says := func(i int, m marks) bool {
		return mark(foldWords(p.rows[i].beforeAmount(), nil), p.own, nil).marks&m != 0
	}
	return total >= 0 && tender > total && p.rows[tender].part == partTender && !says(total, markTotal|markSubtotal) && !says(tender, markTender) && len(p.rows[total].letters()) >= 4 && p.rows[tender].likeWords(&p.rows[total])
}

// cutWithoutAmount reports whether a line of a photo, from first to total, says what a coupon takes
// off ("MFR CPN 1.85 OFF") and neither it nor the line below shows that it was: its amount was not
// seen, and the sums may close by chance.
func (p *parser) cutWithoutAmount(first, total int) bool {
	for i := first; i < total; i++ {
		w := &p.rows[i]
		if w.exact || w.tail.ok || w.part != partNone || !w.said.has(markCoupon) || !w.hasPercent() && !w.namesOff() {
			continue
		}
		if below := &p.rows[i+1]; below.part == partNone || below.kind != LineDeduction || below.said.has(markCoupon) {
			return true
		}
	}
	return false
}

// namesOff reports whether an amount with OFF behind it stands in the line.
func (w *row) namesOff() bool {
	for i := 1; i < len(w.lx); i++ {
		if value := &w.lx[i-1]; (value.isAmount() || value.isWhole() && i > 1 && w.lx[i-2].isSign('$')) && w.lx[i].kind == lexWord && offRead[strings.ToUpper(w.lx[i].text)] {
			return true
		}
	}
	return false
}

// sumsGoOn reports whether at, the first tender of a photo, is one by its amount alone, and below
// it, above the change and the card's slip, something is taken off: at may be a total told twice.
func (p *parser) sumsGoOn(at int) bool {
	if p.exact || p.rows[at].part != partTender || p.rows[at].said.has(markTender) {
		return false
	}
	for i := at + 1; i < len(p.rows) && !p.rows[i].said.has(markChange|markSlip|markYouSaved|markMessage); i++ {
		if w := &p.rows[i]; w.part == partNone && w.tail.ok && w.tail.minus {
			return true
		}
	}
	return false
}

// mostMended is how many amounts of one sum may have been repaired without a multiplication
// that bears them out. With three, some of their readings nearly always make any sum work out.
const mostMended = 2

// mendedBeside reports whether among the lines of one sum an amount was repaired and a
// line of a photo stands that says nothing to the sums, from first to total, or one with the
// signs of goods above first. Its own amount may have been lost, and the repair would then
// make up for it, unless quantity and unit price give what a reader saw too. It reports as
// well where more than mostMended were repaired.
func (p *parser) mendedBeside(first, total int) bool {
	for k := range p.chain.segs {
		rows := p.chain.segs[k].rows()
		mended, tooLittle := 0, 0
		for _, i := range rows {
			if w := &p.rows[i]; i >= first && i <= total && w.proof == Repaired && p.mendedAlone(w) && (w.part != partCheck || w.tail.ok) {
				mended++
				if w.otherwise && w.mendedByCents() {
					tooLittle++ // what is lost beside it would have to be just that
				}
			}
		}
		if p.exact || mended == 0 {
			continue
		}
		if mended == 1 && p.statedBoth(k) {
			continue
		}
		if mended > mostMended || slices.Min(rows) == first && p.goodsLostAbove(first) {
			return true
		}
		lost := p.lostAmong(rows, first, total)
		if lost > 0 && !(lost == 1 && mended == 1 && tooLittle == 1) {
			return true
		}
	}
	return false
}

// mendedAlone reports whether nothing but the sum bears out what the row was repaired to.
func (p *parser) mendedAlone(w *row) bool {
	if !w.invented && w.comesOut() {
		return false
	}
	if w.exact || w.kind != LineItem || w.part != partAdd {
		return true
	}
	same := p.costsAlike(w)[w.cents]
	return same < 2 && (w.invented || same == 0)
}

// lostAmong counts the lines among rows, from first to total, that may have lost an amount.
func (p *parser) lostAmong(rows []int, first, total int) (lost int) {
	below := false // a total: the card's slip, which has no amounts of goods
	for i := max(first, slices.Min(rows)); i < min(total, slices.Max(rows)); i++ {
		if w := &p.rows[i]; w.part == partNone && w.kind == LineOther && w.of == 0 && !w.tail.ok && w.hasName() && !w.heads() && !(below && w.said.has(markSlip)) && !p.saysNoGoods(i) {
			lost++
		}
		below = below || p.rows[i].kind == LineTotal && p.rows[i].part == partCheck
	}
	return lost
}

// mendedByCents reports whether the repair changed less than what any goods cost and any
// deposit or coupon is worth: a digit of the dimes or more may make up for a lost one of those.
func (w *row) mendedByCents() bool {
	by := w.cents - w.tail.cents
	if w.cents < 0 {
		by = -w.cents - w.tail.cents
	}
	return by > -10 && by < 10 && by != 5 && by != -5
}

// statedBoth reports whether all that was repaired in sum k is a statement, to what a reader
// saw, and in the other sum that it belongs to nothing else was: both want it as it is, so that
// it made up for nothing, unless a line may have lost an amount in both: goods above a total,
// and the coupon below that makes them free.
// An amount printed twice may be misread twice, and is no such sum.
func (p *parser) statedBoth(k int) bool {
	repaired := func(i int) bool { return p.rows[i].proof == Repaired }
	rows := p.chain.segs[k].rows()
	at := rows[slices.IndexFunc(rows, repaired)]
	sums, lostIn := 0, 0
	for i := range p.chain.segs {
		s := &p.chain.segs[i]
		if !s.hasRow(at) {
			continue
		}
		if sums++; len(s.rows()) < 3 || !p.holds(s) || slices.ContainsFunc(s.rows(), func(i int) bool { return i != at && repaired(i) }) {
			return false
		}
		if p.lostAmong(s.rows(), 0, len(p.rows)) > 0 {
			lostIn++
		}
	}
	return p.rows[at].part == partCheck && !p.rows[at].invented && sums == 2 && lostIn < 2
}

// unpaid reports whether a photo shows a bill that ends with its total: lines
// that were read follow it, or the paper's lower end, and none tells of paying
// or takes anything off.
func (p *parser) unpaid(total int) bool {
	if p.exact {
		return false
	}
	read := 0
	for i := total + 1; i < len(p.rows); i++ {
		w := &p.rows[i]
		told := w.part == partNone && w.kind == LineOther && w.hasPercent() // a tip is suggested
		switch {
		case w.unread && read < 2, w.damaged:
			return false
		case w.tail.ok && !told && (w.tail.minus || w.said.has(markTender|markChange|markSlip|markCoupon)):
			return false
		case !w.unread && (w.said.has(markMessage|markSuggested) || w.hasDate()):
			read += 2
		case !w.unread:
			read++
		}
	}
	return read >= 2 || p.r.Complete.Bottom
}

// hasDate reports whether a date stands in the line.
func (w *row) hasDate() bool {
	_, ok := findDate(cutPieces(w.text, nil))
	return ok
}
