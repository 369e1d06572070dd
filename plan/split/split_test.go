package split_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tillproof/fixtures/trip"
	"tillproof/money"
	"tillproof/plan"
	"tillproof/plan/split"
)

func load(t *testing.T, src string) *plan.Plan {
	t.Helper()
	p, err := plan.Load([]byte(src), "plan.yaml", nil)
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	return p
}

var factsOfTheTrade = []struct {
	why, plan string
	opt       split.Options
	final     string
	bins      []string // of the best plan: "day id: item quantity …; pays"
}{
	{
		why: "an app percentage for four units a transaction: eight units are two transactions",
		plan: `
transactions:
  - {id: t, items: [{id: oats, name: oats, quantity: 8, shelf: 4.00}]}
offers:
  - {id: app, title: half off, carried_as: app, applies_to: [oats], deduct: 50%, limit: {per_transaction: 4}}`,
		final: "16.00",
		bins:  []string{"t: oats 4; card", "t-2: oats 4; card"},
	},
	{
		why: "a threshold for each transaction: 40.00 passes 20.00 twice, and the first gift card pays for the second",
		plan: `
transactions:
  - {id: t, items: [{id: a, name: a, quantity: 4, shelf: 10.00}]}
offers:
  - {id: card, title: gift card, applies_to: [a], spend: 20.00, credit: {kind: gift card, value: 5.00}}`,
		final: "30.00",
		bins:  []string{"t: a 2; card", "t-2: a 2; card 5.00, card"},
	},
	{
		why: "points that do not come when the same points pay: they pay for what the deal is not on",
		plan: `
transactions:
  - {id: t, items: [{id: deal, name: deal, quantity: 2, shelf: 10.00}]}
  - {id: u, pay_with: [{credit: pts, amount: 3.00}, card], items: [{id: deal, name: deal, quantity: 1, shelf: 10.00}, {id: milk, name: milk, shelf: 6.00}]}
offers:
  - {id: pts, title: points, carried_as: loyalty, applies_to: [deal], spend: 10.00, void_if_paid_with: [{credit: pts}], credit: {kind: points, value: 3.00, points: 3000}}`,
		final: "27.00", // 36.00, and three times 3.00 back
		bins:  []string{"t: deal 1; card", "u: deal 1; card", "u-2: deal 1; card", "u-3: milk 1; pts 3.00, pts 3.00, card"},
	},
	{
		why: "a threshold that two transactions miss and one reaches",
		plan: `
transactions:
  - {id: t, items: [{id: a, name: a, shelf: 12.00}]}
  - {id: u, items: [{id: b, name: b, shelf: 9.00}]}
offers:
  - {id: off, title: 5 off 20, applies_to: [a, b], spend: 20.00, deduct: 5.00}`,
		final: "16.00",
		bins:  []string{"t: a 1, b 1; card"},
	},
	{
		why: "two transactions a day: the rest another day, where the plan lets it",
		opt: split.Options{MoreDays: 1},
		plan: `
date: 2026-06-02
transactions:
  - {id: t, items: [{id: oats, name: oats, quantity: 6, shelf: 4.00}]}
offers:
  - {id: app, title: half off, carried_as: app, applies_to: [oats], deduct: 50%, limit: {per_transaction: 2, transactions_per_day: 2}}`,
		final: "12.00",
		bins:  []string{"t: oats 2; card", "t-2: oats 2; card", "2026-06-03 t-3: oats 2; card"},
	},
	{
		why: "nothing to gain: the plan stays as it is",
		plan: `
transactions:
  - {id: t, items: [{id: a, name: a, shelf: 12.00}]}
  - {id: u, pay_with: [cash], items: [{id: a, name: a, shelf: 12.00}]}`,
		final: "24.00",
		bins:  []string{"t: a 1; card", "u: a 1; cash"},
	},
}

