package parse

import (
	"maps"
	"regexp"
	"slices"
	"strings"
)

// markColumns takes single letters and stars that stand between the names of goods
// and their amounts in a column that no name reaches: marks of a sale, of food, of a
// weight. They are no flags of tax and say nothing here; left in, they would be words
// of the names.
func (p *parser) markColumns() {
	marked := map[int32][]int{}
	rows := 0
	for i := range p.aboveSums() {
		w := &p.rows[i]
		if !w.tail.ok {
			continue
		}
		rows++
		if l := w.beforeTail(); l != nil && isMark(w.lx, w.tail.from-1) {
			marked[l.x0] = append(marked[l.x0], i)
		}
	}
	// From the right: what stands left of a mark is only seen once that is taken off.
	columns := slices.Sorted(maps.Keys(marked))
	slices.Reverse(columns)
	for _, x := range columns {
		at, flagged := marked[x], false
		for _, i := range at {
			flagged = flagged || p.rows[i].tail.flags != ""
		}
		if rows < 3 || len(at) < 2 && !flagged || p.reaches(x) {
			continue
		}
		for _, i := range at {
			w := &p.rows[i]
			if w.tail.from--; !w.qty.ok || w.qty.to > w.tail.from {
				w.qty = findQuantity(w.lx, w.tail.from)
			}
			w.said = mark(foldWords(w.spoken(), nil), p.own, nil)
		}
	}
}

// signedUnits takes the number before a star or in brackets that leads lines of goods for
// their units, where two lines or more begin so: "2 * SOFT ROLLS", "(2) SOFT ROLLS".
func (p *parser) signedUnits() {
	var rows []int
	for i := range p.rows {
		w := &p.rows[i]
		if !w.tail.ok || w.qty.ok || w.tail.from < 3 {
			continue
		}
		star := isUnits(&w.lx[0]) && w.lx[1].isSign('*') && !w.lx[1].glued && w.lx[2].kind == lexWord && !w.lx[2].glued
		brackets := w.tail.from > 3 && w.lx[0].isSign('(') && isUnits(&w.lx[1]) && w.lx[2].isSign(')') && w.lx[3].kind == lexWord && !w.lx[3].glued
		if star || brackets {
			rows = append(rows, i)
		}
	}
	for _, i := range rows {
		switch w := &p.rows[i]; {
		case len(rows) < 2:
		case w.lx[0].isSign('('):
			w.qty = units(&w.lx[1], 0, 3)
		default:
			w.qty = units(&w.lx[0], 0, 2)
		}
	}
}

// dropNumbering leaves out the numbers by which a till counts the lines of goods: 01, 02,
// 03 and so on, or 1 to 4 and more without a gap. On a photo some of the first may have been misread.
func (p *parser) dropNumbering() {
	var rows []int
	padded, last, gap := true, int64(0), int64(0)
	if !p.exact {
		gap = 2
	}
	for i := range p.rows {
		w := &p.rows[i]
		if len(w.lx) < 2 || !w.lx[0].isWhole() || w.lx[0].digits <= last || w.lx[0].digits > last+1+gap || w.lx[1].glued || w.lx[1].kind == lexSign || saysUnits(&w.lx[1]) {
			continue
		}
		if len(rows) > 0 && last < 9 && (w.lx[0].text[0] == '0') != padded {
			continue
		}
		padded = padded && (w.lx[0].text[0] == '0' || last >= 9)
		rows, last = append(rows, i), w.lx[0].digits
	}
	if len(rows) < 2 || !padded && (len(rows) < 4 || !p.exact) {
		return
	}
	words := map[string]bool{}
	for _, i := range rows {
		w := &p.rows[i]
		words[w.lx[1].text] = true
		if !padded && w.lx[1].kind != lexWord && !w.isCode(1) {
			return
		}
	}
	if len(words)*2 <= len(rows) && !(padded && len(rows) >= 4) {
		return // "1 pack", "2 pack": units of some kind
	}
	if !padded && p.unitsLead(rows) {
		return
	}
	if !p.exact {
		rows = append(rows, p.misnumbered(rows)...)
	}
	for _, i := range rows {
		w := &p.rows[i]
		if p.exact {
			w.lx = w.lx[1:]
			w.tail = findTail(w.lx, p.whole)
		} else {
			w.words = w.words[1:]
			p.relex(w)
		}
		end := len(w.lx)
		w.qty = quantity{}
		if w.tail.ok {
			end = w.tail.from
			w.qty = columns(w.lx, &w.tail, p.whole)
		}
		if q := findQuantity(w.lx, end); q.ok && (!w.qty.ok || q.sure && q.units > 0) {
			w.qty = q
		}
	}
}

