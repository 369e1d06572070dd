package parse

import (
	"slices"
	"strings"
)

// told weighs what may be taken off against what else is printed: the line may say itself
// how much is off ("0.40 OFF"), and nothing is taken off goods that is more than any cost.
func (s *shortlist) told(p *parser) {
	w := s.w
	if w.kind != LineDeduction || w.part != partAdd || !w.tail.ok {
		return
	}
	off, most := w.saidOff(), p.dearestGoods()
	if w.of > 0 && p.rows[w.of-1].kind == LineItem && p.rows[w.of-1].has && p.rows[w.of-1].code == "" {
		most = p.rows[w.of-1].cents
	}
	found := slices.ContainsFunc(s.all, func(c candidate) bool { return c.cents == -off && !c.guess })
	for i := range s.all {
		c := &s.all[i]
		if off > 0 && found && c.cents != -off {
			c.cost += costUntold
		}
		if most > 0 && -c.cents > most {
			c.cost += costAbove
		}
	}
}

// mostPlaces is how many decimals a tax rate has at most.
const mostPlaces = 4

// taxed adds what a tax comes to that says its rate and what it is of: "Tax 4% on 39.02".
func (s *shortlist) taxed() {
	w := s.w
	if w.kind != LineTax || w.part != partAdd || !w.tail.ok {
		return
	}
	for i := 0; i+2 < w.tail.from; i++ {
		rate := &w.lx[i]
		if rate.kind != lexNumber || rate.dec < -1 || rate.dec > mostPlaces || rate.digits >= 100_000 || !w.lx[i+1].isSign('%') {
			continue
		}
		of := slices.IndexFunc(w.lx[i+2:w.tail.from], func(l lexeme) bool { return l.isAmount() && l.digits <= largest })
		if of < 0 {
			return
		}
		hundred := int64(100)
		for range max(rate.dec, 0) {
			hundred *= 10
		}
		cents := (2*w.lx[i+2+of].digits*rate.digits + hundred) / (2 * hundred)
		s.enter(candidate{cents: cents, cost: costMultiplied, seen: unseen})
		return
	}
}

// saidOff is what the line says is taken off, for all its uses; 0 where it does not say.
func (w *row) saidOff() int64 {
	for i := 1; i < w.tail.from; i++ {
		if l := &w.lx[i-1]; l.isAmount() && l.digits <= largest && w.lx[i].kind == lexWord && offRead[strings.ToUpper(w.lx[i].text)] {
			rest := w.lx[i+1 : w.tail.from]
			if len(rest) == 0 {
				return l.digits
			}
			signed := isTimes(&rest[0])
			if signed {
				rest = rest[1:]
			}
			// Readers lose the sign of "0.45 OFF x2"; without it, the best reading has to say so,
			// since "1.00 OFF 2" is off two together as well.
			if len(rest) == 1 && rest[0].isWhole() && rest[0].digits > 0 && rest[0].digits < 100 && (signed || l.digits*rest[0].digits == w.tail.cents) {
				return l.digits * rest[0].digits
			}
			return 0 // a threshold, or what it is of
		}
	}
	return 0
}

// offRead are "OFF" and what readers make of it.
var offRead = map[string]bool{"OFF": true, "0FF": true, "DFF": true, "QFF": true, "OFE": true, "OEF": true, "OFP": true}

// dearestGoods is the largest amount of an item.
func (p *parser) dearestGoods() (most int64) {
	for i := range p.rows {
		if w := &p.rows[i]; w.kind == LineItem && w.has {
			most = max(most, w.cents)
		}
	}
	return most
}

// What makes two lines name the same goods.
const (
	leastNamed     = 6 // letters
	lettersMisread = 6 // one in so many may differ
)

// again makes an amount likelier that a reader nearly saw where another line with the same goods
// has it, and where two have it what only looks like what was badly read too, any other less likely:
// tills print a line for each unit. Lines that bear out the amount as it was read count against it,
// and what was read well stays as likely as it was.
func (s *shortlist) again(p *parser) {
	w := s.w
	if w.exact || w.kind != LineItem || w.part != partAdd {
		return
	}
	counts := p.costsAlike(w)
	if len(counts) == 0 {
		return
	}
	well, own := w.amountConfidence() >= clearConfidence, counts[w.cents]
	for i := range s.all {
		c := &s.all[i]
		others := counts[c.cents]
		if others <= own || c.seen > nearlySeen && !(c.guess && others > 1 && !well) {
			continue
		}
		if c.seen <= nearlySeen {
			c.cost = min(c.cost, costOtherReading)
		}
		if others > 1 {
			c.cost, c.guess = min(c.cost, costLikeGoods), false
			for j := range s.all {
				if j != i && !(well && s.all[j].cents == w.cents) {
					s.all[j].cost += costUnlikeGoods
				}
			}
		}
	}
}

// nearlySeen is what an amount costs at most by what readers saw for other lines to bear it out.
const nearlySeen = 250

// costsAlike counts by their amounts the other lines with the same goods as w, as many of them.
func (p *parser) costsAlike(w *row) map[int64]int {
	var counts map[int64]int
	own := w.spelled()
	for i := range p.rows {
		v := &p.rows[i]
		if v == w || v.kind != LineItem || v.part != partAdd || !v.has || v.repaired || v.units() != w.units() || !own.sameGoods(v.spelled()) {
			continue
		}
		if counts == nil {
			counts = map[int64]int{}
		}
		counts[v.cents]++
	}
	return counts
}

// spelling is how the words before a line's amount are spelled: their letters and their digits.
type spelling struct {
	of                *lexeme // the line's first, as it was cut then
	letters, numerals string
}

// spelled is the spelling of w, kept as it is asked for by all other lines.
func (w *row) spelled() *spelling {
	if len(w.lx) > 0 && w.spelling.of != &w.lx[0] {
		w.spelling = spelling{&w.lx[0], w.letters(), w.numerals()}
	}
	return &w.spelling
}

// sameGoods reports whether two lines have the same words before their amounts, but for a letter
// in lettersMisread and digits behind the others.
func (a *spelling) sameGoods(b *spelling) bool {
	shorter := min(len(a.letters), len(b.letters))
	if shorter < leastNamed || !strings.HasPrefix(a.numerals, b.numerals) && !strings.HasPrefix(b.numerals, a.numerals) {
		return false
	}
	limit := shorter / lettersMisread
	more := max(len(a.letters), len(b.letters)) - shorter
	return more <= limit && (a.letters == b.letters || distance(a.letters, b.letters, limit+1) <= limit)
}

// letters are those of the words before the amount, as capitals.
func (w *row) letters() string {
	return keep(strings.ToUpper(w.beforeAmount()), func(r rune) bool { return r >= 'A' && r <= 'Z' })
}

// numerals are the digits before the amount.
func (w *row) numerals() string {
	return keep(w.beforeAmount(), func(r rune) bool { return r >= '0' && r <= '9' })
}

// keep is what of s is wanted.
func keep(s string, wanted func(rune) bool) string {
	return strings.Map(func(r rune) rune {
		if wanted(r) {
			return r
		}
		return -1
	}, s)
}
