package week

import (
	"cmp"
	"slices"

	"tillproof/audit"
	"tillproof/parse"
	"tillproof/plan"
)

// audit checks each receipt against its transaction, one at a time: what comes
// of it is noted, and what was read of it is let go.
func (a *assessor) audit() {
	refs := a.references()
	for i := range a.in.Plans {
		p := &a.in.Plans[i]
		var rs []*Receipt
		for _, r := range a.w.Receipts {
			if r.plan == p {
				a.settleDate(r)
				rs = append(rs, r)
			}
		}
		if len(rs) == 0 {
			continue
		}
		shopped := asShopped(p.Plan, rs)
		for _, r := range rs {
			a.visit(r, shopped, refs)
		}
	}
	for _, r := range a.w.Receipts {
		if r.plan == nil {
			a.visit(r, nil, refs)
		}
	}
	for _, ref := range refs {
		ref.settle()
	}
}

// visit checks r, unless it is of no plan, and notes what comes of it.
func (a *assessor) visit(r *Receipt, p *plan.Plan, refs []*reference) {
	head := r.Read
	r.Read, r.at = r.full(), r.spots()
	if p != nil {
		a.check(r, p)
	}
	if r.Counted() {
		for _, ref := range refs {
			ref.try(r)
		}
		if r.Result != nil {
			r.rebates()
			r.credits()
			r.findings()
			r.explain()
			r.adds()
			a.askAmounts(r)
			a.askNames(r)
		}
	}
	if a.in.Keep != nil {
		a.in.Keep(r)
	}
	if a.in.Shelve == nil {
		return
	}
	if r.Kind == parse.KindSale {
		if r.cold == nil {
			head, r.cold = a.cool(r.Read, nil)
		}
		r.Read, r.cold.at = head, nil
		if !slices.ContainsFunc(refs, func(ref *reference) bool { return ref.r.Kind == parse.KindReturn }) {
			r.cold = nil // nobody will ask for its lines
		}
	}
	r.at = nil
	if r.Result != nil {
		r.Result = &audit.Result{Version: r.Result.Version, Verdict: r.Result.Verdict, OutOfPocket: r.Result.OutOfPocket,
			ShortAtTill: r.Result.ShortAtTill, ShortCredit: r.Result.ShortCredit}
	}
}

// check audits one receipt against the plan as it was shopped.
func (a *assessor) check(r *Receipt, p *plan.Plan) {
	result, err := audit.Check(audit.Input{Plan: p, Transaction: r.tx.ID, Receipt: r.Read,
		PlanRef: audit.PlanRef{File: r.plan.File, SHA256: r.plan.SHA256}, Tool: a.in.Tool})
	if err != nil { // the transaction is the plan's own
		r.Notes = append(r.Notes, err.Error())
		return
	}
	if a.asked(transactionID(r)) {
		result.Verdict = audit.Undecided
		result.Undecided = append(result.Undecided, "it fits another planned transaction as well")
		result.ShortAtTill, result.ShortCredit = result.ShortAtTill.Sub(result.ShortAtTill), result.ShortCredit.Sub(result.ShortCredit)
	}
	r.Result, r.Verdict = result, result.Verdict
	r.day, _ = plan.ParseDate(r.Date)
	if r.day.IsZero() {
		r.day = result.Expected.Date
	}
}

// settleDate decides which reading of a date holds, where day and month could
// be either: the planned day, or one near it where the other is far.
func (a *assessor) settleDate(r *Receipt) {
	if a.strayDate(r) {
		// It would be asked what is out of date because of a digit misread.
		r.Date, r.Read.Date, r.Read.DateOther = "", "", ""
		return
	}
	other, err := plan.ParseDate(r.Read.DateOther)
	day, err2 := plan.ParseDate(r.Date)
	planned := r.tx.Date
	if planned.IsZero() {
		planned = r.plan.Plan.Date
	}
	if err != nil || err2 != nil {
		return
	}
	const near, far = 7, 21
	switch n, m := apart(day, planned), apart(other, planned); {
	case planned.IsZero():
		return
	case n == 0 || n <= near && m >= far:
		r.Read.DateOther = ""
	case m == 0 || m <= near && n >= far:
		r.Read.Date, r.Read.DateOther = r.Read.DateOther, ""
		r.Date = r.Read.Date
	}
}

