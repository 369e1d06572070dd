package parse

import (
	"slices"
	"strconv"

	"tillproof/money"
	"tillproof/ocr"
)

// mendEach puts right a price of one unit of which one digit was misread: the units are
// read for sure and its amount is proved, and by no other number of units does the price
// as read come to it.
func (p *parser) mendEach(w *row) {
	q, cents := w.qty, max(w.cents, -w.cents)
	came, ok := q.extension()
	if !ok || came == cents || q.per > 1 || q.unitsDec != 0 || q.priceDec != 2 || q.units > 999 || cents%q.units != 0 || q.price > 0 && cents%q.price == 0 {
		return
	}
	price := money.FromCents(cents / q.units)
	if !price.OneDigitOff(money.FromCents(q.price)) {
		return
	}
	each, read := price.String(), money.FromCents(q.price).String()
	units, n := strconv.FormatInt(q.units, 10), p.rowNumber(w)
	for i := range p.rows {
		v := &p.rows[i]
		at := slices.IndexFunc(v.words, func(o ocr.Word) bool { return bare(o.Text) == units && surely(&o) })
		to := slices.IndexFunc(v.words, func(o ocr.Word) bool { return bare(o.Text) == read })
		if v.exact || !v.qty.tells(&q) || i+1 != n && i+1 != w.of && v.of != n || at < 0 || to <= at {
			continue // the units stand before their price
		}
		sum, proof := v.cents, v.proof
		p.reword(v, to, 1, each)
		v.cents, v.proof = sum, proof
		p.costsEach(n, w.of, &q, cents)
		return
	}
}

// costsEach gives row n, and what belongs to it and it to, the unit price that makes cents.
func (p *parser) costsEach(n, of int, q *quantity, cents int64) {
	for i := range p.rows {
		if v := &p.rows[i]; v.qty.tells(q) && (i+1 == n || i+1 == of || v.of == n) {
			v.qty.price = cents / q.units
		}
	}
	for k := range p.r.Sums {
		if s := &p.r.Sums[k]; s.Kind == sumExtension && s.To == n {
			s.Got, s.Holds = s.Want, true
		}
	}
}

// tells reports whether q says the same as other, wherever in its line.
func (q *quantity) tells(other *quantity) bool {
	return q.ok && other.ok && q.units == other.units && q.price == other.price && q.per == other.per && q.unitsDec == other.unitsDec
}
