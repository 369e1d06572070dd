// Package state says what may become of what a till owes: of credits and
// rebates until the money is there, and of findings until they are settled.
//
// Read Due and Due.Apply first, then Finding. Every change is an Event with its
// date, so that the events kept are the claim's history; nothing is worked out
// of a clock. The package does no I/O.
package state

import (
	"fmt"
	"slices"

	"tillproof/money"
	"tillproof/plan"
)

// Kind is what is owed.
type Kind string

// The kinds of due.
const (
	Credit Kind = "credit"
	Rebate Kind = "rebate"
)

// State is how far a credit, a rebate or a finding has got.
type State string

// The states of credits and rebates.
const (
	// Expected: the plan promises it, and nothing shows it yet.
	Expected State = "expected"
	// Printed: the receipt or a slip shows it.
	Printed State = "printed"
	// Submitted: the claim was sent in.
	Submitted State = "submitted"
	// PaidInPart and Paid: money came, not all of it or all.
	PaidInPart State = "paid in part"
	Paid       State = "paid"
	// Used: a credit was spent.
	Used State = "used"
	// Expired: the last day passed.
	Expired State = "expired"
	// Refused: the claim was turned down.
	Refused State = "refused"
)

// The states of findings.
const (
	Open     State = "open"
	Asked    State = "asked"
	Refunded State = "refunded"
	// Declined is a finding's "refused".
	Declined State = "refused"
	Dropped  State = "dropped"
)

// Reopen is the Event.To that takes a mistaken mark back: to the state in
// which it began, with nothing paid.
const Reopen State = "reopened"

// Event is one step of a claim's history.
type Event struct {
	To   State     `json:"to"`
	Date plan.Date `json:"date,omitzero"`
	// Amount is what was paid, used or refunded; zero: all that is left.
	Amount money.Amount `json:"amount,omitzero"`
	// Note is a confirmation number, the answer, the reason.
	Note string `json:"note,omitempty"`
}

// Due is a credit or rebate and how far it has got.
type Due struct {
	Kind  Kind         `json:"kind"`
	Value money.Amount `json:"value"`
	// Began is the state it was found in, Expected or Printed.
	Began State        `json:"began"`
	State State        `json:"state"`
	Paid  money.Amount `json:"paid,omitzero"`
	// By is the last day to submit or use it, zero where there is none.
	By plan.Date `json:"by,omitzero"`
}

// Claim is a due and what it is of, as a week and the ledger show it alike.
type Claim struct {
	Offer   string `json:"offer"`
	Title   string `json:"title"`
	ClaimTo string `json:"claim_to,omitempty"`
	// What is rebate, gift card, points or store credit.
	What string `json:"what"`
	// Lines are those of the receipt that show it.
	Lines []int `json:"lines,omitempty"`
	Due
}

// Settled reports whether nothing more is expected of d.
func (d Due) Settled() bool { return d.State == Paid || d.State == Used || d.State == Expired }

// Left is what is still owed: nothing once it is settled.
func (d Due) Left() money.Amount {
	if d.Settled() {
		return money.Amount{}
	}
	return money.Max(d.Value.Sub(d.Paid), money.Amount{})
}

// next lists which states may follow which. A refused claim can be sent in
// again or paid after all; money may still come after a last day.
var next = map[State][]State{
	Expected:   {Printed, Submitted, PaidInPart, Paid, Used, Expired, Refused},
	Printed:    {Submitted, PaidInPart, Paid, Used, Expired, Refused},
	Submitted:  {Submitted, PaidInPart, Paid, Refused},
	PaidInPart: {Submitted, PaidInPart, Paid, Used, Refused, Expired},
	Refused:    {Submitted, PaidInPart, Paid},
	Expired:    {PaidInPart, Paid},
	Paid:       {},
	Used:       {},
}

// Apply is d after the event, or why the event cannot be.
func (d Due) Apply(e Event) (Due, error) {
	if e.Amount.Sign() < 0 {
		return d, fmt.Errorf("%s is under zero: write what came in", e.Amount)
	}
	if e.To == Reopen {
		d.State, d.Paid = d.Began, money.Amount{}
		return d, nil
	}
	if e.To == Used && d.Kind != Credit {
		return d, fmt.Errorf("a rebate is paid, not used")
	}
	if !slices.Contains(next[d.State], e.To) {
		if _, known := next[e.To]; !known {
			return d, fmt.Errorf("%q is no state of a %s: write submitted, paid, used, expired, refused or reopened", e.To, d.Kind)
		}
		return d, fmt.Errorf("a %s that is %s cannot become %s: mark it reopened first if the former mark was a mistake", d.Kind, d.State, e.To)
	}
	switch e.To {
	case Paid, PaidInPart, Used:
		return d.receive(e)
	}
	d.State = e.To
	return d, nil
}

// receive books money that came: in part where it is not all.
func (d Due) receive(e Event) (Due, error) {
	left := money.Max(d.Value.Sub(d.Paid), money.Amount{})
	amount := e.Amount
	if amount.IsZero() {
		if e.To == PaidInPart {
			return d, fmt.Errorf("say how much was paid: paid=AMOUNT")
		}
		amount = left
	}
	d.Paid = d.Paid.Add(amount)
	switch {
	case d.Paid.Cmp(d.Value) < 0:
		d.State = PaidInPart
	case e.To == Used:
		d.State = Used
	default:
		d.State = Paid
	}
	return d, nil
}

// Past reports whether d's last day lies before today and nothing was done by
// then: it is the caller's to mark it expired.
func (d Due) Past(today plan.Date) bool {
	return !d.By.IsZero() && d.By.Before(today) && (d.State == Expected || d.State == Printed || d.Kind == Credit && d.State == PaidInPart)
}

// Finding is a finding of an audit and what came of it.
type Finding struct {
	// Lost is what it cost the shopper, as a positive amount.
	Lost     money.Amount `json:"lost"`
	State    State        `json:"state"`
	Refunded money.Amount `json:"refunded,omitzero"`
}

// findingNext lists which states of a finding may follow which.
var findingNext = map[State][]State{
	Open:     {Asked, Refunded, Declined, Dropped},
	Asked:    {Asked, Refunded, Declined, Dropped},
	Declined: {Asked, Refunded, Dropped},
	Refunded: {Refunded},
	Dropped:  {},
}

// Apply is f after the event, or why the event cannot be. Refunds add up.
func (f Finding) Apply(e Event) (Finding, error) {
	if e.Amount.Sign() < 0 {
		return f, fmt.Errorf("%s is under zero: write what was refunded", e.Amount)
	}
	if e.To == Reopen {
		return Finding{Lost: f.Lost, State: Open}, nil
	}
	if !slices.Contains(findingNext[f.State], e.To) {
		if _, known := findingNext[e.To]; !known {
			return f, fmt.Errorf("%q is no state of a finding: write asked, refunded, refused, dropped or reopened", e.To)
		}
		return f, fmt.Errorf("a finding that is %s cannot become %s: mark it reopened first if the former mark was a mistake", f.State, e.To)
	}
	if e.To == Refunded {
		amount := e.Amount
		if amount.IsZero() {
			amount = money.Max(f.Lost.Sub(f.Refunded), money.Amount{})
		}
		f.Refunded = f.Refunded.Add(amount)
	}
	f.State = e.To
	return f, nil
}
