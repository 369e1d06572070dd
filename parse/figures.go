package parse

import (
	"slices"
	"strings"

	"tillproof/money"
)

// Besides the chain of sums a receipt does arithmetic within lines: a tax table
// adds what is without tax and the tax to what is with it, and units times their
// price are an amount. Where one number of such a line does not fit and what was
// read of it may be the number that does, that is what is printed. Only what is
// in no sum, or no amount, is mended so: no sum works out by it.

// mendFigures puts such numbers of a photo right, once the sums are known.
func (p *parser) mendFigures() {
	var totals []int64
	for i := range p.rows {
		w := &p.rows[i]
		if w.exact || len(w.words) == 0 {
			continue
		}
		if w.part == partCheck && (w.kind == LineTotal || w.kind == LineSubtotal) {
			totals = append(totals, w.cents)
		}
		switch {
		case w.part == partAdd && w.proof.Firm():
			p.mendUnitPrice(w)
			p.mendEach(w)
		case p.mendRounding(i):
		case len(totals) > 0 && w.inTaxTable():
			p.mendTaxes(w, totals)
		}
	}
}

// inTaxTable reports whether the row may be one of a tax table.
func (w *row) inTaxTable() bool {
	switch w.kind {
	case LineOther, LineFee, LineTax, LineTotal:
		return w.part == partNone && (w.hasPercent() || w.said.has(markTax|markTaxInfo|markNet|markTotal))
	}
	return false
}

// figure is a number at the end of a line.
type figure struct {
	word  int // its index
	cents int64
	ok    bool // it has the form of an amount
}

// figures are the last numbers of the row, at most three, left to right.
func (w *row) figures() []figure {
	var out []figure
	for k := len(w.words) - 1; k >= 0 && len(out) < 3; k-- {
		text := w.words[k].Text
		if !strings.ContainsAny(text, "0123456789") || strings.ContainsAny(text, "%@:/") {
			break
		}
		cents, ok := printedCents(text)
		out = append(out, figure{k, cents, ok})
	}
	slices.Reverse(out)
	return out
}

// printedCents is the amount that a word prints and nothing else.
func printedCents(text string) (cents int64, ok bool) {
	digits, dec := number(bare(text))
	return digits, dec == 2
}

// bare is s without what stands before and behind its digits.
func bare(s string) string {
	return strings.TrimFunc(s, func(r rune) bool { return r < '0' || r > '9' })
}

// mendTaxes mends the one number of a tax table's line that does not fit: the
// last three are to add up, or the last two to make a total.
func (p *parser) mendTaxes(w *row, totals []int64) {
	f := w.figures()
	n := len(f)
	if n < 2 {
		return
	}
	type mend struct {
		word int
		text string
	}
	var found []mend
	// fits reports whether a and b make sum, and if not notes what would.
	fits := func(a, b figure, sum int64) bool {
		for _, k := range [][2]figure{{a, b}, {b, a}} {
			if text := money.FromCents(sum - k[0].cents).String(); k[0].ok && sum >= k[0].cents && p.mayBe(w, k[1].word, text) {
				found = append(found, mend{k[1].word, text})
			}
		}
		return a.ok && b.ok && a.cents+b.cents == sum
	}
	if n == 3 && f[2].ok && fits(f[0], f[1], f[2].cents) {
		return
	}
	for _, total := range totals {
		if fits(f[n-2], f[n-1], total) {
			return
		}
	}
	if len(found) == 0 || slices.ContainsFunc(found, func(m mend) bool { return m != found[0] }) {
		return
	}
	p.reword(w, found[0].word, 1, found[0].text)
}

// mayBe reports whether the amount text is what is printed at a word of w.
func (p *parser) mayBe(w *row, word int, text string) bool {
	back := len(w.words) - word
	for _, r := range w.line.Readings {
		if words := mendWords(r.Words); len(words) >= back && bare(words[len(words)-back].Text) == text {
			return true // read so at another size
		}
	}
	read := w.words[word].Text
	switch s := bare(read); {
	case len(s) < 3:
	case strings.ReplaceAll(text, ".", "") == s:
		return true // the point was not seen
	case len(s) == len(text)-1 && strings.HasPrefix(text, s[:1]) && !digit(s[1]) && text[1:len(s)] == "."+s[2:]:
		return true // the end was cut off
	}
	off, at := 0, 0
	if len(read) != len(text) {
		return false
	}
	for i := range len(text) {
		if read[i] != text[i] {
			off, at = off+1, i
		}
	}
	if off != 1 {
		return false
	}
	if !digit(read[at]) {
		return read[at] != '-' && read[at] != '('
	}
	return digit(text[at]) && strings.IndexByte(lookAlikes[read[at]-'0'], text[at]) >= 0 && p.tells(w, text)
}

// tells reports whether another line than w has the amount text.
func (p *parser) tells(w *row, text string) bool {
	for i := range p.rows {
		if v := &p.rows[i]; v != w && v.tail.ok && money.FromCents(v.tail.cents).String() == text {
			return true
		}
	}
	return false
}

