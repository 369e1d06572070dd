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
	if l := w.store(); l != nil {
		letters = append(letters, *l)
	}
	return append(append(letters, w.makers()...), w.rebates()...)
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

// makers tell each maker of its coupons that were not taken as printed. Whose a coupon
// is shows only in its symbol: without that each has a letter of its own.
func (w *writer) makers() (letters []Letter) {
	of := map[string][]*audit.Finding{}
	var order []string
	for _, f := range w.lost() {
		o := w.offer(f.Offer)
		if o == nil || o.FundedBy != "maker" || o.Rebate != nil {
			continue
		}
		key := o.Funder()
		if key == "" {
			key = "offer " + o.ID
		}
		if of[key] == nil {
			order = append(order, key)
		}
		of[key] = append(of[key], f)
	}
	for _, key := range order {
		letters = append(letters, *w.maker(of[key]))
	}
	return letters
}

func (w *writer) maker(found []*audit.Finding) *Letter {
	l := &Letter{To: Maker, Why: "no last day is known: ask soon", Enclose: []string{"a copy of the receipt"}}
	var b strings.Builder
	var titles []string
	for i, f := range found {
		o := w.offer(f.Offer)
		titles = append(titles, "“"+o.Title+"”")
		l.Amount = l.Amount.Sub(f.Effect)
		fmt.Fprintf(&b, "%d. %s\n", i+1, w.finding(f))
		if o.CouponCode != "" {
			fmt.Fprintf(&b, "   The coupon's symbol is %s.\n", o.CouponCode)
		}
		if through := o.Valid.Through; !through.IsZero() && (l.LastDay.IsZero() || through.Before(l.LastDay)) {
			l.LastDay, l.Why = through, fmt.Sprintf("“%s” is valid through that day", o.Title)
		}
		l.enclose(w.proof(f))
	}
	l.Subject = "Your coupon " + strings.Join(titles, ", ") + " on a receipt" + w.ofReceipt()
	l.Body = w.frame(fmt.Sprintf("On the receipt%s I used a coupon of yours, and the till did not take it as it says:\n\n%s\nCould you tell me, please, whether I have read its terms right, and whom I should turn to for the %s?\n", w.ofReceipt(), b.String(), l.Amount),
		"The coupon's printed terms decide.")
	return l
}

// rebates claim from each who pays one what the receipt proves.
func (w *writer) rebates() (letters []Letter) {
	if w.r.Verdict == audit.Undecided {
		return nil
	}
	of := map[string][]*audit.Due{}
	var order []string
	for i := range w.r.Due {
		d := &w.r.Due[i]
		o := w.offer(d.Offer)
		if o == nil {
			continue
		}
		if of[o.ClaimTo] == nil {
			order = append(order, o.ClaimTo)
		}
		of[o.ClaimTo] = append(of[o.ClaimTo], d)
	}
	for _, name := range order {
		letters = append(letters, *w.rebate(name, of[name]))
	}
	return letters
}

func (w *writer) rebate(name string, due []*audit.Due) *Letter {
	l := &Letter{To: Rebate, Name: name, Why: "no last day is known: send it soon", Enclose: []string{"the receipt, or a copy where its terms allow one"}}
	var b strings.Builder
	for i, d := range due {
		o := w.offer(d.Offer)
		l.Amount = l.Amount.Add(d.Value)
		fmt.Fprintf(&b, "%d. “%s”: %s, by %s of the receipt", i+1, o.Title, d.Value, audit.LinesText(d.Lines))
		if !d.SubmitBy.IsZero() {
			fmt.Fprintf(&b, ", to be sent by %s", d.SubmitBy)
		}
		b.WriteString("\n")
		if by := d.SubmitBy; !by.IsZero() && (l.LastDay.IsZero() || by.Before(l.LastDay)) {
			l.LastDay, l.Why = by, fmt.Sprintf("“%s” must be sent by then", o.Title)
		}
		if o.Terms != "" {
			l.enclose("the terms as seen: " + o.Terms)
		}
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
