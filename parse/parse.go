package parse

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/ocr"
)

// parser makes one Receipt. Its rows are the lines with what is known of them
// so far; the methods that Parse calls fill them in, one after the other.
type parser struct {
	opts Options
	own  *wordIndex
	r    *Receipt
	rows []row
	// exact: all pages are text, in which nothing can be misread.
	exact bool
	// dollars: a currency sign stands before most amounts.
	dollars bool
	// starred: a star does.
	starred bool
	// whole: the currency is printed without decimals.
	whole bool
	// unitless: of amounts below one unit only the places are printed, ".39".
	unitless bool
	// habits are how the photos' amounts are printed.
	habits habits
	// edge is the column in which the amounts of a text end, 0 for none.
	edge int32
	// countRow is the line that tells the number of items, nil for none.
	countRow *row
	chain    chain
	// looked are the lines that got a second look, with what it showed.
	looked map[*ocr.Line]*ocr.Line
	// made are those of them whose amount no reader saw: units and price make it.
	made map[*ocr.Line]bool
	// told are lines that were found to tell again what others take off.
	told guess
	// described: how many deductions have a line below them that says what they are worth, -1
	// for none, 0 where that was not asked yet.
	described int
	// single: not all digits are beyond doubt, so that lines are reread one by one only.
	single bool

	lexemes, arena []lexeme
}

// Parse makes a receipt of pages in which photos of it were read, top to
// bottom, or of the page that TextPage makes of a text.
//
// Every line is taken apart by itself (rows.go), what it is decided by its
// words, its form and its place (classify.go), and lines that belong together
// joined (attach.go); store and date come from the rest (head.go). Then the
// receipt's sums are tried, amounts that were
// misread are repaired where the sums leave one way to do so, and each amount
// gets its proof (sums.go, repair.go, proof.go, figures.go).
func Parse(pages []ocr.Page, opts Options) *Receipt {
	p := &parser{opts: opts, own: newOwnWords(opts.Words), r: &Receipt{Lines: []Line{}}, exact: true}
	for i := range pages {
		p.exact = p.exact && pages[i].Text
		p.r.Warnings = append(p.r.Warnings, pages[i].Advice...)
	}
	if n := len(pages); n > 0 {
		p.r.Complete = Complete{Top: pages[0].Top, Bottom: pages[n-1].Bottom}
	}
	p.whole, p.unitless = withoutDecimals(pages), !p.exact && printsUnitless(pages)
	p.starred = printsStars(pages)
	if !p.exact {
		p.habits = habitsOf(pages)
	}
	p.newRows(pages)
	p.dollars = p.currencySigns()
	p.classify()
	p.attach()
	p.readHead()
	p.prove(pages)
	p.mendFigures()
	for i := range pages {
		p.r.Firm = p.r.Firm && !pages[i].Gap // lines may be missing between photos
	}
	p.emit()
	return p.r
}

func (p *parser) warn(format string, args ...any) {
	p.r.Warnings = append(p.r.Warnings, fmt.Sprintf(format, args...))
}

// withoutDecimals reports whether the amounts of the pages are printed without
// decimals, with thousands divided by points or commas ("45.500"): where there
// are at least three such numbers, and more of them than of amounts with two
// decimals.
func withoutDecimals(pages []ocr.Page) bool {
	whole, two := 0, 0
	for words := range bestWords(pages) {
		for k := range words {
			switch endForm(words[k].Text) {
			case 2:
				two++
			case 3:
				whole++
			case 0:
				if k+1 < len(words) && splitThousands(words[k].Text, words[k+1].Text) {
					whole++
				}
			}
		}
	}
	return whole >= 3 && whole > two
}

// bestWords yields the words of the best reading of each line that was read.
func bestWords(pages []ocr.Page) iter.Seq[[]ocr.Word] {
	return func(yield func([]ocr.Word) bool) {
		for i := range pages {
			for j := range pages[i].Lines {
				if readings := pages[i].Lines[j].Readings; len(readings) > 0 && !yield(readings[0].Words) {
					return
				}
			}
		}
	}
}

// currencySigns reports whether at least three amounts have a currency sign or
// a star before them, and half of all.
func (p *parser) currencySigns() bool {
	with, all := 0, 0
	for i := range p.rows {
		if w := &p.rows[i]; w.tail.ok {
			all++
			if w.hasMark() {
				with++
			}
		}
	}
	return with >= 3 && with*2 >= all
}

// hasMark reports whether a currency sign or a star stands right before the
// line's amount.
func (w *row) hasMark() bool {
	return w.tail.at > 0 && (isCurrency(w.lx, w.tail.at-1) || w.lx[w.tail.at-1].isSign('*') && w.lx[w.tail.at].glued)
}

// endForm is the number of digits after the last separator of the number that
// s ends in, flags and signs behind it left out; 0 where it has no separator.
func endForm(s string) int {
	for len(s) > 0 && !digit(s[len(s)-1]) {
		s = s[:len(s)-1]
	}
	n := 0
	for n < len(s) && digit(s[len(s)-1-n]) {
		n++
	}
	if rest := s[:len(s)-n]; n > 0 && len(rest) > 1 && (rest[len(rest)-1] == '.' || rest[len(rest)-1] == ',') && digit(rest[len(rest)-2]) {
		return n
	}
	return 0
}

