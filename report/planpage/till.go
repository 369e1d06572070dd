package planpage

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/plan"
)

// transactionView is one pass through the till.
func transactionView(p *plan.Plan, tx *plan.Transaction, tb *plan.TransactionBill) transaction {
	v := transaction{Name: tb.ID, Pay: payText(tx), Ready: ready(p, tb)}
	if !tb.Date.IsZero() && tb.Date != p.Date {
		v.Day = tb.Date.String()
	}
	ends := inTheEnd(p, tx, tb)
	var prices, off money.Amount
	for i, l := range tb.Lines {
		v.Lines = append(v.Lines, lineView(p, tx.Items[i], l, ends[i]))
		prices = prices.Add(l.Price)
		off = off.Add(l.Price.Sub(l.Net))
	}
	for _, d := range tb.BasketDeductions {
		v.Basket = append(v.Basket, row{Text: title(p, d.Offer), Amount: minus(d.Amount), Steps: texts(d.Steps)})
		off = off.Add(d.Amount)
	}
	add := func(text string, a money.Amount, steps []string) {
		v.Sums = append(v.Sums, row{Text: text, Amount: a.String(), Steps: steps})
	}
	add("Prices", prices, nil)
	add("Deductions", off.Neg(), nil)
	if !tb.Fees.IsZero() {
		add("Fees", tb.Fees, nil)
	}
	if len(p.Taxes) > 0 {
		steps := texts(tb.TaxSteps)
		if tb.Tax.IsZero() {
			steps = nil
		}
		add("Tax", tb.Tax, steps)
	}
	if !tb.Rounding.IsZero() {
		add("Cash rounding", tb.Rounding, nil)
	}
	add("Out of pocket", tb.OutOfPocket, stepText(tb, 0))
	if tb.CashDue != tb.OutOfPocket {
		add("Left to pay after credits", tb.CashDue, nil)
	}
	add("Final cost", tb.FinalCost, stepText(tb, 1))
	add("Per unit", tb.PerUnit, stepText(tb, 2))
	for i := range v.Sums {
		v.Sums[i].Strong = v.Sums[i].Text == "Out of pocket" || v.Sums[i].Text == "Final cost"
	}
	return v
}

func stepText(tb *plan.TransactionBill, i int) []string {
	if i >= len(tb.Steps) {
		return nil
	}
	return []string{tb.Steps[i].Text}
}

func lineView(p *plan.Plan, it *plan.Item, l plan.BillLine, end money.Amount) line {
	v := line{Amount: amountText(it), Name: it.Name, Price: l.Price.String(), Steps: texts(l.Steps)}
	for _, d := range l.Deductions {
		text := title(p, d.Offer)
		if d.Uses > 1 {
			text += fmt.Sprintf(", %d times", d.Uses)
		}
		v.Off = append(v.Off, row{Text: text, Amount: minus(d.Amount), Steps: texts(d.Steps)})
	}
	if len(l.Deductions) > 0 {
		v.Left = l.Net.String()
	}
	each, unit := end.Fraction(1, int64(max(l.Quantity, 1))), "each"
	if it.Weight != nil {
		each, unit = money.Round(end.Decimal().DivRound(*it.Weight, 6)), "a "+it.Unit
	}
	v.PerUnit = each.String() + " " + unit
	if below := it.StockUpBelow; below != nil {
		v.Under = each.Cmp(*below) < 0
		v.StockUp = "not under your " + below.String()
		if v.Under {
			v.StockUp = "under your " + below.String() + ": stock up"
		}
	}
	return v
}

// inTheEnd is what each line costs with everything counted but tax and fees:
// its shares of what comes off the basket and of what comes back for its items,
// in proportion to what is left of them.
func inTheEnd(p *plan.Plan, tx *plan.Transaction, tb *plan.TransactionBill) []money.Amount {
	left := make([]money.Amount, len(tb.Lines))
	for i, l := range tb.Lines {
		left[i] = l.Net
		for _, d := range tb.BasketDeductions {
			left[i] = left[i].Sub(d.Shares[l.Item])
		}
	}
	ends := slices.Clone(left)
	comesBack := func(id string, value money.Amount) {
		o := offer(p, id)
		weights := make([]money.Amount, len(left))
		for i, it := range tx.Items {
			if o != nil && o.Covers(it) && left[i].Sign() > 0 {
				weights[i] = left[i]
			}
		}
		if money.Sum(weights...).IsZero() {
			return
		}
		for i, share := range money.Share(value, weights) {
			ends[i] = ends[i].Sub(share)
		}
	}
	for _, c := range tb.Credits {
		comesBack(c.Offer, c.Value)
	}
	for _, r := range tb.Rebates {
		comesBack(r.Offer, r.Value)
	}
	return ends
}

// ready says what to have ready at the till in this transaction.
func ready(p *plan.Plan, tb *plan.TransactionBill) []string {
	one := &plan.Bill{Transactions: []*plan.TransactionBill{tb}}
	var list []string
	for _, o := range p.Offers {
		n := usesOf(one, o.ID)
		if n == 0 || o.Rebate != nil {
			continue
		}
		switch o.CarriedAs {
		case "paper", "print":
			list = append(list, fmt.Sprintf("%s: %s", count(n, "coupon"), o.Title))
		case "loyalty":
			list = append(list, "your customer's card: "+o.Title)
		case "app":
			list = append(list, "your app: "+o.Title)
		}
	}
	return list
}

func payText(tx *plan.Transaction) string {
	var parts []string
	for _, pay := range tx.PayWith {
		switch {
		case pay.Credit != nil:
			parts = append(parts, fmt.Sprintf("%s of the %s of %q", pay.Amount, pay.Kind, pay.Credit.Title))
		case pay.Held:
			parts = append(parts, fmt.Sprintf("%s of a %s you have", pay.Amount, pay.Kind))
		default:
			parts = append(parts, pay.Kind)
		}
	}
	return strings.Join(parts, ", ")
}
