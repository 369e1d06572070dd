// Package law knows what some laws and codes say a customer is due when a till
// charges more than the price shown.
//
// Find is the function to read first: it gives the rules of a jurisdiction, and
// Rule.Due what they come to. The rules are data (rules.go), each with its source
// and the date of that source. Laws change, and have conditions that no receipt
// shows: whoever says anything from here says "check locally" with it.
package law

import (
	"fmt"
	"strings"

	"tillproof/money"
)

// Rule is one law or code.
type Rule struct {
	// Where are the jurisdictions it holds in, ISO 3166-2 ("US-MI") or a country
	// ("CA"), Except those of that country where it does not.
	Where, Except []string
	Name, Source  string
	// Dated is the date of the source, or of the change it follows.
	Dated string
	// From and Through are the days it holds, ISO 8601, "" open.
	From, Through string
	// Secondary: it was read in a secondary copy, at least in part.
	Secondary bool
	Voluntary bool
	Remedy    Remedy
	// NoticeDays is how many days the customer has to tell the seller, 0: not said.
	NoticeDays int
	// Conditions are what a receipt does not show.
	Conditions string
}

// Remedy is how a rule works out what is due. Exactly one of Bonus, FreeUpTo and
// CreditUpTo is set.
type Remedy struct {
	Bonus *Bonus
	// FreeUpTo: one unit is free where its shown price is at most that, else that
	// is taken off it; the other units cost the shown price.
	FreeUpTo money.Amount
	// CreditUpTo: one unit is free where it costs at most that, else there is a
	// credit of that.
	CreditUpTo money.Amount
	// GrossError: no remedy where the shown price is under half of the charged.
	GrossError bool
}

// Bonus is the difference, and some times that on top, within bounds, once.
type Bonus struct {
	Times           int
	AtLeast, AtMost money.Amount
}

// Due is what a rule says is due.
type Due struct {
	Rule *Rule
	// Refund corrects the price of all units; More is what comes on top. Credit:
	// More is no money back but a credit, and all there is.
	Refund, More money.Amount
	Credit       bool
}

// Total is all that is due.
func (d Due) Total() money.Amount { return d.Refund.Add(d.More) }

// Find gives the rules of a jurisdiction on a day (ISO 8601, "" the latest).
func Find(jurisdiction, day string) (found []*Rule) {
	country, _, _ := strings.Cut(jurisdiction, "-")
	for i := range rules {
		r := &rules[i]
		in := false
		for _, w := range r.Where {
			in = in || w == jurisdiction || w == country
		}
		for _, w := range r.Except {
			in = in && w != jurisdiction
		}
		if day == "" {
			in = in && r.Through == ""
		} else {
			in = in && (r.From == "" || r.From <= day) && (r.Through == "" || day <= r.Through)
		}
		if in {
			found = append(found, r)
		}
	}
	return found
}

// Due is what r says is due where n units shown at one price were charged
// another, more, each; ok is false where it gives nothing.
func (r *Rule) Due(shown, charged money.Amount, n int) (d Due, ok bool) {
	over := charged.Sub(shown)
	m := &r.Remedy
	if over.Sign() <= 0 || n < 1 || shown.Sign() <= 0 || m.GrossError && shown.Mul(2).Cmp(charged) < 0 {
		return d, false
	}
	d = Due{Rule: r, Refund: over.Mul(n)}
	switch {
	case m.Bonus != nil:
		d.More = money.Min(money.Max(over.Mul(m.Bonus.Times), m.Bonus.AtLeast), m.Bonus.AtMost)
	case !m.FreeUpTo.IsZero():
		d.More = money.Min(shown, m.FreeUpTo)
	case shown.Cmp(m.CreditUpTo) <= 0:
		d.More = shown
	default:
		// The credit takes the place of a free unit; that the difference comes back
		// besides is not in what was read.
		d.Refund, d.More, d.Credit = money.Amount{}, m.CreditUpTo, true
	}
	return d, true
}

// String is d in a sentence, with source, date and the caution.
func (d Due) String() string {
	r := d.Rule
	what := fmt.Sprintf("%s back, and %s on top", d.Refund, d.More)
	if d.Credit {
		what = fmt.Sprintf("a credit of %s", d.More)
	}
	how := "says that you are due"
	if r.Voluntary {
		how = "(voluntary: only shops that follow it) gives you"
	}
	text := fmt.Sprintf("%s %s %s (%s, %s", r.Name, how, what, r.Source, r.Dated)
	if r.Secondary {
		text += ", read in a secondary copy"
	}
	text += ")"
	if r.NoticeDays > 0 {
		text += fmt.Sprintf("; tell the store within %d days", r.NoticeDays)
	}
	if r.Conditions != "" {
		text += "; " + r.Conditions
	}
	return text + ". Check locally: laws change, and this is no legal advice."
}
