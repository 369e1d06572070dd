// Package letter writes what a person can send after a check: a complaint to the
// store, to the maker of a coupon, or to who pays a rebate.
//
// Write is the function to read first. A letter holds only firm findings that lost
// money and are not the shopper's or the plan's own; it is polite, names lines
// and sums, and says that the written policy and local law decide. Nothing is sent.
package letter

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/plan"
)

// Addressee is whom a letter is for.
type Addressee string

// The addressees.
const (
	Store  Addressee = "store"
	Maker  Addressee = "maker"
	Rebate Addressee = "rebate payer"
)

// Letter is one letter, to be signed and sent by a person.
type Letter struct {
	To   Addressee `json:"to"`
	Name string    `json:"name,omitempty"`
	// LastDay is the last day to send it, zero where none is known; Why says
	// where it comes from.
	LastDay plan.Date    `json:"last_day,omitzero"`
	Why     string       `json:"why"`
	Amount  money.Amount `json:"amount"`
	Subject string       `json:"subject"`
	Body    string       `json:"body"`
	Enclose []string     `json:"enclose"`
}

// Write writes the letters that a result calls for, in the order of the
// addressees; none where nothing firm was lost.
func Write(p *plan.Plan, r *audit.Result) []Letter {
	w := &writer{p: p, r: r}
	w.day, _ = plan.ParseDate(r.Receipt.Date)
	letters := []Letter{}
	for _, write := range []func() *Letter{w.store, w.maker, w.rebate} {
		if l := write(); l != nil {
			letters = append(letters, *l)
		}
	}
	return letters
}

type writer struct {
	p   *plan.Plan
	r   *audit.Result
	day plan.Date
}

// lost are the firm findings that lost money and lie with the till or nobody known.
func (w *writer) lost() (found []*audit.Finding) {
	for i := range w.r.Findings {
		f := &w.r.Findings[i]
		kind := f.Kind != audit.MissingItem && f.Kind != audit.UnplannedItem && f.Kind != audit.MissingRebate && f.Kind != audit.CardDigits
		if kind && f.Certainty.Firm() && f.Effect.Sign() < 0 && (f.Side == audit.SideTill || f.Side == audit.SideOpen) {
			found = append(found, f)
		}
	}
	return found
}

func (w *writer) offer(id string) *plan.Offer {
	for _, o := range w.p.Offers {
		if o.ID == id {
			return o
		}
	}
	return nil
}

// store asks the store to look at everything that went wrong at its till.
func (w *writer) store() *Letter {
	found := w.lost()
	if len(found) == 0 {
		return nil
	}
	l := &Letter{To: Store, Name: w.p.Store.Name, Subject: "Prices and offers on a receipt" + w.ofReceipt(),
		Enclose: []string{"a copy of the receipt"}}
	w.storeDay(l, found)
	var b strings.Builder
	b.WriteString("On the receipt" + w.ofReceipt() + " I find:\n\n")
	for i, f := range found {
		l.Amount = l.Amount.Sub(f.Effect)
		fmt.Fprintf(&b, "%d. %s\n", i+1, w.finding(f))
		for _, law := range f.Law {
			fmt.Fprintf(&b, "   %s\n", law)
		}
		l.enclose(w.proof(f))
	}
	fmt.Fprintf(&b, "\nTogether that is %s. Could you look at it, please, and correct what is not as it should be? If I have an offer wrong, please tell me which of its terms says so.\n", l.Amount)
	l.Body = w.frame(b.String(), "I know that your written policy and local law decide.")
	return l
}

