package parse

import (
	"math"
	"slices"
	"strings"

	"tillproof/ocr"
)

// part says how a line's amount takes part in the receipt's sums.
type part uint8

const (
	partNone   part = iota
	partAdd         // adds its amount: items, deductions, fees, tax
	partCheck       // states what the sum is so far: subtotal, total, balance
	partTender      // pays: takes its amount off what is due
	partChange      // states what was paid too much
)

// row is a printed line on its way to a Line.
type row struct {
	line   *ocr.Line
	photo  int
	exact  bool // of a text: nothing in it can be misread
	sure   bool // nor, by all that was seen, its amount (sure.go)
	unread bool
	text   string
	words  []ocr.Word
	lx     []lexeme
	said   marked
	tail   tail
	qty    quantity
	// qtyLine is the line that says the quantity, nil where that is its own.
	qtyLine *ocr.Line
	// damaged: the line ends in what was an amount and cannot be read.
	damaged bool

	kind   LineKind
	part   part
	cents  int64 // the amount with the sign it has in the sums
	has    bool  // the line has an amount
	of     int   // the row it belongs to, counted from 1
	points int
	tender string
	last4  string
	// informal: the form of the line leaves open whether it is in the sum, or
	// on which side (hypotheses.go).
	informal doubt

	code, name string
	flags      string
	proof      Proof
	// repaired: the sums chose another amount than was read best; ambiguous:
	// they leave more than one; lost: a statement that no reading fits.
	repaired, ambiguous, lost bool
	// invented: what it was repaired to no reader saw; quantity and price gave it. made: it
	// showed no amount at all. otherwise: a reading nearly as likely as the first shows it.
	invented, made, otherwise bool
	spelling                  spelling
	// net: it may be a subtotal by the words of old tills.
	net bool
	// fitsEither: its quantity line fits the amount of another item as well.
	fitsEither bool
}

// weightWords only say that a weight follows.
var weightWords = map[string]bool{"WT": true, "WGT": true, "WEIGHT": true, "WEIGHED": true, "NET": true}

// hasName reports whether the line has a word of two letters or more outside
// of what was taken for quantity, code and amount.
func (w *row) hasName() bool {
	end := len(w.lx)
	if w.tail.ok {
		end = w.tail.from
	}
	for i := range w.lx[:end] {
		l := &w.lx[i]
		if l.kind != lexWord || w.qty.ok && i >= w.qty.from && i < w.qty.to || isCurrency(w.lx, i) {
			continue
		}
		if weight, piece := unitOf(l); len(l.text) >= 2 && weight == "" && !piece && !(w.qty.ok && weightWords[strings.ToUpper(l.text)]) {
			return true
		}
	}
	return false
}

// newRows makes a row of every line of the pages.
func (p *parser) newRows(pages []ocr.Page) {
	n := 0
	for i := range pages {
		n += len(pages[i].Lines)
	}
	p.rows, p.described = make([]row, 0, min(n, mostLines)), 0
	var folded []string
	for i := range pages {
		page := &pages[i]
		for j := range page.Lines {
			if len(p.rows) == mostLines {
				p.warn("there are more lines than a receipt can have: only the first were read")
				return
			}
			w := row{line: &page.Lines[j], exact: page.Text, photo: page.Lines[j].Photo}
			if l := p.looked[w.line]; l != nil {
				w.line = l
			}
			if w.photo == 0 && !page.Text {
				w.photo = page.Photo
			}
			w.made = p.made[w.line]
			w.repaired, w.invented = w.made, w.made
			folded = p.readRow(&w, folded[:0])
			p.rows = append(p.rows, w)
		}
	}
	p.forgetRules()
	p.nets()
	p.sizes()
	p.dropNumbering()
	if !p.exact {
		p.countedBeside()
		p.countedByWord()
	}
	p.flagColumns()
	if p.exact {
		p.markColumns()
	} else {
		p.flagColumnSeen()
		p.dropBeside()
		p.mendCutGoods()
		p.mendLostUnits()
		p.mendColumnUnits()
		p.mendLetterUnits()
		p.mendBareWeights()
		p.sayAgain()
	}
	p.products()
	if p.exact {
		p.unitColumn()
		p.columnsHeld()
		p.signedUnits()
		p.edge = p.amountEdge()
	}
}

