package week

import (
	"cmp"
	"slices"

	"tillproof/audit"
	"tillproof/parse"
	"tillproof/plan"
)

// audit checks each receipt against its transaction.
func (a *assessor) audit() {
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
			a.check(r, shopped)
		}
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

// references finds the purchase that a return or a slip belongs to: of the
// same store, with the returned goods on it, or of the slip's day.
func (a *assessor) references() {
	for _, r := range a.w.Receipts {
		if r.Kind != parse.KindReturn && r.Kind != parse.KindSlip {
			continue
		}
		best, second := 0.0, 0.0
		for _, o := range a.w.Receipts {
			if !o.Counted() || differ(fold(o.Store), fold(r.Store)) {
				continue
			}
			score := 0.0
			if r.Kind == parse.KindReturn {
				score = returned(o.Read, r.Read)
			} else if r.Date != "" && r.Date == o.Date && o.Result != nil {
				score = 1 + slipOf(o, r.Read)
			}
			if score > best {
				best, second, r.Refers = score, best, o.ID
			} else if score > second {
				second = score
			}
		}
		if best == second {
			r.Refers = ""
		}
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
