// Package planpage shows a plan as a page to print or publish, as HTML or
// Markdown, and several plans side by side.
//
// HTML and Markdown are the functions to read first; Compare, Split and Fill
// return text for a terminal. The package works out nothing that a till would:
// every sum is the bill's.
package planpage

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tillproof/money"
	"tillproof/plan"
)

// view is what a page says, in the order it says it.
type view struct {
	Title, Store, Day, Currency string
	Seen                        string
	Several                     bool // transactions
	Aisles                      []aisle
	Bring                       []coupon
	Transactions                []transaction
	Totals                      []row
	Back                        []back
	Toward                      []string
	Warnings                    []string
}

// aisle is a part of the shopping list.
type aisle struct {
	Name  string
	Items []shopping
}

// shopping is one thing to take from the shelf.
type shopping struct {
	Amount, Name, Price, From, For string
}

// coupon is an offer that the shopper must do something for.
type coupon struct {
	Do, Title, Note string
	Terms           string
}

type transaction struct {
	Name, Day, Pay string
	Lines          []line
	Basket         []row
	Sums           []row
	Ready          []string
}

type line struct {
	Amount, Name, Price string
	Steps               []string
	Off                 []row
	Left                string
	PerUnit, StockUp    string
	Under               bool
}

type row struct {
	Text, Amount string
	Steps        []string
	Strong       bool
}

type back struct {
	Title, Value, When, Who string
	Steps                   []string
}

func newView(p *plan.Plan, b *plan.Bill) *view {
	v := &view{Store: b.Store, Currency: b.Currency, Several: len(b.Transactions) > 1, Title: "Shopping plan"}
	if v.Store != "" {
		v.Title += " for " + v.Store
	}
	if !b.Date.IsZero() {
		v.Day = b.Date.String()
	}
	v.seen(p)
	v.aisles(p, b)
	v.bring(p, b)
	for i, tb := range b.Transactions {
		v.Transactions = append(v.Transactions, transactionView(p, p.Transactions[i], tb))
		v.back(p, tb)
	}
	v.Totals = []row{
		{Text: "Out of pocket", Amount: b.OutOfPocket.String()},
		{Text: "Credits earned at the till", Amount: b.Credits.Neg().String()},
		{Text: "Rebates after the trip", Amount: b.Rebates.Neg().String()},
		{Text: "Final cost", Amount: b.FinalCost.String(), Strong: true},
		{Text: "Per unit", Amount: b.PerUnit.String()},
	}
	v.Totals = slices.DeleteFunc(v.Totals, func(r row) bool { return !r.Strong && r.Amount == "0.00" })
	for _, t := range b.Toward {
		v.Toward = append(v.Toward, fmt.Sprintf("%s: this plan brings %s of %s", title(p, t.Offer), t.Amount, t.Of))
	}
	for _, w := range b.Warnings {
		v.Warnings = append(v.Warnings, w.Text)
	}
	return v
}

// seen says where and when the prices were seen.
func (v *view) seen(p *plan.Plan) {
	where := ""
	if v.Store != "" {
		where = " at " + v.Store
	}
	var days []string
	for _, tx := range p.Transactions {
		if day := dayOf(p, tx); !day.IsZero() && !slices.Contains(days, day.String()) {
			days = append(days, day.String())
		}
	}
	if days != nil {
		where += ", for a trip on " + strings.Join(days, " and ")
	}
	v.Seen = "Prices seen" + where + "."
	if v.Store == "" {
		v.Seen = "Prices" + strings.TrimPrefix(where, ",") + "; where they were seen is not said."
	}
	if where == "" {
		v.Seen = "Where and when the prices were seen is not said."
	}
}

func dayOf(p *plan.Plan, tx *plan.Transaction) plan.Date {
	if tx.Date.IsZero() {
		return p.Date
	}
	return tx.Date
}

// aisles sorts what to buy by the store's aisles, in walking order; what is in
// none comes last, in the plan's order. An item of several transactions is taken
// from the shelf once.
func (v *view) aisles(p *plan.Plan, b *plan.Bill) {
	lists := make([][]shopping, len(p.Store.Aisles)+1)
	type key struct {
		id, price string
		weighed   bool
	}
	type place struct{ aisle, at int }
	first := map[key]place{}
	units := map[key]int{}
	for _, tx := range p.Transactions {
		for _, it := range tx.Items {
			k := key{it.ID, priceText(it), it.Weight != nil}
			at := aisleOf(p, it)
			if was, ok := first[k]; ok && !k.weighed {
				s := &lists[was.aisle][was.at]
				units[k] += it.Quantity
				s.Amount = strconv.Itoa(units[k]) + " ×"
				s.For += ", " + tx.ID + " (" + strconv.Itoa(it.Quantity) + ")"
				continue
			}
			s := shopping{Amount: amountText(it), Name: it.Name, Price: k.price, From: fromText(it)}
			if v.Several {
				s.For = tx.ID
				if it.Quantity > 1 {
					s.For += " (" + strconv.Itoa(it.Quantity) + ")"
				}
			}
			first[k], units[k] = place{at, len(lists[at])}, it.Quantity
			lists[at] = append(lists[at], s)
		}
	}
	for i, list := range lists {
		if len(list) == 0 {
			continue
		}
		name := ""
		switch {
		case i < len(p.Store.Aisles):
			name = p.Store.Aisles[i]
		case len(p.Store.Aisles) > 0:
			name = "elsewhere"
		}
		v.Aisles = append(v.Aisles, aisle{Name: name, Items: list})
	}
}