// leastSaid is how many letters what a line says has at least for another line to be taken
// for the same with letters misread.
const leastSaid = 10

// sayAgain gives to each line of a photo with words that are not known what another line
// says that is like it but for a letter in five, the likest: "MARXKED: OOWN FROM 8.59".
func (p *parser) sayAgain() {
	type saying struct {
		letters string
		said    marked
	}
	var known []saying
	for i := range p.rows {
		if w := &p.rows[i]; !w.exact && w.tail.ok && w.said.marks != 0 && w.said.unknown == 0 && !w.hasCode() {
			if s := w.letters(); len(s) >= leastSaid {
				known = append(known, saying{s, w.said})
			}
		}
	}
	for i := range p.rows {
		w := &p.rows[i]
		if w.exact || !w.tail.ok || w.said.unknown == 0 || len(known) == 0 || w.hasCode() {
			continue
		}
		s, nearest := w.letters(), math.MaxInt
		for _, other := range known {
			limit := len(other.letters) / 5
			if d := distance(s, other.letters, limit+1); d <= limit && d < nearest {
				w.said, nearest = other.said, d
			}
		}
	}
}

// forgetRules takes no account of what was seen as a line and is much lower
// than the print: a printed rule, or a speck.
func (p *parser) forgetRules() {
	tall := func(w *row) int {
		if w.line.Tall > 0 {
			return w.line.Tall
		}
		return w.line.Box.H
	}
	var heights []int
	for i := range p.rows {
		if w := &p.rows[i]; !w.exact && !w.unread {
			heights = append(heights, tall(w))
		}
	}
	if len(heights) == 0 {
		return
	}
	slices.Sort(heights)
	usual := heights[len(heights)/2]
	for i := range p.rows {
		if w := &p.rows[i]; w.unread && tall(w) > 0 && tall(w)*5 < usual*3 {
			w.unread = false
		}
	}
}

// readRow takes the best reading of the line apart, or the first that has an
// amount where the best has none, or another behind the best's.
func (p *parser) readRow(w *row, folded []string) []string {
	if len(w.line.Readings) == 0 {
		w.unread = !w.exact
		return folded
	}
	for k := range w.line.Readings {
		p.takeReading(w, k)
		if w.tail.ok || w.exact || k == 0 && saysQuantity(w.words) && w.isQuantity() {
			break // what stands at the end is a price, however other readings part it
		}
	}
	if !w.tail.ok && len(w.line.Readings) > 1 {
		p.takeReading(w, 0)
	}
	for k := range w.line.Readings {
		if w.tail.ok && !w.exact && p.goesFurther(w, w.line.Readings[k].Words) {
			p.takeReading(w, k) // the amount is behind the one that was read
		}
	}
	w.unread = !w.exact && strings.TrimSpace(w.text) == ""
	folded = foldWords(w.spoken(), folded)
	w.said = mark(folded, p.own, w.misread())
	w.net = w.tail.ok && w.saysNet(folded)
	end := len(w.lx)
	if w.tail.ok {
		end = w.tail.from
		w.qty = columns(w.lx, &w.tail, p.whole)
	}
	if q := findQuantity(w.lx, end); q.ok && (!w.qty.ok || q.sure && q.units > 0) {
		w.qty = q
	}
	if !w.exact && !w.tail.ok {
		p.mendCutEnd(w)
	}
	w.damaged = !w.tail.ok && endsDamaged(w.words)
	w.sure = w.exact || w.surelyRead(p)
	return folded
}

// nets takes for subtotals what old tills call so, unless it is less than half of the last that
// was stated: "ST 0.54" below a subtotal is a tax.
func (p *parser) nets() {
	last := int64(0)
	for i := range p.rows {
		w := &p.rows[i]
		if w.net && 2*w.tail.cents >= last {
			w.said = saying(i, markSubtotal, "").said
		}
		if w.tail.ok && w.said.has(markSubtotal) {
			last = w.tail.cents
		}
	}
}