// TestFactsOfTheTrade has what shoppers do about limits and thresholds (common
// practice, no source), on an invented plan each; the sums are worked out by hand.
func TestFactsOfTheTrade(t *testing.T) {
	for _, c := range factsOfTheTrade {
		t.Run(c.why, func(t *testing.T) {
			r := split.BestSplit(load(t, "plan: 1"+c.plan), c.opt)
			if !r.Exact || r.Best.FinalCost != money.Must(c.final) {
				t.Errorf("final cost %s (exact %v, %s), want %s", r.Best.FinalCost, r.Exact, r.Why, c.final)
			}
			if got := described(r.Plan); !slices.Equal(got, c.bins) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.bins, "\n"))
			}
		})
	}
}

func described(p *plan.Plan) []string {
	var list []string
	for _, tx := range p.Transactions {
		var items, pays []string
		for _, it := range tx.Items {
			items = append(items, fmt.Sprintf("%s %d", it.ID, it.Quantity))
		}
		for _, pay := range tx.PayWith {
			if pay.Credit != nil {
				pays = append(pays, pay.Credit.ID+" "+pay.Amount.String())
			} else {
				pays = append(pays, pay.Kind)
			}
		}
		head := tx.ID
		if !tx.Date.IsZero() {
			head = tx.Date.String() + " " + head
		}
		list = append(list, head+": "+strings.Join(items, ", ")+"; "+strings.Join(pays, ", "))
	}
	return list
}

// small makes a small plan at random in which limits and thresholds are met.
func small(rng *rand.Rand) string {
	var b strings.Builder
	pick := func(list ...string) string { return list[rng.IntN(len(list))] }
	fmt.Fprintf(&b, "plan: 1\ndate: 2026-06-02\n%stransactions:\n", pick("", "", "tax: {rate: 6.25%, items: [a, c]}\n", "tax: {rate: 8%, items: [b], basis: item}\n"))
	for i := range 1 + rng.IntN(2) {
		fmt.Fprintf(&b, "  - id: t%d\n    pay_with: [%s]\n%s    items:\n", i, pick("card", "card", "points, card", "cash"), pick("", "", "    date: 2026-06-03\n"))
		ids := []string{"a", "b", "c"}
		n := 1 + rng.IntN(3)
		if i == 0 {
			n = 3
		}
		for _, id := range ids[:n] {
			fmt.Fprintf(&b, "      - {id: %s, name: %s, quantity: %d, shelf: %d.%02d%s, tags: [%s]}\n", id, id, 1+rng.IntN(3), rng.IntN(8), rng.IntN(100),
				pick("", "", ", sale: 1.99", ", sale: 2 for 5.00", ", sale: 3 for 4.00 must buy 3"), pick("hot", "cold"))
		}
	}
	fmt.Fprintf(&b, "offers:\n  - {id: x, title: x, applies_to: [a], deduct: 0.10}\n")
	for i := range rng.IntN(5) {
		kind := pick("deduct: 50%", "deduct: 1.00", "deduct: free", "credit: {kind: points, value: 1.50}", "rebate: {value: paid, at_most: 3.00}",
			"spend: 6.00, deduct: 2.00", "spend: 9.00, credit: {kind: gift card, value: 3.00}", "spend: 5.00, credit: {kind: points, value: 10%}, void_if_paid_with: [points]",
			"spend: 4.00, repeats: yes, rebate: {value: 0.75}", "buy: 2, deduct: free, reduces: cheapest", "buy: 3, deduct: 2.00")
		fmt.Fprintf(&b, "  - {id: o%d, title: o%d, applies_to: [%s], funded_by: %s, carried_as: %s%s%s, %s}\n", i, i,
			pick("a", "b", "c", "a, b", "hot, a", "a, b, c"), pick("store", "maker"), pick("shelf", "app", "paper"),
			pick("", "", ", held: 1", ", held: 2"), pick("", "", ", limit: {per_transaction: 1}", ", limit: {per_transaction: 2}", ", limit: {total: 2}", ", limit: {transactions_per_day: 1}", ", limit: {per_transaction: 1, total: 3}"), kind)
	}
	src := b.String()
	// every tag that an offer may name must be there
	return strings.Replace(src, "tags: [", "tags: [hot, ", 1)
}

// unit is one unit of a planned item, with the transaction it is planned for.
type unit struct {
	item *plan.Item
	tx   *plan.Transaction
}

