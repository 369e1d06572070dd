package weekpage

import (
	_ "embed"
	"encoding/base64"
	"html/template"
	"strings"

	"tillproof/money"
	"tillproof/report"
	"tillproof/week"
)

//go:embed page.tmpl
var pageText string

var pageTemplate = template.Must(template.New("week").Parse(pageText))

// ToDate are sums over everything that was ever booked.
type ToDate struct {
	// Found is what findings say was lost, Refunded what of it came back.
	Found, Refunded money.Amount
	// Received is what came of credits and rebates, Owed what is still out.
	Received, Owed money.Amount
}

// view is what the page says.
type view struct {
	Title, Caution string
	Totals         week.Totals
	PaidUnread     int // receipts of which it was not read what was paid
	Trips, Missing template.HTML
	Money          template.HTML
	Months         []month
	Rows           []row
	Findings       []findingView
	Reasons        []reasonView
	Toward         []string
	Remarks        []string
	Questions      []questionView
}

type row struct{ Date, Time, Store, Transaction, Planned, Paid, Result, Files string }

type findingView struct{ ID, Effect, Title, Kind, Certainty, File, Why, Do string }

type reasonView struct{ ID, Text string }

type questionView struct {
	ID, Amount, Text, Printed, Choices, File string
	Picture                                  template.URL
}

// HTML is the week as one page without scripts, with charts that can be read
// in black and white. pictures are PNGs by the question they belong to.
func HTML(w *week.Week, sums ToDate, pictures map[string][]byte) (string, error) {
	v := view{Title: title(w), Caution: report.Caution, Totals: w.Totals, PaidUnread: paidUnread(w),
		Trips: tripChart(w), Missing: missingChart(w), Money: moneyChart(sums), Months: months(w)}
	for _, r := range w.Receipts {
		planned := ""
		if r.Result != nil {
			planned = r.Result.OutOfPocket.Expected.String()
		}
		if len(r.Why) > 0 {
			v.Reasons = append(v.Reasons, reasonView{r.ID, reason(r)})
		}
		v.Rows = append(v.Rows, row{r.Date, r.Time, r.Store, r.Transaction, planned, amount(r.Total), verdict(r), names(r.Files)})
	}
	for _, f := range w.Findings {
		v.Findings = append(v.Findings, findingView{f.ID, f.Effect.Signed(), f.Title, string(f.Kind), string(f.Certainty), fileOf(w, f.Receipt), f.Cause.Text, f.Do})
	}
	var d doc
	towards(&d, w)
	v.Toward = paragraphs(d.String())
	d = doc{}
	remarks(&d, w)
	v.Remarks = paragraphs(d.String())
	for _, q := range w.Questions {
		if q.Optional {
			continue
		}
		qv := questionView{ID: q.ID, Amount: q.Amount.String(), Text: q.Text, Printed: q.Printed, Choices: strings.Join(q.Choices, ", "), File: q.File.Name}
		if png := pictures[q.ID]; png != nil {
			qv.Picture = template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(png))
		}
		v.Questions = append(v.Questions, qv)
	}
	var out strings.Builder
	err := pageTemplate.Execute(&out, v)
	return out.String(), err
}

// title names the days that the receipts are of.
func title(w *week.Week) string {
	first, last := "", ""
	planned := w.Totals.Planned > 0 // the date of one of no plan may be misread by years
	for _, r := range w.Receipts {
		if !r.Counted() || r.Date == "" || planned && r.Plan == "" {
			continue
		}
		if first == "" || r.Date < first {
			first = r.Date
		}
		last = max(last, r.Date)
	}
	switch {
	case first == "":
		return "Receipts"
	case first == last:
		return "Receipts of " + first
	}
	return "Receipts from " + first + " to " + last
}

// paragraphs joins wrapped items again.
func paragraphs(text string) (all []string) {
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		switch {
		case strings.HasPrefix(line, "- "), strings.HasPrefix(line, "+ "):
			all = append(all, line[2:])
		case strings.TrimSpace(line) != "" && len(all) > 0:
			all[len(all)-1] += " " + strings.TrimSpace(line)
		}
	}
	return all
}
