package split

import (
	"fmt"
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// Filled is what to add to a transaction so that an offer's threshold, which the
// plan just misses, is reached.
type Filled struct {
	Transaction string `json:"transaction"`
	Offer       string `json:"offer"`
	// Missing is how far the plan is from the threshold.
	Missing money.Amount `json:"missing"`
	// Adds are the candidates to add; none: no planned candidate reaches it.
	Adds []Added `json:"adds"`
	// Costs is what they come to in the end, and Brings what the offer then gives.
	Costs  money.Amount `json:"costs,omitzero"`
	Brings money.Amount `json:"brings,omitzero"`
	// Change is the change of the plan's final cost, Costs less Brings: below 0.00
	// it pays, above it the candidates cost more than they bring.
	Change money.Amount `json:"change,omitzero"`
	// Plan is the plan with what is added; nil where there is nothing to add.
	Plan *plan.Plan `json:"-"`
}

// Added is one candidate to add.
type Added struct {
	Item     string `json:"item"`
	Name     string `json:"name"`
	Quantity int    `json:"quantity"`
}

// maxSelections bounds the selections of candidates that are tried for one
// threshold; above it only those of one or two candidates are.
const maxSelections = 4096

// Fill names, for each spend threshold that a transaction of p misses, the
// candidates of that transaction that reach it with the lowest final cost; where
// that is the same, the fewest units. Of a candidate up to its planned quantity
// is added, and nothing that the threshold does not need.
func Fill(p *plan.Plan) []Filled {
	list := []Filled{}
	before := p.Price().FinalCost
	seen := 0
	for i, tx := range p.Transactions {
		missed := thresholds(p, i+1)
		for _, w := range missed[seen:] {
			f := Filled{Transaction: tx.ID, Offer: w.Offer, Missing: *w.Amount, Adds: []Added{}}
			f.fill(p, i, before)
			list = append(list, f)
		}
		seen = len(missed)
	}
	return list
}

// thresholds are the warnings of thresholds that the first n transactions miss.
func thresholds(p *plan.Plan, n int) []plan.Warning {
	head := *p
	head.Transactions, head.Claimed = p.Transactions[:n:n], nil
	return slices.DeleteFunc(head.Price().Warnings, func(w plan.Warning) bool { return w.Kind != "threshold" })
}

// fill looks for the best selection of candidates of transaction i: of those that
// reach the threshold with nothing that could be left out.
func (f *Filled) fill(p *plan.Plan, i int, before money.Amount) {
	candidates := p.Transactions[i].Candidates
	reaches := map[string]bool{}
	reach := func(pick []int) bool {
		key := fmt.Sprint(pick)
		known, ok := reaches[key]
		if !ok {
			next, _ := with(p, i, pick)
			known = !given(next.Price().Transactions[i], f.Offer).IsZero()
			reaches[key] = known
		}
		return known
	}
	fewest := 0
	for _, pick := range selections(candidates) {
		if !reach(pick) || !least(pick, reach) {
			continue
		}
		next, units := with(p, i, pick)
		bill := next.Price()
		change := bill.FinalCost.Sub(before)
		c := change.Cmp(f.Change)
		if f.Plan != nil && (c > 0 || c == 0 && units >= fewest) {
			continue
		}
		gives := given(bill.Transactions[i], f.Offer)
		f.Plan, f.Change, f.Brings, f.Costs, fewest = next, change, gives, change.Add(gives), units
		f.Adds = f.Adds[:0]
		for k, n := range pick {
			if c := candidates[k]; n > 0 {
				f.Adds = append(f.Adds, Added{c.ID, c.Name, n})
			}
		}
	}
}

// least reports whether pick reaches the threshold only with all of its units.
func least(pick []int, reach func(pick []int) bool) bool {
	for k, n := range pick {
		if n == 0 {
			continue
		}
		without := slices.Clone(pick)
		without[k]--
		if reach(without) {
			return false
		}
	}
	return true
}

// given is what an offer gives in a transaction.
func given(tb *plan.TransactionBill, offer string) money.Amount {
	var sum money.Amount
	for _, d := range tb.BasketDeductions {
		if d.Offer == offer {
			sum = sum.Add(d.Amount)
		}
	}
	for _, c := range tb.Credits {
		if c.Offer == offer {
			sum = sum.Add(c.Value)
		}
	}
	for _, r := range tb.Rebates {
		if r.Offer == offer {
			sum = sum.Add(r.Value)
		}
	}
	return sum
}

// with is p with that many units of each candidate added to transaction i.
func with(p *plan.Plan, i int, pick []int) (next *plan.Plan, units int) {
	tx := *p.Transactions[i]
	tx.Items, tx.Candidates = slices.Clone(tx.Items), nil
	for k, c := range p.Transactions[i].Candidates {
		if pick[k] == 0 {
			tx.Candidates = append(tx.Candidates, c)
			continue
		}
		it := *c
		it.Index, it.Quantity = len(tx.Items), pick[k]
		tx.Items = append(tx.Items, &it)
		units += pick[k]
	}
	q := *p
	q.Transactions = slices.Clone(p.Transactions)
	q.Transactions[i] = &tx
	return &q, units
}

// selections are the ways to take some of the candidates.
func selections(candidates []*plan.Item) [][]int {
	all := 1
	for _, c := range candidates {
		if all *= c.Quantity + 1; all > maxSelections {
			return few(candidates)
		}
	}
	var list [][]int
	pick := make([]int, len(candidates))
	for k := 0; k < len(pick); {
		if pick[k] == candidates[k].Quantity {
			pick[k] = 0
			k++
			continue
		}
		pick[k]++
		list, k = append(list, slices.Clone(pick)), 0
	}
	return list
}

// few are the selections of one candidate in any number, or of two in full.
func few(candidates []*plan.Item) [][]int {
	var list [][]int
	for i, c := range candidates {
		for n := 1; n <= c.Quantity && len(list) < maxSelections; n++ {
			pick := make([]int, len(candidates))
			pick[i] = n
			list = append(list, pick)
		}
	}
	for i := range candidates {
		for j := range i {
			if len(list) >= 2*maxSelections {
				return list
			}
			pick := make([]int, len(candidates))
			pick[i], pick[j] = candidates[i].Quantity, candidates[j].Quantity
			list = append(list, pick)
		}
	}
	return list
}
