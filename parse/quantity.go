package parse

import "strings"

// quantity is what a line says of units, weight and unit price.
type quantity struct {
	ok bool
	// units × 10^-unitsDec are the units or the weight, 0 where only a price
	// for several is printed ("2 FOR 5.00").
	units    int64
	unitsDec int8
	unit     string // of weighed goods: lb, kg, …
	// price × 10^-priceDec is the price of per units.
	hasPrice bool
	price    int64
	priceDec int8
	per      int
	// from and to bound the lexemes that say so.
	from, to int
	// leads: the first lexeme of the line belongs to it too.
	leads bool
	// made: the units were not read, but worked out of price and amount.
	made bool
	// sure: the form leaves no doubt, as with "@"; a number that merely leads
	// the line is not sure.
	sure bool
}

// weights are the units of weighed goods, by what is printed.
var weights = map[string]string{"LB": "lb", "LBS": "lb", "KG": "kg", "KGS": "kg", "OZ": "oz", "G": "g", "GM": "g", "GR": "g", "L": "l", "LT": "l", "ML": "ml"}

// pieces are units that are counted.
var pieces = map[string]bool{"EA": true, "EACH": true, "PC": true, "PCS": true, "PK": true, "CT": true, "UNIT": true, "UNITS": true, "BTL": true, "PKG": true}

func unitOf(l *lexeme) (weight string, piece bool) {
	if l.kind != lexWord || len(l.text) > 5 {
		return "", false
	}
	up := strings.ToUpper(l.text)
	return weights[up], pieces[up]
}

// findQuantity finds the quantity and unit price in the lexemes before end,
// which is where the line's own amount begins.
func findQuantity(lx []lexeme, end int) quantity {
	for i := range lx[:end] {
		l := &lx[i]
		if l.isSign('@') || isAt(l) && afterUnits(lx, i) {
			if q := aroundAt(lx, i, end); q.ok {
				return q
			}
		}
		if i > 0 && i+1 < end && strings.EqualFold(l.text, "OF") && isUnits(&lx[i-1]) {
			if q, to := priceAt(lx, i+1, end); q.per > 1 { // "4 of 2 for 7.00"
				q.setUnits(&lx[i-1])
				q.from, q.to, q.ok, q.sure = beforeQuantity(lx, i-1), to, true, true
				return q
			}
		}
		if i > 0 && i+1 < end && isTimes(l) {
			if q := aroundTimes(lx, i, end); q.ok {
				return q
			}
		}
	}
	for i := range lx[:end] {
		if q := weighed(lx, i, end); q.ok {
			return q
		}
		if q := counted(lx, i, end); q.ok {
			return q
		}
	}
	for i := range lx[:end] {
		if lx[i].isWhole() && lx[i].digits > 1 && lx[i].digits < 100 {
			if p, to := priceAt(lx, i, end); p.per > 1 {
				p.from, p.to = i, to
				if _, piece := unitOf(&lx[to-1]); piece && p.priceDec == 2 {
					p.units, p.per = int64(p.per), 1 // "5 for 2.75 each"
				}
				return p
			}
		}
	}
	return quantity{}
}

// aroundAt reads "2 @ 3.79", "1.24 lb @ 0.59 /lb", "2 @ 2/5.00" around the "@"
// at i.
func aroundAt(lx []lexeme, i, end int) quantity {
	q, to := priceAt(lx, i+1, end)
	j := i - 1
	if j >= 0 {
		if w, piece := unitOf(&lx[j]); (w != "" || piece || isAt(&lx[i])) && j > 0 && lx[j-1].kind == lexNumber {
			q.unit = w
			j--
		} else if isTimes(&lx[j]) && j > 0 && lx[j-1].isWhole() {
			j-- // "6x @ 1.69"
		}
	}
	if j < 0 || lx[j].kind != lexNumber || lx[j].dec < -1 || !q.hasPrice {
		return quantity{}
	}
	q.setUnits(&lx[j])
	q.from, q.to, q.ok, q.sure = j, to, true, true
	if j > 0 && isTimes(&lx[j-1]) && lx[j].glued { // "CHEDDAR X4 @ 5.25"
		q.from = j - 1
	}
	if j > 0 && lx[j-1].isSign('(') && to < end && lx[to].isSign(')') {
		q.from, q.to = j-1, to+1
	}
	q.from = beforeQuantity(lx, q.from)
	return q
}

// quantityWords are the words that stand before a quantity or a weight.
var quantityWords = map[string]bool{"QTY": true, "QUANTITY": true, "QUAN": true, "WT": true, "WEIGHT": true}

