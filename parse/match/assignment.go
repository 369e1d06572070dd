package match

import (
	"slices"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"

	"github.com/shopspring/decimal"
)

// Assignment says which line of a receipt is which planned item, offer or
// credit of one transaction.
type Assignment struct {
	// Items are by Item.Index, Offers by Offer.Index; an empty one is matched
	// to nothing.
	Items  []ItemMatch
	Offers []OfferMatch
	// Unplanned are the entries, and Extra the deductions, that are nothing
	// planned.
	Unplanned []Entry
	Extra     []Cut
	// Score says from 0 to 1 how well the receipt is the transaction's.
	Score float64

	c *content
}

// Assign decides which line of r is what in transaction tx of p. bill is what
// tx should come to as planned.
func Assign(p *plan.Plan, tx *plan.Transaction, bill *plan.TransactionBill, r *parse.Receipt) *Assignment {
	return matchContent(p, tx, bill, gather(r))
}

func matchContent(p *plan.Plan, tx *plan.Transaction, bill *plan.TransactionBill, c *content) *Assignment {
	items := want(tx.Items)
	a := &Assignment{Items: matchItems(items, c), Offers: make([]OfferMatch, len(p.Offers)), c: c}
	a.count(tx, c)
	rung, same := a.roughRung(tx)
	if !same {
		bill = p.PriceAs(tx, rung)
	}
	matchCuts(a, p, tx, bill, items, c)
	a.count(tx, c)
	if again := a.Rung(tx); len(c.cuts) > 0 && pricedOtherwise(tx, rung.Items, again) {
		// Savings lines have shown prices that are not the planned ones: what
		// the offers should take off them is worked out anew.
		a.forgetCuts(c)
		bill = p.PriceAs(tx, &plan.Rung{Items: again})
		matchCuts(a, p, tx, bill, items, c)
		a.count(tx, c)
	}
	a.basketsAgain(p, tx)
	matchFees(a, tx, c)
	matchRewards(a, p, tx, bill, c)
	for i := range c.entries {
		if e := &c.entries[i]; !e.matched && !e.Voided {
			a.Unplanned = append(a.Unplanned, *e)
		}
	}
	a.rate(c)
	return a
}

// pricedOtherwise reports whether an item's price, its savings taken off, is not
// what was reckoned with before the savings were known.
func pricedOtherwise(tx *plan.Transaction, before, now map[int]plan.RungItem) bool {
	for i, it := range tx.Items {
		if now[i].Price == nil || it.Weight != nil {
			continue
		}
		want := it.Cost(now[i].Quantity)
		if before[i].Price != nil {
			want = *before[i].Price
		}
		if *now[i].Price != want {
			return true
		}
	}
	return false
}

// forgetCuts takes back which deduction line is what.
func (a *Assignment) forgetCuts(c *content) {
	clear(a.Offers)
	a.Extra = nil
	for i := range a.Items {
		a.Items[i].Savings = nil
	}
	for i := range c.cuts {
		c.cuts[i].matched = false
	}
}

// count works out the units of each item.
func (a *Assignment) count(tx *plan.Transaction, c *content) {
	for i, it := range tx.Items {
		m := &a.Items[i]
		savings := m.saved()
		m.Units, m.guess = 0, false
		near := false // a number is made of a price that is only near
		for k := range m.Entries {
			own := money.Amount{}
			if len(m.Entries) == 1 {
				own = savings
			}
			counted := c.counted && !m.Entries[k].vague
			n, exact := units(&m.Entries[k], it, own, counted)
			if c.proved && len(m.Entries) == 1 && m.Entries[k].Units == it.Quantity {
				n = it.Quantity // the number is proved, whatever the price
			}
			if !exact && m.Entries[k].unnumbered(it, counted) {
				near = true
				if len(m.Entries) > 1 {
					n = 1 // a till that rings one thing in several lines prints numbers, or one for each
				}
			}
			m.Units += n
			m.guess = m.guess || !c.proved && !m.lineEach(it) && m.Entries[k].guessed(it, exact)
		}
		m.guess = m.guess || near && m.Units != it.Quantity
		if it.Weight != nil && m.Units > 0 {
			m.Units = 1
		}
	}
}

func (m *ItemMatch) saved() (sum money.Amount) {
	for i := range m.Savings {
		sum = sum.Add(m.Savings[i].Off)
	}
	return sum
}

// roughRung is what was rung as far as it is known before the deductions are
// matched. same: it is what was planned.
func (a *Assignment) roughRung(tx *plan.Transaction) (rung *plan.Rung, same bool) {
	rung, same = &plan.Rung{Items: make(map[int]plan.RungItem, len(tx.Items))}, true
	for i, it := range tx.Items {
		m := &a.Items[i]
		got := plan.RungItem{Quantity: m.Units, Weight: m.weight(it)}
		if gross, known := m.Gross(); known && len(m.Entries) > 0 {
			if price := it.Cost(m.Units); it.Weight == nil && gross != price && gross != it.Shelf.Mul(m.Units) {
				got.Price, same = &gross, false
			}
		}
		same = same && m.Units == it.Quantity && got.Weight == nil
		rung.Items[i] = got
	}
	return rung, same
}

