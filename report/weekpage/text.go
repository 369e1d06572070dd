// Package weekpage shows a week of receipts, and what is still owed of them: as
// text for a terminal, as CSV for a spreadsheet, as a page with charts, and as
// a calendar of last days.
//
// Text, CSV, HTML, Due and ICS each return one whole document. Every one can be
// read without colour. The package does no I/O and asks no clock.
package weekpage

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/report"
	"tillproof/week"
)

const width = 80

// doc collects lines of at most width characters.
type doc struct{ strings.Builder }

func (d *doc) para(s string) {
	for _, l := range report.Wrap(s, width) {
		d.WriteString(l + "\n")
	}
}

// item writes s wrapped behind a mark.
func (d *doc) item(mark, s string) {
	hang := strings.Repeat(" ", utf8.RuneCountInString(mark)+1)
	for i, l := range report.Wrap(s, width-len(hang)) {
		if i == 0 {
			d.WriteString(mark + " " + l + "\n")
		} else {
			d.WriteString(hang + l + "\n")
		}
	}
}

func (d *doc) linef(format string, args ...any) {
	d.WriteString(strings.TrimRight(fmt.Sprintf(format, args...), " ") + "\n")
}

// fit cuts or fills s to n characters.
func fit(s string, n int) string {
	r := []rune(strings.Join(strings.Fields(s), " "))
	if len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return string(r) + strings.Repeat(" ", n-len(r))
}

func amount(a *money.Amount) string {
	if a == nil {
		return "?"
	}
	return a.String()
}

// verdict is a receipt's outcome in a few words.
func verdict(r *week.Receipt) string {
	switch {
	case r.SameAs != "":
		return "not counted"
	case r.Kind != parse.KindSale:
		return string(r.Kind)
	case r.Result == nil:
		return "no plan"
	case r.Verdict == audit.Short:
		return "SHORT " + r.Result.ShortAtTill.Add(r.Result.ShortCredit).String()
	}
	return string(r.Verdict)
}

// Text shows the week as a table, then what was found missing, what is asked
// and what is left aside.
func Text(w *week.Week) string {
	var d doc
	d.linef("%s  %s  %s %9s %9s  %s", fit("Date", 10), fit("Store", 18), fit("Transaction", 15), "planned", "paid", "result")
	for _, r := range w.Receipts {
		planned := ""
		if r.Result != nil {
			planned = r.Result.OutOfPocket.Expected.String()
		}
		paid := amount(r.Total)
		d.linef("%s  %s  %s %9s %9s  %s", fit(orDash(r.Date), 10), fit(orDash(r.Store), 18), fit(r.Transaction, 15), planned, paid, verdict(r))
	}
	t := w.Totals
	d.WriteString("\n")
	d.para(fmt.Sprintf("%s, %d of them planned: planned %s, paid %s.", count(t.Receipts, "receipt", "receipts"), t.Planned, t.Expected, t.Actual))
	if n := paidUnread(w); n > 0 {
		d.para(fmt.Sprintf("What was paid could not be read on %s: the two sums are not of the same receipts.", count(n, "receipt", "receipts")))
	}
	switch {
	case t.Short > 0:
		d.para(fmt.Sprintf("SHORT: %s; you are missing %s at the till and %s in credits.", count(t.Short, "receipt", "receipts"), t.ShortAtTill, t.ShortCredit))
	case t.Planned > 0:
		d.para("No receipt is short for sure.")
	}
	if t.Undecided > 0 {
		d.para(fmt.Sprintf("UNDECIDED: %s.", count(t.Undecided, "receipt", "receipts")))
	}
	findings(&d, w)
	reasons(&d, w)
	towards(&d, w)
	remarks(&d, w)
	questions(&d, w)
	if len(w.Findings) > 0 {
		d.WriteString("\n")
		d.para(report.Caution)
	}
	return d.String()
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprint(n, " ", many)
}

func findings(d *doc, w *week.Week) {
	if len(w.Findings) == 0 {
		return
	}
	d.WriteString("\n")
	for _, f := range w.Findings {
		d.item(f.ID, fmt.Sprintf("%s  %s (%s, %s; in %s)", f.Effect.Signed(), f.Title, f.Kind, f.Certainty, fileOf(w, f.Receipt)))
	}
}

