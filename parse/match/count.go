package match

import (
	"slices"

	"tillproof/parse"
	"tillproof/plan"
)

// unitsCounted reports whether the number of items that the receipt states is just that of
// the units read, and not that of its lines, but where each unit has one: then no quantity
// was misread or lost.
func (c *content) unitsCounted(r *parse.Receipt) bool {
	at := slices.IndexFunc(r.Sums, func(s parse.Sum) bool { return s.Kind == "count" && s.Holds })
	if at < 0 {
		return false
	}
	units, lines := int64(0), int64(0)
	for _, n := range r.Sums[at].Lines {
		l := r.Line(n)
		k := unitsOf(l)
		if l.Amount != nil && l.Amount.Sign() < 0 {
			k = -k
		}
		units += k
		lines++
	}
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Kind != parse.LineVoid || l.Of == 0 || r.Line(l.Of).Kind != parse.LineItem {
			continue
		}
		k := int64(1)
		if was := r.Line(l.Of); was.Amount != nil && l.Amount != nil && was.Amount.Add(*l.Amount).IsZero() {
			k = unitsOf(was)
		}
		units -= k
		lines--
	}
	stated := r.Sums[at].Want.Cents() / 100
	return units == stated && (lines != stated || c.lineEach())
}

// lineEach reports whether the receipt has a line for each unit: some are printed twice
// or more in a row, and none has a number of units.
func (c *content) lineEach() bool {
	again := false
	for i := range c.entries {
		if c.entries[i].Units > 1 {
			return false
		}
		again = again || i > 0 && c.entries[i-1].sameAs(&c.entries[i])
	}
	return again
}

// lineEach reports whether the item has a line for each of several planned units.
func (m *ItemMatch) lineEach(it *plan.Item) bool {
	return it.Quantity > 1 && len(m.Entries) == it.Quantity &&
		!slices.ContainsFunc(m.Entries, func(e Entry) bool { return e.Units > 1 })
}

// unitsOf is the number of units printed on a line, one where none is.
func unitsOf(l *parse.Line) int64 {
	if q := l.Quantity; q != nil && l.Unit == "" && q.IsInteger() && q.IsPositive() {
		return q.IntPart()
	}
	return 1
}