// Gross is what the item's lines add up to before any deduction; known is
// false where an amount could not be read.
func (m *ItemMatch) Gross() (sum money.Amount, known bool) {
	known = true
	for i := range m.Entries {
		sum = sum.Add(m.Entries[i].Amount)
		known = known && m.Entries[i].Known
	}
	return sum, known
}

// weight is the weight rung in the unit of it, nil where none was printed or
// it is the planned one.
func (m *ItemMatch) weight(it *plan.Item) *decimal.Decimal {
	if it.Weight == nil {
		return nil
	}
	sum := decimal.Zero
	for i := range m.Entries {
		w := m.Entries[i].Weight
		if w == nil {
			return nil
		}
		factor, ok := convert(m.Entries[i].Unit, it.Unit)
		if !ok {
			return nil
		}
		sum = sum.Add(w.Mul(factor))
	}
	if sum.IsZero() || sum.Equal(*it.Weight) {
		return nil
	}
	return &sum
}

// Weight is the weight rung of item it, in its unit; nil where none was printed
// or it is the planned one.
func (a *Assignment) Weight(it *plan.Item) *decimal.Decimal { return a.Items[it.Index].weight(it) }

// ItemOfLine is the index of the planned item that line n shows, -1 where it
// shows none.
func (a *Assignment) ItemOfLine(n int) int {
	if n <= 0 || n >= len(a.c.byLine) || a.c.byLine[n] == 0 {
		return -1
	}
	return max(a.c.entries[a.c.byLine[n]-1].item, -1)
}

// Rung is what the receipt shows to have been rung of the planned items, for
// plan.PriceAs. An item that is not there has quantity 0.
func (a *Assignment) Rung(tx *plan.Transaction) map[int]plan.RungItem {
	rung := make(map[int]plan.RungItem, len(tx.Items))
	for i, it := range tx.Items {
		m := &a.Items[i]
		got := plan.RungItem{Quantity: m.Units, Weight: m.weight(it)}
		if gross, known := m.Gross(); known && len(m.Entries) > 0 {
			net := gross.Sub(m.saved())
			got.Price = &net
		}
		if len(m.Fees) > 0 || !it.Fee.IsZero() {
			var fee money.Amount
			for k := range m.Fees {
				fee = fee.Add(m.Fees[k].Amount)
			}
			got.Fee = &fee
		}
		rung[i] = got
	}
	return rung
}

// rate fills in Score: how much of the plan is on the receipt, and how much of
// the receipt is in the plan.
func (a *Assignment) rate(c *content) {
	if len(a.Items) == 0 {
		return
	}
	found, matched, all := 0, 0, 0
	for i := range a.Items {
		if len(a.Items[i].Entries) > 0 {
			found += a.Items[i].Score
		}
	}
	for i := range c.entries {
		if !c.entries[i].Fee {
			all++
			if c.entries[i].matched {
				matched++
			}
		}
	}
	a.Score = 0.6 * float64(found) / float64(100*len(a.Items))
	if all > 0 {
		a.Score += 0.4 * float64(matched) / float64(all)
	}
}

// Matches lists the matches as results give them: items in plan order, the
// savings lines of their sale prices, then offers.
func (a *Assignment) Matches(p *plan.Plan, tx *plan.Transaction) []Match {
	all := []Match{}
	for i, it := range tx.Items {
		m := &a.Items[i]
		if lines := m.Lines(); len(lines) > 0 {
			all = append(all, Match{Item: it.ID, Lines: lines, Score: float64(m.Score) / 100, By: m.By})
		}
		if lines := cutLines(m.Savings); len(lines) > 0 {
			all = append(all, Match{Item: it.ID, Sale: true, Lines: lines, Score: float64(m.Score) / 100, By: m.By})
		}
	}
	for k, o := range p.Offers {
		m := &a.Offers[k]
		if lines := m.Lines(); len(lines) > 0 {
			all = append(all, Match{Offer: o.ID, Lines: lines, Score: float64(m.Score) / 100, By: m.By})
		}
	}
	return all
}

// Lines are the numbers of the item's own lines, in order.
func (m *ItemMatch) Lines() []int {
	var lines []int
	for _, group := range [...][]Entry{m.Entries, m.Voided, m.Fees} {
		for i := range group {
			lines = append(lines, group[i].Lines...)
		}
	}
	return inOrder(lines)
}

// Lines are the numbers of the offer's lines, in order.
func (m *OfferMatch) Lines() []int {
	lines := append(cutLines(m.Cuts), cutLines(m.Voided)...)
	for i := range m.Rewards {
		lines = append(lines, m.Rewards[i].Line)
	}
	return inOrder(lines)
}

func cutLines(cuts []Cut) (lines []int) {
	for i := range cuts {
		lines = append(lines, cuts[i].Lines...)
	}
	return inOrder(lines)
}

func inOrder(lines []int) []int {
	slices.Sort(lines)
	return slices.Compact(lines)
}