// storeDay is the earliest of the days by which the store or a law wants to be
// told.
func (w *writer) storeDay(l *Letter, found []*audit.Finding) {
	l.Why = "no last day is known: ask soon"
	if w.day.IsZero() {
		return
	}
	if days := w.p.Store.Policy.AdjustDays; days > 0 {
		l.LastDay, l.Why = w.day.AddDays(days), fmt.Sprintf("the store corrects prices within %d days", days)
	}
	for _, f := range found {
		if days := f.NoticeDays; days > 0 {
			if last := w.day.AddDays(days); l.LastDay.IsZero() || last.Before(l.LastDay) {
				l.LastDay, l.Why = last, fmt.Sprintf("the law of the store's place asks for notice within %d days: check locally", days)
			}
		}
	}
}

// maker tells a maker of its coupons that were not taken as printed.
func (w *writer) maker() *Letter {
	l := &Letter{To: Maker, Why: "no last day is known: ask soon", Enclose: []string{"a copy of the receipt"}}
	var b strings.Builder
	n := 0
	for _, f := range w.lost() {
		o := w.offer(f.Offer)
		if o == nil || o.FundedBy != "maker" || o.Rebate != nil {
			continue
		}
		n++
		l.Amount = l.Amount.Sub(f.Effect)
		fmt.Fprintf(&b, "%d. %s\n", n, w.finding(f))
		if o.CouponCode != "" {
			fmt.Fprintf(&b, "   The coupon's symbol is %s.\n", o.CouponCode)
		}
		if through := o.Valid.Through; !through.IsZero() && (l.LastDay.IsZero() || through.Before(l.LastDay)) {
			l.LastDay, l.Why = through, fmt.Sprintf("“%s” is valid through that day", o.Title)
		}
		l.enclose(w.proof(f))
	}
	if n == 0 {
		return nil
	}
	l.Subject = "Your coupon on a receipt" + w.ofReceipt()
	l.Body = w.frame(fmt.Sprintf("On the receipt%s I used coupons of yours, and the till did not take them as they say:\n\n%s\nCould you tell me, please, whether I have read their terms right, and whom I should turn to for the %s?\n", w.ofReceipt(), b.String(), l.Amount),
		"The coupons' printed terms decide.")
	return l
}

// rebate claims from who pays a rebate what the receipt proves.
func (w *writer) rebate() *Letter {
	if len(w.r.Due) == 0 || w.r.Verdict == audit.Undecided {
		return nil
	}
	l := &Letter{To: Rebate, Why: "no last day is known: send it soon", Enclose: []string{"the receipt, or a copy where its terms allow one"}}
	var b strings.Builder
	var names []string
	for _, d := range w.r.Due {
		o := w.offer(d.Offer)
		if o == nil {
			continue
		}
		l.Amount = l.Amount.Add(d.Value)
		fmt.Fprintf(&b, "%d. “%s”: %s, by %s of the receipt", len(names)+1, o.Title, d.Value, audit.LinesText(d.Lines))
		if !d.SubmitBy.IsZero() {
			fmt.Fprintf(&b, ", to be sent by %s", d.SubmitBy)
		}
		b.WriteString("\n")
		names = append(names, o.ClaimTo)
		if by := d.SubmitBy; !by.IsZero() && (l.LastDay.IsZero() || by.Before(l.LastDay)) {
			l.LastDay, l.Why = by, fmt.Sprintf("“%s” must be sent by then", o.Title)
		}
		if o.Terms != "" {
			l.enclose("the terms as seen: " + o.Terms)
		}
	}
	if len(names) == 0 {
		return nil
	}
	if slices.Sort(names); names[0] == names[len(names)-1] {
		l.Name = names[0]
	}
	l.Subject = "A claim for a rebate, by a receipt" + w.ofReceipt()
	l.Body = w.frame(fmt.Sprintf("With the receipt%s I claim:\n\n%s\nTogether that is %s. If anything is missing, please tell me while it can still be sent.\n", w.ofReceipt(), b.String(), l.Amount),
		"The offers' printed terms decide.")
	return l
}

// enclose adds what to send along, once.
func (l *Letter) enclose(what string) {
	if what != "" && !slices.Contains(l.Enclose, what) {
		l.Enclose = append(l.Enclose, what)
	}
}
