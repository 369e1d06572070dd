package match

import (
	"strings"

	"tillproof/plan"
)

// weighsAs reports whether e weighs just what was planned of it, at the planned price of the
// unit: no other goods do, and on a photo their name may have been misread.
func (e *Entry) weighsAs(it *plan.Item) bool {
	return it.Weight != nil && e.Weight != nil && strings.EqualFold(e.Unit, it.Unit) && e.Weight.Equal(*it.Weight) && e.costsAs(it)
}

// countsAs reports whether e is several units, just as many as were planned, each at the
// planned price of the unit: with half of the name it is that on a photo.
func (e *Entry) countsAs(it *plan.Item) bool {
	return it.Weight == nil && it.Quantity > 1 && e.Units == it.Quantity && e.costsAs(it)
}

// costsAs reports whether the printed price of one unit is the planned one.
func (e *Entry) costsAs(it *plan.Item) bool {
	return e.Each != nil && e.PriceFor <= 1 &&
		(e.Each.Equal(it.Shelf.Decimal()) || it.Sale != nil && it.Sale.For <= 1 && e.Each.Equal(it.Sale.Price.Decimal()))
}
