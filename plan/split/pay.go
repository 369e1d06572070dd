package split

import (
	"slices"
	"strconv"

	"tillproof/money"
	"tillproof/plan"
)

// maxOrders bounds the orders of transactions that are tried.
const maxOrders = 120

// pay makes a plan of the bins, and pays with the credits it earns, and those
// that the plan holds, wherever that costs nothing. Of the orders of a day's
// transactions that cost the same, it takes the one that needs the least money.
func (t *trip) pay(bins []bin, groups []*group) *plan.Plan {
	first := t.withTransactions(t.transactions(bins))
	cost := first.Price().FinalCost
	best := t.withCredits(first)
	bill := best.Price()
	if bill.Credits.IsZero() && len(t.held()) == 0 {
		return best
	}
	cash := cashDue(bill)
	for n, order := range orders(bins) {
		if n == 0 {
			continue // as it is
		}
		p := t.withTransactions(t.transactions(order))
		if p.Price().FinalCost != cost {
			continue
		}
		p = t.withCredits(p)
		if c := cashDue(p.Price()); c.Cmp(cash) < 0 {
			best, cash, bins = p, c, order
		}
	}
	if !t.spendsCredits() {
		return best
	}
	for _, g := range groups {
		later := t.later(bins, g)
		if later == nil {
			continue
		}
		p := t.withTransactions(t.transactions(later))
		if p.Price().FinalCost != cost {
			continue
		}
		p = t.withCredits(p)
		if c := cashDue(p.Price()); c.Cmp(cash) < 0 {
			best, cash, bins = p, c, later
		}
	}
	return best
}

// spendsCredits reports whether the plan pays with credits at all: then it is
// worth another transaction to spend them.
func (t *trip) spendsCredits() bool {
	return slices.ContainsFunc(t.plan.Transactions, func(tx *plan.Transaction) bool {
		return slices.ContainsFunc(tx.PayWith, func(pay plan.Payment) bool { return pay.Credit != nil || pay.Held })
	})
}

// later is bins with what a group buys in one transaction of the last day moved
// to one at the end, where what was earned before may pay for it; nil where
// there is no such transaction.
func (t *trip) later(bins []bin, g *group) []bin {
	day := bins[len(bins)-1].day
	moved, at := copyBins(bins), -1
	fresh := bin{day: day, counts: make([]int, len(t.products))}
	for k := range moved {
		for _, i := range g.of {
			if n := moved[k].counts[i]; n > 0 {
				if at >= 0 && at != k || moved[k].day != day {
					return nil
				}
				at, fresh.tender = k, moved[k].tender
				moved[k].counts[i], fresh.counts[i] = 0, n
			}
		}
	}
	if at < 0 || moved[at].empty() {
		return nil
	}
	return append(moved, fresh)
}

// held are the credits from before the plan that it pays with, by kind.
func (t *trip) held() map[string]money.Amount {
	sum := map[string]money.Amount{}
	for _, tx := range t.plan.Transactions {
		for _, pay := range tx.PayWith {
			if pay.Held {
				sum[pay.Kind] = sum[pay.Kind].Add(pay.Amount)
			}
		}
	}
	return sum
}

func cashDue(b *plan.Bill) money.Amount {
	var sum money.Amount
	for _, tb := range b.Transactions {
		sum = sum.Add(tb.CashDue)
	}
	return sum
}

// orders are the orders of bins in which each day's are permuted, the given one
// first.
func orders(bins []bin) [][]bin {
	all := [][]bin{nil}
	for from := 0; from < len(bins); {
		to := from
		for to < len(bins) && bins[to].day == bins[from].day {
			to++
		}
		var next [][]bin
		for _, head := range all {
			for _, tail := range permutations(bins[from:to]) {
				if len(next) < maxOrders {
					next = append(next, slices.Concat(head, tail))
				}
			}
		}
		all, from = next, to
	}
	return all
}

// permutations are those of a few bins; many stay as they are.
func permutations(bins []bin) [][]bin {
	if len(bins) < 2 || len(bins) > 5 {
		return [][]bin{bins}
	}
	var all [][]bin
	for i := range bins {
		others := slices.Delete(slices.Clone(bins), i, i+1)
		for _, rest := range permutations(others) {
			all = append(all, append([]bin{bins[i]}, rest...))
		}
	}
	return all
}

