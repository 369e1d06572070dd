package planpage

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/plan"
)

// Priced is a plan with its bill, by the name that a column has.
type Priced struct {
	Name string
	Plan *plan.Plan
	Bill *plan.Bill
}

// Compare shows plans side by side: what is left to pay for each item, what each
// offer gives, and what it comes to. Of two plans it also shows the difference.
// Items and offers are the same where their ids are.
func Compare(plans []Priced) string {
	c := &comparison{plans: plans, left: max(24, textWidth-columnWidth*(len(plans)+1))}
	if len(plans) != 2 {
		c.left = max(24, textWidth-columnWidth*len(plans))
	}
	c.head()
	c.items()
	c.offers()
	c.sums()
	return c.b.String()
}

type comparison struct {
	b     strings.Builder
	plans []Priced
	left  int
}

func (c *comparison) head() {
	names := make([]string, len(c.plans))
	currencies := map[string]bool{}
	for i, p := range c.plans {
		names[i] = short(p.Name, columnWidth-1)
		currencies[p.Bill.Currency] = true
	}
	if len(c.plans) == 2 {
		names = append(names, "difference")
	}
	columns(&c.b, 0, c.left, " ", names)
	if len(currencies) > 1 {
		c.b.WriteString("\n")
		paragraph(&c.b, 0, "The plans are in different currencies, or not all say theirs: their amounts cannot be compared as they stand.")
	}
}

// line writes an amount of each plan; nil where a plan has none.
func (c *comparison) line(indent int, label string, amounts []*money.Amount) {
	var values []string
	for _, a := range amounts {
		if a == nil {
			values = append(values, "-")
		} else {
			values = append(values, a.String())
		}
	}
	if len(amounts) == 2 {
		switch {
		case amounts[0] == nil || amounts[1] == nil:
			values = append(values, "")
		case *amounts[0] == *amounts[1]:
			values = append(values, "same")
		default:
			values = append(values, amounts[1].Sub(*amounts[0]).Signed())
		}
	}
	columns(&c.b, indent, c.left, label, values)
}

// ids are those that list gives for each plan, each once, in order.
func (c *comparison) ids(list func(p Priced) []string) []string {
	var all []string
	seen := map[string]bool{}
	for _, p := range c.plans {
		for _, id := range list(p) {
			if !seen[id] {
				seen[id] = true
				all = append(all, id)
			}
		}
	}
	return all
}

func (c *comparison) items() {
	c.b.WriteString("\nLeft to pay for each item, without tax and fees\n")
	ids := c.ids(func(p Priced) []string {
		var list []string
		for _, tx := range p.Plan.Transactions {
			for _, it := range tx.Items {
				list = append(list, it.ID)
			}
		}
		return list
	})
	for _, id := range ids {
		amounts := make([]*money.Amount, len(c.plans))
		name, much := id, ""
		same := true
		for i, p := range c.plans {
			var what string
			amounts[i], what = itemLeft(p, id)
			if what != "" {
				same = same && (much == "" || much == what)
				much = what
			}
		}
		if same && much != "" {
			name += ", " + much
		}
		c.line(2, name, amounts)
		if !same {
			var each []string
			for _, p := range c.plans {
				_, what := itemLeft(p, id)
				each = append(each, what)
			}
			columns(&c.b, 4, c.left, "how much", each)
		}
	}
}

// itemLeft is what is left to pay for an item in all transactions, and how much
// of it that is; nil where the plan does not have it.
func itemLeft(p Priced, id string) (*money.Amount, string) {
	var sum money.Amount
	units, weights, found := 0, []string(nil), false
	for i, tb := range p.Bill.Transactions {
		for k, l := range tb.Lines {
			if l.Item != id {
				continue
			}
			found = true
			sum = sum.Add(l.Net)
			for _, d := range tb.BasketDeductions {
				sum = sum.Sub(d.Shares[id])
			}
			if it := p.Plan.Transactions[i].Items[k]; it.Weight != nil {
				weights = append(weights, plan.WeightText(*it.Weight)+" "+it.Unit)
			} else {
				units += l.Quantity
			}
		}
	}
	if !found {
		return nil, ""
	}
	if units > 0 {
		weights = append([]string{count(units, "unit")}, weights...)
	}
	return &sum, strings.Join(weights, " + ")
}

func (c *comparison) offers() {
	ids := c.ids(func(p Priced) []string {
		var list []string
		for _, o := range p.Plan.Offers {
			list = append(list, o.ID)
		}
		return list
	})
	if len(ids) > 0 {
		c.b.WriteString("\nWhat each offer gives\n")
	}
	for _, id := range ids {
		amounts := make([]*money.Amount, len(c.plans))
		name := id
		for i := len(c.plans) - 1; i >= 0; i-- {
			if o := offer(c.plans[i].Plan, id); o != nil {
				a := gives(c.plans[i].Bill, id)
				amounts[i], name = &a, o.Title
			}
		}
		c.line(2, name, amounts)
	}
}

// gives is what an offer takes off and gives back in all transactions.
func gives(b *plan.Bill, id string) money.Amount {
	var sum money.Amount
	add := func(offer string, a money.Amount) {
		if offer == id {
			sum = sum.Add(a)
		}
	}
	for _, tb := range b.Transactions {
		for _, l := range tb.Lines {
			for _, d := range l.Deductions {
				add(d.Offer, d.Amount)
			}
		}
		for _, d := range tb.BasketDeductions {
			add(d.Offer, d.Amount)
		}
		for _, cr := range tb.Credits {
			add(cr.Offer, cr.Value)
		}
		for _, r := range tb.Rebates {
			add(r.Offer, r.Value)
		}
	}
	return sum
}

func (c *comparison) sums() {
	c.b.WriteString("\nIn all\n")
	sum := func(label string, of func(b *plan.Bill) money.Amount) {
		amounts := make([]*money.Amount, len(c.plans))
		some := false
		for i, p := range c.plans {
			a := of(p.Bill)
			amounts[i] = &a
			some = some || !a.IsZero()
		}
		if some {
			c.line(2, label, amounts)
		}
	}
	each := func(of func(tb *plan.TransactionBill) money.Amount) func(b *plan.Bill) money.Amount {
		return func(b *plan.Bill) money.Amount {
			var sum money.Amount
			for _, tb := range b.Transactions {
				sum = sum.Add(of(tb))
			}
			return sum
		}
	}
	sum("Tax", each(func(tb *plan.TransactionBill) money.Amount { return tb.Tax }))
	sum("Fees", each(func(tb *plan.TransactionBill) money.Amount { return tb.Fees }))
	sum("Out of pocket", func(b *plan.Bill) money.Amount { return b.OutOfPocket })
	due := each(func(tb *plan.TransactionBill) money.Amount { return tb.CashDue })
	if slices.ContainsFunc(c.plans, func(p Priced) bool { return due(p.Bill) != p.Bill.OutOfPocket }) {
		sum("Due after the credits it is paid with", due)
	}
	sum("Credits earned at the till", func(b *plan.Bill) money.Amount { return b.Credits.Neg() })
	sum("Rebates after the trip", func(b *plan.Bill) money.Amount { return b.Rebates.Neg() })
	sum("Final cost", func(b *plan.Bill) money.Amount { return b.FinalCost })
	sum("Per unit", func(b *plan.Bill) money.Amount { return b.PerUnit })
	for _, p := range c.plans {
		if n := len(p.Bill.Warnings); n > 0 {
			paragraph(&c.b, 2, p.Name+" has "+count(n, "warning")+": price it by itself to see what")
		}
	}
}