// beforeQuantity takes QTY and the like before the quantity at i.
func beforeQuantity(lx []lexeme, i int) int {
	j := i
	for j > 0 && lx[j-1].kind == lexSign && (lx[j-1].sign == ':' || lx[j-1].sign == '.') {
		j--
	}
	if j > 0 && lx[j-1].kind == lexWord && quantityWords[strings.ToUpper(lx[j-1].text)] {
		return j - 1
	}
	return i
}

// setUnits takes the number l as units or weight. A number with three
// decimals is a weight; one that is no whole number needs a unit or is one.
func (q *quantity) setUnits(l *lexeme) {
	q.units, q.unitsDec = l.digits, max(l.dec, 0)
}

// priceAt reads a price at i: "3.79", "$3.79 EA", "0.59 /lb", "2/5.00", "2 FOR
// 5.00", "1 lb /0.59", "1 kg = 1.95". to is the lexeme after it.
func priceAt(lx []lexeme, i, end int) (q quantity, to int) {
	for i < end && isCurrency(lx, i) {
		i++
	}
	if i >= end || lx[i].kind != lexNumber {
		return q, i
	}
	if lx[i].isWhole() {
		j := i + 1
		if j < end {
			if w, _ := unitOf(&lx[j]); w != "" && lx[i].digits == 1 {
				j++
			}
		}
		if j < end && (lx[j].isSign('/') || j > i+1 && lx[j].isSign('=') || isFor(&lx[j])) {
			j++
			for j < end && isCurrency(lx, j) {
				j++
			}
			if j < end && lx[j].isAmount() && lx[i].digits > 0 && lx[i].digits < 100 {
				q = quantity{ok: true, hasPrice: true, price: lx[j].digits, priceDec: 2, per: int(lx[i].digits), sure: true}
				return q, perUnit(lx, j+1, end)
			}
		}
		return q, i
	}
	if (lx[i].dec == 2 || lx[i].dec == 3) && !(i+1 < end && lx[i+1].isSign('%')) { // "174.47 @ 6.25%" is a tax
		q = quantity{ok: true, hasPrice: true, price: lx[i].digits, priceDec: lx[i].dec, per: 1}
		return q, perUnit(lx, i+1, end)
	}
	return q, i
}

// perUnit takes "/lb", "EA", "per kg", "a lb" after a price.
func perUnit(lx []lexeme, i, end int) int {
	j := i
	if j < end && (lx[j].isSign('/') || lx[j].kind == lexWord && (strings.EqualFold(lx[j].text, "PER") || strings.EqualFold(lx[j].text, "A"))) {
		j++
		if j < end && lx[j].isWhole() && lx[j].digits == 1 {
			j++
		}
	}
	if j < end {
		if w, piece := unitOf(&lx[j]); (w != "" && j > i) || piece {
			return j + 1
		}
	}
	return i
}

// aroundTimes reads "3 X 1.29", "1.29 X 3" and, where letters follow, "3 X
// OATS" around the sign at i.
func aroundTimes(lx []lexeme, i, end int) quantity {
	if q := priceTimesWeight(lx, i, end); q.ok {
		return q
	}
	j := i - 1
	unit := ""
	if w, piece := unitOf(&lx[j]); (w != "" || piece || leadsPieces(lx, j)) && j > 0 && lx[j-1].kind == lexNumber && !lx[j].isWhole() {
		unit = w
		j--
	} else if signLeads(lx, j) {
		j = 0
	}
	left := &lx[j]
	if left.kind != lexNumber || left.dec < -1 {
		return quantity{}
	}
	if q, to := priceAt(lx, i+1, end); q.hasPrice && (left.isWhole() && left.digits < 1000 || unit != "" || left.dec == 3) {
		q.setUnits(left)
		q.unit = unit
		q.from, q.to, q.ok, q.sure = beforeQuantity(lx, j), to, true, true
		return q
	}
	if right := &lx[i+1]; left.dec == 2 && right.isWhole() && right.digits < 1000 && !makesPrice(lx, j) {
		q := quantity{ok: true, sure: true, hasPrice: true, price: left.digits, priceDec: 2, per: 1, from: j, to: i + 2}
		if j > 0 && isCurrency(lx, j-1) {
			q.from = j - 1
		}
		q.setUnits(right)
		return q
	}
	return quantity{}
}

