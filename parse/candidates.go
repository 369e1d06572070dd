package parse

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"tillproof/ocr"
)

// candidate is one way to read a row's amount.
type candidate struct {
	cents int64 // with the sign it has in the row
	// cost is how unlikely it is, in hundredths of a natural logarithm: 100 for
	// each factor of 2.7 by which the likeliest reading is likelier.
	cost int32
	// guess: no reader saw it; it only looks like what was read.
	guess bool
	// seen is what it costs by what readers saw alone, unseen where none did.
	seen int32
}

// unseen is the cost of what no reader saw.
const unseen = int32(1) << 20

// What candidates cost, above what votes and the reader's own figures say.
const (
	costOtherReading = 20
	costRunnerUp     = 40
	costUnanimous    = 160 // a runner-up, where all readings agree on another amount
	costLostMinus    = 50  // another reading has a minus
	costBlot         = 400 // another reading has none: the minus would be a blot
	costHalf         = 60  // half a bracket, which is a minus
	costDollar       = 90  // the first digit is the currency sign, or the sign a digit
	costWide         = 80  // more: two digits are the sign, or a digit less like it
	costTwice        = 200 // a digit at the front that was seen twice
	costMultiplied   = 250 // what quantity and unit price give, though not read
	costUnmultiplied = 250 // another amount than quantity and unit price give
	costOtherUnits   = 60  // what quantity and unit price give as they were read otherwise
	costUntold       = 300 // another amount than the line says is off
	costLikeGoods    = 100 // what looks like the amount that two lines with the same goods have
	costUnlikeGoods  = 250 // another amount than these have
	costAbove        = 200 // a deduction of more than its goods, or any, cost
	costGuess        = 350 // a digit that looks alike, read with no confidence
	costGuessSure    = 300 // more for one read with full confidence
)

// mostCandidates is how many amounts of a line are kept: the truth is hardly
// ever further down, and each costs the search.
const mostCandidates = 14

// shortlist gathers candidates of a row.
type shortlist struct {
	w   *row
	all []candidate
}

// candidates are the ways to read the row's amount, the likeliest first; none
// where nothing was read.
func (w *row) candidates(p *parser) []candidate {
	s := shortlist{w: w}
	if w.has {
		s.all = append(s.all, candidate{cents: w.cents})
	}
	if w.exact {
		return s.all
	}
	votes, unanimous := 1, w.unanimous(p)
	for k := range w.line.Readings {
		r := &w.line.Readings[k]
		if k == 0 {
			votes = max(r.Votes, 1)
		}
		cost := costOtherReading + int32(100*math.Log(float64(votes)/float64(max(r.Votes, 1))))
		s.add(p.tailOf(r.Words), cost, false)
		if unanimous {
			cost += costUnanimous
		}
		s.runnersUp(p, r.Words, cost)
	}
	if w.tail.ok {
		s.dollar(p)
		s.nought(p)
		s.twice()
		s.bracket()
		s.half(p)
		s.alike()
	}
	s.paid(p)
	s.multiplied(p.otherExtensions(w))
	s.taxed()
	s.told(p)
	s.again(p)
	s.ownPrint()
	slices.SortStableFunc(s.all, func(a, b candidate) int { return cmp.Compare(a.cost, b.cost) })
	return s.all[:min(len(s.all), mostCandidates)]
}

// unanimous reports whether all readings of the line have the same amount.
func (w *row) unanimous(p *parser) bool {
	for _, r := range w.line.Readings {
		if t := p.tailOf(r.Words); !t.ok || t.cents != w.tail.cents {
			return false
		}
	}
	return true
}

// add enters the amount t at a cost, with the sign that the row has.
func (s *shortlist) add(t tail, cost int32, guess bool) {
	if !t.ok {
		return
	}
	w := s.w
	cents := t.cents
	switch {
	case w.has:
		if w.cents < 0 {
			cents = -cents
		}
		if t.minus != w.tail.minus && w.part == partAdd && w.informal != doubtUnsigned && w.informal != doubtVoid {
			if cents = -cents; t.minus {
				cost += costLostMinus
			} else {
				cost += costBlot
			}
		}
	case w.kind == LineDeduction || w.kind == LineVoid || t.minus && w.part == partAdd:
		cents = -cents
	}
	seen := cost
	if guess {
		seen = unseen
	}
	s.enter(candidate{cents, cost, guess, seen})
}

// enter adds c, or makes the same amount cheaper.
func (s *shortlist) enter(c candidate) {
	for i := range s.all {
		if o := &s.all[i]; o.cents == c.cents {
			seen := min(o.seen, c.seen)
			if c.cost < o.cost {
				*o = c
			}
			o.seen = seen
			return
		}
	}
	s.all = append(s.all, c)
}

// tailOf is the amount at the end of words.
func (p *parser) tailOf(words []ocr.Word) tail {
	t, _ := p.mendedTail(words)
	return t
}

// mendedTail is the amount at the end of words, and the words with what readers do to
// amounts put right; p.lexemes are theirs.
func (p *parser) mendedTail(words []ocr.Word) (tail, []ocr.Word) {
	words = p.mendTail(p.mendUnitless(mendUnits(mendWords(words))))
	p.lexemes = p.lex(words)
	t := findTail(p.lexemes, p.whole)
	if t.ok || p.whole {
		return t, words
	}
	mended, ok := formMended(words)
	if !ok {
		return t, words
	}
	p.lexemes = p.lex(mended)
	return findTail(p.lexemes, false), mended
}

