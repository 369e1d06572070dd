package parse

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/ocr"
)

// askedBlank is the most lines without an amount of a receipt that get a second look.
const askedBlank = 8

// lookForAmounts asks for a second look at the lines beside sums that stay open which
// show no amount, or one left of where the others are, those first whose words or end say
// that they have one: it may not have been seen. So it asks, whether or not sums stay open,
// about what was paid where nothing tells it. It reports whether a line now has an amount;
// the rows are then to be read anew.
func (p *parser) lookForAmounts(a *attempt) bool {
	if p.opts.Again == nil {
		return false
	}
	var ask, perhaps []int
	for k := range a.chain.segs {
		if !a.fails(k) {
			continue
		}
		rows := a.chain.segs[k].rows()
		for i := slices.Min(rows); i < slices.Max(rows); i++ {
			switch w := &p.rows[i]; {
			case slices.Contains(ask, i):
			case p.mayHaveAmount(i), p.mayGoOn(i):
				ask = append(ask, i)
			case !w.tail.ok && !w.exact && w.hasName() && !slices.Contains(perhaps, i):
				perhaps = append(perhaps, i)
			}
		}
	}
	found := false
	ask = slices.Concat(ask, p.unpaidRows(), perhaps)
	for _, i := range ask[:min(len(ask), askedBlank)] {
		w := &p.rows[i]
		more := p.opts.Again(*w.line)
		if w.tail.ok {
			more = slices.DeleteFunc(slices.Clone(more), func(r ocr.Reading) bool { return !p.goesFurther(w, r.Words) })
		}
		if !slices.ContainsFunc(more, func(r ocr.Reading) bool { return p.tailOf(r.Words).ok }) {
			continue
		}
		line := *w.line
		line.Readings = mergeReadings(line.Readings, more)
		p.keepLook(w, &line)
		found = true
	}
	return found
}

// dropBeside takes from the lines of a photo whose best reading has none an amount that is that
// of the line above or below behind more: a look at the whole height of a line that slopes sees
// the next.
func (p *parser) dropBeside() {
	for i := range p.rows {
		w := &p.rows[i]
		if w.exact || !w.tail.ok || len(w.line.Readings) < 2 {
			continue
		}
		own := money.FromCents(w.tail.cents).String()
		beside := slices.ContainsFunc([]int{i - 1, i + 1}, func(k int) bool {
			if k < 0 || k >= len(p.rows) || !p.rows[k].tail.ok {
				return false
			}
			other := money.FromCents(p.rows[k].tail.cents).String()
			return len(own) > len(other) && strings.HasSuffix(own, other)
		})
		if !beside || p.tailOf(w.line.Readings[0].Words).ok {
			continue
		}
		p.takeReading(w, 0)
		w.said = mark(foldWords(w.spoken(), nil), p.own, w.misread())
		w.qty = findQuantity(w.lx, len(w.lx))
	}
}

// keepLook has line stand for what was read of w at first, now and when the rows are read anew.
func (p *parser) keepLook(w *row, line *ocr.Line) {
	first := w.line
	for l, later := range p.looked {
		if later == w.line {
			first = l
		}
	}
	if p.looked == nil {
		p.looked = map[*ocr.Line]*ocr.Line{}
	}
	p.looked[first] = line
	w.line = line
}

// unpaidRows are the rows below the last sum that speak of a total or of paying and show no
// amount, where no row tells how the receipt was paid.
func (p *parser) unpaidRows() (out []int) {
	last := -1
	for i := range p.rows {
		switch w := &p.rows[i]; {
		case w.part == partTender:
			return nil
		case w.part == partCheck && w.has:
			last = i
		}
	}
	if last < 0 {
		return nil
	}
	for i := last + 1; i < len(p.rows); i++ {
		if w := &p.rows[i]; !w.exact && !w.tail.ok && w.said.has(markTotal|markTender) && p.reachesAmounts(i) {
			out = append(out, i)
		}
	}
	return out
}

// mayHaveAmount reports whether row i shows no amount and is unlike lines that have none:
// its words are those of what adds to the sums, or it ends where amounts do.
func (p *parser) mayHaveAmount(i int) bool {
	w := &p.rows[i]
	switch {
	case w.tail.ok || w.exact || w.qty.ok && !w.said.has(markCoupon|markSaved):
		return false
	case w.unread, w.damaged, w.said.has(markCoupon | markSaved | markTax | markSubtotal | markTotal):
		return true
	}
	return !w.hasCode() && p.reachesAmounts(i)
}

// mayGoOn reports whether row i, which is in a sum, ends left of where the amounts near by
// stand: its own may not have been seen, and what was read is a unit price.
func (p *parser) mayGoOn(i int) bool {
	w := &p.rows[i]
	return w.tail.ok && !w.exact && w.part == partAdd && (w.kind == LineItem || w.kind == LineQuantity) && !p.reachesAmounts(i)
}