// saysNet reports whether the line is nothing but a word of old tills for a subtotal, or what goods
// come to before or after coupons, and its amount.
func (w *row) saysNet(folded []string) bool {
	if len(folded) < 2 && !(len(folded) == 1 && folded[0] == subtotalAlone) || folded[0] != subtotalAlone && folded[1] != subtotalAlone && !besideCoupons[folded[0]] {
		return false
	}
	words := foldWords(w.beforeAmount(), nil)
	switch len(words) {
	case 1:
		return words[0] == subtotalAlone
	case 2:
		goods := words[1] == subtotalAlone && !w.exact && distance(words[0], fold("mdse"), 1) <= 1 // "MOSE ST"
		return goods || besideCoupons[words[0]] && mark(words[1:], nil, nil).marks&markCoupon != 0
	}
	return false
}

// subtotalAlone is how old tills call a subtotal, where nothing else stands in its line.
var subtotalAlone = fold("ST")

// besideCoupons are words before one of coupons for what goods come to without or with them.
var besideCoupons = map[string]bool{fold("before"): true, fold("after"): true}

// isQuantity reports whether the line is a quantity with its unit price and nothing else.
func (w *row) isQuantity() bool {
	q := findQuantity(w.lx, len(w.lx))
	return q.ok && q.sure && q.hasPrice && q.from == 0 && q.to == len(w.lx)
}

// spoken is the text of the line without flags behind its amount, which are no
// words ("1.80-TX" is no tax), and with a word apart that was glued to it ("You pay1.85").
func (w *row) spoken() string {
	// Words that were put right count as they are now, where they are more or begin otherwise.
	parted := !w.exact && (len(w.words) > len(strings.Fields(w.text)) || len(w.words) > 1 && !strings.HasPrefix(strings.TrimSpace(w.text), w.words[0].Text))
	if !w.tail.ok || w.tail.flags == "" && !parted {
		return w.text
	}
	return w.beforeAmount()
}

// beforeAmount is the text of the line up to its amount.
func (w *row) beforeAmount() string {
	if !w.tail.ok {
		return w.text
	}
	n := int(w.lx[w.tail.from].word)
	var b strings.Builder
	for _, word := range w.words[:n] {
		b.WriteString(word.Text)
		b.WriteByte(' ')
	}
	// What is glued to the front of the amount is said too: "TOTAL:5.00".
	for i := range w.lx[:w.tail.from] {
		if int(w.lx[i].word) == n {
			b.WriteString(w.lx[i].text)
		}
	}
	return b.String()
}

// takeReading cuts reading k of the line into lexemes and finds its amount.
func (p *parser) takeReading(w *row, k int) {
	r := &w.line.Readings[k]
	w.words, w.text = r.Words, r.Text()
	if w.exact {
		p.lexemes = p.lex(w.words)
		w.tail = findTail(p.lexemes, p.whole)
	} else {
		w.tail, w.words = p.mendedTail(r.Words)
	}
	w.lx = p.keep(p.lexemes)
}

// keep copies lexemes into memory that rows share, so that a receipt costs few
// allocations.
func (p *parser) keep(lx []lexeme) []lexeme {
	if cap(p.arena)-len(p.arena) < len(lx) {
		p.arena = make([]lexeme, 0, max(512, len(lx)))
	}
	from := len(p.arena)
	p.arena = append(p.arena, lx...)
	return p.arena[from:len(p.arena):len(p.arena)]
}

// endsDamaged reports whether the last word is what is left of an amount: signs
// and digits around a point with two places after it, not all of them digits.
func endsDamaged(words []ocr.Word) bool {
	for i := len(words) - 1; i >= 0 && i >= len(words)-2; i-- {
		s := strings.TrimFunc(words[i].Text, func(r rune) bool { return r == '-' || r == '$' || r == '(' || r == ')' })
		dot := strings.LastIndexAny(s, ".,")
		if dot < 1 || len(s)-dot != 3 || len(s) > 9 {
			continue
		}
		holes, letters := 0, 0
		for _, c := range s[:dot] + s[dot+1:] {
			switch {
			case strings.ContainsRune("?#*_~", c):
				holes++
			case c < '0' || c > '9':
				letters++
			}
		}
		if holes > 0 && letters == 0 {
			return true
		}
	}
	return false
}
