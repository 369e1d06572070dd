package parse

// columns finds units and unit price that stand in columns of their own, in
// the lexemes before the amount: "OATS 3 4.29 12.87", "3 OATS 4.29 12.87" and
// "4.29 3 12.87"; whole allows for prices without decimals. They are believed only where they multiply to the amount.
func columns(lx []lexeme, t *tail, whole bool) quantity {
	for p := t.from - 1; p >= 0; p-- {
		price := lx[p].digits
		switch {
		case lx[p].isAmount():
		case whole && isWholeAmount(lx, p):
			price *= 100
		default:
			continue
		}
		if q := columnGroup(lx, p, t); q.ok {
			return q
		}
		for _, u := range [...]int{p - 1, p + 1, 0} {
			if u < 0 || u >= t.from || u == p || !isUnits(&lx[u]) || lx[u].digits*price != t.cents {
				continue
			}
			q := quantity{ok: true, sure: true, hasPrice: true, price: price, priceDec: 2, per: 1, units: lx[u].digits}
			q.from, q.to = min(u, p), max(u, p)+1
			if u == 0 && p > 1 {
				q.from, q.to, q.leads = p, p+1, true
			}
			return q
		}
		if q := leadingWeight(lx, p, price, t.cents); q.ok {
			return q
		}
		if q := columnWeight(lx, p, price, t); q.ok {
			return q
		}
	}
	return quantity{}
}

// columnGroup is a quantity in columns with the price of a group right before the
// amount: "OATS 3 2/5.00 7.50". Its form is enough: what an incomplete group costs,
// tills see each in their own way.
func columnGroup(lx []lexeme, p int, t *tail) quantity {
	if p != t.from-1 || p < 3 || !lx[p-1].isSign('/') || !lx[p].glued || !isUnits(&lx[p-2]) || lx[p-2].glued || lx[p-2].digits < 2 {
		return quantity{}
	}
	q := quantity{ok: true, sure: true, hasPrice: true, price: lx[p].digits, priceDec: 2, per: int(lx[p-2].digits), from: p - 2, to: p + 1}
	if isUnits(&lx[0]) && p > 3 {
		// A number before the price may be the end of a name: "6 MILK 2 3/6.50 13.00".
		lead := q
		lead.units, lead.leads = lx[0].digits, true
		if cents, ok := lead.extension(); ok && cents == t.cents {
			return lead
		}
	}
	switch u := &lx[p-3]; {
	case isUnits(u) && !u.glued:
		q.units, q.from = u.digits, p-3
	case isUnits(&lx[0]):
		q.units, q.leads = lx[0].digits, true
	default:
		return quantity{}
	}
	return q
}

// pixels is how wide a character is at least where widths are those of a picture.
const pixels = 5

// columnWeight is a weight in a column of its own before the unit price at p, the last
// thing before the amount: "GREEN GRAPES 2.06 2.29 4.72".
func columnWeight(lx []lexeme, p int, price int64, t *tail) quantity {
	u := p - 1
	for u > 0 && isCurrency(lx, u) {
		u--
	}
	if u < 1 || p != t.from-1 || lx[u].kind != lexNumber || lx[u].dec < 1 || lx[u].dec > 3 || lx[u].digits == 0 || lx[u].glued {
		return quantity{}
	}
	// In a text a name may end in a number, a blank before the price; on a photo, whose words have
	// pixels, blanks come out narrower.
	width := charWidth(&lx[p])
	if gap := lx[p].x0 - lx[u].x1; gap < 2*width && (width < pixels || 2*gap < width || lx[u].dec != 2) {
		return quantity{}
	}
	q := quantity{ok: true, sure: true, hasPrice: true, price: price, priceDec: 2, per: 1, units: lx[u].digits, unitsDec: lx[u].dec, from: u, to: p + 1}
	if got, ok := q.extension(); !ok || got != t.cents {
		return quantity{}
	}
	return q
}

// leadingWeight is the weight that leads a line of columns, "1.02 GRAPES 3.78
// 3.86": a number with decimals that, times the unit price at p, rounds to the
// amount. Its unit is not printed.
func leadingWeight(lx []lexeme, p int, price, cents int64) quantity {
	if p < 2 || lx[0].kind != lexNumber || lx[0].dec < 1 || lx[0].digits == 0 || lx[1].isSign('/') {
		return quantity{}
	}
	q := quantity{ok: true, sure: true, hasPrice: true, price: price, priceDec: 2, per: 1, units: lx[0].digits, unitsDec: lx[0].dec}
	q.from, q.to, q.leads = p, p+1, true
	if got, ok := q.extension(); !ok || got != cents {
		return quantity{}
	}
	return q
}