// emit writes the rows as lines of the receipt, and the amounts of its sums.
func (p *parser) emit() {
	r := p.r
	r.Lines = make([]Line, len(p.rows))
	boxes := make([]Box, len(p.rows))
	amounts := make([]money.Amount, len(p.rows))
	for i := range p.rows {
		w := &p.rows[i]
		l := &r.Lines[i]
		*l = Line{N: i + 1, Of: w.of, Kind: w.kind, Text: w.printed(p), Name: w.name, Code: w.code, Flags: w.flags,
			Points: w.points, Proof: w.proof, Photo: w.photo, Unread: w.unread, Confidence: w.confidence()}
		if w.kind == LineOther {
			l.Name, l.Code, l.Flags = "", "", ""
		}
		if w.exact {
			l.Photo, l.Confidence = 0, 0
		} else {
			b := w.line.Box
			boxes[i] = Box{b.X, b.Y, b.W, b.H}
			l.Box = &boxes[i]
			l.Plain = w.plainWords()
		}
		if w.has {
			amounts[i] = money.FromCents(w.cents)
			l.Amount = &amounts[i]
		}
		l.Quantity, l.Unit = w.qty.amount(), w.qty.unit
		l.Conditional = w.said.has(markCondition) && !w.said.has(markOwn|markEarned) || strings.HasSuffix(strings.ToUpper(w.text), " OR MORE")
		l.UnitsUnsure = !w.exact && w.qty.ok && (w.qty.made || w.qty.units == 0 && !w.qty.hasPrice)
		if l.UnitPrice = w.qty.unitPrice(); l.UnitPrice != nil && w.qty.per > 1 {
			l.PriceFor = w.qty.per
		}
		switch w.kind {
		case LineMessage:
			r.Messages = append(r.Messages, w.text)
		case LineTender:
			if w.part == partTender && w.has {
				r.Tenders = append(r.Tenders, Tender{Kind: w.tender, Amount: amounts[i], Last4: w.last4, Line: l.N})
			}
		}
	}
	p.headAmounts()
	r.Kind = p.receiptKind()
}

// printed is the text of the line: with the amount that the sums chose, where
// that is not the one that was read best.
func (w *row) printed(p *parser) string {
	if w.exact || len(w.words) == 0 {
		return w.text
	}
	if w.repaired {
		for _, r := range w.line.Readings {
			if t := p.tailOf(r.Words); t.ok && t.cents == max(w.cents, -w.cents) {
				return ocr.Reading{Words: mendWords(r.Words)}.Text()
			}
		}
	}
	if !w.repaired || !w.tail.ok {
		return ocr.Reading{Words: w.words}.Text()
	}
	number := &w.lx[w.tail.at]
	words := slices.Clone(w.words)
	word := &words[number.word]
	word.Text = strings.Replace(word.Text, number.text, money.FromCents(max(w.cents, -w.cents)).String(), 1)
	return ocr.Reading{Words: words}.Text()
}

// headAmounts fills in subtotal, tax, total and change of the receipt: the
// last subtotal before the total, all taxes that were added, and the last
// total before the tenders.
func (p *parser) headAmounts() {
	r := p.r
	paid := false
	for i := range r.Lines {
		l, w := &r.Lines[i], &p.rows[i]
		if !w.has {
			continue
		}
		switch {
		case w.part == partTender:
			paid = true
		case w.kind == LineSubtotal && r.Total == nil:
			r.Subtotal = l.Amount
		case w.kind == LineTax && w.part == partAdd:
			tax := *l.Amount
			if r.Tax != nil {
				tax = tax.Add(*r.Tax)
			}
			r.Tax = &tax
		case w.kind == LineTotal && !paid && w.part == partCheck:
			r.Total = l.Amount
		case w.part == partChange:
			r.Change = l.Amount
		}
	}
	if r.Tax == nil {
		for i := range r.Lines {
			if w := &p.rows[i]; w.kind == LineTax && w.has {
				r.Tax = r.Lines[i].Amount
				return
			}
		}
	}
}

// receiptKind says what sort of paper it is: a slip has a reward and neither
// items nor a total.
func (p *parser) receiptKind() ReceiptKind {
	items, back, credits, totals := 0, 0, 0, 0
	for i := range p.rows {
		w := &p.rows[i]
		switch {
		case w.kind == LineItem && (w.has || w.proof != ""):
			items++
			if w.cents < 0 {
				back++
			}
		case w.kind == LineCredit:
			credits++
		case w.kind == LineTotal && w.has && w.part == partCheck:
			totals++
			if w.cents < 0 {
				return KindReturn
			}
		}
	}
	switch {
	case items > 0 && items == back:
		return KindReturn
	case items > 0 || totals > 0:
		return KindSale
	case credits > 0:
		return KindSlip
	}
	return KindOther
}

// confidence is the least of the words' that make the amount, or the mean of
// all words in a line without.
func (w *row) confidence() float64 {
	if len(w.words) == 0 {
		return 0
	}
	if w.tail.ok {
		return w.words[w.lx[w.tail.at].word].Confidence
	}
	sum := 0.0
	for i := range w.words {
		sum += w.words[i].Confidence
	}
	return sum / float64(len(w.words))
}
