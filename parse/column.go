package parse

import (
	"math"
	"slices"
)

// fullColumns is how many lines must have units and their price in the same columns for
// another line to have its own there, although they do not come to its amount.
const fullColumns = 3

// column is where the units of a line end and where their price does.
type column struct{ units, price int32 }

// columnsHeld takes the numbers of a text's line for units and price where they stand in the
// columns in which those of other lines do: that they do not come to its amount is then to be
// seen, and they make no name.
func (p *parser) columnsHeld() {
	held := map[column]int{}
	for i := range p.rows {
		if w := &p.rows[i]; w.qty.sure && w.qty.per == 1 && w.qty.unit == "" && w.qty.to == w.tail.from && w.comesTo() {
			if at, units := w.columnAt(); units >= 0 && w.qty.from == units {
				held[at]++
			}
		}
	}
	for i := range p.rows {
		w := &p.rows[i]
		at, units := w.columnAt()
		if w.qty.ok || units < 0 || held[at] < fullColumns {
			continue
		}
		w.qty = quantity{ok: true, sure: true, hasPrice: true, price: w.lx[w.tail.from-1].digits, priceDec: 2, per: 1, units: w.lx[units].digits, from: units, to: w.tail.from}
	}
}

// comesTo reports whether units and price of the line make the amount that was read.
func (w *row) comesTo() bool {
	cents, ok := w.qty.extension()
	return ok && w.tail.ok && cents == w.tail.cents
}

// columnAt is where units and a price right before the line's amount end, and the lexeme of
// the units: -1 where there are none behind a name.
func (w *row) columnAt() (at column, units int) {
	price := w.tail.from - 1
	if !w.tail.ok || price < 2 || !w.lx[price].isAmount() {
		return at, -1
	}
	for units = price - 1; units > 0 && isCurrency(w.lx, units); {
		units--
	}
	if units < 1 || !isUnits(&w.lx[units]) || w.lx[units].glued {
		return at, -1
	}
	return column{w.lx[units].x1, w.lx[price].x1}, units
}

// flagColumnSeen is flagColumns for photos, on which a column leans: the flags stand as far from
// the ends of the amounts, within a letter and a half, on three lines that differ.
func (p *parser) flagColumnSeen() {
	type seen struct {
		row  int
		away float64 // of the flag from the amount's end, in letters
	}
	var all []seen
	names := map[string]bool{}
	for i := range p.rows {
		w := &p.rows[i]
		l := w.beforeTail()
		if l == nil || w.tail.flags != "" || !isFlagWord(l) || l.kind != lexWord {
			continue
		}
		char, end := charWidth(&w.lx[w.tail.at]), w.lx[w.tail.at].x1
		apart := l.x0-w.lx[w.tail.from-2].x1 >= 2*char && w.lx[w.tail.from].x0-l.x1 >= 2*char
		if apart && char > 0 {
			all = append(all, seen{i, float64(end-l.x0) / float64(char)})
			names[w.beforeAmount()] = true
		}
	}
	if len(names) < 3 {
		return
	}
	middle := make([]float64, len(all))
	for k := range all {
		middle[k] = all[k].away
	}
	slices.Sort(middle)
	for _, s := range all {
		if math.Abs(s.away-middle[len(middle)/2]) <= 1.5 {
			p.takeFlag(&p.rows[s.row])
		}
	}
}
