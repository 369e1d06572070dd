package parse

import "strings"

// hasPercent reports whether a percentage stands in the line.
func (w *row) hasPercent() bool { return strings.IndexByte(w.text, '%') >= 0 }

// hasNumber reports whether the line has a number.
func (w *row) hasNumber() bool {
	for i := range w.lx {
		if w.lx[i].kind == lexNumber {
			return true
		}
	}
	return false
}

// wholeNumber is the first whole number in the line that stands by itself, -1
// for none.
func (w *row) wholeNumber() int {
	for i := range w.lx {
		if l := &w.lx[i]; l.isWhole() && !l.glued && (i+1 == len(w.lx) || !w.lx[i+1].glued || w.lx[i+1].kind == lexSign) && l.digits < 1e6 {
			return int(l.digits)
		}
	}
	return -1
}

// anyAmount is an amount named anywhere in the line, in cents: the last with
// two decimals, else the last whole number with a currency sign. -1 for none.
func (w *row) anyAmount() int64 {
	found := int64(-1)
	for i := range w.lx {
		l := &w.lx[i]
		after := i+1 < len(w.lx) && w.lx[i+1].isSign('%')
		switch {
		case l.isAmount() && !after && l.digits <= largest:
			found = l.digits
		case found < 0 && l.isWhole() && !after && i > 0 && w.lx[i-1].isSign('$') && l.digits < 1e6:
			found = l.digits * 100
		}
	}
	return found
}

// pointsNamed is the number of points that the line names, 0 for none: the
// number before the word, else the last whole number of the line that is no end of a
// number covered up, as that of a card is: "POINTS CARD ********2322".
func (w *row) pointsNamed() int {
	if !w.said.has(markPoints) {
		return 0
	}
	last := int64(0)
	for i := range w.lx {
		l := &w.lx[i]
		if l.kind != lexNumber || !l.isWhole() && !(l.dec == 3 && strings.IndexByte(l.text, ',') > 0) || l.digits > 1e8 {
			continue
		}
		if i+1 < len(w.lx) && w.lx[i+1].kind == lexWord && isPointWord(w.lx[i+1].text) {
			return int(l.digits)
		}
		if !w.covered(i) {
			last = l.digits
		}
	}
	return int(last)
}

// covered reports whether the number at i is glued to a run of stars or of the letter X.
func (w *row) covered(i int) bool {
	if i == 0 || !w.lx[i].glued {
		return false
	}
	before := &w.lx[i-1]
	return before.isSign('*') && before.isRun() || before.kind == lexWord && len(before.text) > 2 && strings.Trim(before.text, "Xx") == ""
}

func isPointWord(s string) bool {
	switch strings.ToUpper(s) {
	case "POINTS", "PTS", "POINT", "PT", "BONUS", "REWARD", "LOYALTY":
		return true
	}
	return false
}

// isCode reports whether the lexeme at i is a product code: 6 to 14 digits by
// themselves, or 4 or 5 after "#" or PLU.
func (w *row) isCode(i int) bool {
	l := &w.lx[i]
	if !l.isWhole() || i+1 < len(w.lx) && w.lx[i+1].glued && w.lx[i+1].kind != lexSign {
		return false
	}
	n := len(l.text)
	if i > 0 && (w.lx[i-1].isSign('#') || w.lx[i-1].kind == lexWord && strings.EqualFold(w.lx[i-1].text, "PLU")) {
		return n >= 4 && n <= 14
	}
	return n >= 6 && n <= 14 && (!l.glued || w.lx[i-1].kind == lexSign)
}

func (w *row) hasCode() bool {
	for i := range w.lx {
		if w.isCode(i) {
			return true
		}
	}
	return false
}

// notGoods are words that make a number before them part of a name: "7 UP",
// "12 PACK", "3 CHEESE PIZZA".
var notGoods = map[string]bool{"UP": true, "PACK": true, "PK": true, "LITER": true, "LITRE": true, "COUNT": true, "CT": true, "PC": true, "PCS": true, "IN": true, "INCH": true, "PLY": true, "FT": true, "WAY": true, "DAY": true, "HOUR": true, "HR": true, "MIN": true, "STEP": true, "GRAIN": true, "CHEESE": true, "BEAN": true, "SEED": true, "PIECE": true, "YEAR": true, "YR": true, "PERCENT": true, "WATT": true, "W": true, "CM": true, "MM": true, "M": true, "OUNCE": true, "POUND": true, "OZ": true, "LB": true, "KG": true, "G": true, "ML": true, "L": true, "X": true, "FOR": true}

