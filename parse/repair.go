package parse

import (
	"math"
	"slices"

	"tillproof/ocr"
)

// Repair takes the receipt's sums to decide between readings. Every amount of
// the chain has candidates: what was read, what the reader saw besides, digits
// that look alike; each with a cost. What is sought is the cheapest set of
// candidates for which the sums work out, and for every amount how much dearer
// the cheapest set is in which it is another.
//
// It is a search over running sums, row by row (sums.go: the sums are one
// chain). forward holds the least cost of reaching a running sum at a row, back
// the least cost of going on from it to the end; a set with candidate k of row
// i costs forward + k + back at least, which gives the rival of each amount
// without looking at sets one by one. The bound is the cost: running sums that
// are dearer than the cheapest by more than dearest are given up, and at most
// widest are kept a row; what was given up there is remembered by its cost.

// candidate is one way to read a row's amount.
type candidate struct {
	cents int64 // with the sign it has in the sums
	// cost is how unlikely it is, in hundredths of a natural logarithm: 100 for
	// each factor of 2.7 by which the likeliest reading is likelier.
	cost int32
}

const (
	// brokenCost is that of a printed sum which does not work out: dearer than
	// any misreading that is worth believing.
	brokenCost = 1500
	// repairMargin is how much dearer an amount's cheapest rival must be before
	// the amount is believed: about twelve to one.
	repairMargin = 250
	dearest      = repairMargin
	widest       = 5000
	// askedAgain is the most lines of a receipt that get a second look.
	askedAgain = 24
	never      = math.MaxInt32 / 4
)

// repair looks for the amounts that make the sums work out, after a second look
// where the first leaves them open.
func (p *parser) repair() {
	best := p.search()
	if p.opts.Again != nil && p.lookAgain(best) {
		if p.choose() {
			return
		}
		best = p.search()
	}
	p.takeChoice(best)
}

// choice is the cheapest set of candidates under one hypothesis.
type choice struct {
	under hypothesis
	cost  int32
	rows  []link
	// lost is the least cost of a running sum that was given up because there
	// were too many.
	lost int32
}

// cut reports whether what was given up might have been a rival.
func (c *choice) cut() bool { return c.lost < c.cost+repairMargin }

// link is one row of the chain: its candidates, which of them is chosen, the
// cost of the cheapest set with each, and whether the sums it is in work out.
type link struct {
	row     int
	part    part
	cands   []candidate
	chosen  int
	through []int32
	holds   bool
}

// search finds the cheapest set under every hypothesis about the lines, and
// returns the cheapest of these.
func (p *parser) search() *choice {
	var best *choice
	for _, h := range p.hypotheses() {
		c := p.cheapest(h)
		for d := h; d != 0; d &= d - 1 {
			c.cost += 150
		}
		if best == nil || c.cost < best.cost {
			best = c
		}
	}
	return best
}

// cheapest finds the cheapest set of candidates under h.
func (p *parser) cheapest(h hypothesis) *choice {
	c := &choice{under: h, lost: never}
	paid := false
	for i := range p.rows {
		w := &p.rows[i]
		part := h.part(w)
		if part == partNone || !w.has && !w.damaged {
			continue
		}
		paid = paid || part == partTender
		c.rows = append(c.rows, link{row: i, part: part, cands: w.candidates(p)})
	}
	n := len(c.rows)
	forward := make([][]candidate, n+1) // running sums and their least costs
	forward[0] = []candidate{{}}
	for i := range c.rows {
		forward[i+1] = c.advance(&c.rows[i], forward[i])
	}
	back := make([]map[int64]int32, n+1)
	back[n] = map[int64]int32{}
	c.cost = never
	for _, s := range forward[n] {
		rest := int32(0)
		if paid && s.cents != 0 {
			rest = brokenCost
		}
		back[n][s.cents] = rest
		c.cost = min(c.cost, s.cost+rest)
	}
	for i := n - 1; i >= 0; i-- {
		back[i] = c.rows[i].retreat(forward[i], back[i+1])
	}
	c.follow(back, paid)
	return c
}

// step is what candidate k makes of a running sum: the sum after it, and the
// cost. A statement that does not hold costs brokenCost, and the sum goes on
// from what it states.
func (l *link) step(sum int64, k int) (after int64, cost int32) {
	c := &l.cands[k]
	switch l.part {
	case partAdd:
		return sum + c.cents, c.cost
	case partTender:
		return sum - c.cents, c.cost
	case partChange:
		if sum != -c.cents {
			return 0, c.cost + brokenCost
		}
		return 0, c.cost
	}
	if sum != c.cents {
		return c.cents, c.cost + brokenCost
	}
	return sum, c.cost
}

