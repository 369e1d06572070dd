package split

import (
	"encoding/binary"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/plan"
)

// group is a set of products that influence each other's cost, and no others.
type group struct {
	trip  *trip
	of    []int // products, ascending
	plan  *plan.Plan
	loose bool // ties by rounding alone are cut
	// ordered: what one transaction leaves of coupons, limits or days can matter
	// to the next, so that their order does.
	ordered bool
	// conflicts are pairs, as places in of, that cannot be in one transaction.
	conflicts [][2]int
	search    *search
	prices    map[string]priced // of transactions, by what is bought and the state before
	bins      []bin             // the division found, those without units left out
}

// groups divides the products into groups. With rounding, what only shares a
// rounded tax or total is tied as well.
func (t *trip) groups(rounding bool) []*group {
	all := make([]int, len(t.products))
	for i := range all {
		all[i] = i
	}
	return t.groupsOf(all, rounding)
}

func (t *trip) groupsOf(products []int, rounding bool) []*group {
	tied := map[int]int{} // product to one it is tied to, up to the first of its group
	var root func(i int) int
	root = func(i int) int {
		for tied[i] != i {
			i = tied[i]
		}
		return i
	}
	for _, i := range products {
		tied[i] = i
	}
	tie := func(in func(q *product) bool) {
		first := -1
		for _, i := range products {
			if !in(&t.products[i]) {
				continue
			}
			if first < 0 {
				first = root(i)
			}
			tied[max(first, root(i))], first = min(first, root(i)), min(first, root(i))
		}
	}
	t.ties(rounding, tie)
	var list []*group
	at := map[int]*group{}
	for _, i := range products {
		g := at[root(i)]
		if g == nil {
			g = &group{trip: t, loose: !rounding}
			at[root(i)] = g
			list = append(list, g)
		}
		g.of = append(g.of, i)
	}
	for _, g := range list {
		g.prepare()
	}
	return list
}

// ties calls tie for every set of products that influence each other.
func (t *trip) ties(rounding bool, tie func(in func(q *product) bool)) {
	everything := func(*product) bool { return true }
	for _, o := range t.plan.Offers {
		tie(func(q *product) bool { return o.Covers(q.item) })
	}
	for i := range t.products {
		tie(func(q *product) bool { return q == &t.products[i] || conflict(q, &t.products[i]) })
	}
	policy := &t.plan.Store.Policy
	several := slices.ContainsFunc(t.days, func(d day) bool { return len(d.tenders) > 1 })
	if policy.Overage || several {
		tie(everything)
	}
	if !rounding {
		return
	}
	if !policy.CashRounding.IsZero() && slices.ContainsFunc(t.days, func(d day) bool { return kinds(d.tenders[0]) == "cash" }) {
		tie(everything)
	}
	for i := range t.plan.Taxes {
		if tax := &t.plan.Taxes[i]; !tax.ByItem {
			tie(func(q *product) bool { return taxes(tax, q.item) })
		}
	}
}

func taxes(tax *plan.Tax, it *plan.Item) bool {
	if tax.Items == nil {
		return true
	}
	return (&plan.Offer{AppliesTo: tax.Items}).Covers(it)
}

// prepare makes the plan that the group is priced with: only the offers that
// touch it, so that states of others do not tell its own apart.
func (g *group) prepare() {
	p := *g.trip.plan
	p.Transactions, p.Offers, p.Claimed = nil, nil, nil
	for _, o := range g.trip.plan.Offers {
		if slices.ContainsFunc(g.of, func(i int) bool { return o.Covers(g.trip.products[i].item) }) {
			p.Offers = append(p.Offers, o)
			g.ordered = g.ordered || o.Held != nil || o.Limit.Total > 0 || o.Limit.TransactionsPerDay > 0
		}
	}
	p.Prepare()
	g.plan, g.prices = &p, map[string]priced{}
	for k, i := range g.of {
		q := &g.trip.products[i]
		g.ordered = g.ordered || q.first < q.last
		for j, other := range g.of[:k] {
			if conflict(q, &g.trip.products[other]) {
				g.conflicts = append(g.conflicts, [2]int{j, k})
			}
		}
	}
}

// size is how many parts of the group there are to buy, 1<<30 for very many.
func (g *group) size() int {
	n := 1
	for _, i := range g.of {
		if n *= g.trip.products[i].count + 1; n > 1<<30 {
			return 1 << 30
		}
	}
	return n
}

// names lists some of the group's items for a person.
func (g *group) names() string {
	var ids []string
	for _, i := range g.of {
		if id := g.trip.products[i].item.ID; !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	if len(ids) > 6 {
		ids = append(ids[:5:5], "…")
	}
	return strings.Join(ids, ", ")
}

// cost adds up the final costs of the group's transactions, one after the other.
// Transactions that were priced before in the same state are not priced again.
func (g *group) cost(bins []bin) money.Amount {
	var sum money.Amount
	var state plan.State
	for _, b := range bins {
		key := []byte{byte(b.day >> 8), byte(b.day), byte(b.tender)}
		for _, i := range g.of {
			key = binary.AppendUvarint(key, uint64(b.counts[i]))
		}
		full := string(key) + state.Key(g.plan, g.trip.days[b.day].date)
		p, ok := g.prices[full]
		if !ok {
			g.trip.left -= pricingEffort
			bill, after := g.plan.PriceAfter(g.trip.transaction(b), state)
			p = priced{bill.FinalCost, after}
			g.prices[full] = p
		}
		g.trip.left--
		sum, state = sum.Add(p.cost), p.after
	}
	return sum
}

// planned is the division of the group that the plan has.
func (g *group) planned() []bin {
	var bins []bin
	for at := range g.trip.days {
		d := &g.trip.days[at]
		for _, tx := range d.planned {
			b := bin{day: at, tender: g.trip.tenderOf(at, tx), counts: make([]int, len(g.trip.products)), from: tx}
			some := false
			for _, i := range g.of {
				if q := &g.trip.products[i]; q.first == at {
					b.counts[i] = q.planned[tx.Index]
					some = some || b.counts[i] > 0
				}
			}
			if some {
				bins = append(bins, b)
			}
		}
	}
	return bins
}

// tenderOf is the day's tender that tx is paid with.
func (t *trip) tenderOf(day int, tx *plan.Transaction) int {
	return max(0, slices.IndexFunc(t.days[day].tenders, func(pay []plan.Payment) bool { return kinds(pay) == kinds(usual(tx)) }))
}
