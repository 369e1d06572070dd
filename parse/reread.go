package parse

import (
	"slices"
	"strings"

	"tillproof/ocr"
)

// A till may call its sums, tenders and notes by words that nobody has heard
// before. In a text no digit is misread, so there the amounts may say what a line
// is: one that states what all lines above come to is a subtotal, whatever it is
// called. They are asked only where the receipt does not work out by its words,
// and believed only where it then works out whole: up to its total, and with how
// it was paid.

// sense is what the words of a row are taken to say.
type sense struct {
	row  int
	said marked
}

// guess is what the words of one row, or of several that go together, may say.
type guess []sense

// mostGuesses bounds how many guesses one receipt may need.
const mostGuesses = 8

// reread looks for senses of lines under which the receipt works out, and reports
// whether there are any. Where two ways are as good as each other, or none leads
// to the end, the lines stay what their words say.
func (p *parser) reread(pages []ocr.Page) bool { return p.rereadFrom(pages, nil) }

// doubtItems looks for goods that cost just what all lines above come to: a subtotal by
// an unknown name, over which the receipt may work out all the same, since what was
// taken off and what was left of it make it up. Where it also works out with that line
// as a sum, it is one.
func (p *parser) doubtItems(pages []ocr.Page) {
	run, adds := int64(0), 0
	for i := range p.rows {
		w := &p.rows[i]
		if w.part != partAdd && w.part != partNone {
			return
		}
		if w.kind == LineItem && w.part == partAdd && p.maySumUp(i, run, adds, 0) {
			if p.rereadFrom(pages, guess{saying(i, markSubtotal, "")}) {
				return
			}
			if !p.choose() || p.unsettled() {
				p.reread(pages)
			}
			return
		}
		if w.part == partAdd && w.has {
			run += w.cents
			adds++
		}
	}
}

// rereadFrom is reread with a guess to begin with.
func (p *parser) rereadFrom(pages []ocr.Page, taken guess) bool {
	p.readAs(pages, taken)
	for range mostGuesses {
		if p.badness() == 0 {
			return true
		}
		least := p.rank()
		var best guess
		tied := false
		for _, g := range p.guesses() {
			p.readAs(pages, append(slices.Clone(taken), g...))
			n := p.rank()
			switch {
			case n < least:
				best, least, tied = g, n, false
			case n == least && best != nil && conflict(g, best):
				tied = true
			}
		}
		if best == nil || tied {
			break
		}
		taken = append(taken, best...)
		p.readAs(pages, taken)
	}
	if p.badness() == 0 || !p.single && len(taken) == 0 && p.bySettling(func(g guess) { p.readAs(pages, g) }) {
		return true
	}
	p.readAs(pages, nil)
	return false
}

// rank is lower the better the receipt works out: first by what does not, then by
// how many sums do.
func (p *parser) rank() int {
	n := p.badness() * 100
	for i := range p.chain.segs {
		if p.holds(&p.chain.segs[i]) {
			n--
		}
	}
	return n
}

// conflict reports whether only one of two guesses can be true. That two lines state
// a sum is no conflict: the one above goes first.
func conflict(a, b guess) bool {
	return !slices.EqualFunc(a.besides(), b.besides(), func(x, y sense) bool { return x.row == y.row })
}

// besides is g without the line that states a sum, or what was paid too much.
func (g guess) besides() guess {
	if last := g[len(g)-1].said.marks; last == markSubtotal || last == markTotal || len(g) == 1 && last == markChange {
		return g[:len(g)-1]
	}
	return g
}

// readAs reads all lines anew, those of g as if their words said so.
func (p *parser) readAs(pages []ocr.Page, g guess) {
	warnings := len(p.r.Warnings)
	p.r.ItemCount, p.countRow = nil, nil
	p.newRows(pages)
	p.r.Warnings = p.r.Warnings[:warnings]
	for _, s := range slices.Concat(p.told, g) {
		p.rows[s.row].said = s.said
	}
	p.classify()
	p.attach()
	p.build(0, &p.chain)
}

