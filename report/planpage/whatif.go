package planpage

import (
	"fmt"
	"strconv"
	"strings"

	"tillproof/money"
	"tillproof/plan"
	"tillproof/plan/split"
)

// Split says which division into transactions was found, what it saves, and how
// far that can be relied on.
func Split(r split.Result) string {
	var b strings.Builder
	if r.Saves.IsZero() {
		text := "No other division into transactions costs less than the plan's own " + r.Planned.FinalCost.String() + "."
		if !r.Exact {
			text = "No division into transactions was found that costs less than the plan's own " + r.Planned.FinalCost.String() + "."
		}
		paragraph(&b, 0, text)
		inexact(&b, r)
		fewer(&b, r)
		return b.String()
	}
	columns(&b, 0, textWidth-columnWidth, "Final cost, divided up so", []string{r.Best.FinalCost.String()})
	columns(&b, 0, textWidth-columnWidth, "as planned", []string{r.Planned.FinalCost.String()})
	columns(&b, 0, textWidth-columnWidth, "saves", []string{r.Saves.String()})
	for i, tx := range r.Plan.Transactions {
		tb := r.Best.Transactions[i]
		b.WriteString("\n")
		head := strconv.Itoa(i+1) + ". " + tx.ID
		if !tb.Date.IsZero() {
			head += ", " + tb.Date.String()
		}
		columns(&b, 0, textWidth-columnWidth, head, []string{tb.FinalCost.String()})
		var items []string
		for _, it := range tx.Items {
			items = append(items, amountText(it)+" "+it.ID)
		}
		paragraph(&b, 3, strings.Join(items, ", "))
		paragraph(&b, 3, "pay with "+payText(tx)+": "+tb.CashDue.String()+earns(tb))
	}
	b.WriteString("\n")
	if r.Exact {
		paragraph(&b, 0, "This is exact: no other division of these items into transactions comes to less, paid with the tenders that the plan has.")
	}
	inexact(&b, r)
	fewer(&b, r)
	paragraph(&b, 0, "Stores may limit offers by household or day, or refuse to ring up a basket in parts: ask before you count on it, and mind the queue behind you.")
	return b.String()
}

func earns(tb *plan.TransactionBill) string {
	var back money.Amount
	for _, c := range tb.Credits {
		back = back.Add(c.Value)
	}
	for _, r := range tb.Rebates {
		back = back.Add(r.Value)
	}
	if back.IsZero() {
		return ""
	}
	return ", " + back.String() + " comes back"
}

func inexact(b *strings.Builder, r split.Result) {
	if !r.Exact {
		paragraph(b, 0, "This is not exact, and there may be a better one: "+r.Why+".")
	}
}

func fewer(b *strings.Builder, r split.Result) {
	for _, f := range r.Fewer {
		paragraph(b, 0, fmt.Sprintf("With at most %s a day it is %s, %s more.", count(f.Transactions, "transaction"), f.FinalCost, f.FinalCost.Sub(r.Best.FinalCost)))
	}
}

// Fill says what to add to reach each threshold that the plan misses.
func Fill(p *plan.Plan, list []split.Filled) string {
	var b strings.Builder
	if len(list) == 0 {
		b.WriteString("No threshold is missed.\n")
	}
	for i, f := range list {
		if i > 0 {
			b.WriteString("\n")
		}
		paragraph(&b, 0, fmt.Sprintf("%s: %s is missing in %s", title(p, f.Offer), f.Missing, f.Transaction))
		if len(f.Adds) == 0 {
			paragraph(&b, 2, "none of its candidates reaches it; name items that may be added under candidates:")
			continue
		}
		var adds []string
		for _, a := range f.Adds {
			adds = append(adds, fmt.Sprintf("%d × %s (%s)", a.Quantity, a.Name, a.Item))
		}
		columns(&b, 2, textWidth-columnWidth, "add "+strings.Join(adds, " and "), []string{f.Costs.String()})
		columns(&b, 2, textWidth-columnWidth, "brings", []string{f.Brings.Neg().String()})
		columns(&b, 2, textWidth-columnWidth, "the final cost changes by", []string{f.Change.Signed()})
		if f.Change.Sign() >= 0 {
			paragraph(&b, 2, "It costs as much as it brings, or more: only worth it for what you need anyway.")
		}
	}
	return b.String()
}