func unitsOf(p *plan.Plan) []unit {
	var all []unit
	for _, tx := range p.Transactions {
		for _, it := range tx.Items {
			for range it.Quantity {
				all = append(all, unit{it, tx})
			}
		}
	}
	return all
}

// divided is p with its units in the transactions that at says, in the order of
// their days, those that late names a day after all others; nil where a
// transaction would have an id twice at two prices. It knows nothing of how
// package split works.
func divided(p *plan.Plan, units []unit, at []int, late ...bool) *plan.Plan {
	dates := make([]plan.Date, len(units))
	var days []plan.Date
	for i, u := range units {
		if dates[i] = u.tx.Date; dates[i].IsZero() {
			dates[i] = p.Date
		}
		days = append(days, dates[i])
	}
	slices.SortFunc(days, func(a, b plan.Date) int { return strings.Compare(a.String(), b.String()) })
	after := days[len(days)-1].AddDays(1)
	for i := range late {
		if late[i] {
			dates[i] = after
		}
	}
	days = append(slices.Compact(days), after)
	q := *p
	q.Transactions, q.Claimed = nil, nil
	for _, day := range days {
		for n := range len(units) {
			var tx *plan.Transaction
			for i, u := range units {
				if at[i] != n || dates[i] != day {
					continue
				}
				if tx == nil {
					tx = &plan.Transaction{ID: fmt.Sprint(day, n), Date: day, PayWith: u.tx.PayWith, Index: len(q.Transactions)}
				}
				k := slices.IndexFunc(tx.Items, func(it *plan.Item) bool { return it.ID == u.item.ID })
				if k < 0 {
					it := *u.item
					it.Quantity, it.Index = 0, len(tx.Items)
					tx.Items = append(tx.Items, &it)
					k = len(tx.Items) - 1
				}
				same := tx.Items[k]
				sale := same.Sale == u.item.Sale || same.Sale != nil && u.item.Sale != nil && *same.Sale == *u.item.Sale
				if same.Shelf != u.item.Shelf || !sale || same.Fee != u.item.Fee || !slices.Equal(same.Tags, u.item.Tags) || u.item.Weight != nil && same.Quantity > 0 {
					return nil
				}
				same.Quantity++
			}
			if tx != nil {
				q.Transactions = append(q.Transactions, tx)
			}
		}
	}
	return &q
}

// TestNoSplitBeatsBestSplit tries other divisions of plans at random: none may
// cost less than what is said to be the exact best.
func TestNoSplitBeatsBestSplit(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	exact, gained, tried := 0, 0, 0
	for n := range 400 {
		src := small(rng)
		p, err := plan.Load([]byte(src), "plan.yaml", nil)
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		more := n % 4 / 3 // a fourth of the plans may use another day
		r := split.BestSplit(p, split.Options{MoreDays: more})
		if !r.Exact {
			continue
		}
		exact++
		if r.Saves.Sign() > 0 {
			gained++
		}
		sameUnits(t, p, r.Plan)
		units := unitsOf(p)
		at, late := make([]int, len(units)), make([]bool, len(units))
		for range 150 {
			bins := 1 + rng.IntN(len(units))
			for i := range at {
				at[i], late[i] = rng.IntN(bins), more > 0 && rng.IntN(2) == 0
			}
			q := divided(p, units, at, late...)
			if q == nil {
				continue
			}
			tried++
			if got := q.Price().FinalCost; got.Cmp(r.Best.FinalCost) < 0 {
				t.Fatalf("plan %d: %v costs %s, the best split %v %s\n%s", n, described(q), got, described(r.Plan), r.Best.FinalCost, src)
			}
		}
	}
	t.Logf("%d exact of 400, %d gain, %d other divisions tried", exact, gained, tried)
	if exact < 350 || gained < 100 || tried < 20_000 {
		t.Errorf("too few: %d exact, %d gain, %d tried", exact, gained, tried)
	}
}

