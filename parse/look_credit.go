package parse

import "slices"

// askedCredits is the most lines of a receipt that tell of rewards and get a second look.
const askedCredits = 4

// lookAtCredits asks for a second look at the lines of a photo that tell of rewards in figures
// which are not beyond doubt: no sum proves them. It reports whether more was seen; the rows are
// then to be read anew.
func (p *parser) lookAtCredits(*attempt) bool {
	if p.opts.Again == nil {
		return false
	}
	asked, found := 0, false
	for i := range p.rows {
		w := &p.rows[i]
		told := w.part == partNone && w.said.has(markEarned|markReward|markPoints) && !w.said.has(markCount|markSaved|markSlip)
		if !told || asked == askedCredits || p.lookedAt(w) || !w.tail.ok && w.numbersSure() || w.tail.ok && w.clear(p) {
			continue
		}
		asked++
		more := p.opts.Again(*w.line)
		if len(more) == 0 {
			continue
		}
		line := *w.line
		line.Readings = slices.Concat(line.Readings, more) // apart, as each has its own confidence
		p.keepLook(w, &line)
		if w.tail.ok {
			w.takeMost(p)
		}
		found = true
	}
	return found
}

// clearAgain reports whether one look at the line was sure of the amount that it shows, though the
// best was not, and no look that counts saw another. Pages that were kept show what a second look
// saw as well.
func (w *row) clearAgain(p *parser) bool {
	if w.exact || w.points > 0 || !w.tail.ok || len(w.line.Readings) < 2 || !w.surelyRead(p) {
		return false
	}
	if slices.ContainsFunc(w.lx[:w.tail.from], func(l lexeme) bool { return l.isAmount() }) {
		return false // "EARNED 3.00 ON 30.00": nobody looked at the first
	}
	for _, r := range w.line.Readings {
		if t := p.tailOf(r.Words); t.ok && (t.cents != w.tail.cents || t.minus != w.tail.minus) && r.Words[len(r.Words)-1].Confidence >= heardConfidence {
			return false
		}
	}
	return true
}
