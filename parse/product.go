package parse

import (
	"slices"
	"strings"
)

// How a till words a quantity is its own affair: "3 times 1.29", "1.29 a piece, 3 of
// them". In a text no digit is misread, so there numbers that multiply to the amount
// of their line, or of the line of goods beside it, say by themselves that they are
// units and a price, and lines of the same form are what these are.

// product is a quantity found by its numbers: lexemes of a line.
type product struct {
	units, price, per int // per is -1 where the price is that of one
	side              side
	// strong: more than one unit, or a weight, so that the numbers are no chance.
	strong bool
}

// side says whose amount the numbers multiply to.
type side uint8

const (
	ownAmount side = iota // of the line itself
	overhead              // of the line above
	beneath               // of the line below
	sides
)

// aboutUnits are the words beside a quantity that say nothing else.
var aboutUnits = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields("QTY QUANTITY QUAN QNTY NO NOS NUM NUMBER COUNT CNT CT AT EACH EA OF THEM TIMES PER A AN BY FOR PRICE PRICED PRC THE UNIT UNITS UN PC PCS PIECE PIECES ITEM ITEMS ARTICLE ARTICLES PACK PACKS PK PKG PKT BTL BAG BAGS BOX BOXES CAN CANS " +
		"WT WGT WEIGHT WEIGHED WEIGHS SCALE TARE NET GROSS MANUAL KEYED X APIECE ONLY MULTI DEAL ANY RATE COST COSTS COSTING AMOUNT TOTAL IS ARE MAKES AND AS IN LOT LOTS GROUP GROUPS SET SETS REG SOLD BUY BOUGHT TAKE TAKEN DISC COMES TO ON") {
		m[w] = true
	}
	return m
}()

// formOf is how lines of one wording begin: their lexemes from on, each number as #.
func formOf(lx []lexeme) string {
	var b strings.Builder
	for i := range lx {
		switch l := &lx[i]; {
		case l.kind == lexNumber:
			b.WriteByte('#')
		case l.kind == lexWord && weights[strings.ToUpper(l.text)] != "":
			b.WriteString("~")
		default:
			b.WriteString(strings.ToUpper(l.text))
		}
		b.WriteByte(' ')
	}
	return b.String()
}

// evidence is what lines of one form say together.
type evidence struct {
	rows, strong, weak int
	known              bool // all words of the form are about units
	named              int  // rows below a line that may be their name
	first              product
	amounts            map[int64]bool
}

// notUnits are marks of lines that are no quantities, whatever their numbers give.
const notUnits = markSubtotal | markTax | markTaxInfo | markTender | markChange | markCoupon | markVoid | markPoints | markReward | markEarned | markSlip | markDate

// notSums are marks of sums and prices that the words of a quantity may have as well.
const notSums = markPrice | markCount | markQuantity | markTotal | markNet | markNetTotal

// products finds quantities by what their numbers multiply to. Lines of one form,
// one of which does with more than one unit, are all quantities.
func (p *parser) products() {
	p.amountsApart()
	found := map[string]*[sides]evidence{}
	for i := range p.rows {
		p.weigh(i, found)
	}
	for i := range p.rows {
		w := &p.rows[i]
		if cents, ok := w.qty.extension(); ok && w.sure && w.qty.sure && w.tail.ok && cents == w.tail.cents && !w.hasName() {
			w.said.marks &^= notSums // "NET 3.07 lb @ 2.49  7.64"
		}
		if !p.maybeUnits(w) {
			continue
		}
		if e := found[formOf(w.lx)]; e != nil {
			best := overhead
			if e[beneath].strong*2+e[beneath].weak > e[overhead].strong*2+e[overhead].weak {
				best = beneath
			}
			if e[best].holds() {
				p.takeProduct(w, &e[best].first, 0)
				continue
			}
		}
		if pr, ok := w.findProduct(ownAmount, w.tail.cents); ok {
			from := pr.begin()
			if known, ok := w.qty.extension(); ok && w.qty.sure && known == w.tail.cents && !w.aloneBefore(from) {
				continue
			}
			if e := found[formOf(w.lx[from:w.tail.from])]; e != nil && e[ownAmount].holds() && (e[ownAmount].known || !w.aloneBefore(from) || 2*e[ownAmount].named > e[ownAmount].rows) {
				// Words between the numbers are else what was sold: "5 SOFT ROLLS 3.09 15.45".
				p.takeProduct(w, &pr, from)
			}
		}
	}
}

// holds reports whether lines of the form are quantities.
func (e *evidence) holds() bool {
	return e.strong > 1 && len(e.amounts) > 1 || e.known && e.strong+e.weak > 0 && (e.strong+e.weak)*2 > e.rows
}

// begin is the first lexeme of the numbers.
func (pr *product) begin() int {
	from := min(pr.units, pr.price)
	if pr.per >= 0 {
		from = min(from, pr.per)
	}
	return from
}