// TestEverySplit tries every division of very small plans, in every order: the
// best of them must cost what BestSplit says.
func TestEverySplit(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	done := 0
	for done < 60 {
		src := small(rng)
		p := load(t, src)
		units := unitsOf(p)
		if len(units) > 5 {
			continue
		}
		done++
		at := make([]int, len(units))
		least := p.Price().FinalCost
		for more := true; more; {
			if q := divided(p, units, at); q != nil {
				least = money.Min(least, q.Price().FinalCost)
			}
			more = false
			for i := range at {
				if at[i]++; at[i] < len(units) {
					more = true
					break
				}
				at[i] = 0
			}
		}
		r := split.BestSplit(p, split.Options{})
		if !r.Exact || r.Best.FinalCost != least {
			t.Errorf("best of all is %s, BestSplit says %s (exact %v)\n%s", least, r.Best.FinalCost, r.Exact, src)
		}
	}
}

// TestCutShort holds what is found with little effort to what an exact search
// finds: never less, the same most of the time, and said not to be exact.
func TestCutShort(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 17))
	cut, same := 0, 0
	for range 150 {
		src := small(rng)
		p := load(t, src)
		exact := split.BestSplit(p, split.Options{})
		quick := split.BestSplit(p, split.Options{Effort: 1500})
		if !exact.Exact || quick.Exact {
			continue
		}
		cut++
		switch c := quick.Best.FinalCost.Cmp(exact.Best.FinalCost); {
		case c < 0:
			t.Errorf("cut short it finds %s, exactly %s\n%s", quick.Best.FinalCost, exact.Best.FinalCost, src)
		case c == 0:
			same++
		}
		if quick.Why == "" || quick.Best.FinalCost.Cmp(quick.Planned.FinalCost) > 0 {
			t.Errorf("%s, planned %s, why %q", quick.Best.FinalCost, quick.Planned.FinalCost, quick.Why)
		}
	}
	t.Logf("%d cut short, of which %d find what is exactly the best", cut, same)
	if cut < 20 || same*10 < cut*7 {
		t.Errorf("of %d cut short only %d find the best", cut, same)
	}
}

// sameUnits checks that q buys what p does.
func sameUnits(t *testing.T, p, q *plan.Plan) {
	t.Helper()
	count := func(p *plan.Plan) map[string]int {
		n := map[string]int{}
		for _, u := range unitsOf(p) {
			n[fmt.Sprint(u.item.ID, u.item.Shelf, u.item.Weight)]++
		}
		return n
	}
	if a, b := count(p), count(q); fmt.Sprint(a) != fmt.Sprint(b) {
		t.Fatalf("other units: %v, planned %v", b, a)
	}
}

// TestLargerTrips holds whole made-up trips to the same: never dearer than
// planned, never beaten where exact, and cut short with a word about it.
func TestLargerTrips(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	exact := 0
	for seed := range uint64(40) {
		p, err := trip.Full(seed).Plan()
		if err != nil {
			t.Fatal(err)
		}
		r := split.BestSplit(p, split.Options{Effort: 300_000})
		if r.Best.FinalCost.Cmp(r.Planned.FinalCost) > 0 || r.Exact == (r.Why != "") {
			t.Errorf("seed %d: %s, planned %s; exact %v, why %q", seed, r.Best.FinalCost, r.Planned.FinalCost, r.Exact, r.Why)
		}
		sameUnits(t, p, r.Plan)
		if !r.Exact {
			continue
		}
		exact++
		if len(p.Transactions) > 1 && !p.Store.Policy.CashRounding.IsZero() {
			continue // a credit that pays keeps cash from being rounded, which divided may use
		}
		units := unitsOf(p)
		at := make([]int, len(units))
		for range 30 {
			for i := range at {
				at[i] = rng.IntN(3)
			}
			if q := divided(p, units, at); q != nil {
				if got := q.Price().FinalCost; got.Cmp(r.Best.FinalCost) < 0 {
					t.Errorf("seed %d: %v costs %s, the best split %s", seed, described(q), got, r.Best.FinalCost)
				}
			}
		}
	}
	t.Logf("%d of 40 exact", exact)
	if exact < 15 {
		t.Errorf("only %d of 40 trips exact", exact)
	}
}