// badness counts what of the receipt does not work out: sums that stay open, and
// whether it has no total or nothing says how it was paid.
func (p *parser) badness() int {
	total, tender := 1, 1
	for i := range p.rows {
		switch w := &p.rows[i]; {
		case w.kind == LineTotal && w.part == partCheck && w.has:
			total = 0
		case w.part == partTender:
			tender = 0
		}
	}
	return p.open(&p.chain) + total + tender
}

// unsettled reports whether no sum of the receipt stays open, but it has no total or
// tender, although words of sums or of paying stand in it.
func (p *parser) unsettled() bool {
	return p.open(&p.chain) == 0 && p.badness() > 0 && slices.ContainsFunc(p.rows, func(w row) bool {
		return w.part != partNone && w.said.has(markSubtotal|markTotal|markTax|markTender|markChange)
	})
}

// saying is a sense of row i.
func saying(i int, m marks, tender string) sense {
	return sense{i, marked{marks: m, first: m, tender: tender}}
}

// guesses lists what lines may be by their amounts, as things are.
func (p *parser) guesses() []guess {
	off := p.digitOff(&p.chain)
	all, blocks := p.guessTenders(off), p.blocksAgain()
	run, adds, checks, cuts, block := int64(0), 0, 0, 0, int64(0)
	taxes, tax := 0, int64(0)
	var told guess // a line above that may tell the coupons once more, and its amount
	again := int64(0)
	for i := range p.rows {
		w := &p.rows[i]
		switch {
		case w.part == partTender || w.part == partChange:
			if w.part == partTender && p.maySumUp(i, run, adds, checks) {
				all = append(all, guess{saying(i, markTotal, "")})
			}
			if k := p.changeBelow(i, run); w.part == partTender && adds == 0 && k >= 0 {
				all = append(all, guess{saying(k, markChange, "")})
			}
			return append(all, p.guessBeside(off)...)
		case w.part == partCheck && w.has:
			run, adds, cuts, block, told, again, taxes, tax = w.cents, 0, 0, 0, nil, 0, 0, 0
			checks++
			continue
		case adds == 0 && checks > 0 && p.maybeCash(i, run) >= 0:
			last := p.statementAbove(i)
			all = append(all, guess{saying(last, markTotal, ""), saying(i, markTender, tenderCash), saying(p.maybeCash(i, run), markChange, "")})
		case p.maySumUp(i, run, adds, checks):
			all = append(all, guess{saying(i, markSubtotal, "")}, guess{saying(i, markTotal, "")})
		case told != nil && p.maySumUp(i, run-again, adds, checks):
			all = append(all, append(slices.Clone(told), saying(i, markSubtotal, "")), append(slices.Clone(told), saying(i, markTotal, "")))
		case w.kind == LineDeduction && w.tail.minus && (blocks[i] || w.cents == block && (cuts > 1 && !off || w.said.has(markTotal|markSubtotal) || w.saysMany())):
			told, again = guess{saying(i, markTotal|markCoupon, "")}, w.cents
			all = append(all, told)
		case p.exact && w.kind == LineDeduction && w.tail.minus && cuts == 1 && w.cents == block:
			// One coupon told once more, or two alike: only what is stated below says which.
			told, again = guess{saying(i, markTotal|markCoupon, "")}, w.cents
		case w.tail.ok && taxes > 1 && w.tail.cents == tax && w.part == partAdd:
			all = append(all, guess{saying(i, markTax|markTotal, "")}) // of several taxes the sum
		case w.kind == LineMessage && w.tail.ok && w.tail.minus && w.said.has(markCoupon) && adds > 0 && !off:
			all = append(all, guess{saying(i, markCoupon, "")})
		}
		if w.part == partAdd && w.has {
			run += w.cents
			adds++
		}
		switch {
		case w.kind == LineTax && w.part == partAdd:
			taxes++
			tax += w.cents
		case w.kind == LineDeduction:
			cuts++
			block += w.cents
		case w.kind == LineVoid && w.of > 0 && p.rows[w.of-1].kind == LineDeduction:
			block += w.cents
		}
	}
	return append(all, p.guessBeside(off)...)
}