// maybeUnits reports whether w is a line of a text that may hold a quantity which is
// not known yet.
func (p *parser) maybeUnits(w *row) bool {
	if !w.sure || !w.numbersSure() || len(w.lx) < 2 || w.tail.ok && w.tail.minus || w.hasPercent() || w.said.has(notUnits) && !w.said.has(markCount|markPrice) && !w.said.has(markWeak) {
		return false
	}
	if cents, ok := w.qty.extension(); ok && w.qty.sure {
		return w.tail.ok && cents != w.tail.cents || w.hasName()
	}
	return true
}

// weigh enters what row i says of its form.
func (p *parser) weigh(i int, found map[string]*[sides]evidence) {
	w := &p.rows[i]
	if !p.maybeUnits(w) {
		return
	}
	amounts := [sides]int64{ownAmount: -1, overhead: -1, beneath: -1}
	if w.tail.ok && !w.tail.minus {
		amounts[ownAmount] = w.tail.cents
	}
	for j := i - 1; j >= max(0, i-2); j-- {
		if v := &p.rows[j]; v.tail.ok {
			if !v.tail.minus && v.hasName() {
				amounts[overhead] = v.tail.cents
			}
			break
		}
	}
	if i+1 < len(p.rows) && p.rows[i+1].tail.ok && !p.rows[i+1].tail.minus && p.rows[i+1].hasName() {
		amounts[beneath] = p.rows[i+1].tail.cents
	}
	for s, cents := range amounts {
		if cents <= 0 {
			continue
		}
		pr, ok := w.findProduct(side(s), cents)
		from, end := 0, len(w.lx)
		if side(s) == ownAmount {
			if !ok {
				continue
			}
			from, end = pr.begin(), w.tail.from
		}
		key := formOf(w.lx[from:end])
		e := found[key]
		if e == nil {
			e = &[sides]evidence{}
			found[key] = e
		}
		e[s].enter(w.lx[from:end], pr, ok, cents)
		if side(s) == ownAmount {
			if i > 0 && p.rows[i-1].mayName() {
				e[s].named++
			}
			break // what comes to its own amount does not say what another line costs
		}
	}
}

// mayName reports whether a line may be the name of what the next line counts: it has no
// amount, and is more than a word before a number, "UPC 4280".
func (w *row) mayName() bool {
	words := 0
	for i := range w.lx {
		if w.lx[i].kind == lexWord && len(w.lx[i].text) > 1 {
			words++
		}
	}
	return !w.tail.ok && !w.hasCode() && (words > 1 || words == 1 && !w.hasNumber())
}

func (e *evidence) enter(lx []lexeme, pr product, ok bool, cents int64) {
	if e.rows++; !ok {
		return
	}
	if e.amounts == nil {
		e.amounts = map[int64]bool{}
		e.first = pr
		e.known = !slices.ContainsFunc(lx, func(l lexeme) bool { return l.kind == lexWord && !saysUnits(&l) })
	}
	e.amounts[cents] = true
	if pr.strong {
		e.strong++
		e.first = pr
	} else {
		e.weak++
	}
}

// saysUnits reports whether the word l is one of those beside quantities.
func saysUnits(l *lexeme) bool {
	up := strings.ToUpper(l.text)
	return aboutUnits[up] || weights[up] != "" || pieces[up] || currencies[up]
}

// findProduct finds the numbers of the line that multiply to cents: the units
// nearest to their price, and a group's price before others.
func (w *row) findProduct(s side, cents int64) (product, bool) {
	end := len(w.lx)
	if s == ownAmount {
		end = w.tail.from
	}
	lx, weak := w.lx[:end], product{}
	haveWeak := false
	for price := end - 1; price >= 0; price-- {
		if lx[price].kind != lexNumber || lx[price].dec != 2 && lx[price].dec != 3 || lx[price].digits <= 0 {
			continue
		}
		for d := 1; d < end; d++ {
			for _, n := range [...]int{price - d, price + d} {
				if n < 0 || n >= end || lx[n].kind != lexNumber || w.isCode(n) {
					continue
				}
				pr, ok := w.multiply(n, price, end, cents)
				if !ok {
					continue
				}
				pr.side = s
				if pr.strong {
					return pr, true
				}
				if !haveWeak {
					weak, haveWeak = pr, true
				}
			}
		}
	}
	return weak, haveWeak
}

