package audit

import (
	"slices"
	"strconv"
	"strings"

	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// How many units a line is follows from the number printed, or from its price. Where
// the two differ the number is what the till says.

// printedUnits takes the units that are printed, where they are the planned ones and
// a price alone would make other units of them.
func (c *check) printedUnits() {
	for i, it := range c.tx.Items {
		if sum, all := c.printed(i, 0); c.text && it.Weight == nil && (all && sum == it.Quantity || c.lineEach(it)) {
			c.m.Items[i].Units = it.Quantity
		}
	}
}

// lineEach reports whether it has as many lines of one amount as units are planned, and
// none says more than one: a till that rings units one by one prints each.
func (c *check) lineEach(it *plan.Item) bool {
	entries := c.m.Items[it.Index].Entries
	return len(entries) > 1 && len(entries) == it.Quantity && !slices.ContainsFunc(entries, func(e match.Entry) bool {
		return e.Amount != entries[0].Amount || e.Units > 1 || c.numberBeside(&e) > 1
	})
}

// countOpen reports whether the units of it were made of a price, and would be the
// planned ones if a line without a number is one unit, as it is on a receipt that
// prints numbers for several.
func (c *check) countOpen(it *plan.Item) bool {
	sum, all := c.printed(it.Index, 1)
	for _, e := range c.m.Items[it.Index].Entries {
		if strings.HasPrefix(e.Name, strconv.Itoa(c.m.Items[it.Index].Units)+" ") {
			return false // the number stands before the name
		}
	}
	return !all && it.Weight == nil && sum == it.Quantity && c.m.Items[it.Index].Units != sum && slices.ContainsFunc(c.m.Items, func(m match.ItemMatch) bool {
		return slices.ContainsFunc(m.Entries, func(e match.Entry) bool { return e.Units > 1 })
	})
}

// vagueUnits reports whether a number of units of m is printed that was not read for sure, so
// that they were made of the price, which may be another, and the number of items that the
// receipt tells is not what was made of it.
func (c *check) vagueUnits(m *match.ItemMatch) bool {
	if !slices.ContainsFunc(m.Entries, func(e match.Entry) bool {
		return slices.ContainsFunc(e.Lines, func(n int) bool { return c.r.Line(n).UnitsUnsure })
	}) {
		return false
	}
	if c.r.ItemCount == nil {
		return true
	}
	all := 0
	for i := range c.m.Items {
		switch of := &c.m.Items[i]; {
		case c.tx.Items[i].Weight != nil:
			all += len(of.Entries)
		default:
			all += of.Units
		}
	}
	for i := range c.m.Unplanned {
		all += max(c.m.Unplanned[i].Units, 1)
	}
	return all != *c.r.ItemCount
}

// printed adds up the units printed on item i's lines, one of the lines without a
// number counting as each says; all: there is none.
func (c *check) printed(i, each int) (sum int, all bool) {
	all = true
	for k := range c.m.Items[i].Entries {
		n := c.m.Items[i].Entries[k].Units
		if n == 0 {
			n = c.numberBeside(&c.m.Items[i].Entries[k])
		}
		if n == 0 {
			n, all = each, false
		}
		sum += n
	}
	return sum, all
}

// numberBeside is the number of units that begins a line of quantities of e whose price
// the parser made no sum of: 2 PCS, 2 FOR 3.50. 0 where there is none.
func (c *check) numberBeside(e *match.Entry) int {
	for n := e.Lines[0] - 1; c.text && n <= e.Lines[len(e.Lines)-1]+1; n++ {
		if n < 1 || n > len(c.r.Lines) {
			continue
		}
		l := c.r.Line(n)
		if l.Kind != parse.LineQuantity || l.Amount != nil || l.Of != e.Lines[0] && !slices.Contains(e.Lines, n) {
			continue
		}
		first, _, _ := strings.Cut(l.Text, " ")
		if units, err := strconv.Atoi(first); err == nil && units > 1 && units < 100 {
			return units
		}
	}
	return 0
}

// countPrinted reports whether the receipt says how many units of it were rung: a
// number, or a line for each.
func (c *check) countPrinted(it *plan.Item) bool {
	_, all := c.printed(it.Index, 0)
	return all || len(c.m.Items[it.Index].Entries) > 1
}

// doubtUnits marks what more units than planned and less paid for each may be:
// units that were misread or told twice. The price of the planned units is then
// what is really there. Fewer units that cost more may be the planned ones too, where
// no number of units is printed.
func (c *check) doubtUnits() {
	for _, g := range c.gaps {
		if g.what != ofQuantity || g.got < g.wanted && c.countPrinted(g.item) {
			continue
		}
		for _, other := range c.gaps {
			less := other.what == ofPrice && other.item == g.item && (other.actual.Cmp(other.expected) < 0 || g.got < g.wanted) || g.got > g.wanted &&
				other.what == ofDeduction && other.offer != nil && other.offer.Covers(g.item) && other.actual.Cmp(other.expected) > 0
			if less {
				g.rival, other.rival = true, true
			}
		}
		for _, other := range c.gaps {
			if g.rival && other.what == ofDeduction && other.offer != nil && other.offer.Covers(g.item) ||
				(g.rival || g.weak) && other.what == ofFee && other.item == g.item {
				other.rival = true
			}
		}
	}
}
