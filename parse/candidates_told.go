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
	if w.of > 0 && p.rows[w.of-1].kind == LineItem && p.rows[w.of-1].has {
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

// saidOff is what the line says is taken off, for all its uses; 0 where it does not say.
func (w *row) saidOff() int64 {
	for i := 1; i < w.tail.from; i++ {
		if l := &w.lx[i-1]; l.isAmount() && l.digits <= largest && w.lx[i].kind == lexWord && offRead[strings.ToUpper(w.lx[i].text)] {
			if i+1 < w.tail.from {
				return 0 // for several uses, or a threshold
			}
			return l.digits
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