// multiply tries the numbers at n and price, alone and with the number of a group's
// units between them.
func (w *row) multiply(n, price, end int, cents int64) (product, bool) {
	q := w.asQuantity(&product{units: n, price: price, per: -1})
	if q.units <= 0 || q.units > 1e6 || q.unitsDec < 0 || q.unitsDec == 0 && q.units > 999 || q.unitsDec > 0 && !w.isWeighed(n) {
		return product{}, false
	}
	if got, ok := q.extension(); ok && got == cents && !w.isGroup(n, price) {
		return product{units: n, price: price, per: -1, strong: q.unitsDec > 0 || q.units > 1}, true
	}
	if q.unitsDec > 0 {
		return product{}, false
	}
	for k := end - 1; k >= 0; k-- {
		if l := &w.lx[k]; k != n && k != price && k < end && l.isWhole() && l.digits > 1 && l.digits < 100 {
			q.per = int(l.digits)
			if got, ok := q.extension(); ok && got == cents {
				return product{units: n, price: price, per: k, strong: true}, true
			}
		}
	}
	return product{}, false
}

// isGroup reports whether the number at n is that of a group at a price, "2 FOR 13.00",
// and another number says how many units there are.
func (w *row) isGroup(n, price int) bool {
	k := price
	for k > 0 && isCurrency(w.lx, k-1) {
		k--
	}
	if k < 2 || n != k-2 || !isFor(&w.lx[k-1]) && !w.lx[k-1].isSign('/') {
		return false
	}
	for i := range w.lx {
		if l := &w.lx[i]; i != n && isUnits(l) && !w.isCode(i) && (i == 0 || !l.glued || isTimes(&w.lx[i-1])) {
			return true
		}
	}
	return false
}

// isWeighed reports whether the number at i is a weight: a unit of weight follows it,
// or it has other decimals than a price.
func (w *row) isWeighed(i int) bool {
	if w.lx[i].dec != 2 {
		return true
	}
	return i+1 < len(w.lx) && isWeight(&w.lx[i+1]) && (i == 0 || !w.lx[i-1].isSign('/') && !w.lx[i-1].isSign('@') && !w.lx[i-1].isSign('$'))
}

// asQuantity is the quantity that the numbers of pr say.
func (w *row) asQuantity(pr *product) quantity {
	n, price := &w.lx[pr.units], &w.lx[pr.price]
	q := quantity{ok: true, sure: true, hasPrice: true, price: price.digits, priceDec: price.dec, per: 1, units: n.digits, unitsDec: max(n.dec, 0)}
	if n.dec < -1 || n.kind != lexNumber || price.kind != lexNumber {
		return quantity{}
	}
	if pr.per >= 0 {
		q.per = int(w.lx[pr.per].digits)
	}
	if q.unitsDec > 0 && pr.units+1 < len(w.lx) {
		q.unit, _ = unitOf(&w.lx[pr.units+1])
	}
	return q
}

// takeProduct makes pr, whose form begins at from, the quantity of w.
func (p *parser) takeProduct(w *row, pr *product, from int) {
	if pr.units >= len(w.lx) || pr.price >= len(w.lx) || pr.per >= len(w.lx) {
		return
	}
	q := w.asQuantity(pr)
	if !q.ok || q.units <= 0 || q.per <= 0 {
		return
	}
	if q.to = len(w.lx); pr.side == ownAmount {
		q.to = w.tail.from
		for from > 0 && !w.isCode(from-1) && (w.lx[from-1].kind != lexWord || saysUnits(&w.lx[from-1])) && w.aloneBefore(from) {
			from--
		}
	} else {
		w.tail = tail{}
	}
	q.from = from
	w.qty = q
	if w.said.marks &^= notSums; from == 0 {
		w.said = marked{}
	}
}

// aloneBefore reports whether no name stands before i: only words about units and
// codes do.
func (w *row) aloneBefore(i int) bool {
	return !slices.ContainsFunc(w.lx[:i], func(l lexeme) bool { return l.kind == lexWord && !saysUnits(&l) })
}

// amountsApart takes a number behind a times sign for the line's amount where it
// stands apart in the column of amounts: "3 x        6.00".
func (p *parser) amountsApart() {
	edges := map[int32]int{}
	for i := range p.rows {
		if w := &p.rows[i]; w.exact && w.tail.ok {
			edges[w.lx[w.tail.at].x1]++
		}
	}
	for i := range p.rows {
		w := &p.rows[i]
		if !w.exact || w.tail.ok || !w.qty.sure || !w.qty.hasPrice || w.qty.per > 1 || w.qty.unitsDec > 0 {
			continue
		}
		at := -1
		for k := range w.lx {
			if w.lx[k].isAmount() {
				at = k
			}
		}
		if at < 2 || edges[w.lx[at].x1] < 2 {
			continue
		}
		from := at
		for from > 0 && isCurrency(w.lx, from-1) {
			from--
		}
		if from == 0 || !isTimes(&w.lx[from-1]) || w.lx[from].x0-w.lx[from-1].x1 <= 2*charWidth(&w.lx[at]) {
			continue
		}
		w.tail = tail{ok: true, at: at, from: from, cents: w.lx[at].digits}
		for _, l := range w.lx[at+1:] {
			w.tail.flags += l.text
		}
		w.qty = findQuantity(w.lx, from)
	}
}
