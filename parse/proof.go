package parse

import (
	"slices"

	"tillproof/money"
	"tillproof/ocr"
)

// prove tries the receipt's sums and gives every amount its proof.
func (p *parser) prove(pages []ocr.Page) {
	switch closed := p.choose(); {
	case !p.exact:
		p.repair(closed, pages)
		p.implyTotal()
		p.implyCash()
	case (!closed || p.unsettled()) && !p.refunding():
		if p.reread(pages) {
			p.doubtItems(pages)
		}
	case !p.refunding():
		p.doubtItems(pages)
	}
	held, failed := p.tally()
	for i := range p.rows {
		w := &p.rows[i]
		switch {
		case w.kind == LineCredit && w.points > 0 && !w.has:
			w.proof = p.toldProof(w)
		case w.unread || !w.has:
			// damagedRow has called it doubtful where it lacks an amount.
		case w.part == partNone:
			w.proof = p.toldProof(w)
		case w.ambiguous:
			w.proof = Doubtful
		case held[i] > 0 && (failed[i] == 0 || !p.suspect(i, held)):
			w.proof = Proved
			if w.repaired {
				w.proof = Repaired
			}
		default:
			w.proof = Doubtful
		}
	}
	p.listSums()
	p.r.Firm = p.firmBody()
	p.advise()
}

// tally counts for each row the sums it takes part in that hold, and those
// that do not. A quantity times its unit price is a sum too.
func (p *parser) tally() (held, failed []int) {
	held, failed = make([]int, len(p.rows)), make([]int, len(p.rows))
	all := slices.Concat(p.chain.segs, p.chain.beside)
	open := false
	for k := range all {
		if s := &all[k]; !p.holds(s) {
			open = true
			for _, i := range s.rows() {
				failed[i]++
			}
		}
	}
	for k := range all {
		s := &all[k]
		if !p.holds(s) || p.overMended(s) || open && (p.chain.weak && s.kind == sumTenders || !p.exact && s.isCopy() && s.anyOf(failed)) {
			continue
		}
		for _, i := range s.rows() {
			held[i]++
		}
	}
	for i := range p.rows {
		w := &p.rows[i]
		if w.part != partAdd || !w.has || w.fitsEither {
			continue
		}
		if w.comesOut() {
			held[i]++
		}
	}
	return held, failed
}

// overMended reports whether more of the amounts of s were repaired than prove anything.
func (p *parser) overMended(s *segment) bool {
	mended := 0
	for _, i := range s.rows() {
		if w := &p.rows[i]; w.repaired && w.part != partNone && p.mendedAlone(w) {
			mended++
		}
	}
	return !p.exact && mended > mostMended
}

// isCopy reports whether s only says that one amount is printed twice. A
// reader that takes an 8 for a 9 does so in both.
func (s *segment) isCopy() bool {
	return len(s.adds) == 0 || len(s.adds) == 1 && s.from < 0
}

// anyOf reports whether a row of s is counted in n.
func (s *segment) anyOf(n []int) bool {
	for _, i := range s.rows() {
		if n[i] > 0 {
			return true
		}
	}
	return false
}

// suspect reports whether row i may be what makes a sum fail although it takes
// part in another that holds: in one of its failed sums every amount takes
// part in another that holds, so that none is likelier to be wrong than i.
func (p *parser) suspect(i int, held []int) bool {
	for k := range p.chain.segs {
		s := &p.chain.segs[k]
		if p.holds(s) || !s.hasRow(i) {
			continue
		}
		other := false
		for _, j := range s.adds {
			other = other || held[j] == 0
		}
		other = other || s.from >= 0 && held[s.from] == 0 || s.to >= 0 && held[s.to] == 0
		if !other {
			return true
		}
	}
	return false
}

func (s *segment) hasRow(i int) bool {
	if s.from == i || s.to == i {
		return true
	}
	for _, j := range s.adds {
		if j == i {
			return true
		}
	}
	return false
}

// toldProof is the proof of an amount in no sum: of a text it is read; on a
// photo only where no other reading of it comes near.
func (p *parser) toldProof(w *row) Proof {
	if !w.lost && (w.exact || w.clear(p)) {
		return Read
	}
	return Doubtful
}

