// Package accuracy counts how often a store's till charges the price that it
// posts, over many checked receipts, the way inspectors of prices count it.
//
// From and Count are the functions to read first: a result becomes checks of
// single prices, and checks become a tally for each store. What counts is one
// item on one day, whatever the number of units and receipts, if its planned
// price was seen on a label or in an advertisement and the receipt settles what
// was charged. The package does no I/O and asks no clock.
package accuracy

import (
	"cmp"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/plan"
)

// Check is one price of one item, as posted and as charged.
type Check struct {
	Store string `json:"store"`
	// Day is ISO 8601, "" where it was not read.
	Day string `json:"day,omitempty"`
	// Item tells items apart: the package's code, else its name.
	Item string `json:"item"`
	Name string `json:"name"`
	// Posted and Charged are of the whole line, of Units units.
	Posted  money.Amount `json:"posted"`
	Charged money.Amount `json:"charged"`
	Units   int          `json:"units"`
}

// over is what was charged too much; negative where it was too little.
func (c Check) over() money.Amount { return c.Charged.Sub(c.Posted) }

// Large reports whether an overcharge is large by New York's rule: 0.25 or more
// on a unit of up to 2.50, 10% or more above that. The law does not say whether
// an error just at the limit counts; at or above is how it is read here.
//
// Source: New York Agriculture and Markets Law, section 197-b.
func (c Check) Large() bool {
	over, units := c.over(), max(1, c.Units)
	if over.Sign() <= 0 {
		return false
	}
	if c.Posted.Cmp(money.FromCents(250).Mul(units)) <= 0 {
		return over.Cmp(money.FromCents(25).Mul(units)) >= 0
	}
	return over.Mul(10).Cmp(c.Posted) >= 0
}

// From lists what one result says of posted prices; nothing where the receipt's
// own sums do not prove what was charged.
func From(p *plan.Plan, r *audit.Result) []Check {
	if r.Receipt == nil || !r.Receipt.Firm || r.Expected == nil {
		return nil
	}
	store := p.Store.Name
	if store == "" {
		store = r.Receipt.Store
	}
	day := r.Receipt.Date
	if day == "" && !r.Expected.Date.IsZero() {
		day = r.Expected.Date.String()
	}
	seen := map[string]bool{}
	for _, m := range r.Matches {
		if m.Item != "" && len(m.Lines) > 0 {
			seen[m.Item] = true
		}
	}
	var checks []Check
	for _, tx := range p.Transactions {
		if tx.ID != r.Transaction {
			continue
		}
		for _, it := range tx.Items {
			posted := it.PriceFrom == plan.FromLabel || it.PriceFrom == plan.FromAdvert
			if !posted || !seen[it.ID] {
				continue
			}
			c := Check{Store: store, Day: day, Item: it.Code, Name: it.Name, Units: it.Quantity}
			if c.Item == "" {
				c.Item = strings.ToLower(strings.Join(strings.Fields(it.Name), " "))
			}
			if settle(&c, it.ID, r) {
				checks = append(checks, c)
			}
		}
	}
	return checks
}

// settle sets what c was posted and charged at, and reports whether that is
// known: a finding on the price, or its quantity, that is not firm leaves it open.
func settle(c *Check, id string, r *audit.Result) bool {
	for _, l := range r.Expected.Lines {
		if l.Item == id {
			c.Posted, c.Charged = l.Price, l.Price
		}
	}
	if c.Posted.Sign() <= 0 {
		return false
	}
	for _, f := range r.Findings {
		if !slices.Contains(f.Items, id) {
			continue
		}
		switch f.Kind {
		case audit.Overcharge, audit.Undercharge:
			if !f.Certainty.Firm() {
				return false
			}
			c.Posted, c.Charged = f.Expected, f.Actual
		case audit.Quantity, audit.MissingItem:
			return false // what a unit cost is then not told by the line
		}
	}
	return true
}

// Count tallies checks by store, in the order of their names. An item that was
// checked several times on one day counts once, as its worst.
func Count(checks []Check) []Tally {
	type key struct{ store, day, item string }
	worst := map[key]Check{}
	for _, c := range checks {
		k := key{c.Store, c.Day, c.Item}
		if w, there := worst[k]; !there || worse(c, w) {
			worst[k] = c
		}
	}
	distinct := make([]Check, 0, len(worst))
	for _, c := range worst {
		distinct = append(distinct, c)
	}
	slices.SortFunc(distinct, func(a, b Check) int {
		return cmp.Or(cmp.Compare(a.Store, b.Store), cmp.Compare(a.Day, b.Day), cmp.Compare(a.Item, b.Item))
	})
	var all []Tally
	for _, c := range distinct {
		if len(all) == 0 || all[len(all)-1].Store != c.Store {
			all = append(all, Tally{Store: c.Store, From: c.Day})
		}
		all[len(all)-1].add(c)
	}
	for i := range all {
		all[i].finish()
	}
	return all
}

// worse reports whether a is a worse error than b: an overcharge before an
// undercharge, the larger before the smaller.
func worse(a, b Check) bool {
	x, y := a.over(), b.over()
	if x.Sign() != y.Sign() {
		return x.Sign() > y.Sign() && x.Sign() != 0 && y.Sign() <= 0 || x.Sign() < 0 && y.Sign() == 0
	}
	return x.Abs().Cmp(y.Abs()) > 0
}