// changeBelow is the row below tender i of a text that shows just what was paid too much, of run;
// -1 for none.
func (p *parser) changeBelow(i int, run int64) int {
	if p.rows[i].said.tender != tenderCash {
		return -1 // a card is charged what is due
	}
	over := p.rows[i].tail.cents - run
	for k := i + 1; p.exact && over > 0 && k < min(len(p.rows), i+4); k++ {
		if w := &p.rows[k]; w.part == partNone && w.tail.ok && !w.tail.minus && w.tail.cents == over && w.isBare() {
			return k
		}
	}
	return -1
}

// maybeCash is the row of the change if row i is more than run and the next amount is what
// it is more; -1 where it is not.
func (p *parser) maybeCash(i int, run int64) int {
	w := &p.rows[i]
	if !w.tail.ok || w.tail.minus || run <= 0 || w.tail.cents <= run {
		return -1
	}
	for k := i + 1; k < len(p.rows); k++ {
		if p.rows[k].tail.ok {
			if p.rows[k].tail.cents == w.tail.cents-run {
				return k
			}
			break
		}
	}
	return -1
}

// statementAbove is the last row above row i that states a sum.
func (p *parser) statementAbove(i int) int {
	for i--; i > 0 && p.rows[i].part != partCheck; i-- {
	}
	return i
}

// guessBeside are guesses about lines that stand beside the sums.
func (p *parser) guessBeside(off bool) []guess {
	return slices.Concat(p.guessApart(), p.guessNotes(off), p.guessRest(off))
}

// many are the words for more than one deduction.
var many = map[string]bool{"COUPONS": true, "DISCOUNTS": true, "OFFERS": true, "DEALS": true, "DEDUCTIONS": true, "PROMOTIONS": true, "REDUCTIONS": true, "CPNS": true}

// saysMany reports whether the line speaks of several deductions and names nothing.
func (w *row) saysMany() bool {
	return w.said.unknown == 0 && w.namesMany()
}

// namesMany reports whether the line has a word for more than one deduction and no number.
func (w *row) namesMany() bool {
	up := func(word ocr.Word) string { return strings.ToUpper(strings.Trim(word.Text, ":.,")) }
	if w.hasNumberBefore() {
		return false
	}
	all := slices.ContainsFunc(w.words, func(word ocr.Word) bool {
		return up(word) == "TOTAL" || up(word) == "ALL" || up(word) == "SUM" || up(word) == "COUPON" || up(word) == "CPN"
	})
	return slices.ContainsFunc(w.words, func(word ocr.Word) bool {
		return many[up(word)] || all && (up(word) == "SAVINGS" || up(word) == "OFF" || up(word) == "SAVED")
	})
}

// maySumUp reports whether row i states what the adds amounts since the last of
// checks statements, and it, come to: run.
func (p *parser) maySumUp(i int, run int64, adds, checks int) bool {
	w := &p.rows[i]
	return w.tail.ok && !w.tail.minus && w.tail.cents == run && run > 0 && (adds > 1 || checks > 0 || adds == 1 && !p.likeAbove(i)) &&
		w.isBare() && !p.goodsBelow(i)
}

// isBare reports whether the line has no sign of goods: a code, a quantity, a flag.
func (w *row) isBare() bool { return !w.hasCode() && !w.qty.ok && w.tail.flags == "" }

// likeAbove reports whether row i begins like the amount above it: two units of one
// thing, where one alone is the sum above the other.
func (p *parser) likeAbove(i int) bool {
	for j := i - 1; j >= 0; j-- {
		if w := &p.rows[j]; w.part == partAdd && w.has {
			// Lines that are numbered differ in that alone.
			return sameStart(strings.TrimLeft(w.beforeAmount(), "0123456789"), strings.TrimLeft(p.rows[i].beforeAmount(), "0123456789"))
		}
	}
	return false
}

// goodsBelow reports whether a line with the signs of goods follows row i.
func (p *parser) goodsBelow(i int) bool {
	return slices.ContainsFunc(p.rows[i+1:], func(w row) bool {
		return w.part == partAdd && (w.kind == LineItem || w.kind == LineQuantity) && !w.tail.minus && !w.isBare()
	})
}

// notPaid are marks of lines that say nothing of how the receipt was paid.
const notPaid = markEarned | markBalance | markSaved | markCoupon | markTax | markTaxInfo | markFuture | markCondition
