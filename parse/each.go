package parse

import (
	"slices"
	"strconv"
	"strings"

	"tillproof/money"
	"tillproof/ocr"
)

// mendEach puts right a price of one unit of which one digit was misread, or before which the
// sign of the currency was read as one: the units are read for sure and its amount is proved, and
// by no other number of units does the price as read come to it.
func (p *parser) mendEach(w *row) {
	q, cents := w.qty, max(w.cents, -w.cents)
	came, ok := q.extension()
	if !ok || came == cents || q.per > 1 || q.unitsDec != 0 || q.priceDec != 2 || q.units > 999 || cents%q.units != 0 || q.price > 0 && cents%q.price == 0 {
		return
	}
	price := money.FromCents(cents / q.units)
	each, read := price.String(), money.FromCents(q.price).String()
	if signed := read[1:] == each && strings.IndexByte("35689", read[0]) >= 0; !signed && !price.OneDigitOff(money.FromCents(q.price)) {
		return
	}
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

// mendLostUnits puts back how many units are told beside goods where the number was not seen
// and its word and price were, "PCS @ 2.50": what the goods come to at that price, on a photo
// that tells it of other goods in the same place.
func (p *parser) mendLostUnits() {
	step := p.unitsBeside()
	if step == 0 {
		return
	}
	for i := range p.rows {
		w := &p.rows[i]
		k := i + step
		if k < 0 || k >= len(p.rows) || len(w.words) != 3 || !pieces[strings.ToUpper(w.words[0].Text)] || w.words[1].Text != "@" {
			continue
		}
		goods := &p.rows[k]
		price, dec := number(strings.TrimPrefix(w.words[2].Text, "$"))
		if dec != 2 || price <= 0 || !goods.tail.ok || goods.tail.minus || goods.qty.ok || goods.tail.cents%price != 0 {
			continue
		}
		n := goods.tail.cents / price
		if n < 2 || n > 99 {
			continue
		}
		p.insertUnits(w, 0, n)
		w.qty = findQuantity(w.lx, len(w.lx))
		w.qty.made = true
	}
}

// mendLetterUnits puts right the units of a photo's line that were read as a letter before their
// sign and price, where these make its amount of them: "APPLE JUICE (S @ 2.61) 13.05".
func (p *parser) mendLetterUnits() {
	for i := range p.rows {
		w := &p.rows[i]
		if !w.tail.ok || w.tail.minus || w.qty.ok {
			continue
		}
		for k := 1; k+1 < w.tail.from; k++ {
			letter, price := &w.lx[k-1], &w.lx[k+1]
			if !w.lx[k].isSign('@') || letter.kind != lexWord || len(letter.text) != 1 || !price.isAmount() || price.digits <= 0 || w.tail.cents%price.digits != 0 {
				continue
			}
			if n := w.tail.cents / price.digits; n > 0 && n < 10 {
				word := w.words[letter.word].Text
				p.reword(w, int(letter.word), 1, strings.Replace(word, letter.text, strconv.FormatInt(n, 10), 1))
				w.qty = findQuantity(w.lx, w.tail.from)
				w.qty.made = int64(likeDigits[letter.text[0]]-'0') != n
			}
			break
		}
	}
}

// mendBareWeights takes a photo's line of a weight with its unit and a price for what goods
// beside it weigh, where the two make their amount: "MAN WT 1.27 LB 2.89" lost the signs between.
func (p *parser) mendBareWeights() {
	for i := range p.rows {
		w := &p.rows[i]
		at := w.tail.from
		if !w.tail.ok || w.tail.minus || w.qty.ok || at < 2 || at != w.tail.at || len(w.letters()) > 8 {
			continue
		}
		weight, unit := &w.lx[at-2], ""
		if unit, _ = unitOf(&w.lx[at-1]); unit == "" || weight.kind != lexNumber || weight.dec < 1 {
			continue
		}
		q := quantity{ok: true, sure: true, hasPrice: true, units: weight.digits, unitsDec: weight.dec, unit: unit, price: w.tail.cents, priceDec: 2, per: 1, to: len(w.lx)}
		cents, ok := q.extension()
		beside := func(k int) bool {
			return k >= 0 && k < len(p.rows) && p.rows[k].tail.ok && !p.rows[k].tail.minus && p.rows[k].tail.cents == cents && p.rows[k].hasName()
		}
		if ok && (beside(i+1) || beside(i-1)) {
			w.tail, w.qty = tail{}, q
		}
	}
}

// fewestColumns is how many lines show the columns of units, their price and the amount before a
// line without its units is one of them.
const fewestColumns = 2

// mendColumnUnits puts back the units of a photo's line in columns of units, price and amount
// where their number was not seen: "OATS 1.85 5.55" beside "JAM 4 1.90 7.60".
func (p *parser) mendColumnUnits() {
	shown := 0
	var lost []int
	for i := range p.rows {
		w := &p.rows[i]
		at := w.tail.from
		if !w.tail.ok || w.tail.minus || w.said.marks != 0 || at < 2 || !w.lx[at-1].isAmount() || w.lx[at-1].digits <= 0 {
			continue
		}
		units, price := &w.lx[at-2], w.lx[at-1].digits
		switch {
		case units.isWhole() && units.digits < 100 && units.digits*price == w.tail.cents:
			shown++
		case units.kind == lexWord && w.tail.cents%price == 0 && w.tail.cents/price > 1 && w.tail.cents/price < 100:
			lost = append(lost, i)
		default:
			return // another column may stand there
		}
	}
	if shown < fewestColumns {
		return
	}
	for _, i := range lost {
		w := &p.rows[i]
		price := w.lx[w.tail.from-1]
		p.insertUnits(w, int(price.word), w.tail.cents/price.digits)
		w.qty = columns(w.lx, &w.tail, p.whole)
		w.qty.made = true
	}
}

// insertUnits puts a number of units before word at of w.
func (p *parser) insertUnits(w *row, at int, n int64) {
	number := ocr.Word{Text: strconv.FormatInt(n, 10), Box: w.words[at].Box, Confidence: misformedConfidence}
	number.Box.X, number.Box.W = number.Box.X-number.Box.W, number.Box.W/2
	w.words = slices.Insert(slices.Clone(w.words), at, number)
	p.relex(w)
}

// unitsBeside is where units with their price stand that come to an amount: 1 above it, -1
// below it, 0 where that is not clear.
func (p *parser) unitsBeside() int {
	above, below := 0, 0
	for i := range p.rows {
		w := &p.rows[i]
		cents, ok := w.qty.extension()
		if !ok || w.tail.ok || w.hasName() || w.qty.units < 2 {
			continue
		}
		if i+1 < len(p.rows) && p.rows[i+1].tail.ok && p.rows[i+1].tail.cents == cents {
			above++
		}
		if i > 0 && p.rows[i-1].tail.ok && p.rows[i-1].tail.cents == cents {
			below++
		}
	}
	switch {
	case above >= 2 && below == 0:
		return 1
	case below >= 2 && above == 0:
		return -1
	}
	return 0
}
