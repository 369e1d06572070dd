package parse

import (
	"slices"
	"strings"

	"tillproof/ocr"
)

// What holds of a text because no digit is misread in it holds of a photo too where its
// digits are beyond doubt: every look at the line saw the same numbers, the reader was
// sure, and no runner-up comes near. The receipt must then work out whole with the very
// amounts that were read. A misreading that all looks share is rare, and that lines read
// in another way make up for it to the cent is rarer by far; where one wrong digit may be
// what keeps a sum open nothing of this is tried.

const (
	// sureConfidence and sureCost are when a number is beyond doubt: the reader's
	// confidence in it, and that the nearest other is a hundred times less likely.
	sureConfidence = 0.8
	sureCost       = 4.6
	// heardConfidence is what a reading with another amount must have to count: large
	// print comes out as nothing in some preparations.
	heardConfidence = 0.5
)

// surelyRead reports whether the amount of a photo's line cannot be misread, by all that
// was seen; of a line without, none of its numbers.
func (w *row) surelyRead(p *parser) bool {
	if !w.tail.ok {
		return len(w.words) > 0 && w.numbersSure()
	}
	best := &w.words[w.lx[w.tail.at].word]
	sure, votes, others := surely(best), 0, 0
	for k, r := range w.line.Readings {
		t, words := p.mendedTail(r.Words)
		switch {
		case t.ok && t.cents == w.tail.cents && t.minus == w.tail.minus:
			sure = sure || surely(&words[p.lexemes[t.at].word])
			if votes += max(r.Votes, 1); k == 0 {
				votes = max(votes, best.Votes) // put together of several
			}
		case len(r.Words) > 0 && r.Words[len(r.Words)-1].Confidence >= heardConfidence:
			others += max(r.Votes, 1)
		}
	}
	return sure && votes > 1 && others*steadyVotes <= votes
}

// numbersSure reports whether no number of a line can be misread.
func (w *row) numbersSure() bool {
	if w.exact {
		return true
	}
	for i := range w.words {
		if isNumeric(w.words[i].Text) && !surely(&w.words[i]) {
			return false
		}
	}
	return true
}

// surely reports whether the digits of a word are beyond doubt.
func surely(w *ocr.Word) bool {
	return w.Confidence >= sureConfidence && !slices.ContainsFunc(w.Alternatives, func(a ocr.Alternative) bool {
		return a.Cost < sureCost && isOther(a.Text, w.Text)
	})
}

// isOther reports whether a runner-up is another number than was read: "&.30" is none,
// only an 8 that looks like that.
func isOther(runnerUp, read string) bool {
	runnerUp = mended(runnerUp)
	return !sameDigits(runnerUp, mended(read)) && strings.Trim(runnerUp, "0123456789.,:-$()%@/xX") == ""
}

// isNumeric reports whether a word is a number: digits, and beside them only signs, a
// times sign and a unit of weight.
func isNumeric(s string) bool {
	s = strings.TrimRight(strings.ToLower(s), "lbkgx.,:;")
	digits := false
	for i := range len(s) {
		switch c := s[i]; {
		case digit(c):
			digits = true
		case c == 'x' && i == 0:
		case c >= 'a' && c <= 'z', c >= 0x80:
			return false
		}
	}
	return digits
}

// What makes the letters of a word beyond doubt. Names of goods are a letter or two from
// words that tills use, so that only what may be misread is taken for one.
const (
	plainConfidence = 0.85
	plainCost       = 2.3
)

// misread says of a folded word of the line whether a letter of it may be misread; nil
// for a text.
func (w *row) misread() func(word string) bool {
	if w.exact {
		return nil
	}
	var plain []string
	for i := range w.words {
		if isPlain(&w.words[i]) {
			plain = foldWords(w.words[i].Text, plain)
		}
	}
	return func(word string) bool { return !slices.Contains(plain, word) }
}

// isPlain reports whether the letters of a word are beyond doubt.
func isPlain(word *ocr.Word) bool {
	return word.Confidence >= plainConfidence && !isBroken(word.Text) && !slices.ContainsFunc(word.Alternatives, func(a ocr.Alternative) bool {
		return a.Cost < plainCost && fold(a.Text) != fold(word.Text)
	})
}