// asShopped is p with its transactions in the order in which they were gone
// through, as the receipts say, so that coupons held and limits over several
// transactions are counted as the till counted them. Transactions without a
// receipt keep their place: whether they took place is not known.
func asShopped(p *plan.Plan, rs []*Receipt) *plan.Plan {
	perDay, across := false, false
	for _, o := range p.Offers {
		perDay = perDay || o.Limit.TransactionsPerDay > 0
		across = across || o.Held != nil || o.Limit.Total > 0 || o.Limit.TransactionsPerDay > 0
	}
	if !across {
		return p
	}
	shopped := slices.Clone(rs)
	for _, r := range rs {
		if r.Date == "" || r.Time == "" {
			return p // the order is not known
		}
	}
	slices.SortStableFunc(shopped, func(x, y *Receipt) int {
		return cmp.Or(cmp.Compare(x.Date, y.Date), cmp.Compare(x.Time, y.Time), cmp.Compare(x.tx.Index, y.tx.Index))
	})
	q := *p
	q.Transactions = slices.Clone(p.Transactions)
	next := 0
	for i, tx := range p.Transactions {
		at := slices.IndexFunc(rs, func(r *Receipt) bool { return r.tx == tx })
		if at < 0 {
			continue
		}
		moved := *shopped[next].tx
		moved.Index = i
		if day, err := plan.ParseDate(shopped[next].Date); perDay && err == nil && sameOffers(p, moved.Date, day) {
			moved.Date = day
		}
		q.Transactions[i] = &moved
		next++
	}
	q.Prepare()
	return &q
}

// sameOffers reports whether the same offers are valid on both days: what
// coming late has cost stays the audit's to say.
func sameOffers(p *plan.Plan, was, is plan.Date) bool {
	if was.IsZero() {
		was = p.Date
	}
	for _, o := range p.Offers {
		if o.Valid.Contains(was) != o.Valid.Contains(is) {
			return false
		}
	}
	return true
}

// reference is a return or a slip, and the purchase that it seems to belong to:
// of the same store, with the returned goods on it, or of the slip's day.
type reference struct {
	r            *Receipt
	to           string
	best, second float64
}

// references are the returns and slips of the folder.
func (a *assessor) references() (all []*reference) {
	for _, r := range a.w.Receipts {
		if r.Kind == parse.KindReturn || r.Kind == parse.KindSlip {
			all = append(all, &reference{r: r})
		}
	}
	return all
}

// try holds the purchase o against the reference.
func (ref *reference) try(o *Receipt) {
	r := ref.r
	if differ(fold(o.Store), fold(r.Store)) {
		return
	}
	score := 0.0
	if r.Kind == parse.KindReturn {
		score = returned(o.Read, r.Read)
	} else if r.Date != "" && r.Date == o.Date && o.Result != nil {
		score = 1 + slipOf(o, r.Read)
	}
	if score > ref.best {
		ref.best, ref.second, ref.to = score, ref.best, o.ID
	} else if score > ref.second {
		ref.second = score
	}
}

// settle says which purchase it is, where one fits better than all others.
func (ref *reference) settle() {
	if ref.best != ref.second {
		ref.r.Refers = ref.to
	}
}

// returned is the share of r's goods that o has.
func returned(o, r *parse.Receipt) float64 {
	n, same := 0, 0
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Kind != parse.LineItem || l.Amount == nil {
			continue
		}
		n++
		if slices.ContainsFunc(o.Lines, func(m parse.Line) bool { return sameGoods(&m, l) }) {
			same++
		}
	}
	if n == 0 || same == 0 {
		return 0
	}
	return float64(same) / float64(n)
}

// slipOf is 1 where the slip shows a credit that o should have earned.
func slipOf(o *Receipt, slip *parse.Receipt) float64 {
	for _, c := range o.Result.Expected.Credits {
		if slipShows(slip, c) {
			return 1
		}
	}
	return 0
}

// slipShows reports whether a slip shows the credit's value.
func slipShows(slip *parse.Receipt, c plan.BillCredit) bool {
	return slices.ContainsFunc(slip.Lines, func(l parse.Line) bool {
		return l.Kind == parse.LineCredit && (l.Amount != nil && l.Amount.Abs() == c.Value || l.Points > 0 && l.Points == c.Points)
	})
}