// mendUnitPrice finds a price whose point was not seen, "6 18 02 108.12": units
// times it are the amount.
func (p *parser) mendUnitPrice(w *row) {
	if _, ok := w.qty.extension(); !w.tail.ok || ok {
		return
	}
	end := int(w.lx[w.tail.from].word)
	for i := range end {
		units, dec := number(w.words[i].Text)
		if dec != -1 || units < 2 || units > 999 {
			continue
		}
		for j := range end {
			s, n := w.words[j].Text, 1
			if j+1 < end && j+1 != i && len(w.words[j+1].Text) == 2 {
				s, n = s+w.words[j+1].Text, 2
			}
			cents, dec := number(s)
			if j == i || dec != -1 || len(s) < 3 || cents*units != max(w.cents, -w.cents) {
				continue
			}
			// The amount stays what the sums made of it: its word may be misread still.
			amount, proof := w.cents, w.proof
			p.reword(w, j, n, money.FromCents(cents).String())
			w.cents, w.proof = amount, proof
			return
		}
	}
}

// mendCutEnd puts the last digit to an amount that was cut off, "2 x 0.20 0.4", where
// units times their price have the digits that are left; or a deduction's, "DEAL 3.80 OFF
// -3.8", where the line names the amount; or a tender's where a total above has them.
func (p *parser) mendCutEnd(w *row) {
	n := len(w.words) - 1
	if n < 0 {
		return
	}
	cut := w.words[n].Text
	if sign := strings.TrimPrefix(cut, "-"); sign != cut {
		for _, l := range w.lx {
			if l.isAmount() && int(l.word) < n && len(sign) > 2 && sign == l.text[:len(l.text)-1] {
				p.reword(w, n, 1, "-"+l.text)
				return
			}
		}
	}
	if w.said.has(markTender) && !w.said.has(markTotal) && len(cut) > 2 {
		for i := len(p.rows) - 1; i >= 0; i-- {
			v := &p.rows[i]
			if v.tail.ok && !v.tail.minus && v.said.has(markTotal) {
				if text := money.FromCents(v.tail.cents).String(); strings.TrimPrefix(cut, "$") == text[:len(text)-1] {
					p.reword(w, n, 1, text)
					return
				}
			}
		}
	}
	cents, ok := w.qty.extension()
	if !ok || !w.qty.sure || w.qty.per > 1 || w.qty.to == 0 || int(w.lx[w.qty.to-1].word) != n-1 {
		return
	}
	if text := money.FromCents(cents).String(); len(cut) > 2 && cut == text[:len(text)-1] {
		p.reword(w, n, 1, text)
	}
}

// mendCutGoods puts the last digit to amounts of goods that were cut off, "$22.1", where units
// and price on the line above or below have the digits that are left.
func (p *parser) mendCutGoods() {
	for i := range p.rows {
		w := &p.rows[i]
		n := len(w.words) - 1
		if w.tail.ok || n < 1 || w.qty.ok {
			continue
		}
		cut := w.words[n].Text
		for _, k := range [...]int{i + 1, i - 1} {
			if k < 0 || k >= len(p.rows) || p.rows[k].tail.ok || p.rows[k].hasName() {
				continue
			}
			cents, ok := p.rows[k].qty.extension()
			if text := money.FromCents(cents).String(); ok && p.rows[k].qty.sure && cents >= 100 && strings.TrimPrefix(cut, "$") == text[:len(text)-1] {
				p.reword(w, n, 1, cut[:len(cut)-len(text)+1]+text)
				break
			}
		}
	}
}

// leastRounded is what no till rounds an amount by: the largest step in use is a
// fifth of it.
const leastRounded = 100

// mendRounding mends a rounding whose nought was read as a digit like it, between
// two statements of the same sum; it reports whether row i is one.
func (p *parser) mendRounding(i int) bool {
	w := &p.rows[i]
	text := money.FromCents(w.tail.cents).String()
	if !w.tail.ok || w.proof.Firm() || w.tail.cents < leastRounded || text[1:] != ".00" || strings.IndexByte(lookAlikes[0], text[0]) < 0 {
		return false
	}
	// What the row was taken for may have hung on its amount.
	if said := mark(foldWords(w.spoken(), nil), p.own, w.misread()); !said.has(markRounding) || said.has(markTotal) {
		return false
	}
	if above, below := p.statement(i, -1), p.statement(i, 1); above != nil && below != nil && above.cents == below.cents {
		w.kind, w.part = LineOther, partNone
		p.reword(w, int(w.lx[w.tail.at].word), 1, "0.00")
	}
	return true
}

// statement is the next subtotal or total above or below row i that the sums
// prove, nil where another amount of the sums comes before.
func (p *parser) statement(i, step int) *row {
	for j := i + step; j >= 0 && j < len(p.rows); j += step {
		switch w := &p.rows[j]; {
		case w.part == partCheck && w.proof.Firm():
			return w
		case w.part != partNone:
			return nil
		}
	}
	return nil
}

// reword puts text for n words of w, and takes its amount anew.
func (p *parser) reword(w *row, at, n int, text string) {
	words := slices.Clone(w.words)
	last := words[at+n-1].Box
	words[at].Text = text
	words[at].Box.W = last.X + last.W - words[at].Box.X
	w.words = slices.Delete(words, at+1, at+n)
	if p.relex(w); w.has && w.tail.ok && w.tail.cents != max(w.cents, -w.cents) {
		w.cents, w.proof = w.tail.signed(), Repaired
	}
}

// relex cuts the words of w into lexemes and finds its amount anew.
func (p *parser) relex(w *row) {
	p.lexemes = p.lex(w.words)
	w.lx = p.keep(p.lexemes)
	w.tail = findTail(w.lx, p.whole)
}
