package week

import (
	"slices"
	"strconv"

	"tillproof/audit"
	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// owed lists what each receipt gives a claim to, and what was found missing.
func (a *assessor) owed() {
	for _, r := range a.w.Receipts {
		if r.Result == nil || !r.Counted() {
			continue
		}
		a.takeBack(r)
		for _, d := range r.dues {
			if d.slip != nil && a.onSlip(r, *d.slip) {
				d.Began = state.Printed
			}
			d.State = d.Began
			a.w.Dues = append(a.w.Dues, d.Due)
		}
		a.w.Findings = append(a.w.Findings, r.found...)
	}
}

// takeBack leaves out the rebates that rest on a line that was returned: what
// was brought back is not to be claimed, and that is said.
func (a *assessor) takeBack(r *Receipt) {
	returned := a.returnedLines(r)
	if returned == nil {
		return
	}
	r.dues = slices.DeleteFunc(r.dues, func(d ownDue) bool {
		if d.Kind != state.Rebate {
			return false
		}
		i := slices.IndexFunc(d.Lines, func(n int) bool { return slices.Contains(returned, n) })
		if i >= 0 {
			r.Notes = append(r.Notes, "line "+strconv.Itoa(d.Lines[i])+" was returned: do not claim "+d.Offer+" for it")
		}
		return i >= 0
	})
}

// offer is the plan's offer of that id, nil where it has none.
func (r *Receipt) offer(id string) *plan.Offer {
	for _, o := range r.plan.Plan.Offers {
		if o.ID == id {
			return o
		}
	}
	return nil
}

// rebates notes those to claim.
func (r *Receipt) rebates() {
	for _, d := range r.Result.Due {
		if !d.SubmitBy.IsZero() && !r.day.IsZero() && d.SubmitBy.Before(r.day) {
			r.Notes = append(r.Notes, "it was bought after "+d.SubmitBy.String()+", the last day to claim "+d.Offer)
			continue
		}
		due := Due{ID: id("due", r.ID, d.Offer), Receipt: r.ID, Claim: state.Claim{Offer: d.Offer, What: "rebate", Lines: d.Lines,
			Due: state.Due{Kind: state.Rebate, Value: d.Value, Began: state.Expected, By: d.SubmitBy}}}
		if o := r.offer(d.Offer); o != nil {
			due.Title, due.ClaimTo = o.Title, o.ClaimTo
		}
		r.dues = append(r.dues, ownDue{Due: due})
	}
}

// returnedLines are the lines of r that returns of the folder take back.
func (a *assessor) returnedLines(r *Receipt) (lines []int) {
	var read *parse.Receipt
	for _, back := range a.w.Receipts {
		if back.Kind != parse.KindReturn || back.Refers != r.ID {
			continue
		}
		if read == nil {
			read = r.full()
		}
		for i := range back.Read.Lines {
			b := &back.Read.Lines[i]
			at := slices.IndexFunc(read.Lines, func(l parse.Line) bool {
				return !slices.Contains(lines, l.N) && sameGoods(&l, b)
			})
			if at >= 0 {
				lines = append(lines, read.Lines[at].N)
			}
		}
	}
	return lines
}

// sameGoods reports whether two lines are of the same goods: by name, and at a
// price of which one of several units may have come back.
func sameGoods(bought, back *parse.Line) bool {
	return bought.Kind == parse.LineItem && back.Kind == parse.LineItem && bought.Amount != nil && back.Amount != nil &&
		fold(bought.Name) == fold(back.Name) && bought.Amount.Abs().Cmp(back.Amount.Abs()) >= 0
}

// credits notes those that the receipt or a slip shows, and those that can
// only be seen elsewhere. One that is missing is a finding, not a due.
func (r *Receipt) credits() {
	for _, c := range r.Result.Expected.Credits {
		o := r.offer(c.Offer)
		if o == nil {
			continue
		}
		due := ownDue{Due: Due{ID: id("due", r.ID, c.Offer), Receipt: r.ID, Claim: state.Claim{Offer: c.Offer, Title: o.Title, What: c.Kind,
			Due: state.Due{Kind: state.Credit, Value: c.Value, Began: state.Expected, By: c.Expires}}}}
		lines, shown := shownBy(r.Result, c.Offer)
		due.Lines = lines
		switch f := findingOn(r.Result, c.Offer); {
		case f != nil && f.Kind == audit.MissingCredit:
			continue
		case f != nil && (f.Kind == audit.ShortCredit || f.Kind == audit.ExtraCredit):
			due.Value, due.Began = f.Actual, state.Printed
		case shown:
			due.Began = state.Printed
		case o.Credit.Shows == "slip":
			due.slip = &c
		case o.Credit.Shows != "account":
			continue // what it asks for was not met
		}
		r.dues = append(r.dues, due)
	}
}

// onSlip reports whether a reward slip of the folder shows the credit.
func (a *assessor) onSlip(r *Receipt, c plan.BillCredit) bool {
	return slices.ContainsFunc(a.w.Receipts, func(s *Receipt) bool {
		return s.Kind == parse.KindSlip && s.Refers == r.ID && slipShows(s.Read, c)
	})
}

// shownBy are the lines that show an offer.
func shownBy(result *audit.Result, offer string) ([]int, bool) {
	i := slices.IndexFunc(result.Matches, func(m match.Match) bool { return m.Offer == offer && len(m.Lines) > 0 })
	if i < 0 {
		return nil, false
	}
	return result.Matches[i].Lines, true
}

func findingOn(result *audit.Result, offer string) *audit.Finding {
	for i := range result.Findings {
		if result.Findings[i].Offer == offer {
			return &result.Findings[i]
		}
	}
	return nil
}

// findings notes what makes receipts short: firm, and the till's to answer for
// or nobody's.
func (r *Receipt) findings() {
	if r.Verdict != audit.Short {
		return
	}
	n := map[string]int{}
	for _, f := range r.Result.Findings {
		if !f.Certainty.Firm() || f.Effect.Sign() >= 0 || f.Side != audit.SideTill && f.Side != audit.SideOpen ||
			f.Kind == audit.MissingItem || f.Kind == audit.UnplannedItem {
			continue
		}
		out := Finding{Receipt: r.ID, Carried: "price", Title: r.title(&f), Finding: f}
		if o := r.offer(f.Offer); o != nil {
			out.Carried = o.CarriedAs
		}
		key := string(f.Kind) + "\x00" + f.Offer + "\x00" + jointly(f.Items)
		out.ID = id("finding", r.ID, key, n[key])
		n[key]++
		r.found = append(r.found, out)
	}
}

// title is what a person knows the subject of a finding by.
func (r *Receipt) title(f *audit.Finding) string {
	if o := r.offer(f.Offer); o != nil {
		return o.Title
	}
	if len(f.Items) > 0 {
		return itemName(r.tx, f.Items[0])
	}
	switch f.Kind {
	case audit.TaxFinding:
		return "the tax"
	case audit.SumFinding:
		return "the receipt's own sums"
	}
	return string(f.Kind)
}

// mostReasons is how many findings are named behind a verdict.
const mostReasons = 3

// explain says what is behind a verdict: of an undecided one what may have lost
// money and why that is not sure, of the others what differs for sure.
func (r *Receipt) explain() {
	undecided := r.Verdict == audit.Undecided
	if !undecided && r.Verdict != audit.Gained && r.Verdict != audit.TillRight {
		r.otherGoods()
		return
	}
	var of []*audit.Finding
	for i := range r.Result.Findings {
		f := &r.Result.Findings[i]
		if goods := f.Kind == audit.MissingItem || f.Kind == audit.UnplannedItem; !goods && !f.Effect.IsZero() && f.Certainty.Firm() != undecided {
			of = append(of, f)
		}
	}
	slices.SortStableFunc(of, func(x, y *audit.Finding) int { return y.Effect.Abs().Cmp(x.Effect.Abs()) })
	for i, f := range of {
		if i == mostReasons {
			r.Why = append(r.Why, strconv.Itoa(len(of)-i)+" more")
			break
		}
		r.Why = append(r.Why, f.Effect.Signed()+" "+r.title(f)+" ("+string(f.Kind)+", "+string(f.Certainty)+")")
	}
	if undecided && (len(of) == 0 || !r.Read.Firm) {
		r.Why = append(r.Why, r.Result.Undecided...)
	}
}

// otherGoods says of a receipt on which no money is missing why it comes to another
// sum than planned: what was bought besides, or not.
func (r *Receipt) otherGoods() {
	for i := range r.Result.Findings {
		f := &r.Result.Findings[i]
		if r.Verdict != audit.AsPlanned || f.Effect.IsZero() {
			continue
		}
		if len(r.Why) == mostReasons {
			r.Why = append(r.Why, "and more")
			return
		}
		switch f.Kind {
		case audit.UnplannedItem:
			r.Why = append(r.Why, r.title(f)+", "+f.Effect.Abs().String()+", is not in the plan")
		case audit.MissingItem:
			r.Why = append(r.Why, r.title(f)+", "+f.Effect.Abs().String()+", was not bought")
		}
	}
}

func jointly(items []string) string {
	sorted := slices.Sorted(slices.Values(items))
	text := ""
	for _, s := range sorted {
		text += s + "\x00"
	}
	return text
}

func itemName(tx *plan.Transaction, item string) string {
	for _, it := range tx.Items {
		if it.ID == item {
			return it.Name
		}
	}
	return item
}

// spent finds credits of one receipt that another was paid with, as planned.
func (a *assessor) spent() {
	for _, r := range a.w.Receipts {
		if r.Result == nil || !r.Counted() {
			continue
		}
		for _, pay := range r.tx.PayWith {
			if pay.Credit == nil {
				continue
			}
			amount := money.Min(tendered(r.Read, pay.Kind), pay.Amount)
			if id, value := a.creditFrom(r, pay.Credit); id != "" && amount.Sign() > 0 {
				a.w.Spent = append(a.w.Spent, Spent{Due: id, Receipt: r.ID, Date: r.day, Amount: money.Min(amount, value)})
			}
		}
	}
}

// creditFrom is the credit of an offer that another receipt of r's plan earned,
// not after r: in this folder, else in another.
func (a *assessor) creditFrom(r *Receipt, o *plan.Offer) (due string, value money.Amount) {
	taken := func(id string) bool {
		return slices.ContainsFunc(a.w.Spent, func(s Spent) bool { return s.Due == id })
	}
	for i := range a.w.Dues {
		d := &a.w.Dues[i]
		if d.Offer != o.ID || d.Receipt == r.ID || taken(d.ID) {
			continue
		}
		for _, e := range a.w.Receipts {
			if e.ID == d.Receipt && e.plan == r.plan && (e.day.IsZero() || r.day.IsZero() || !r.day.Before(e.day)) {
				return d.ID, d.Value
			}
		}
	}
	for _, c := range a.in.Credits {
		if c.Plan == r.Plan && c.Offer == o.ID && !taken(c.Due) && (c.Date == "" || r.Date == "" || c.Date <= r.Date) {
			return c.Due, c.Value
		}
	}
	return "", money.Amount{}
}

// tendered is what was paid with a kind of tender.
func tendered(r *parse.Receipt, kind string) (sum money.Amount) {
	for _, t := range r.Tenders {
		if t.Kind == kind {
			sum = sum.Add(t.Amount)
		}
	}
	return sum
}