// runnersUp adds the amounts with the reader's runners-up for one word.
func (s *shortlist) runnersUp(p *parser, words []ocr.Word, cost int32) {
	t, words := p.mendedTail(words)
	if !t.ok {
		return
	}
	first := max(int(p.lexemes[t.from].word)-1, 0)
	var changed []ocr.Word
	for n := first; n < len(words); n++ {
		for _, a := range words[n].Alternatives {
			if changed == nil {
				changed = slices.Clone(words)
			}
			was := changed[n].Text
			changed[n].Text = a.Text
			s.add(p.tailOf(changed), cost+costRunnerUp+int32(100*min(a.Cost, 20)), false)
			changed[n].Text = was
		}
	}
}

// lookAlikes are, for each digit, those that worn print makes of it.
var lookAlikes = [10]string{0: "689", 1: "74", 2: "7", 3: "89", 4: "196", 5: "639", 6: "580", 7: "12", 8: "3609", 9: "48053"}

// alike adds the amounts with one digit taken for one that looks alike. They
// are guesses, and worth little where the reader was sure.
func (s *shortlist) alike() {
	t := s.w.tail
	cost := costGuess + int32(costGuessSure*s.w.amountConfidence())
	unit := int64(1)
	for rest := t.cents; rest > 0; rest /= 10 {
		for _, d := range lookAlikes[rest%10] {
			other := t
			other.cents += (int64(d-'0') - rest%10) * unit
			s.add(other, cost, true)
		}
		unit *= 10
	}
}

// multiplied brings in quantity times unit price: what it gives is a candidate
// even where the reader saw another amount, and other amounts are less likely, but those
// that another reading of quantity and price gives (others).
func (s *shortlist) multiplied(others []int64) {
	cents, ok := s.w.qty.extension()
	if !ok || s.w.qty.per > 1 {
		return
	}
	if s.w.cents < 0 {
		cents = -cents
	}
	if cents < 0 && s.w.qty.unit != "" && !s.w.said.has(markCoupon|markSaved|markOff|markRefund|markVoid) {
		s.enter(candidate{cents: -cents, cost: costMultiplied, seen: unseen}) // goods that were weighed: the minus is dirt
	}
	found := false
	for i := range s.all {
		if s.all[i].cents == cents {
			s.all[i].guess, found = false, true
			s.all[i].cost = min(s.all[i].cost, costMultiplied)
			continue
		}
		if slices.Contains(others, s.all[i].cents) && !s.all[i].guess {
			s.all[i].cost += costOtherUnits
			continue
		}
		s.all[i].cost += costUnmultiplied
	}
	if !found {
		s.all = append(s.all, candidate{cents: cents, cost: costMultiplied + costUnmultiplied, seen: unseen})
	}
}

// otherExtensions are what quantity and unit price of w come to in the readings of the line
// that says them.
func (p *parser) otherExtensions(w *row) (all []int64) {
	if _, ok := w.qty.extension(); !ok {
		return nil
	}
	line := w.line
	if w.qtyLine != nil {
		line = w.qtyLine
	}
	for _, r := range line.Readings {
		t := p.tailOf(r.Words)
		end := len(p.lexemes)
		if t.ok {
			end = t.from
		}
		q := findQuantity(p.lexemes, end)
		if cents, ok := q.extension(); ok && !slices.Contains(all, cents) {
			all = append(all, cents)
		}
	}
	return all
}

// amountConfidence is the reader's confidence in the words of the amount.
func (w *row) amountConfidence() float64 {
	if !w.tail.ok {
		return 0
	}
	return w.words[w.lx[w.tail.at].word].Confidence
}

// What makes an amount in no sum clear.
const (
	clearConfidence = 0.8
	clearVotes      = 3   // times as many readings with it as without
	clearCost       = 2.3 // a runner-up with other digits is ten times less likely
)

// clear reports whether an amount in no sum was read clearly: no other reading
// of it comes near.
func (w *row) clear(p *parser) bool {
	if w.clearAgain(p) {
		return true
	}
	if len(w.words) == 0 || w.tail.ok && w.amountConfidence() < clearConfidence {
		return false
	}
	votes, others := 0, 0
	for _, r := range w.line.Readings {
		same := !w.tail.ok && sameDigits(r.Text(), w.text)
		if t := p.tailOf(r.Words); t.ok && w.tail.ok {
			same = t.cents == w.tail.cents && t.minus == w.tail.minus
		}
		if same {
			votes += max(r.Votes, 1)
		} else {
			others += max(r.Votes, 1)
		}
	}
	return others*clearVotes <= votes && w.sureOfNumbers()
}

// sureOfNumbers reports whether no runner-up with other digits comes near for
// any word with digits, but for a card's or a coupon's number before the amount.
func (w *row) sureOfNumbers() bool {
	for i := range w.words {
		text := w.words[i].Text
		if !strings.ContainsAny(text, "0123456789") || w.tail.ok && w.points == 0 && len(text) > 3 && isDigits(text, 20) {
			continue
		}
		if w.words[i].Confidence < clearConfidence {
			return false
		}
		for _, a := range w.words[i].Alternatives {
			if a.Cost < clearCost && isOther(a.Text, w.words[i].Text) {
				return false
			}
		}
	}
	return true
}

// sameDigits reports whether two texts have the same digits.
func sameDigits(a, b string) bool {
	j := 0
	for i := range len(a) {
		if !digit(a[i]) {
			continue
		}
		for j < len(b) && !digit(b[j]) {
			j++
		}
		if j == len(b) || a[i] != b[j] {
			return false
		}
		j++
	}
	for ; j < len(b); j++ {
		if digit(b[j]) {
			return false
		}
	}
	return true
}