// goesFurther reports whether words end in an amount right of the one that w was read to have,
// which they have too.
func (p *parser) goesFurther(w *row, words []ocr.Word) bool {
	end := w.lx[w.tail.at].x1
	if !slices.ContainsFunc(words, func(v ocr.Word) bool { return v.Box.X >= int(end) && strings.ContainsAny(v.Text, "0123456789") }) {
		return false // as nearly always, which needs no closer look
	}
	t := p.tailOf(words)
	if !t.ok || p.lexemes[t.at].x0 < end {
		return false
	}
	return slices.ContainsFunc(p.lexemes[:t.from], func(l lexeme) bool { return l.isAmount() && l.digits == w.tail.cents })
}

// reachesAmounts reports whether the print of row i ends where the amounts of the lines
// above and below it do.
func (p *parser) reachesAmounts(i int) bool {
	beside := func(step int) *row {
		for k := i + step; k >= 0 && k < len(p.rows); k += step {
			if w := &p.rows[k]; w.tail.ok && w.part != partNone && w.photo == p.rows[i].photo {
				return w
			}
		}
		return nil
	}
	above, below := beside(-1), beside(1)
	if above == nil {
		above = below
	}
	if below == nil {
		below = above
	}
	if above == nil {
		return false
	}
	a, b, c := above.line.Box, below.line.Box, p.rows[i].line.Box
	end, from, to := a.X+a.W, a.Y+a.H/2, b.Y+b.H/2
	if to > from {
		end += (b.X + b.W - end) * (c.Y + c.H/2 - from) / (to - from)
	}
	// Where a flag ends some amounts, others end before it.
	slack := 3 * a.W / max(len(above.text), 1)
	return c.X+c.W >= end-slack
}

// timesSeen is how many quantities must have their amount beside them, and come out, for the
// amount to be missing where one has none.
const timesSeen = 2

// multiplyBlank gives the quantities without an amount beside sums that stay open what units
// and price make, where the receipt's others have their amount on the same line: it was not
// seen. So it does for goods that end in units and price where others have their amount in a
// column behind. It reports whether a line has one now; the rows are then to be read anew.
func (p *parser) multiplyBlank(a *attempt) bool {
	return p.multiply(a, p.counted(), func(w *row) (int64, bool) {
		cents, ok := w.qty.extension()
		return cents, ok && !w.tail.ok
	}) || p.multiply(a, p.inColumns(), func(w *row) (int64, bool) {
		if !w.tail.ok || w.qty.ok || w.tail.minus || w.tail.from < 2 || !isUnits(&w.lx[w.tail.from-1]) {
			return 0, false
		}
		return w.lx[w.tail.from-1].digits * w.tail.cents, true
	})
}

// multiply puts behind those of rows, beside sums that stay open, what makes gives for them,
// at the place and in the form of an amount that others of them have and that comes out.
func (p *parser) multiply(a *attempt, rows []int, makes func(*row) (int64, bool)) bool {
	beside := slices.DeleteFunc(slices.Clone(rows), func(i int) bool {
		w := &p.rows[i]
		return !w.tail.ok || !w.comesOut() || w.tail.cents != max(w.cents, -w.cents)
	})
	if len(beside) < timesSeen {
		return false
	}
	end := &p.rows[beside[0]]
	found := false
	for k := range a.chain.segs {
		if !a.fails(k) {
			continue
		}
		of := a.chain.segs[k].rows()
		for _, i := range rows {
			w := &p.rows[i]
			cents, ok := makes(w)
			if i < slices.Min(of) || i >= slices.Max(of) || !ok || cents <= 0 || p.made[w.line] {
				continue
			}
			amount := end.words[end.lx[end.tail.at].word]
			amount.Text, amount.Alternatives, amount.Confidence = money.FromCents(cents).String(), nil, misformedConfidence
			amount.Box.Y = w.line.Box.Y
			line := *w.line
			line.Readings = slices.Insert(slices.Clone(line.Readings), 0, ocr.Reading{Words: slices.Concat(w.words, []ocr.Word{amount}), Votes: 1})
			p.keepLook(w, &line)
			if p.made == nil {
				p.made = map[*ocr.Line]bool{}
			}
			p.made[&line] = true
			found = true
		}
	}
	return found
}

// inColumns are the rows of a photo that are goods with units, price and amount in columns,
// or that end left of where the amounts stand.
func (p *parser) inColumns() (out []int) {
	for i := range p.rows {
		if w := &p.rows[i]; !w.exact && w.kind == LineItem && (w.qty.ok && w.qty.hasPrice && w.qty.to == w.tail.from || p.mayGoOn(i)) {
			out = append(out, i)
		}
	}
	return out
}

// counted are the rows of a photo that are nothing but a quantity and its price.
func (p *parser) counted() (out []int) {
	for i := range p.rows {
		if w := &p.rows[i]; !w.exact && w.kind == LineQuantity && w.qty.sure && w.qty.hasPrice {
			out = append(out, i)
		}
	}
	return out
}
