package plan

import (
	"math/bits"

	"tillproof/money"

	"github.com/shopspring/decimal"
)

// ticks are parts of a cent: what is left of one unit's price need not be whole
// cents (a third of 10.00), and 720720 of them, the least common multiple of 1
// to 16, leave no remainder where a price is split among up to 16 units.
const ticksPerCent = 720720

// slots are the places for coupons on one unit (rule 3), as bits.
type slots uint8

const (
	slotMaker slots = 1 << iota
	slotStore
	slotApp
	slotGroup
	slotKinds = 4
)

// unit is one unit of a line: what is left of its price, in ticks, and which
// slots are taken, by which offers.
type unit struct {
	left  int64
	line  int32
	taken slots
	by    [slotKinds]int16
}

// line is one item while it is being priced. What is left of its units always
// adds up to what is left of the line.
type line struct {
	item        *Item
	first, last int32 // its units
	quantity    int
	weight      *decimal.Decimal
	price       money.Amount
	regular     money.Amount
	fee         money.Amount
	left        money.Amount
	off         [3]money.Amount // deductions, by step
	basket      [2]money.Amount // shares of basket deductions: the store's, the makers'
	// mine says that the line price is Item's own for that quantity, so that its
	// unit prices are known and not only their sum.
	mine bool
	// firstFound and lastFound are its deductions, counted from 1; 0: none.
	firstFound, lastFound int32
}

// Cost is the price of quantity units before any offer, rounded to the cent,
// half up; of a weighed item, its price at the planned weight.
func (it *Item) Cost(quantity int) money.Amount {
	if it.Weight != nil {
		return it.CostOf(*it.Weight)
	}
	s := it.Sale
	switch {
	case s == nil:
		return it.Shelf.Mul(quantity)
	case s.MustBuy > 0:
		full := quantity - quantity%s.MustBuy
		return s.Price.Fraction(int64(full), int64(s.For)).Add(it.Shelf.Mul(quantity - full))
	}
	return s.Price.Fraction(int64(quantity), int64(s.For))
}

// CostOf is the price of a weight of a weighed item before any offer.
func (it *Item) CostOf(weight decimal.Decimal) money.Amount { return it.UnitPrice().Times(weight) }

// UnitPrice is the sale price where there is one, else the shelf price; of
// "2 for 5.00" it is the 5.00.
func (it *Item) UnitPrice() money.Amount {
	if it.Sale != nil {
		return it.Sale.Price
	}
	return it.Shelf
}

// appendLine adds the line and the units of it as they were rung.
func appendLine(lines []line, units []unit, it *Item, rung RungItem) ([]line, []unit) {
	l := line{item: it, quantity: rung.Quantity, weight: it.Weight, first: int32(len(units)), mine: true}
	if it.Weight != nil {
		l.quantity = min(l.quantity, 1)
		if rung.Weight != nil {
			l.weight = rung.Weight
		}
	}
	if l.quantity == 0 {
		l.weight = nil
	} else {
		if it.Weight != nil {
			l.price, l.regular = it.CostOf(*l.weight), it.Shelf.Times(*l.weight)
		} else {
			l.price, l.regular = it.Cost(l.quantity), it.Shelf.Mul(l.quantity)
		}
		l.fee = it.Fee.Mul(l.quantity)
	}
	if rung.Price != nil {
		l.mine = l.price == *rung.Price
		l.price = *rung.Price
	}
	if rung.Fee != nil {
		l.fee = *rung.Fee
	}
	l.left = money.Max(l.price, money.Amount{})
	for range l.quantity {
		units = append(units, unit{line: int32(len(lines))})
	}
	l.last = int32(len(units))
	l.spread(units[l.first:l.last])
	return append(lines, l), units
}

// spread gives each unit its share of the line price: the same for all, but for
// groups that must be bought together, whose rest costs the shelf price.
func (l *line) spread(units []unit) {
	if s := l.item.Sale; l.mine && s != nil && s.MustBuy > 0 {
		full := len(units) - len(units)%s.MustBuy
		rest := l.item.Shelf.Mul(len(units) - full)
		even(units[:full], l.left.Sub(rest))
		even(units[full:], rest)
		return
	}
	even(units, l.left)
}

func even(units []unit, total money.Amount) {
	if len(units) == 0 {
		return
	}
	ticks, n := total.Cents()*ticksPerCent, int64(len(units))
	each, rest := ticks/n, ticks%n
	for i := range units {
		units[i].left = each
		if int64(i) < rest {
			units[i].left++
		}
	}
}

// cents rounds ticks to the cent, half up.
func cents(ticks int64) money.Amount {
	return money.FromCents((ticks*2 + ticksPerCent) / (2 * ticksPerCent))
}

// part returns a × b / den rounded down, none negative, with the product in 128 bits.
func part(a, b, den int64) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	q, _ := bits.Div64(hi, lo, uint64(den))
	return int64(q)
}
