package week

import (
	"cmp"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// offerKey makes the same offer in several plans one.
func offerKey(o *plan.Offer) string {
	return strings.Join([]string{o.ID, o.Spend.String(), o.Accumulates.From.String(), o.Accumulates.Through.String()}, "|")
}

// accumulate adds up what offers count over the receipts of many trips, and
// makes a due of each that has come to its sum.
func (a *assessor) accumulate() {
	offers := map[string]*plan.Offer{}
	all := map[string][]Contribution{}
	for i := range a.in.Plans {
		for _, o := range a.in.Plans[i].Plan.Offers {
			if o.Accumulates != nil && o.Spend != nil {
				offers[offerKey(o)] = o
			}
		}
	}
	for _, c := range a.in.Toward {
		if offers[c.Offer] != nil {
			all[c.Offer] = append(all[c.Offer], c)
		}
	}
	for _, r := range a.w.Receipts {
		for _, c := range r.toward {
			all[c.Offer] = append(all[c.Offer], c)
		}
	}
	for _, key := range slices.Sorted(mapKeys(offers)) {
		a.towards(offers[key], all[key])
	}
}

// adds notes what r adds to offers that add up over receipts.
func (r *Receipt) adds() {
	for _, o := range r.plan.Plan.Offers {
		if o.Accumulates == nil || o.Spend == nil || r.day.IsZero() || !o.Accumulates.Contains(r.day) {
			continue
		}
		if amount := measured(r, o); amount.Sign() > 0 {
			r.toward = append(r.toward, Contribution{Receipt: r.ID, Offer: offerKey(o), Amount: amount, Date: r.day.String()})
		}
	}
}

func mapKeys[V any](m map[string]V) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// towards says how far an offer has come.
func (a *assessor) towards(o *plan.Offer, from []Contribution) {
	slices.SortStableFunc(from, func(x, y Contribution) int {
		return cmp.Or(cmp.Compare(x.Date, y.Date), cmp.Compare(x.Receipt, y.Receipt))
	})
	t := Toward{Offer: o.ID, Title: o.Title, Of: *o.Spend, Through: o.Accumulates.Through, Receipts: from}
	if from == nil {
		t.Receipts = []Contribution{}
	}
	last := Contribution{} // the receipt that made the sum full
	for _, c := range from {
		if t.Amount.Cmp(t.Of) < 0 {
			last = c
		}
		t.Amount = t.Amount.Add(c.Amount)
	}
	t.Reached = t.Amount.Cmp(t.Of) >= 0
	a.w.Toward = append(a.w.Toward, t)
	if !t.Reached || !slices.ContainsFunc(a.w.Receipts, func(r *Receipt) bool { return r.ID == last.Receipt }) {
		return
	}
	uses := 1
	if o.Repeats {
		uses = int(t.Amount.Cents() / t.Of.Cents())
	}
	if n := o.Limit.Total; n > 0 {
		uses = min(uses, n)
	}
	day, _ := plan.ParseDate(last.Date)
	due := Due{ID: id("due", "toward", offerKey(o)), Receipt: last.Receipt, Claim: state.Claim{Offer: o.ID, Title: o.Title, ClaimTo: o.ClaimTo,
		Due: state.Due{Began: state.Expected, State: state.Expected}}}
	if o.Rebate != nil {
		due.What, due.Kind, due.Value, due.By = "rebate", state.Rebate, o.Rebate.Value.Mul(uses), o.Rebate.SubmitBy
		if o.Rebate.SubmitWithin > 0 {
			due.By = day.AddDays(o.Rebate.SubmitWithin)
		}
	} else {
		due.What, due.Kind, due.Value = o.Credit.Kind, state.Credit, o.Credit.Value.Mul(uses)
		if o.Credit.ExpiresAfter > 0 {
			due.By = day.AddDays(o.Credit.ExpiresAfter)
		}
	}
	if due.Value.Sign() > 0 {
		a.w.Dues = append(a.w.Dues, due)
	}
}

// measured is what the receipt counts toward o: of the items it covers the
// shelf prices, the prices rung, or those less what was taken off, as its
// measure says.
func measured(r *Receipt, o *plan.Offer) (sum money.Amount) {
	measure := o.Measure
	if measure == "" {
		measure = r.plan.Plan.Store.Policy.Measure
	}
	covered := map[string]bool{}
	for _, it := range r.tx.Items {
		if !o.Covers(it) {
			continue
		}
		got := amounts(r.Result, func(m match.Match) bool { return m.Item == it.ID })
		if got.IsZero() {
			continue
		}
		covered[it.ID] = true
		if measure == plan.MeasureShelf {
			got = regular(r, it, got)
		}
		sum = sum.Add(got)
	}
	for _, off := range r.plan.Plan.Offers {
		if off.Deduct != nil && lowers(off, measure) && coversOnly(off, r.tx, covered) {
			sum = sum.Add(amounts(r.Result, func(m match.Match) bool { return m.Offer == off.ID })) // deductions are negative
		}
	}
	return sum
}

// regular is the shelf price of the units rung, where these are the planned.
func regular(r *Receipt, it *plan.Item, rung money.Amount) money.Amount {
	for _, l := range r.Result.Expected.Lines {
		if l.Item == it.ID && !slices.ContainsFunc(r.Result.Findings, func(f audit.Finding) bool { return slices.Contains(f.Items, it.ID) && f.Kind == audit.Quantity }) {
			return l.Regular
		}
	}
	return rung
}

// lowers reports whether the measure is taken after the offer's step.
func lowers(o *plan.Offer, m plan.Measure) bool {
	switch m {
	case plan.MeasureNet:
		return true
	case plan.MeasureAfterStoreOffers:
		return o.Step() != plan.StepMaker
	case plan.MeasureAfterShelfOffers:
		return o.Step() == plan.StepShelf
	}
	return false
}

func coversOnly(o *plan.Offer, tx *plan.Transaction, items map[string]bool) bool {
	any := false
	for _, it := range tx.Items {
		if o.Covers(it) {
			any = true
			if !items[it.ID] {
				return false
			}
		}
	}
	return any
}

// amounts adds up the lines of the matches that are wanted.
func amounts(result *audit.Result, want func(match.Match) bool) (sum money.Amount) {
	counted := map[int]bool{}
	for _, m := range result.Matches {
		if !want(m) {
			continue
		}
		for _, n := range m.Lines {
			if n < 1 || n > len(result.Receipt.Lines) || counted[n] {
				continue
			}
			counted[n] = true
			if l := result.Receipt.Line(n); l.Amount != nil && l.Kind != parse.LineQuantity {
				sum = sum.Add(*l.Amount)
			}
		}
	}
	return sum
}
