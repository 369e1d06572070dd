package parse

import "github.com/shopspring/decimal"

// extension is what units and price multiply to in cents, rounded half up; ok
// is false where one of them is missing.
func (q *quantity) extension() (cents int64, ok bool) {
	if !q.ok || !q.hasPrice || q.units == 0 {
		return 0, false
	}
	num, den := q.units*q.price, int64(q.per)
	if q.units > 1e7 || q.price > 1e8 {
		return 0, false
	}
	for range int(q.unitsDec) + int(q.priceDec) - 2 {
		den *= 10
	}
	if q.unitsDec+q.priceDec < 2 {
		return 0, false
	}
	return (num*2 + den) / (den * 2), true
}

// amount returns the units or the weight as a number, nil for none.
func (q *quantity) amount() *decimal.Decimal {
	if !q.ok || q.units == 0 {
		return nil
	}
	d := decimal.New(q.units, -int32(q.unitsDec))
	return &d
}

// unitPrice returns the price of per units, nil for none.
func (q *quantity) unitPrice() *decimal.Decimal {
	if !q.ok || !q.hasPrice {
		return nil
	}
	d := decimal.New(q.price, -int32(q.priceDec))
	return &d
}