// misnumbered are the lines of a photo among numbered ones that begin with what a reader made of
// their numbers: "O3", "0@5".
func (p *parser) misnumbered(rows []int) (out []int) {
	for i := max(rows[0]-2, 0); i < rows[len(rows)-1]+4 && i < len(p.rows); i++ {
		w := &p.rows[i]
		if slices.Contains(rows, i) || !w.tail.ok || len(w.words) < 3 || !formMisnumbered.MatchString(w.words[0].Text) || w.lx[0].word == w.lx[w.tail.from].word {
			continue
		}
		out = append(out, i)
	}
	return out
}

// formMisnumbered is a number of two digits, one of them read, in which signs or letters stand for
// some.
var formMisnumbered = regexp.MustCompile(`^[0O@QD]@?\d$|^0[OQDSIlBZ@]$`)

// unitsLead reports whether other lines begin with a number of units too, so that 1, 2, 3
// and 4 on these rows are units by chance.
func (p *parser) unitsLead(rows []int) bool {
	for i := range p.rows {
		w := &p.rows[i]
		if w.tail.ok && w.tail.from > 1 && w.lx[0].isWhole() && w.lx[0].digits < 100 && (w.lx[1].kind == lexWord || w.isCode(1)) && !w.lx[1].glued && !slices.Contains(rows, i) {
			return true
		}
	}
	return false
}

// unitColumn takes a whole number before the amount for units where it ends in the column
// in which the units of other lines do, whose price is printed: "BATH TISSUE 9  2   16.67".
func (p *parser) unitColumn() {
	ends := map[int32]int{}
	for i := range p.rows {
		if w := &p.rows[i]; w.tail.ok && w.qty.ok && w.qty.sure && w.qty.hasPrice && !w.qty.leads && w.qty.from > 0 && w.qty.to == w.tail.from {
			ends[w.lx[w.qty.from].x1]++
		}
	}
	for i := range p.rows {
		w := &p.rows[i]
		k := w.tail.from - 1
		if !w.tail.ok || w.qty.ok || k < 1 || !isUnits(&w.lx[k]) && (w.lx[k].kind != lexNumber || w.lx[k].dec < 2) || w.lx[k].glued || ends[w.lx[k].x1] < 2 || w.lx[w.tail.from].x0-w.lx[k].x1 < 5*charWidth(&w.lx[k]) {
			continue
		}
		w.qty = units(&w.lx[k], k, w.tail.from)
		w.qty.unitsDec = max(w.lx[k].dec, 0) // a weight
	}
}

// aboveSums are the rows above the first whose words say that it is a sum.
func (p *parser) aboveSums() []row {
	for i := range p.rows {
		if w := &p.rows[i]; w.tail.ok && w.said.has(markSubtotal|markTotal|markTax|markTender|markChange) && w.said.unknown == 0 {
			return p.rows[:i]
		}
	}
	return p.rows
}

// isMark reports whether the lexeme at i is a letter or star by itself, and no unit of
// the number before it.
func isMark(lx []lexeme, i int) bool {
	l := &lx[i]
	if l.glued || len(l.text) != 1 || lx[i+1].glued {
		return false
	}
	if l.kind == lexWord {
		return lx[i-1].kind != lexNumber || weights[strings.ToUpper(l.text)] == "" && !isTimes(l)
	}
	return l.isSign('*') || l.isSign('#') || l.isSign('+')
}

// reaches reports whether anything but a mark stands in the column at x on a line of
// goods.
func (p *parser) reaches(x int32) bool {
	for i := range p.aboveSums() {
		w := &p.rows[i]
		if !w.tail.ok {
			continue
		}
		for k := range w.lx[:w.tail.from] {
			l := &w.lx[k]
			if l.x0 <= x && x < l.x1 && !(l.x0 == x && k == w.tail.from-1 && k > 0 && isMark(w.lx, k)) {
				return true
			}
		}
	}
	return false
}
