package parse

import (
	"slices"
	"strings"
)

// attach joins lines that belong together: quantity lines, deductions, voids
// and fees with the item that they are printed for.
func (p *parser) attach() {
	p.nameAmounts()
	p.netsTold()
	p.quantities()
	p.toldByPrice()
	p.deductions()
	taken := make([]bool, len(p.rows))
	for i := range p.rows {
		w := &p.rows[i]
		switch w.kind {
		case LineVoid:
			if w.of = p.voided(i, taken); w.of > 0 {
				taken[w.of-1] = true
			}
		case LineFee:
			if j := p.itemAbove(i); j >= 0 && i-j <= 3 && w.said.has(markDeposit) {
				w.of = j + 1
			}
		}
	}
}

// isName reports whether row i holds nothing but a name: an item whose amount
// stands in the line above or below.
func (p *parser) isName(i int) bool {
	if i < 0 || i >= len(p.rows) {
		return false
	}
	w := &p.rows[i]
	if w.kind != LineOther || w.tail.ok || w.unread || w.damaged || !w.hasName() || w.isScrap() {
		return false
	}
	const notNames = markCount | markQuantity | markDate | markTransaction | markRegister | markTaxInfo | markSlip | markMessage | markTotal | markSubtotal | markTender | markCondition | markPrice
	if w.exact && w.said.unknown > 0 && !w.hasNumber() && i+1 < len(p.rows) && p.lacksName(i+1) && p.rows[i+1].kind == LineQuantity {
		return true // "PTS WSHD", and below it the weight with its amount
	}
	return w.said.marks == 0 || w.said.unknown > 0 && !w.said.has(notNames)
}

// isScrap reports whether a photo's line is two letters at most: what was torn off the line beside.
func (w *row) isScrap() bool {
	return !w.exact && !w.tail.ok && len(w.letters()) < 3 && w.numerals() == ""
}

// nameAmounts finds the names of lines that have an amount and none: a
// quantity line ("2 @ 3.79  7.58"), a code, or the amount alone. Whether the
// name stands above or below is the same on the whole receipt.
func (p *parser) nameAmounts() {
	p.litres()
	above, below, afterName := 0, 0, false
	for i := range p.rows {
		if !p.lacksName(i) {
			continue
		}
		up, down := p.nameAbove(i) >= 0, p.isName(i+1)
		if up {
			above++
		}
		if down {
			below++
		}
		afterName = afterName || up
	}
	for i := range p.rows {
		if !p.lacksName(i) {
			continue
		}
		w, j := &p.rows[i], p.nameAbove(i)
		if below > above {
			if j = i + 1; !p.isName(j) {
				j = -1
			}
		}
		if j < 0 {
			if w.kind == LineQuantity && i > 0 && p.rows[i-1].kind == LineItem && p.rows[i-1].has && p.rows[i-1].cents == w.cents {
				// The amount of the line above, told again beside its quantity.
				w.part, w.of = partNone, i
			}
			continue
		}
		item := &p.rows[j]
		item.kind = LineItem
		if item.code == "" {
			item.code = w.code
		}
		w.kind, w.of = LineQuantity, j+1
		item.takeQuantity(w)
	}
}

// litres makes a size at the end of a name of what was read as an amount, "1.5l"
// as 1.51, where amounts have a currency sign and this has none, or stand further right:
// the next line of the photo has the quantity and the amount, and no name.
func (p *parser) litres() {
	for i := 0; i+1 < len(p.rows); i++ {
		w, next := &p.rows[i], &p.rows[i+1]
		if w.exact || w.kind != LineItem || w.part != partAdd || !w.hasName() || w.qty.ok || w.hasMark() || w.tail.flags != "" || w.cents < 0 || w.cents >= 1000 || w.cents%10 != 1 {
			continue
		}
		if total, ok := next.qty.extension(); next.kind != LineQuantity || next.part != partAdd || next.hasName() || !ok || total != next.cents {
			continue
		}
		number := &w.lx[w.tail.at]
		if !p.dollars && next.lx[next.tail.at].x1-number.x1 < 2*charWidth(number) {
			continue
		}
		w.words = slices.Clone(w.words)
		if word := &w.words[number.word]; strings.HasSuffix(word.Text, "1") {
			word.Text = strings.TrimSuffix(word.Text, "1") + "l"
		}
		w.kind, w.part, w.has, w.cents, w.tail = LineOther, partNone, false, 0, tail{}
		w.name, w.code = "", ""
		w.takeName()
	}
}