// leads reports whether the line begins with a number that may be its
// quantity.
func (w *row) leads() bool {
	if len(w.lx) < 2 || w.qty.leads || w.qty.ok && w.qty.units != 0 && w.qty.from == 0 {
		return false
	}
	number, next := &w.lx[0], &w.lx[1]
	if len(w.lx) > 3 && w.isCode(1) && len(next.text) >= 5 && !next.glued {
		next = &w.lx[2] // "4 045581053182 WHOLEMEAL LOAF"
	}
	return number.isWhole() && len(number.text) <= 2 && number.digits > 0 && next.kind == lexWord && !next.glued && len(next.text) > 1
}

// leadingQuantities decides whether a number that leads item lines is the
// quantity: where most items have one they all are. Else it is taken for one
// unless the next word makes it part of a name, and not where the printed item
// count says otherwise.
func (p *parser) leadingQuantities() {
	items, leading, units, plain := 0, 0, 0, 0
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineItem || w.part != partAdd {
			continue
		}
		items++
		n := 1
		if w.qty.ok && w.qty.unitsDec == 0 && w.qty.units > 0 {
			n = int(w.qty.units)
		}
		plain += n
		if w.leads() && !w.qty.ok {
			leading++
			if !notGoods[strings.ToUpper(w.lx[1].text)] {
				n = int(w.lx[0].digits)
			}
		}
		units += n
	}
	if leading == 0 {
		return
	}
	most := leading*2 > items
	doubted := p.doubtedLead()
	if count := p.r.ItemCount; !most && count != nil && *count == plain && *count != units {
		return
	}
	for i := range p.rows {
		w := &p.rows[i]
		if (w.kind != LineItem && w.kind != LineFee) || !w.leads() || !most && notGoods[strings.ToUpper(w.lx[1].text)] {
			continue
		}
		if !w.qty.ok {
			w.qty = quantity{ok: true, units: w.lx[0].digits, per: 1, from: 0, to: 1}
			if !w.exact && (w.qty.units == doubted || !w.clearLead()) {
				w.qty.units = 0
			}
		}
	}
}

// doubtedLead is a number that leads a line of a photo and does not divide its
// amount: it may be another digit misread, there and on other lines. 0: none.
func (p *parser) doubtedLead() int64 {
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind == LineItem && w.has && !w.exact && w.leads() && !w.qty.ok && w.cents%w.lx[0].digits != 0 {
			return w.lx[0].digits
		}
	}
	return 0
}

// clearLead reports whether the number that leads the line was read clearly:
// all readings have it, and no runner-up with another digit comes near.
func (w *row) clearLead() bool {
	for _, r := range w.line.Readings {
		if len(r.Words) == 0 || !sameDigits(r.Words[0].Text, w.words[0].Text) {
			return false
		}
	}
	for _, a := range w.words[0].Alternatives {
		if a.Cost < clearCost && isOther(a.Text, w.words[0].Text) {
			return false // a letter instead is no other number
		}
	}
	return true
}

// flagColumns takes flags that stand before the amounts in a column: one or two
// letters at the same place on three lines or more that differ, two of them with
// the same, and apart from a name on one.
func (p *parser) flagColumns() {
	type flag struct {
		x0   int32
		text string
	}
	lines, alike := map[int32]int{}, map[flag]int{}
	apart, column, seen := map[int32]bool{}, map[int32]bool{}, map[string]bool{}
	for i := range p.rows {
		l := p.rows[i].beforeTail()
		if l == nil || !isFlagWord(l) || seen[p.rows[i].beforeAmount()] {
			continue // one thing rung several times has the same last word
		}
		seen[p.rows[i].beforeAmount()] = true
		lines[l.x0]++
		alike[flag{l.x0, l.text}]++
		apart[l.x0] = apart[l.x0] || l.x0-p.rows[i].lx[p.rows[i].tail.from-2].x1 >= 2*charWidth(l)
		if lines[l.x0] > 2 && alike[flag{l.x0, l.text}] > 1 {
			column[l.x0] = true
		}
	}
	for i := range p.rows {
		w := &p.rows[i]
		if l := w.beforeTail(); l != nil && w.tail.flags == "" && isFlagWord(l) && column[l.x0] && apart[l.x0] {
			p.takeFlag(w)
		}
	}
}

