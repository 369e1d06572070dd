package split

import (
	"slices"
	"strings"

	"tillproof/plan"
)

// trip is a plan taken apart: what is bought on which days, and how each day
// may be paid.
type trip struct {
	plan     *plan.Plan
	opt      Options
	days     []day
	products []product
	noDates  bool
	// left is the effort that is left for all groups together.
	left int
}

// day is a day of the trip, with its planned transactions.
type day struct {
	date    plan.Date
	planned []*plan.Transaction
	// tenders are the ways to pay that make a difference, at least one.
	tenders [][]plan.Payment
}

// product is what units have in common that are planned for one day at one price.
type product struct {
	item  *plan.Item
	count int
	// first and last are the days it may be bought on, as indexes.
	first, last int
	// planned is how many units of it each planned transaction has, by Index.
	planned map[int]int
}

func newTrip(p *plan.Plan, opt Options) *trip {
	t := &trip{plan: p, opt: opt, left: opt.Effort}
	for _, tx := range p.Transactions {
		if date := effective(p, tx); t.dayOf(date) < 0 {
			t.days = append(t.days, day{date: date})
		}
	}
	slices.SortStableFunc(t.days, func(a, b day) int { return order(a.date, b.date) })
	for _, tx := range p.Transactions {
		at := t.dayOf(effective(p, tx))
		t.days[at].planned = append(t.days[at].planned, tx)
		for _, it := range tx.Items {
			t.addItem(it, at, tx.Index)
		}
	}
	t.addDays()
	different := t.tendersDiffer()
	for i := range t.days {
		t.days[i].tenders = tendersOf(t.days[i].planned, different)
	}
	return t
}

func effective(p *plan.Plan, tx *plan.Transaction) plan.Date {
	if tx.Date.IsZero() {
		return p.Date
	}
	return tx.Date
}

func order(a, b plan.Date) int {
	switch {
	case a.Before(b):
		return -1
	case b.Before(a):
		return 1
	}
	return 0
}

func (t *trip) dayOf(date plan.Date) int {
	for i := range t.days {
		if t.days[i].date == date {
			return i
		}
	}
	return -1
}

// addItem counts it to a product of the same day, id and price. Weighed items
// are each by itself: two of them are two lines whatever they have in common.
func (t *trip) addItem(it *plan.Item, at, tx int) {
	for i := range t.products {
		q := &t.products[i]
		if q.first == at && it.Weight == nil && alike(q.item, it) {
			q.count += it.Quantity
			q.planned[tx] += it.Quantity
			return
		}
	}
	t.products = append(t.products, product{item: it, count: it.Quantity, first: at, last: at, planned: map[int]int{tx: it.Quantity}})
}

// alike reports whether units of a and b may stand on one line.
func alike(a, b *plan.Item) bool {
	sale := a.Sale == b.Sale || a.Sale != nil && b.Sale != nil && *a.Sale == *b.Sale
	return a.ID == b.ID && a.Weight == nil && b.Weight == nil && sale && a.Shelf == b.Shelf && a.Fee == b.Fee &&
		sameSet(a.Tags, b.Tags)
}

func sameSet(a, b []string) bool {
	in := func(list []string) func(string) bool {
		return func(s string) bool { return slices.Contains(list, s) }
	}
	return !slices.ContainsFunc(a, func(s string) bool { return !in(b)(s) }) &&
		!slices.ContainsFunc(b, func(s string) bool { return !in(a)(s) })
}

// addDays opens the days after the plan's last to all products.
func (t *trip) addDays() {
	last := len(t.days) - 1
	if t.noDates = t.days[0].date.IsZero(); t.noDates || t.opt.MoreDays <= 0 {
		return
	}
	for n := range t.opt.MoreDays {
		t.days = append(t.days, day{date: t.days[last].date.AddDays(n + 1), planned: t.days[last].planned})
	}
	for i := range t.products {
		t.products[i].last = len(t.days) - 1
	}
}

// usual are the tenders of a planned transaction without credits spent.
func usual(tx *plan.Transaction) []plan.Payment {
	var list []plan.Payment
	for _, pay := range tx.PayWith {
		if pay.Credit == nil && !pay.Held {
			list = append(list, pay)
		}
	}
	if list == nil {
		list = []plan.Payment{{Kind: "card"}}
	}
	return list
}

func tendersOf(planned []*plan.Transaction, different bool) [][]plan.Payment {
	var list [][]plan.Payment
	for _, tx := range planned {
		pay := usual(tx)
		if !slices.ContainsFunc(list, func(other []plan.Payment) bool { return kinds(other) == kinds(pay) }) {
			list = append(list, pay)
		}
	}
	if !different {
		list = list[:1]
	}
	return list
}

func kinds(pay []plan.Payment) string {
	var words []string
	for _, one := range pay {
		words = append(words, one.Kind)
	}
	slices.Sort(words)
	return strings.Join(slices.Compact(words), ",")
}

// tendersDiffer reports whether how a transaction is paid can change what it
// costs: cash that is rounded, or a reward that a tender stops.
func (t *trip) tendersDiffer() bool {
	return !t.plan.Store.Policy.CashRounding.IsZero() ||
		slices.ContainsFunc(t.plan.Offers, func(o *plan.Offer) bool { return len(o.VoidIfPaidWith) > 0 })
}

// conflict reports whether a and b cannot be in one transaction: an id may be
// there only once.
func conflict(a, b *product) bool {
	return a != b && a.item.ID == b.item.ID && a.first <= b.last && b.first <= a.last
}

// bin is one transaction of a division: how many units of each product.
type bin struct {
	day, tender int
	counts      []int // by product
	// from is the planned transaction that it is kept as; nil: any.
	from *plan.Transaction
}

// transaction makes a transaction to price of units of some products.
func (t *trip) transaction(b bin) *plan.Transaction {
	d := &t.days[b.day]
	tx := &plan.Transaction{ID: "split", Date: d.date, PayWith: d.tenders[b.tender]}
	for i, n := range b.counts {
		if n > 0 {
			it := *t.products[i].item
			it.Quantity, it.Index = n, len(tx.Items)
			tx.Items = append(tx.Items, &it)
		}
	}
	return tx
}