// plainWords are the words of a photo's line whose letters are beyond doubt.
func (w *row) plainWords() (all []string) {
	if w.exact {
		return nil
	}
	for i := range w.words {
		if word := &w.words[i]; isPlain(word) {
			all = append(all, word.Text)
		}
	}
	return all
}

// rereadSure is reread for a photo: it holds only where every line that is then another
// than before is beyond doubt, and the amounts as they were read work out with it; all
// lines are decided together only where all are. Else they are again what their words say.
func (p *parser) rereadSure(pages []ocr.Page) bool {
	if p.digitOff(&p.chain) || p.lacksLine() {
		return false
	}
	p.single = !p.surely(nil)
	defer func() { p.single = false }()
	rows, count, counted := p.rows, p.r.ItemCount, p.countRow
	if p.reread(pages) && !p.lacksLine() && p.surely(rows) {
		return true
	}
	p.rows, p.r.ItemCount, p.countRow = rows, count, counted
	p.build(0, &p.chain)
	return false
}

// tellsSum takes lines with a minus for told that by their words are of many coupons, and are what
// the deductions right above them come to, where the receipt then works out: what its sum misses
// by may be one digit. So nobody may have seen an amount in that sum which is just that much
// larger or smaller, and a line of like words above may be a coupon as well as this.
func (p *parser) tellsSum(pages []ocr.Page) bool {
	if p.lacksLine() {
		return false
	}
	var told guess
	for i, again := range p.blocksAgain() {
		if w := &p.rows[i]; again && w.kind == LineDeduction && w.tail.minus && w.saysMany() {
			if p.rows[i-1].saysMany() || p.otherBy(i, w.cents) {
				return false
			}
			told = append(told, saying(i, markTotal|markCoupon, ""))
		}
	}
	if told == nil {
		return false
	}
	rows, count, counted := p.rows, p.r.ItemCount, p.countRow
	if p.readAs(pages, told); p.badness() == 0 {
		p.told = told
		return true
	}
	p.rows, p.r.ItemCount, p.countRow = rows, count, counted
	p.build(0, &p.chain)
	return false
}

// otherBy reports whether a row in the sums of row i may have another amount, by what readers saw
// or what looks alike where they were not sure, that differs by just cents from what was read.
func (p *parser) otherBy(i int, cents int64) bool {
	for k := range p.chain.segs {
		rows := p.chain.segs[k].rows()
		if !slices.Contains(rows, i) {
			continue
		}
		for _, j := range rows {
			w := &p.rows[j]
			if j != i && slices.ContainsFunc(w.candidates(p), func(c candidate) bool {
				by := c.cents - w.cents
				return (by == cents || by == -cents) && c.cost < otherwiseSeen
			}) {
				return true
			}
		}
	}
	return false
}

// otherwiseSeen is what another amount costs at most to be one that a row may have.
const otherwiseSeen = 550

// lacksLine reports whether a line among those of the sums was not read.
func (p *parser) lacksLine() bool {
	first, last := -1, -1
	for i := range p.rows {
		if p.rows[i].part != partNone {
			if last = i; first < 0 {
				first = i
			}
		}
	}
	return first < 0 || slices.ContainsFunc(p.rows[first:last+1], func(w row) bool { return w.unread || w.damaged })
}

// surely reports whether the amounts of the sums are beyond doubt; of the rows that were
// the same before, where before is given, nothing is asked.
func (p *parser) surely(before []row) bool {
	for i := range p.rows {
		w := &p.rows[i]
		if before != nil && w.part == before[i].part && (w.part == partNone || w.cents == before[i].cents) {
			continue
		}
		if (w.part != partNone || before != nil) && !w.sure && !p.statedTwice(w) {
			return false
		}
	}
	return true
}

// statedTwice reports whether w states a sum, or pays it, that another line beyond doubt
// states or pays too.
func (p *parser) statedTwice(w *row) bool {
	states := func(v *row) bool { return v.part == partCheck || v.part == partTender }
	return states(w) && slices.ContainsFunc(p.rows, func(v row) bool { return v.sure && states(&v) && v.cents == w.cents })
}