// nameAbove is the row above i that holds nothing but a name, -1 for none.
// Prices that are only told may stand between.
func (p *parser) nameAbove(i int) int {
	for j := i - 1; j >= max(0, i-3); j-- {
		if p.isName(j) {
			return j
		}
		if p.rows[j].isScrap() {
			continue
		}
		if w := &p.rows[j]; w.part != partNone || !w.tail.ok || !w.said.has(markPrice|markSaved) {
			break
		}
	}
	return -1
}

// lacksName reports whether row i is an item's amount without its name.
func (p *parser) lacksName(i int) bool {
	w := &p.rows[i]
	return w.part == partAdd && w.has && (w.kind == LineQuantity && w.of == 0 || w.kind == LineItem && !w.hasName())
}

// takeQuantity copies quantity and unit price of the quantity line q, where
// the item's own line has none.
func (w *row) takeQuantity(q *row) {
	if !w.qty.ok && q.qty.ok {
		w.qty, w.qtyLine = q.qty, q.line
		w.qty.from, w.qty.to, w.qty.leads = 0, 0, false
	}
}

// itemAbove is the nearest item above row i, with nothing between but lines
// that belong to it; -1 for none.
func (p *parser) itemAbove(i int) int {
	for j := i - 1; j >= 0; j-- {
		switch w := &p.rows[j]; w.kind {
		case LineItem:
			return j
		case LineQuantity, LineDeduction, LineVoid, LineFee:
			if w.kind == LineQuantity && w.part == partAdd && w.of == 0 && w.exact {
				return -1 // goods whose name is not known
			}
		case LineOther, LineMessage:
			if i-j > 3 && !(w.tail.ok && w.said.has(markPrice|markSaved)) { // a price told beneath the goods is theirs
				return -1
			}
		default:
			return -1
		}
	}
	return -1
}

// itemBelow is the item right below row i, -1 for none.
func (p *parser) itemBelow(i int) int {
	if i+1 < len(p.rows) && p.rows[i+1].kind == LineItem && p.rows[i+1].has {
		return i + 1
	}
	return -1
}

// quantities joins quantity lines without an amount ("2 @ 3.79") to the item
// above or below, whichever way more of them multiply to the item's amount.
func (p *parser) quantities() {
	above, below := 0, 0
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineQuantity || w.has {
			continue
		}
		cents, ok := w.qty.extension()
		if !ok {
			continue
		}
		if j := p.itemAbove(i); j >= 0 && p.rows[j].cents == cents {
			above++
		}
		if j := p.itemBelow(i); j >= 0 && p.rows[j].cents == cents {
			below++
		}
	}
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineQuantity || w.has {
			continue
		}
		if cents, ok := w.qty.extension(); ok && i > 0 && p.rows[i-1].kind == LineDeduction && p.rows[i-1].cents == -cents &&
			!(below > above && p.itemBelow(i) >= 0 && p.rows[i+1].cents == cents) { // what was free may cost what the goods below do
			w.of = i
			p.rows[i-1].takeQuantity(w)
			continue
		}
		j, k := p.itemAbove(i), p.itemBelow(i)
		// Where it fits both neighbours it proves neither's amount.
		cents, _ := w.qty.extension()
		over, under := j >= 0 && p.rows[j].cents == cents, k >= 0 && p.rows[k].cents == cents
		either := over && under
		if k >= 0 && (over == under && (below > above || j < 0) || under && !over) {
			j = k // where it fits one alone that decides, else what more of them do
		}
		if j >= 0 {
			w.of = j + 1
			p.rows[j].takeQuantity(w)
			p.rows[j].fitsEither = either
		}
	}
}