// advance takes every candidate of l from every running sum.
func (c *choice) advance(l *link, from []candidate) []candidate {
	next := make([]candidate, 0, len(from)*len(l.cands))
	least := int32(never)
	for _, s := range from {
		for k := range l.cands {
			sum, cost := l.step(s.cents, k)
			next = append(next, candidate{sum, s.cost + cost})
			least = min(least, s.cost+cost)
		}
	}
	slices.SortFunc(next, func(a, b candidate) int {
		switch {
		case a.cents < b.cents:
			return -1
		case a.cents > b.cents:
			return 1
		}
		return int(a.cost - b.cost)
	})
	kept := next[:0]
	for _, s := range next {
		if (len(kept) == 0 || kept[len(kept)-1].cents != s.cents) && s.cost <= least+brokenCost+dearest {
			kept = append(kept, s)
		}
	}
	if len(kept) > widest {
		slices.SortFunc(kept, func(a, b candidate) int { return int(a.cost - b.cost) })
		c.lost = min(c.lost, kept[widest].cost)
		kept = kept[:widest]
	}
	return kept
}

// retreat works out the cost of going on from each running sum, and through
// each candidate.
func (l *link) retreat(from []candidate, back map[int64]int32) map[int64]int32 {
	l.through = make([]int32, len(l.cands))
	for k := range l.through {
		l.through[k] = never
	}
	before := make(map[int64]int32, len(from))
	for _, s := range from {
		least := int32(never)
		for k := range l.cands {
			sum, cost := l.step(s.cents, k)
			rest, ok := back[sum]
			if !ok {
				continue
			}
			least = min(least, cost+rest)
			l.through[k] = min(l.through[k], s.cost+cost+rest)
		}
		before[s.cents] = least
	}
	return before
}

// follow walks the cheapest set once and notes which of its sums work out.
func (c *choice) follow(back []map[int64]int32, paid bool) {
	sum, start := int64(0), 0
	end := func(to int, holds bool) {
		for j := start; j < to; j++ {
			c.rows[j].holds = c.rows[j].holds || holds
		}
	}
	for i := range c.rows {
		l := &c.rows[i]
		least := int32(never)
		for k := range l.cands {
			after, cost := l.step(sum, k)
			if rest, ok := back[i+1][after]; ok && cost+rest < least {
				l.chosen, least = k, cost+rest
			}
		}
		was := sum
		after, _ := l.step(sum, l.chosen)
		if l.part == partCheck || l.part == partChange {
			stated := l.cands[l.chosen].cents
			if l.part == partChange {
				stated = -stated
			}
			end(i+1, was == stated)
			start = i // a statement begins the next sum
		}
		sum = after
	}
	if paid {
		end(len(c.rows), sum == 0)
	}
}

// rival is how much dearer the cheapest set is in which l has another amount.
func (l *link) rival() int32 {
	least := int32(never)
	for k, cost := range l.through {
		if l.cands[k].cents != l.cands[l.chosen].cents {
			least = min(least, cost)
		}
	}
	return least - l.through[l.chosen]
}

// takeChoice gives the rows the amounts that were chosen.
func (p *parser) takeChoice(c *choice) {
	if c.under != 0 {
		p.assume(c.under)
	}
	if c.cut() {
		p.warn("so many readings were possible that the search for those that work out was cut short")
	}
	for i := range c.rows {
		l := &c.rows[i]
		w := &p.rows[l.row]
		got := l.cands[l.chosen]
		if !l.holds {
			continue
		}
		w.ambiguous = c.cut() || l.rival() < repairMargin
		if !w.has || got.cents != w.cents {
			w.cents, w.has, w.repaired, w.damaged = got.cents, true, true, false
			w.ambiguous = w.ambiguous || got.cost >= 2*brokenCost
		}
	}
	p.build(0, &p.chain)
}

// candidates are the ways to read the row's amount, the reader's best first.
func (w *row) candidates(p *parser) []candidate {
	var out []candidate
	add := func(t tail, cost int32) {
		if !t.ok {
			return
		}
		cents := t.cents
		if w.has {
			if w.cents < 0 {
				cents = -cents
			}
			if t.minus != w.tail.minus && w.part == partAdd {
				cents, cost = -cents, cost+100
			}
		} else if w.kind == LineDeduction {
			cents = -cents
		}
		for i := range out {
			if out[i].cents == cents {
				out[i].cost = min(out[i].cost, cost)
				return
			}
		}
		if len(out) < mostCandidates {
			out = append(out, candidate{cents, cost})
		}
	}
	if w.has {
		out = append(out, candidate{cents: w.cents})
	}
	votes := 1
	for k, r := range w.line.Readings {
		if k == 0 {
			votes = max(r.Votes, 1)
		}
		add(p.tailOf(r.Words), 60+int32(100*math.Log(float64(votes)/float64(max(r.Votes, 1)))))
	}
	if w.tail.ok {
		p.seenBesides(w, add)
		w.alike(add)
	}
	if len(out) == 0 {
		// Nothing was read: the sum stays open, whatever the others are.
		out = append(out, candidate{cost: 3 * brokenCost})
	}
	return out
}