// transactions makes the plan's transactions of bins.
func (t *trip) transactions(bins []bin) []*plan.Transaction {
	taken := map[string]bool{}
	for _, tx := range t.plan.Transactions {
		taken[tx.ID] = true
	}
	var list []*plan.Transaction
	for _, b := range bins {
		tx := t.transaction(b)
		d := &t.days[b.day]
		tx.Index = len(list)
		if b.from != nil && effective(t.plan, b.from) == tx.Date {
			tx.ID, tx.PayWith, tx.Pos = b.from.ID, usual(b.from), b.from.Pos
			tx.Candidates = slices.DeleteFunc(slices.Clone(b.from.Candidates), func(c *plan.Item) bool {
				return slices.ContainsFunc(tx.Items, func(it *plan.Item) bool { return it.ID == c.ID })
			})
		} else {
			last := d.planned[len(d.planned)-1]
			if len(d.tenders) == 1 {
				tx.PayWith = usual(last)
			}
			tx.Pos = last.Pos
			for n := 2; ; n++ {
				if tx.ID = last.ID + "-" + strconv.Itoa(n); !taken[tx.ID] {
					break
				}
			}
			taken[tx.ID] = true
		}
		if tx.Date == t.plan.Date {
			tx.Date = plan.Date{}
		}
		list = append(list, tx)
	}
	return list
}

// withTransactions is the plan with other transactions, without the planner's
// figures, which were of the old ones.
func (t *trip) withTransactions(list []*plan.Transaction) *plan.Plan {
	p := *t.plan
	p.Transactions, p.Claimed = list, nil
	p.Prepare()
	return &p
}

// purse is a credit to pay with.
type purse struct {
	pay     plan.Payment // without its amount
	left    money.Amount
	expires plan.Date
}

// withCredits pays each transaction with the credits there are by then, oldest
// first, for as long as that stops no reward and changes no rounding.
func (t *trip) withCredits(p *plan.Plan) *plan.Plan {
	var purses []purse
	held := t.held()
	for _, kind := range []string{"gift card", "points", "store credit"} {
		if !held[kind].IsZero() {
			purses = append(purses, purse{pay: plan.Payment{Kind: kind, Held: true}, left: held[kind]})
		}
	}
	bill := p.Price()
	for i := range p.Transactions {
		for k := range purses {
			next, after, paid := t.spend(p, bill, i, purses[k])
			if !paid.IsZero() {
				p, bill = next, after
				purses[k].left = purses[k].left.Sub(paid)
			}
		}
		for _, c := range bill.Transactions[i].Credits {
			at := slices.IndexFunc(p.Offers, func(o *plan.Offer) bool { return o.ID == c.Offer })
			purses = append(purses, purse{plan.Payment{Kind: c.Kind, Credit: p.Offers[at]}, c.Value, c.Expires})
		}
	}
	return p
}

// spend is p with transaction i paid with the purse as far as it goes, and its bill.
func (t *trip) spend(p *plan.Plan, bill *plan.Bill, i int, from purse) (*plan.Plan, *plan.Bill, money.Amount) {
	tb := bill.Transactions[i]
	amount := money.Min(from.left, tb.CashDue)
	late := !from.expires.IsZero() && !tb.Date.IsZero() && from.expires.Before(tb.Date)
	if amount.Sign() <= 0 || late {
		return nil, nil, money.Amount{}
	}
	was := p.Transactions[i]
	tx := *was
	pay := from.pay
	pay.Amount, pay.Pos = amount, was.Pos
	credits := slices.IndexFunc(was.PayWith, func(pay plan.Payment) bool { return pay.Credit == nil && !pay.Held })
	tx.PayWith = slices.Insert(slices.Clone(was.PayWith), max(credits, 0), pay)
	list := slices.Clone(p.Transactions)
	list[i] = &tx
	next := t.withTransactions(list)
	after := next.Price()
	if after.FinalCost.Cmp(bill.FinalCost) > 0 || after.Credits.Cmp(bill.Credits) < 0 {
		return nil, nil, money.Amount{}
	}
	return next, after, amount
}