// aisleOf is the first of the store's aisles that is a tag of the item.
func aisleOf(p *plan.Plan, it *plan.Item) int {
	at := slices.IndexFunc(p.Store.Aisles, func(a string) bool { return slices.Contains(it.Tags, a) })
	if at < 0 {
		return len(p.Store.Aisles)
	}
	return at
}

func amountText(it *plan.Item) string {
	if it.Weight != nil {
		return plan.WeightText(*it.Weight) + " " + it.Unit
	}
	return strconv.Itoa(it.Quantity) + " ×"
}

// priceText is the price as the shelf or the advert says it.
func priceText(it *plan.Item) string {
	unit := ""
	if it.Weight != nil {
		unit = " a " + it.Unit
	}
	s := it.Sale
	switch {
	case s == nil:
		return it.Shelf.String() + unit
	case s.For > 1 && s.MustBuy > 0:
		return fmt.Sprintf("%d for %s, must buy %d, else %s", s.For, s.Price, s.MustBuy, it.Shelf)
	case s.MustBuy > 0:
		return fmt.Sprintf("%s if you buy %d, else %s", s.Price, s.MustBuy, it.Shelf)
	case s.For > 1:
		return fmt.Sprintf("%d for %s instead of %s each", s.For, s.Price, it.Shelf)
	}
	return s.Price.String() + unit + " instead of " + it.Shelf.String()
}

func fromText(it *plan.Item) string {
	switch it.PriceFrom {
	case plan.FromLabel:
		return "from the shelf label"
	case plan.FromAdvert:
		return "from an advert"
	}
	return "from hearsay"
}

// bring lists what has to be at hand: coupons to hand over, offers to load first.
func (v *view) bring(p *plan.Plan, b *plan.Bill) {
	for _, o := range p.Offers {
		uses := usesOf(b, o.ID)
		if o.CarriedAs == "shelf" || uses == 0 {
			continue
		}
		c := coupon{Title: o.Title, Terms: o.Terms}
		switch o.CarriedAs {
		case "paper":
			c.Do = "bring " + count(uses, "paper coupon")
		case "print":
			c.Do = "print and bring " + count(uses, "coupon")
		case "app":
			c.Do = "activate in the app"
		default:
			c.Do = "load on the customer's card"
		}
		if o.Rebate != nil && o.CarriedAs == "app" {
			c.Do = "claim in the app after the trip"
		}
		var notes []string
		if o.FundedBy == "maker" {
			notes = append(notes, "the maker's")
		}
		if span := o.Valid.String(); span != "" {
			notes = append(notes, "valid "+span)
		}
		if !o.SeenOn.IsZero() {
			notes = append(notes, "seen on "+o.SeenOn.String())
		}
		c.Note = strings.Join(notes, ", ")
		v.Bring = append(v.Bring, c)
	}
}

// usesOf is how often the bill uses an offer, at least once where it does at all.
func usesOf(b *plan.Bill, id string) int {
	n := 0
	for _, tb := range b.Transactions {
		for _, l := range tb.Lines {
			for _, d := range l.Deductions {
				if d.Offer == id {
					n += d.Uses
				}
			}
		}
		for _, d := range tb.BasketDeductions {
			if d.Offer == id {
				n++
			}
		}
		for _, c := range tb.Credits {
			if c.Offer == id {
				n += max(c.Uses, 1)
			}
		}
		for _, r := range tb.Rebates {
			if r.Offer == id {
				n += max(r.Uses, 1)
			}
		}
	}
	return n
}

func (v *view) back(p *plan.Plan, tb *plan.TransactionBill) {
	for _, c := range tb.Credits {
		one := back{Title: title(p, c.Offer), Value: c.Value.String() + " as " + c.Kind, When: "at the till", Steps: texts(c.Steps)}
		if c.Points > 0 {
			one.Value += fmt.Sprintf(" (%d points)", c.Points)
		}
		if !c.Expires.IsZero() {
			one.When += ", to be used by " + c.Expires.String()
		}
		if o := offer(p, c.Offer); o != nil && o.Credit != nil && o.Credit.Shows != "receipt" {
			one.When += map[string]string{"slip": ", on a slip of its own", "account": ", in your account"}[o.Credit.Shows]
		}
		v.Back = append(v.Back, v.ofTransaction(one, tb))
	}
	for _, r := range tb.Rebates {
		one := back{Title: title(p, r.Offer), Value: r.Value.String(), When: "after the trip", Steps: texts(r.Steps)}
		if !r.SubmitBy.IsZero() {
			one.When = "to be claimed by " + r.SubmitBy.String()
		}
		if o := offer(p, r.Offer); o != nil {
			one.Who = o.ClaimTo
		}
		v.Back = append(v.Back, v.ofTransaction(one, tb))
	}
}

func (v *view) ofTransaction(b back, tb *plan.TransactionBill) back {
	if v.Several {
		b.Title += " (" + tb.ID + ")"
	}
	return b
}

func offer(p *plan.Plan, id string) *plan.Offer {
	for _, o := range p.Offers {
		if o.ID == id {
			return o
		}
	}
	return nil
}

func title(p *plan.Plan, id string) string {
	if o := offer(p, id); o != nil {
		return o.Title
	}
	return id
}

// texts are the steps that say more than their amount.
func texts(steps []plan.Sum) []string {
	var list []string
	for _, s := range steps {
		if s.Text != s.Amount.String() {
			list = append(list, s.Text)
		}
	}
	return list
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

// minus is an amount taken off.
func minus(a money.Amount) string { return a.Neg().String() }
