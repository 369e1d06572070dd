package parse

import "tillproof/money"

// The sums of a receipt are one chain. Going down the paper a sum runs along:
// items, fees and tax add to it, deductions, voids and tenders take off it, and
// at a subtotal, total, balance or change the paper states what it is. Each
// such statement closes a segment: what was stated before, plus the amounts
// between, is what is stated now. Coupons may stand before or after the
// subtotal, and between total and tenders; nothing changes but the segment
// they fall into. After the tenders the sum is the change, or nothing is left.

// segment is one sum of the chain.
type segment struct {
	from int // the row of the statement it starts from, -1: from nothing
	adds []int
	to   int // the row of the statement it leads to, -1: nothing is left
	kind string
}

// The kinds of sum, as the result format names them.
const (
	sumItems     = "items"
	sumTotal     = "total"
	sumTenders   = "tenders"
	sumExtension = "extension"
	sumCount     = "count"
)

// chain is all segments from top to bottom.
type chain struct {
	segs []segment
	// beside are sums beside the chain: an amount without tax, plus the tax, is
	// the total.
	beside []segment
	// weak: lines below the tenders were left out because of their amount.
	weak bool
}

// adds is what row i adds to the running sum.
func (w *row) adds() int64 {
	if w.part == partTender {
		return -w.cents
	}
	return w.cents
}

// states is what row i says the running sum is.
func (w *row) states() int64 {
	if w.part == partChange {
		return -w.cents
	}
	return w.cents
}

// build makes the chain under hypothesis h, in the memory of c.
func (p *parser) build(h hypothesis, c *chain) {
	c.segs, c.beside, c.weak = c.segs[:0], c.beside[:0], false
	cur := newSegment(c, -1)
	tenders := 0
	for i := range p.rows {
		w := &p.rows[i]
		if w.informal == doubtRepeat {
			c.weak = true
		}
		part := w.part
		if h != 0 {
			part = h.part(w)
		}
		switch part {
		case partAdd, partTender:
			cur.adds = append(cur.adds, i)
			if part == partTender {
				cur.kind = sumTenders
				tenders++
			}
		case partCheck, partChange:
			if !w.has {
				continue
			}
			cur.close(i, w)
			cur = newSegment(c, i)
		}
	}
	if tenders > 0 && len(cur.adds) > 0 {
		cur.to, cur.kind = -1, sumTenders
	} else {
		// What follows the last statement is in no sum.
		c.segs = c.segs[:len(c.segs)-1]
	}
	if h&doubtNet.flag() != 0 {
		p.beside(c)
	}
}

// newSegment appends a segment that starts at the statement of row from.
func newSegment(c *chain, from int) *segment {
	if len(c.segs) < cap(c.segs) {
		c.segs = c.segs[:len(c.segs)+1]
	} else {
		c.segs = append(c.segs, segment{})
	}
	s := &c.segs[len(c.segs)-1]
	*s = segment{from: from, to: -1, adds: s.adds[:0]}
	return s
}

// close ends the segment at row i.
func (s *segment) close(i int, w *row) {
	s.to = i
	switch {
	case s.kind == sumTenders || w.part == partChange:
		s.kind = sumTenders
	case s.from < 0:
		s.kind = sumItems
	default:
		s.kind = sumTotal
	}
}

// beside adds the sums of amounts without tax: each with the taxes is a total.
func (p *parser) beside(c *chain) {
	var taxes []int
	total := -1
	for i := range p.rows {
		switch w := &p.rows[i]; {
		case w.kind == LineTax && (w.part == partAdd || w.informal == doubtTax) && w.has:
			taxes = append(taxes, i)
		case w.kind == LineTotal && w.part == partCheck && w.has:
			total = i
		}
	}
	for i := range p.rows {
		if w := &p.rows[i]; w.informal == doubtNet && w.has && total > i && len(taxes) > 0 {
			s := segment{from: i, to: total, kind: sumTotal, adds: append([]int{}, taxes...)}
			for j := i; j < total; j++ {
				if p.rows[j].informal == doubtRounding {
					s.adds = append(s.adds, j)
				}
			}
			c.beside = append(c.beside, s)
		}
	}
}

// got is what the amounts of s give, want what its end states; ok is false
// where an amount of it is not known.
func (p *parser) got(s *segment) (got, want int64, ok bool) {
	if s.from >= 0 {
		got = p.rows[s.from].states()
	}
	for _, i := range s.adds {
		w := &p.rows[i]
		if !w.has {
			if w.needsAmount() {
				return 0, 0, false
			}
			continue
		}
		got += w.adds()
	}
	if s.to >= 0 {
		want = p.rows[s.to].states()
	}
	return got, want, true
}

// needsAmount reports whether a row that adds must have an amount: one whose
// amount cannot be read.
func (w *row) needsAmount() bool { return w.damaged }

// holds reports whether s works out.
func (p *parser) holds(s *segment) bool {
	got, want, ok := p.got(s)
	return ok && got == want && (len(s.adds) > 0 || s.from >= 0)
}

// open is the number of segments of c that do not work out.
func (p *parser) open(c *chain) int {
	n := 0
	for i := range c.segs {
		if !p.holds(&c.segs[i]) {
			n++
		}
	}
	for i := range c.beside {
		if !p.holds(&c.beside[i]) {
			n++
		}
	}
	return n
}

// sum makes the Sum of segment s for the receipt.
func (p *parser) sum(s *segment) Sum {
	got, want, ok := p.got(s)
	sum := Sum{Kind: s.kind, Got: money.FromCents(got), Want: money.FromCents(want), Holds: ok && got == want, Lines: make([]int, 0, len(s.adds)+1)}
	if s.from >= 0 {
		sum.Lines = append(sum.Lines, s.from+1)
	}
	for _, i := range s.adds {
		sum.Lines = append(sum.Lines, i+1)
	}
	if s.to >= 0 {
		sum.To = s.to + 1
	}
	return sum
}