// mostCandidates is how many amounts of a line are kept: the truth is hardly
// ever further down, and each costs the search.
const mostCandidates = 14

// tailOf is the amount at the end of words.
func (p *parser) tailOf(words []ocr.Word) tail {
	return findTail(lexWords(mendWords(words), nil), p.whole)
}

// seenBesides adds the amounts with the reader's runners-up for a word.
func (p *parser) seenBesides(w *row, add func(tail, int32)) {
	for n := int(w.lx[w.tail.from].word); n < len(w.words); n++ {
		for _, a := range w.words[n].Alternatives {
			words := slices.Clone(w.words)
			words[n].Text = a.Text
			add(p.tailOf(words), 40+int32(100*min(a.Cost, 20)))
		}
	}
}

// lookAlikes are, for each digit, those that worn print makes of it.
var lookAlikes = [10]string{0: "689", 1: "74", 2: "7", 3: "89", 4: "196", 5: "639", 6: "580", 7: "12", 8: "3609", 9: "48053"}

// alike adds the amounts with one digit taken for one that looks alike, and
// without a first digit that may be a currency sign.
func (w *row) alike(add func(tail, int32)) {
	confidence := w.words[w.lx[w.tail.at].word].Confidence
	cost := 500 + int32(200*confidence)
	unit := int64(1)
	for rest := w.tail.cents; rest > 0; rest /= 10 {
		for _, d := range lookAlikes[rest%10] {
			t := w.tail
			t.cents += (int64(d-'0') - rest%10) * unit
			add(t, cost)
		}
		unit *= 10
	}
	first := unit / 10
	if first >= 1000 {
		if d := w.tail.cents / first; d == 5 || d == 8 || d == 3 {
			t := w.tail
			t.cents %= first
			add(t, 450)
		}
	}
}

// lookAgain asks for a second look at the lines of sums that stay open, or
// whose amounts are in doubt; it reports whether anything new was seen.
func (p *parser) lookAgain(c *choice) bool {
	again, asked := false, 0
	for i := range c.rows {
		l := &c.rows[i]
		w := &p.rows[l.row]
		if w.exact || asked == askedAgain || l.holds && l.rival() >= repairMargin && l.chosen == 0 {
			continue
		}
		asked++
		if more := p.opts.Again(*w.line); len(more) > 0 {
			line := *w.line
			line.Readings = mergeReadings(line.Readings, more)
			w.line = &line
			if !w.tail.ok {
				p.readRow(w, nil)
				if w.tail.ok {
					w.cents, w.has = w.tail.signed(), true
					if w.kind == LineDeduction && w.cents > 0 {
						w.cents = -w.cents
					}
				}
			}
			again = true
		}
	}
	return again
}

// mergeReadings adds further readings to those there are; the votes of the
// same text add up.
func mergeReadings(all, more []ocr.Reading) []ocr.Reading {
	out := slices.Clone(all)
next:
	for _, m := range more {
		for i := range out {
			if out[i].Text() == m.Text() {
				out[i].Votes += max(m.Votes, 1)
				continue next
			}
		}
		out = append(out, m)
	}
	return out
}

// clear reports whether an amount in no sum was read clearly: no other reading
// of it comes near.
func (w *row) clear() bool {
	if !w.tail.ok {
		return len(w.words) > 0
	}
	if w.words[w.lx[w.tail.at].word].Confidence < 0.8 {
		return false
	}
	votes, others := 0, 0
	for _, r := range w.line.Readings {
		if t := findTail(lexWords(mendWords(r.Words), nil), false); t.ok && t.cents == w.tail.cents && t.minus == w.tail.minus {
			votes += max(r.Votes, 1)
		} else {
			others += max(r.Votes, 1)
		}
	}
	if others > 0 && votes < 3*others {
		return false
	}
	for n := int(w.lx[w.tail.from].word); n < len(w.words); n++ {
		for _, a := range w.words[n].Alternatives {
			if a.Cost < 2.3 && digitsDiffer(a.Text, w.words[n].Text) {
				return false
			}
		}
	}
	return true
}

// digitsDiffer reports whether two texts have other digits.
func digitsDiffer(a, b string) bool {
	only := func(s string) string {
		var out []byte
		for i := range len(s) {
			if digit(s[i]) {
				out = append(out, s[i])
			}
		}
		return string(out)
	}
	return only(a) != only(b)
}