// listSums writes down the sums for a person to follow.
func (p *parser) listSums() {
	for i := range p.chain.segs {
		p.r.Sums = append(p.r.Sums, p.sum(&p.chain.segs[i]))
	}
	for i := range p.chain.beside {
		p.r.Sums = append(p.r.Sums, p.sum(&p.chain.beside[i]))
	}
	p.listExtensions()
	p.listCount()
}

// listExtensions writes down quantity times unit price. A group's price is not
// held against an amount: till and label may differ on what an incomplete
// group costs.
func (p *parser) listExtensions() {
	for i := range p.rows {
		w := &p.rows[i]
		cents, ok := w.qty.extension()
		if !ok || !w.has || w.part != partAdd || w.qty.made {
			continue
		}
		holds := cents == w.cents || cents == -w.cents
		if !holds && w.qty.per > 1 {
			continue
		}
		if w.cents < 0 {
			cents = -cents
		}
		p.r.Sums = append(p.r.Sums, Sum{Kind: sumExtension, Lines: []int{i + 1}, To: i + 1, Got: money.FromCents(cents), Want: money.FromCents(w.cents), Holds: holds})
	}
}

// count adds up units, and item lines, as far as they were not voided; lines
// are the item lines.
func (p *parser) count() (units, items int, lines []int) {
	lines = []int{}
	for i := range p.rows {
		w := &p.rows[i]
		switch {
		case w.kind == LineItem && (w.has && w.part == partAdd || !w.has):
			lines = append(lines, i+1)
			n := w.units()
			if w.cents < 0 && w.has {
				n = -n
			}
			units, items = units+n, items+1
		case w.kind == LineVoid && w.of > 0 && p.rows[w.of-1].kind == LineItem:
			n := 1
			if v := &p.rows[w.of-1]; v.has && v.cents == -w.cents {
				n = v.units()
			}
			units, items = units-n, items-1
		}
	}
	return units, items, lines
}

// units are the units of an item line: those printed, else one.
func (w *row) units() int {
	if w.qty.ok && w.qty.unitsDec == 0 && w.qty.units > 0 {
		return int(w.qty.units)
	}
	return 1
}

// countHolds reports whether the printed number of items is that of the units,
// or that of the item lines: tills count either.
func (p *parser) countHolds() bool {
	units, items, _ := p.count()
	n := p.r.ItemCount
	return n != nil && (*n == units || *n == items)
}

// listCount compares the printed number of items with what was read. Where
// neither units nor lines fit, a line or a quantity may have been lost, or the
// till counts in a way of its own.
func (p *parser) listCount() {
	if p.r.ItemCount == nil || p.countRow == nil {
		return
	}
	units, items, lines := p.count()
	n := *p.r.ItemCount
	if items == n {
		units = n
	}
	if units != n {
		p.warn("line %d counts %d items, %d were read", p.rowNumber(p.countRow), n, units)
		return
	}
	p.r.Sums = append(p.r.Sums, Sum{Kind: sumCount, To: p.rowNumber(p.countRow), Lines: lines,
		Got: money.FromCents(int64(units) * 100), Want: money.FromCents(int64(n) * 100), Holds: true})
}

func (p *parser) rowNumber(w *row) int {
	for i := range p.rows {
		if &p.rows[i] == w {
			return i + 1
		}
	}
	return 0
}

// comesOut reports whether quantity and unit price of the line give its amount.
func (w *row) comesOut() bool {
	cents, ok := w.qty.extension()
	return ok && w.has && !w.fitsEither && !w.made && !w.qty.made && (cents == w.cents || cents == -w.cents)
}

// advise tells a person which sums stay open.
func (p *parser) advise() {
	for i := range p.chain.segs {
		s := &p.chain.segs[i]
		got, want, ok := p.got(s)
		if ok && got == want {
			continue
		}
		from, to := s.adds, s.to+1
		first, last := s.from+1, to
		if len(from) > 0 {
			first, last = from[0]+1, max(from[len(from)-1]+1, to)
		}
		if !ok {
			p.warn("lines %d to %d: an amount cannot be read, so that their sum stays open: look at it on the paper", first, last)
			continue
		}
		p.warn("lines %d to %d do not add up: %s is stated and the amounts give %s; look at them on the paper", first, last, money.FromCents(want), money.FromCents(got))
	}
}