// reasons says what is behind the verdicts that are neither as planned nor short.
func reasons(d *doc, w *week.Week) {
	first := true
	for _, r := range w.Receipts {
		if len(r.Why) == 0 {
			continue
		}
		if first {
			d.WriteString("\n")
			first = false
		}
		d.item(r.ID, reason(r))
	}
}

// reason is the verdict of r and what is behind it.
func reason(r *week.Receipt) string {
	return fmt.Sprintf("%s in %s: %s", r.Verdict, r.Files[0].Name, strings.Join(r.Why, "; "))
}

// fileOf names the first file of a receipt.
func fileOf(w *week.Week, id string) string {
	for _, r := range w.Receipts {
		if r.ID == id && len(r.Files) > 0 {
			return r.Files[0].Name
		}
	}
	return id
}

func towards(d *doc, w *week.Week) {
	for i, t := range w.Toward {
		if i == 0 {
			d.WriteString("\n")
		}
		text := fmt.Sprintf("%s of %s, %s to go", t.Amount, t.Of, t.Of.Sub(t.Amount))
		if t.Reached {
			text = fmt.Sprintf("%s of %s: reached, send in %s", t.Amount, t.Of, count(len(t.Receipts), "receipt", "receipts"))
		} else if !t.Through.IsZero() {
			text += " by " + t.Through.String()
		}
		d.item("+", t.Title+": "+text)
	}
}

// remarks says what is special about receipts, and what was left aside.
func remarks(d *doc, w *week.Week) {
	before := d.Len()
	for _, r := range w.Receipts {
		if len(r.Copies) > 0 {
			d.item("-", fmt.Sprintf("%s: photographed again in %s", r.Files[0].Name, names(r.Copies)))
		}
		if len(r.Files) > 1 {
			d.item("-", names(r.Files)+": one receipt")
		}
		if r.Refers != "" {
			d.item("-", fmt.Sprintf("%s: a %s that belongs to %s", r.Files[0].Name, r.Kind, fileOf(w, r.Refers)))
		}
		for _, n := range r.Notes {
			d.item("-", r.Files[0].Name+": "+n)
		}
	}
	for _, a := range w.Aside {
		d.item("-", a.File.Name+": left aside, "+a.Why)
	}
	for _, u := range w.Unshopped {
		d.item("-", u.Plan+", transaction "+u.Transaction+": no receipt")
	}
	if text := d.String(); len(text) > before { // set off from what is above
		d.Reset()
		d.WriteString(text[:before] + "\n" + text[before:])
	}
}

func names(files []week.File) string {
	var all []string
	for _, f := range files {
		all = append(all, f.Name)
	}
	return strings.Join(all, ", ")
}

func questions(d *doc, w *week.Week) {
	open := 0
	for _, q := range w.Questions {
		if !q.Optional {
			open++
		}
	}
	if open > 0 {
		d.WriteString("\n")
		d.para(fmt.Sprintf("%s: tillproof answer shows them, the largest sum first.", count(open, "question is open", "questions are open")))
	}
}

// Questions lists what could not be decided, with the picture that shows it
// where pictures has one by the question's id.
func Questions(qs []week.Question, pictures map[string]string) string {
	var d doc
	for i, q := range qs {
		if i > 0 {
			d.WriteString("\n")
		}
		head := q.Amount.String() + " at stake"
		if q.Optional {
			head = "optional: the answer is learnt"
		}
		d.linef("%s  %s", q.ID, head)
		d.para(q.Text)
		if q.Printed != "" {
			d.item("   read:", q.Printed)
		}
		if len(q.Choices) > 0 {
			d.item("   one of:", strings.Join(q.Choices, ", "))
		}
		d.item("   in:", q.File.Name)
		if p := pictures[q.ID]; p != "" {
			d.WriteString("   see: " + p + "\n") // a path is never broken
		}
	}
	if len(qs) > 0 {
		d.WriteString("\nAnswer with: tillproof answer ID=ANSWER\n")
	} else {
		d.WriteString("No question is open.\n")
	}
	return d.String()
}

// paidUnread counts the planned receipts of which it is not known what was paid.
func paidUnread(w *week.Week) (n int) {
	for _, r := range w.Receipts {
		if r.Counted() && r.Result != nil && r.Paid() == nil {
			n++
		}
	}
	return n
}
