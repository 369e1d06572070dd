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
	each := money.FromCents(cents / q.units).String()
	read := money.FromCents(q.price).String()
	if !oneDigitOff(read, each) {
		return
	}
	units := strconv.FormatInt(q.units, 10)
	for i := range p.rows {
		v := &p.rows[i]
		at := slices.IndexFunc(v.words, func(o ocr.Word) bool { return bare(o.Text) == units && surely(&o) })
		to := slices.IndexFunc(v.words, func(o ocr.Word) bool { return bare(o.Text) == read })
		if v.exact || !v.qty.ok || v.qty.units != q.units || v.qty.price != q.price || at < 0 || to <= at {
			continue // the units stand before their price
		}
		sum, proof := v.cents, v.proof
		p.reword(v, to, 1, each)
		v.cents, v.proof = sum, proof
		v.qty.price, w.qty.price = cents/q.units, cents/q.units
		return
	}
}

// oneDigitOff reports whether two amounts differ in just one digit.
func oneDigitOff(a, b string) bool {
	off := 0
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			off++
		}
	}
	return len(a) == len(b) && off == 1
}
