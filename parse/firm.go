package parse

import (
	"regexp"
	"slices"
	"strings"

	"tillproof/ocr"
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

// saysNoGoods reports whether row i, without an amount, is by its words no line of the sums
// that could add to them: the word of a sum or of the count alone, a code under its word, a
// department's heading or the coupons', what the deduction above is for, or the first of two
// lines of a coupon where another coupon is printed so too, or the second says what it is for.
func (p *parser) saysNoGoods(i int) bool {
	w := &p.rows[i]
	switch {
	case w.said.has(markSubtotal|markTotal|markCount) && w.said.unknown == 0:
		return true
	case len(w.lx) == 2 && w.lx[0].kind == lexWord && codeWords[strings.ToUpper(w.lx[0].text)] && isDigits(w.lx[1].text, 14):
		return true
	case w.namesDepartment():
		for k := range p.rows {
			if v := &p.rows[k]; v.tail.ok && v.namesDepartment() {
				return false // a till that rings goods by their department
			}
		}
		return true
	case p.givenAbove(i), p.describesAbove(i), p.headsCoupons(i), strings.HasSuffix(strings.TrimSpace(w.text), ":") && w.said.has(markCoupon) && i+1 < len(p.rows) && p.rows[i+1].kind == LineDeduction:
		return true
	case p.headsDeduction(i):
		if saysWhatFor(p.rows[i+1].text) {
			return true
		}
		for k := range p.rows {
			if k != i && p.headsDeduction(k) {
				return true
			}
		}
	}
	return false
}

// givenAbove reports whether row i says what the deduction above it is for: "on Bananas".
func (p *parser) givenAbove(i int) bool {
	return i > 0 && p.rows[i-1].kind == LineDeduction && p.rows[i-1].has && saysWhatFor(p.rows[i].text)
}

// describesAbove reports whether row i says what the deduction right above it is worth and for,
// "1.30 OFF BAKED BEANS", on a receipt that does so for two at least and tells no amount in such
// a line.
func (p *parser) describesAbove(i int) bool {
	text := strings.ToUpper(p.rows[i].text)
	if !formWorth.MatchString(text) || strings.HasPrefix(text, "FREE RANGE") || strings.HasPrefix(text, "FREE FROM") || strings.HasPrefix(text, "FREE-") {
		return false
	}
	if p.described == 0 {
		p.described = p.describedPairs()
	}
	return p.described >= 2
}

// describedPairs counts the deductions with such a line of an amount or a percentage below
// them, -1 where one stands elsewhere, tells an amount, or there is none.
func (p *parser) describedPairs() (pairs int) {
	for k := range p.rows {
		w := &p.rows[k]
		form := formWorth.FindStringSubmatch(strings.ToUpper(w.text))
		if form == nil {
			continue
		}
		if w.tail.ok || k == 0 || p.rows[k-1].kind != LineDeduction && p.rows[k-1].kind != LineVoid || !p.rows[k-1].tail.ok {
			return -1
		}
		if form[1] != "" {
			pairs++
		}
	}
	if pairs == 0 {
		return -1
	}
	return pairs
}

// formWorth is how a line begins that says what a coupon is worth; goods are called FREE RANGE
// or FREE FROM.
var formWorth = regexp.MustCompile(`^\s*(?:(\$?\d*\.\d\d OFF|\d+% (?:OFF|ON))|FREE) `)

// headsCoupons reports whether row i, which has no amount, is a heading above deductions, or says
// that what stands below it is taken back.
func (p *parser) headsCoupons(i int) bool {
	if i+1 >= len(p.rows) || !p.rows[i+1].tail.ok {
		return false
	}
	w, next := &p.rows[i], p.rows[i+1].kind
	if w.namesMany() && next == LineDeduction || w.said.has(markVoid) && next == LineVoid {
		return true
	}
	if !p.headsValue(i) {
		return false
	}
	for k := range p.rows {
		if k != i && p.headsValue(k) {
			return true
		}
	}
	return false
}

// headsValue reports whether row i is nothing but a coupon's kind, a letter of which may be misread,
// and the row below a deduction that says what it gives and names nothing.
func (p *parser) headsValue(i int) bool {
	w := &p.rows[i]
	if w.tail.ok || i+1 >= len(p.rows) || w.hasNumber() || !w.said.has(markCoupon) || w.said.unknown > 0 && !(w.said.unknown == 1 && w.anyVague()) {
		return false
	}
	next := &p.rows[i+1]
	return next.kind == LineDeduction && next.tail.ok && next.said.unknown == 0 && formValue.MatchString(strings.ToUpper(next.text))
}

// anyVague reports whether the letters of a word of the line may be misread.
func (w *row) anyVague() bool {
	return slices.ContainsFunc(w.words, func(word ocr.Word) bool { return !isPlain(&word) })
}

// formValue is how the second line of a coupon begins that says what it gives, below its kind.
var formValue = regexp.MustCompile(`^\s*(?:\$?\d*\.\d\d OFF|\d+%|FREE|FOR) `)

// saysWhatFor reports whether a line begins as the second of a coupon does.
func saysWhatFor(text string) bool {
	text = strings.ToUpper(text)
	return strings.HasPrefix(text, "ON ") || strings.HasPrefix(text, "FOR ") || strings.HasPrefix(text, "OFF ")
}

// namesDepartment reports whether all words before the amount are a department's,
// "PRODUCE/DELI"; beside one that is, others may have letters misread.
func (w *row) namesDepartment() bool {
	words := foldWords(w.beforeAmount(), nil)
	known := func(s string) bool { return departments[s] }
	return slices.ContainsFunc(words, known) && !slices.ContainsFunc(words, func(s string) bool { return !known(s) && !(!w.exact && departmentRead(s)) })
}

// departmentRead reports whether a folded word is a department's but for O and D, the letters
// that worn print makes alike and fold does not: "MOSE" for MDSE.
func departmentRead(word string) bool { return departmentsAlike[strings.ReplaceAll(word, "D", "O")] }

// departments are words of the headings above groups of goods; common practice, no source.
var departments = foldedSet("grocery groceries produce deli delicatessen dairy bakery meat meats seafood frozen household home health beauty pharmacy general merchandise gen mdse gm non foods nonfood nonfoods floral garden pet pets baby fresh and")

// departmentsAlike are departments with O for D.
var departmentsAlike = func() map[string]bool {
	set := map[string]bool{}
	for d := range departments {
		set[strings.ReplaceAll(d, "D", "O")] = true
	}
	return set
}()

// foldedSet is the set of the words of s, folded.
func foldedSet(s string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(s) {
		set[fold(word)] = true
	}
	return set
}

// codeWords stand before the code of the goods on a line of their own.
var codeWords = map[string]bool{"UPC": true, "EAN": true, "GTIN": true, "PLU": true, "SKU": true}

// headsDeduction reports whether row i has a coupon's word and no amount, and the next row is a
// deduction with a name.
func (p *parser) headsDeduction(i int) bool {
	w := &p.rows[i]
	if w.part != partNone || w.tail.ok || !w.said.has(markCoupon) || i+1 >= len(p.rows) {
		return false
	}
	next := &p.rows[i+1]
	return next.kind == LineDeduction && next.part == partAdd && next.hasName() && !next.said.has(markCoupon)
}

// formMember is the number of whoever buys: "MEMBER 8800558709".
var formMember = regexp.MustCompile(`(?i)^\W*(member|customer|owner|club|card|acct|account|household|rewards?|pass)(\s*(no|nr|id|number|card)\b)*\W*\d[\d\s-]*$`)

// goodsLostAbove reports whether right above row first stands a quantity without goods, a
// code, or what is left of an amount: the first goods, whose amount was not read.
func (p *parser) goodsLostAbove(first int) bool {
	for i := first - 1; i >= max(0, first-3); i-- {
		w := &p.rows[i]
		if w.part == partNone && w.of == 0 && p.rows[first].of != i+1 && !w.said.has(markDate|markRegister|markTransaction) && !formMember.MatchString(w.text) && (w.damaged || w.kind == LineQuantity || w.kind != LineMessage && w.hasCode() && w.hasName()) {
			return true
		}
	}
	return false
}

// heads reports whether a line is a heading: dashes or the like stand before it and where
// its amount would. Behind a name alone they may be what is left of one.
func (w *row) heads() bool {
	n := len(w.lx)
	return n > 2 && w.lx[0].kind == lexSign && w.lx[n-1].kind == lexSign && w.lx[n-1].isRun() && !w.lx[n-1].glued
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