// deductions says which item a deduction is printed for, where the layout
// makes it clear: it names the item's code, or stands beneath an item, and either deductions stand
// beneath others too or it is indented. Coupons gathered below the last item
// belong to none.
func (p *parser) deductions() {
	last, items, inline := -1, 0, false
	for i := range p.rows {
		if p.rows[i].kind == LineItem {
			last = i
			items++
		}
	}
	for i := range p.rows[:max(last, 0)] {
		inline = inline || p.rows[i].kind == LineDeduction
	}
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineDeduction {
			continue
		}
		if w.of = p.itemOfCode(i); w.of > 0 {
			continue
		}
		j := p.itemAbove(i)
		if j < 0 {
			continue
		}
		run := 0
		for k := i; k > j && p.rows[k].kind == LineDeduction; k-- {
			run++
		}
		for k := i + 1; k < len(p.rows) && p.rows[k].kind == LineDeduction; k++ {
			run++
		}
		if j != last || items == 1 || p.indented(i, j) || inline && run == 1 || p.likeInline(i, j) {
			w.of = j + 1
		}
	}
}

// itemOfCode is the nearest item above row i, counted from 1, whose code the row
// names: "CPN /156075". 0 for none.
func (p *parser) itemOfCode(i int) int {
	code := p.rows[i].code
	for j := i - 1; j >= 0 && code != ""; j-- {
		if v := &p.rows[j]; v.kind == LineItem && v.code == code {
			return j + 1
		}
	}
	return 0
}

// likeInline reports whether the deductions from row j, the last item, down to
// row i begin at the column and with the word of others that stand beneath items
// above: what a till prints beneath its items it prints so everywhere.
func (p *parser) likeInline(i, j int) bool {
	for k := j + 1; k <= i; k++ {
		w := &p.rows[k]
		if w.kind != LineDeduction {
			continue
		}
		alike := false
		for n := 0; n < j && !alike; n++ {
			v := &p.rows[n]
			alike = v.kind == LineDeduction && v.of > 0 && sameLead(v, w)
		}
		if !alike {
			return false
		}
	}
	return true
}

// sameLead reports whether two lines begin with the same word at the same column.
func sameLead(a, b *row) bool {
	if len(a.words) == 0 || len(b.words) == 0 || len(a.words[0].Text) < 2 || fold(a.words[0].Text) != fold(b.words[0].Text) {
		return false
	}
	char := max(a.words[0].Box.W/len(a.words[0].Text), 1)
	d := a.words[0].Box.X - b.words[0].Box.X
	return max(d, -d) < char
}

// indented reports whether row i begins further right than row j, by more than
// a character.
func (p *parser) indented(i, j int) bool {
	a, b := p.rows[i].words, p.rows[j].words
	if len(a) == 0 || len(b) == 0 || len(b[0].Text) == 0 {
		return false
	}
	return a[0].Box.X-b[0].Box.X > b[0].Box.W/max(len(b[0].Text), 1)*3/2-1
}

// voided is the line, counted from 1, that row i takes back: the nearest above
// with the same amount the other way round that is not taken back yet, one of
// the same name before others; 0 for none.
func (p *parser) voided(i int, taken []bool) int {
	w := &p.rows[i]
	found := 0
	for j := i - 1; j >= 0; j-- {
		v := &p.rows[j]
		n := j + 1
		if v.kind == LineQuantity && v.of > 0 {
			n = v.of
		}
		if v.part != partAdd || v.kind != LineItem && v.kind != LineDeduction && v.kind != LineQuantity && v.kind != LineFee || taken[n-1] {
			continue
		}
		if !v.has || !w.has || v.cents != -w.cents {
			continue
		}
		if name := p.rows[n-1].name; name != "" && strings.Contains(w.name, name) {
			return n
		}
		if found == 0 {
			found = n
		}
	}
	return found
}
