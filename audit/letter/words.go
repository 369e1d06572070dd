package letter

import (
	"fmt"
	"strings"

	"tillproof/audit"
)

// finding is one finding in a sentence or two: what should be, what is, by which
// lines, and what seems to have happened.
func (w *writer) finding(f *audit.Finding) string {
	what := "the tax"
	switch {
	case f.Offer != "":
		what = f.Offer
		if o := w.offer(f.Offer); o != nil {
			what = "“" + o.Title + "”"
		}
	case len(f.Items) > 0:
		what = w.items(f.Items)
	}
	text := fmt.Sprintf("%s: %s it is %s, and the receipt has %s", what, by(f.Kind), f.Expected, f.Actual)
	if f.Kind == audit.MisplacedDeduction {
		text = fmt.Sprintf("%s: %s came off goods that it is not for", what, f.Actual)
	}
	if len(f.Lines) > 0 {
		text += " (" + audit.LinesText(f.Lines) + w.quote(f.Lines) + ")"
	}
	if f.Kind == audit.MissingCredit || f.Kind == audit.ShortCredit {
		text += fmt.Sprintf("; that is %s too little given.", f.Effect.Neg())
	} else {
		text += fmt.Sprintf("; that is %s too much paid.", f.Effect.Neg())
	}
	if f.Cause.Exact {
		text += " It looks as if this is why: " + f.Cause.Text + "."
	}
	return text
}

// by is the rule that an amount should be by.
func by(kind audit.Kind) string {
	switch kind {
	case audit.TaxFinding:
		return "by the rate on what is taxed"
	case audit.Overcharge:
		return "by the price shown"
	case audit.Quantity:
		return "for the number that I count"
	}
	return "by the offer"
}

// mostQuoted bounds the lines quoted for one finding.
const mostQuoted = 3

// quote gives the first of some lines as printed.
func (w *writer) quote(lines []int) string {
	var b strings.Builder
	for i, n := range lines {
		if i == mostQuoted {
			b.WriteString(" …")
			break
		}
		if n < 1 || n > len(w.r.Receipt.Lines) {
			continue
		}
		fmt.Fprintf(&b, "; “%s”", strings.Join(strings.Fields(w.r.Receipt.Line(n).Text), " "))
	}
	return strings.Replace(b.String(), ";", ":", 1)
}

func (w *writer) items(ids []string) string {
	var names []string
	for _, id := range ids {
		name := id
		for _, tx := range w.p.Transactions {
			for _, it := range tx.Items {
				if it.ID == id {
					name = it.Name
				}
			}
		}
		names = append(names, name)
	}
	return strings.Join(names, ", ")
}

// proof is what shows that f is right.
func (w *writer) proof(f *audit.Finding) string {
	o := w.offer(f.Offer)
	switch {
	case o != nil && o.Proof != "":
		return "a picture of the offer (" + o.Proof + ")"
	case o != nil && (o.CarriedAs == "paper" || o.CarriedAs == "print"):
		return "a copy of the coupon, or its terms"
	case o != nil:
		return "the offer as it was seen, with its date"
	case f.Kind == audit.Overcharge:
		return "a picture of the label or advertisement"
	}
	return ""
}

// ofReceipt names the receipt by what it prints.
func (w *writer) ofReceipt() string {
	r := w.r.Receipt
	text := ""
	if r.Date != "" {
		text += " of " + r.Date
		if r.Time != "" {
			text += ", " + r.Time
		}
	}
	if r.Register != "" {
		text += ", register " + r.Register
	}
	if r.Transaction != "" {
		text += ", transaction " + r.Transaction
	}
	return text
}

// frame is a letter around its body, with what only the person can fill in.
func (w *writer) frame(body, caution string) string {
	return "Hello,\n\n" + body + "\n" + caution + " Line numbers count the printed lines of the receipt from its top.\n\nThank you,\n[your name and how to reach you]\n"
}
