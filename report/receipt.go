package report

import (
	"fmt"
	"strings"

	"tillproof/money"
	"tillproof/parse"
)

// proofMark is what stands beside an amount to say how far it can be trusted.
var proofMark = map[parse.Proof]string{
	parse.Proved:    "proved",
	parse.Repaired:  "repaired",
	parse.Corrected: "corrected",
	parse.Read:      "read",
	parse.Doubtful:  "doubtful",
}

// Receipt shows what was read: every line with its number, kind, amount and
// how far the amount can be trusted, then the sums that were tried.
func Receipt(r *parse.Receipt) string {
	var pg page
	pg.text(0, receiptHead(r))
	pg.blank()
	for _, l := range r.Lines {
		text := l.Text
		if l.Unread {
			text = "(print that could not be read)"
		}
		amount := ""
		if l.Amount != nil {
			amount = l.Amount.String()
		}
		left := fmt.Sprintf("%3d  %-9s  %-36s", l.N, l.Kind, cut(text, 36))
		pg.b.WriteString(strings.TrimRight(fmt.Sprintf("%s %10s  %s", left, amount, proofMark[l.Proof]), " ") + "\n")
	}
	pg.blank()
	if len(r.Sums) == 0 {
		pg.text(0, "No sum of this receipt could be tried, so no amount is proved.")
	}
	for _, s := range r.Sums {
		want, got := s.Want.String(), s.Got.String()
		if s.Kind == "count" { // units, which are no money
			want, got = strings.TrimSuffix(want, ".00"), strings.TrimSuffix(got, ".00")
		}
		if s.Holds {
			pg.item(0, "Works out:", fmt.Sprintf("%s, %s = %s.", sumName[s.Kind], lineList(s.Lines), want))
		} else {
			pg.item(0, "Does not work out:", fmt.Sprintf("%s, %s give %s and %s is printed.", sumName[s.Kind], lineList(s.Lines), got, want))
		}
	}
	var notes []string
	if !r.Complete.Top {
		notes = append(notes, "The receipt's upper end is not in the picture.")
	}
	if !r.Complete.Bottom {
		notes = append(notes, "The receipt's lower end is not in the picture.")
	}
	for _, n := range append(notes, r.Warnings...) {
		pg.item(0, "!", n)
	}
	return pg.String()
}

var sumName = map[string]string{
	"items":     "items, deductions and fees against the subtotal",
	"total":     "the total",
	"tenders":   "tenders and change against the total",
	"extension": "quantity times unit price",
	"count":     "the number of items",
}

// receiptHead names the receipt in a line: store, day, time, register.
func receiptHead(r *parse.Receipt) string {
	parts := []string{}
	add := func(label, s string) {
		if s != "" {
			parts = append(parts, label+s)
		}
	}
	add("", r.Store)
	add("", r.Date)
	add("", r.Time)
	add("register ", r.Register)
	add("transaction ", r.Transaction)
	add("total ", amountText(r.Total))
	if len(parts) == 0 {
		return "A receipt without a readable head"
	}
	return strings.Join(parts, ", ")
}

func amountText(a *money.Amount) string {
	if a == nil {
		return ""
	}
	return a.String()
}

// lineList says "line 4" or "lines 4, 6-9".
func lineList(lines []int) string {
	if len(lines) == 0 {
		return "no line"
	}
	var runs []string
	for i := 0; i < len(lines); {
		j := i
		for j+1 < len(lines) && lines[j+1] == lines[j]+1 {
			j++
		}
		run := itoa(lines[i])
		if j > i {
			run += "-" + itoa(lines[j])
		}
		runs = append(runs, run)
		i = j + 1
	}
	word := "lines "
	if len(lines) == 1 {
		word = "line "
	}
	return word + strings.Join(runs, ", ")
}

// cut shortens s to n runes, with an ellipsis where something is lost.
func cut(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-3]) + "..."
}
