package plan

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/money"
)

// notes are what a planner would want to know, collected while a plan is
// priced. A nil *notes collects nothing.
type notes struct {
	c      *compiled
	list   []Warning
	offers []noted
}

// noted is what is known of one offer over the whole plan.
type noted struct {
	uses int
	// wanted are the uses that would be had without limits, in as many
	// transactions as want any; had are those that take effect.
	wanted, had, transactions int
	sum                       money.Amount // toward accumulates
}

func (n *notes) add(kind string, i int, items []string, amount *money.Amount, format string, args ...any) {
	n.list = append(n.list, Warning{
		Kind: kind, Offer: n.c.offers[i].ID, Items: items, Amount: amount,
		Text: quote(n.c.offers[i].Title) + ": " + fmt.Sprintf(format, args...),
	})
}

// itemsOf are the ids of the items that offer i applies to in r's transaction.
func itemsOf(r *run, i int) []string {
	var ids []string
	for _, li := range r.t.applies[i] {
		ids = append(ids, r.lines[li].item.ID)
	}
	return ids
}

// notValid notes that the transaction's day is outside an offer's dates.
func (n *notes) notValid(r *run, i int) {
	if n == nil {
		return
	}
	o := n.c.offers[i].Offer
	span := o.Valid
	if span.Contains(r.date) {
		span = *o.Accumulates
	}
	n.add("dates", i, itemsOf(r, i), nil, "it is not valid on %s, the day of %s (%s)", r.date, r.t.tx.ID, span)
}

// limits notes uses that a limit leaves out.
func (n *notes) limits(i, wanted, had int) {
	if wanted > 0 {
		n.offers[i].wanted += wanted
		n.offers[i].transactions++
	}
	n.offers[i].had += had
}

// deducted notes what limits and slots keep a deduction from.
func (n *notes) deducted(r *run, i, used, uses, coupons, blocked int) {
	o := &n.c.offers[i]
	next := r.next
	if uses == 0 {
		next = 0
	}
	more := 0
	for g := next; g+o.Buy <= len(r.pick) && used+more < coupons; g += o.Buy {
		if r.somethingLeft(r.pick[g : g+o.Buy]) {
			more++
		}
	}
	n.limits(i, used+more, used)
	without := min(uses, (len(r.pick)+blocked)/o.Buy)
	if blocked == 0 || used >= without {
		return
	}
	var rivals, items []string
	for _, li := range r.t.applies[i] {
		l := &r.lines[li]
		for _, u := range r.units[l.first:l.last] {
			for k := range slotKinds {
				rival := int(u.by[k])
				if o.slot == 1<<k && u.taken&o.slot != 0 && rival != i {
					rivals = appendNew(rivals, quote(n.c.offers[rival].Title))
					items = appendNew(items, l.item.ID)
				}
			}
		}
	}
	n.add("slot", i, items, nil, "on %s in %s it wants the place of %s (%s), which is earlier in the file and has it; %s lost",
		strings.Join(items, " and "), r.t.tx.ID, strings.Join(rivals, " and "), slotText(o.slot), isAre(without-used, "use"))
}

// isAre is "1 use is", "2 uses are".
func isAre(n int, word string) string {
	if n == 1 {
		return plural(n, word) + " is"
	}
	return plural(n, word) + " are"
}

func slotText(s slots) string {
	switch s {
	case slotMaker:
		return "one maker's coupon a unit"
	case slotStore:
		return "one store coupon a unit"
	case slotApp:
		return "one app or loyalty offer of the store a unit"
	}
	return "one shelf offer for several a unit"
}

func (r *run) somethingLeft(units []int32) bool {
	for _, u := range units {
		if r.units[u].left > 0 {
			return true
		}
	}
	return false
}

func appendNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// spent notes a threshold that is not reached, and limits on a spend offer.
func (n *notes) spent(r *run, i int, measured money.Amount, full, allowed, coupons int) {
	o := &n.c.offers[i]
	if full == 0 && allowed > 0 {
		short := o.Spend.Sub(measured)
		n.add("threshold", i, itemsOf(r, i), &short, "%s comes to %s of %s, %s; %s is missing",
			r.t.tx.ID, measured, o.Spend, measureText(o.measure), short)
	}
	n.limits(i, min(full, coupons), min(full, allowed))
}

// bought notes limits on a credit or rebate for units.
func (n *notes) bought(i, full, allowed, coupons int) {
	n.limits(i, min(full, coupons), min(full, allowed))
}

// paidWithReward notes a credit or rebate stopped by how the transaction is paid.
func (n *notes) paidWithReward(r *run, i int) {
	if n == nil {
		return
	}
	o := n.c.offers[i].Offer
	var lost *money.Amount
	switch {
	case o.Credit != nil && o.Credit.Percent == nil:
		lost = &o.Credit.Value
	case o.Rebate != nil && !o.Rebate.Paid:
		lost = &o.Rebate.Value
	}
	n.add("paid-with-reward", i, itemsOf(r, i), lost, "it does not come when %s is paid with %s; pay that with something else, or in another transaction",
		r.t.tx.ID, voidText(o))
}

func voidText(o *Offer) string {
	var words []string
	for _, v := range o.VoidIfPaidWith {
		word := v.Kind
		if v.Credit != nil {
			word = "the " + v.Kind + " of " + quote(v.Credit.Title)
		}
		words = append(words, word)
	}
	return strings.Join(words, " or ")
}

// toward adds to what an offer over many receipts has been brought.
func (n *notes) toward(r *run, i int, measured money.Amount) {
	if n == nil {
		return
	}
	o := n.c.offers[i].Offer
	if !o.Valid.Contains(r.date) || !o.Accumulates.Contains(r.date) {
		n.notValid(r, i)
		return
	}
	n.offers[i].sum = n.offers[i].sum.Add(measured)
}

func (n *notes) towards() []Toward {
	var list []Toward
	for i := range n.offers {
		if o := n.c.offers[i].Offer; o.Accumulates != nil {
			list = append(list, Toward{Offer: o.ID, Amount: n.offers[i].sum, Of: *o.Spend})
		}
	}
	return list
}