// priceTimesWeight reads "11.99 PER KG X 1.28 KG" around the sign at i.
func priceTimesWeight(lx []lexeme, i, end int) quantity {
	if i < 3 || i+2 >= end || !lx[i-3].isAmount() || lx[i+1].kind != lexNumber || lx[i+1].dec < 1 {
		return quantity{}
	}
	per := lx[i-2].isSign('/') || lx[i-2].kind == lexWord && (strings.EqualFold(lx[i-2].text, "PER") || strings.EqualFold(lx[i-2].text, "A"))
	unit, _ := unitOf(&lx[i-1])
	if of, _ := unitOf(&lx[i+2]); !per || unit == "" || of != unit {
		return quantity{}
	}
	q := quantity{ok: true, sure: true, hasPrice: true, price: lx[i-3].digits, priceDec: 2, per: 1, unit: unit, from: i - 3, to: i + 3}
	q.setUnits(&lx[i+1])
	for q.from > 0 && (isCurrency(lx, q.from-1) || lx[q.from-1].isSign('@')) {
		q.from--
	}
	return q
}

// makesPrice reports whether the price at j is what a coupon makes goods cost, "FOR $0.93 X2", and
// not one of several, "2 FOR 3.00".
func makesPrice(lx []lexeme, j int) bool {
	for j > 0 && isCurrency(lx, j-1) {
		j--
	}
	return j > 0 && isFor(&lx[j-1]) && !(j > 1 && lx[j-2].isWhole())
}

// weighed reads a weight with a price by weight elsewhere on the line, at i:
// "1.24 lb 0.59/lb".
func weighed(lx []lexeme, i, end int) quantity {
	if i+1 >= end || lx[i].kind != lexNumber || lx[i].dec < 1 {
		return quantity{}
	}
	w, _ := unitOf(&lx[i+1])
	if w == "" {
		return quantity{}
	}
	if i == 0 && end == 2 && lx[0].dec >= 2 && (w == "lb" || w == "kg") {
		// Nothing else in the line: the price by weight is not printed.
		return quantity{ok: true, sure: true, units: lx[0].digits, unitsDec: lx[0].dec, unit: w, per: 1, from: 0, to: 2}
	}
	for j := i + 2; j < end; j++ {
		q, to := priceAt(lx, j, end)
		if q.hasPrice && to > j+1 {
			q.setUnits(&lx[i])
			q.unit, q.from, q.to, q.ok, q.sure = w, i, to, true, true
			return q
		}
	}
	return quantity{}
}

// counted reads units that need no price, at i: "QTY 3", "X3" behind the name,
// "3X" or "3 X" before it.
func counted(lx []lexeme, i, end int) quantity {
	l := &lx[i]
	if l.kind == lexWord && (strings.EqualFold(l.text, "QTY") || strings.EqualFold(l.text, "QUANTITY")) {
		j := i + 1
		for j < end && lx[j].kind == lexSign && (lx[j].sign == ':' || lx[j].sign == '.') {
			j++
		}
		if j < end && isUnits(&lx[j]) {
			q := units(&lx[j], i, j+1)
			if p := afterComma(lx, j+1, end, q); p.ok { // "Qty 2, 4 for 16.50", "Qty 3, 1.95 each"
				return p
			}
			if p, to := priceAt(lx, j+1, end); p.sure { // "qty 6 3/5.00"
				p.units, p.from, p.to = q.units, q.from, to
				return p
			}
			return q
		}
	}
	if _, piece := unitOf(l); piece && i > 0 && isUnits(&lx[i-1]) { // "3 PCS, 3 FOR 5.50"
		return afterComma(lx, i+1, end, units(&lx[i-1], i-1, i))
	}
	if !isTimes(l) || l.isSign('*') {
		return quantity{}
	}
	if i+1 < end && isUnits(&lx[i+1]) && (i+2 == end || lx[i+2].isSign('@')) && i > 0 && !l.glued {
		return units(&lx[i+1], i, i+2)
	}
	if i > 0 && isUnits(&lx[i-1]) && (i == 1 || i+1 == end) && i+1 <= end {
		return units(&lx[i-1], i-1, i+1)
	}
	return quantity{}
}

// afterComma is q with the price that follows it behind a comma at i, if one does.
func afterComma(lx []lexeme, i, end int, q quantity) quantity {
	if i+1 >= end || !lx[i].isSign(',') {
		return quantity{}
	}
	p, to := priceAt(lx, i+1, end)
	if !p.hasPrice {
		return quantity{}
	}
	p.units, p.ok, p.sure, p.from, p.to = q.units, true, true, q.from, to
	return p
}

func isUnits(l *lexeme) bool { return l.isWhole() && l.digits > 0 && l.digits < 1000 }

func units(l *lexeme, from, to int) quantity {
	return quantity{ok: true, sure: true, units: l.digits, per: 1, from: from, to: to}
}