// takeFlag makes the lexeme before what belongs to the line's amount its flag.
func (p *parser) takeFlag(w *row) {
	w.tail.from--
	w.tail.flags = w.lx[w.tail.from].text
	if !w.qty.ok || w.qty.to > w.tail.from {
		w.qty = findQuantity(w.lx, w.tail.from)
	}
	w.said = mark(foldWords(w.spoken(), nil), p.own, w.misread())
}

// beforeTail is the lexeme before what belongs to the line's amount, nil for none.
func (w *row) beforeTail() *lexeme {
	if !w.tail.ok || w.tail.from < 2 || w.lx[w.tail.from].glued {
		return nil
	}
	return &w.lx[w.tail.from-1]
}

// isFlagWord reports whether l may be a flag: a word of one or two letters, or a star.
func isFlagWord(l *lexeme) bool {
	if l.glued || len(l.text) > 2 {
		return false
	}
	return l.kind == lexWord && !notFlags[strings.ToUpper(l.text)] || l.isSign('*') || l.isSign('#') || l.isSign('+')
}

// takeName takes the line's code, flags and name: what is left when quantity,
// code, amount and flags are taken away.
func (w *row) takeName() {
	switch w.kind {
	case LineItem, LineQuantity, LineDeduction, LineVoid, LineFee, LineCredit, LineOther:
	default:
		return
	}
	end := len(w.lx)
	if w.tail.ok {
		end, w.flags = w.tail.from, w.tail.flags
	}
	if w.kind == LineOther && w.tail.ok {
		return
	}
	if w.flags == "" && w.tail.ok && end > 1 && isFlagColumn(w.lx, end-1) {
		end--
		w.flags = w.lx[end].text
	}
	if w.kind == LineItem {
		end = beforeColumn(w.lx, end)
	}
	var b strings.Builder
	for i := range w.lx[:end] {
		l := &w.lx[i]
		if w.qty.ok && (i >= w.qty.from && i < w.qty.to || i == 0 && w.qty.leads) {
			continue
		}
		if w.code == "" && w.isCode(i) {
			w.code = l.text
			continue
		}
		if b.Len() > 0 && !l.glued {
			b.WriteByte(' ')
		}
		b.WriteString(l.text)
	}
	w.name = strings.Trim(b.String(), " .,:;*-|~_=#'`\"$@")
	if strings.Count(w.name, "(") != strings.Count(w.name, ")") {
		w.name = strings.Trim(w.name, " ()")
	}
}

// beforeColumn leaves out an amount that stands before end in a column of its own: the
// regular price beside the one that is charged.
func beforeColumn(lx []lexeme, end int) int {
	i := end - 1
	if i < 2 || !lx[i].isAmount() || lx[i].glued && !lx[i-1].isSign('$') {
		return end
	}
	from := i
	for from > 1 && isCurrency(lx, from-1) {
		from--
	}
	if lx[from].x0-lx[from-1].x1 < 2*charWidth(&lx[i]) {
		return end
	}
	return from
}

// isLongCode reports whether l has the digits of a product code of a package.
func isLongCode(l *lexeme) bool { return l.isWhole() && len(l.text) >= 11 && len(l.text) <= 14 }

// isFlagColumn reports whether the lexeme at i, before the amount, is a flag in
// a column of its own: one capital with two columns free on its left.
func isFlagColumn(lx []lexeme, i int) bool {
	l := &lx[i]
	if l.kind != lexWord || len(l.text) != 1 || l.glued || l.text[0] < 'A' || l.text[0] > 'Z' {
		return false
	}
	width, left := charWidth(l), int32(2)
	if isLongCode(&lx[i-1]) {
		left = 1 // codes in a column reach up to it
	}
	return l.x0-lx[i-1].x1 >= left*width && lx[i+1].x0-l.x1 >= width
}
