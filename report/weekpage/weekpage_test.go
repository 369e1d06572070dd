package weekpage

import (
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"tillproof/audit"
	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
	"tillproof/week"

	"github.com/emersion/go-ical"
)

func day(s string) plan.Date {
	d, err := plan.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}

// sample is a week with what is awkward to print: commas, quotes, markup, a
// formula, letters beyond ASCII.
func sample() *week.Week {
	total, paid := money.Must("16.47"), money.Must("16.47")
	return &week.Week{
		Receipts: []*week.Receipt{
			{ID: "r1", Kind: parse.KindSale, Store: `Łąka "Quay", & <Sons>`, Date: "2026-05-09", Time: "10:11", Total: &total, Files: []week.File{{Name: "a, b.jpg"}},
				Planned: week.Planned{Plan: "trip.yaml", Transaction: "breakfast"}, Verdict: audit.Short,
				Result: &audit.Result{Verdict: audit.Short, OutOfPocket: audit.Compared{Expected: money.Must("15.22"), Actual: &paid}, ShortAtTill: money.Must("1.25")}},
			{ID: "r2", Kind: parse.KindSale, Store: "=1+1", Files: []week.File{{Name: "c.jpg"}}, Notes: []string{"first line\nsecond"}},
		},
		Findings: []week.Finding{{ID: "f1", Receipt: "r1", Title: "1.25 off <muesli>", Carried: "paper", Finding: audit.Finding{Kind: audit.MissingDeduction, Effect: money.Must("-1.25"), Certainty: audit.CertainProved}}},
		Dues: []week.Due{{ID: "d1", Receipt: "r1", Claim: state.Claim{What: "rebate", Due: state.Due{Kind: state.Rebate, Value: money.Must("2.00"), State: state.Expected, By: day("2026-05-31")}}},
			{ID: "d2", Receipt: "r1", Claim: state.Claim{What: "gift card", Due: state.Due{Kind: state.Credit, Value: money.Must("4.00"), State: state.Printed, By: day("2026-07-06")}}}},
		Questions: []week.Question{{ID: "q1", Kind: "amount", Amount: money.Must("3.00"), Text: "What amount is printed in line 5?", Printed: `5.?9 <b>`, File: week.File{Name: "c.jpg"}}},
		Totals:    week.Totals{Receipts: 2, Planned: 1, Short: 1, ShortAtTill: money.Must("1.25")},
	}
}

// RFC 4180: lines end in CR LF, fields with commas, quotes or line ends stand
// in quotes, quotes are doubled, every line has as many fields as the head.
func TestCSV(t *testing.T) {
	text := string(CSV(sample()))
	if n := strings.Count(text, "\n"); n != strings.Count(text, "\r\n") || n != 4 { // one of them inside a field
		t.Errorf("line ends: %q", text)
	}
	if !strings.Contains(text, `"Łąka ""Quay"", & <Sons>"`) {
		t.Errorf("quotes: %s", text)
	}
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll() // fails on a line of another length
	if err != nil || len(records) != 3 {
		t.Fatal(records, err)
	}
	if got := records[1][3]; got != `Łąka "Quay", & <Sons>` {
		t.Errorf("store %q", got)
	}
	if got := records[2][3]; got != "'=1+1" {
		t.Errorf("a formula is taken for one: %q", got)
	}
}

// The calendar, read by a parser of another project.
func TestICS(t *testing.T) {
	stamp := time.Date(2026, 5, 10, 8, 0, 0, 0, time.UTC)
	long := "0.50 back, twice; from Łąka Mills with a title that is long enough to be folded more than once — żółć " + strings.Repeat("ż", 80)
	text := ICS([]Deadline{{ID: "d1", Title: long, Detail: "first\nsecond", Day: day("2026-05-31")}, {ID: "d2", Title: "none"}}, stamp)
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") || !utf8.ValidString(line) {
			t.Errorf("a content line of %d octets: %q", len(line), line)
		}
	}
	cal, err := ical.NewDecoder(strings.NewReader(text)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	events := cal.Events()
	if len(events) != 1 {
		t.Fatalf("%d events; what has no last day has none", len(events))
	}
	e := events[0]
	if got, err := e.Props.Text(ical.PropSummary); err != nil || got != "Last day: "+long {
		t.Errorf("summary %q, %v", got, err)
	}
	if got, err := e.Props.Text(ical.PropDescription); err != nil || got != "first\nsecond" {
		t.Errorf("description %q, %v", got, err)
	}
	start, err := e.DateTimeStart(time.UTC)
	end, err2 := e.DateTimeEnd(time.UTC)
	if err != nil || err2 != nil || !start.Equal(time.Date(2026, 5, 31, 0, 0, 0, 0, time.UTC)) || end.Sub(start) != 24*time.Hour {
		t.Errorf("%s to %s, %v, %v", start, end, err, err2)
	}
	alarms := 0
	for _, c := range e.Children {
		if c.Name != ical.CompAlarm {
			continue
		}
		alarms++
		before, err := c.Props.Get(ical.PropTrigger).Duration()
		if err != nil || before >= 0 || c.Props.Get(ical.PropAction).Value != "DISPLAY" || c.Props.Get(ical.PropDescription) == nil {
			t.Errorf("alarm %v, %v", before, err)
		}
		if at := start.Add(before); at.Hour() != 9 {
			t.Errorf("it rings at %s", at)
		}
	}
	if alarms != 2 {
		t.Errorf("%d alarms", alarms)
	}
}

// The page is well formed, everything read is escaped, and it needs neither
// scripts nor the network nor colour.
func TestHTML(t *testing.T) {
	page, err := HTML(sample(), ToDate{Found: money.Must("1.25"), Owed: money.Must("6.00")}, map[string][]byte{"q1": []byte("\x89PNG")})
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(page, "<b>5") || strings.Contains(page, "<Sons>") || strings.Contains(page, "<script") || strings.Contains(page, "http") {
		t.Error("something is not escaped, or fetched")
	}
	for _, want := range []string{"Planned and paid amounts for each trip", "Money missing by store and kind of offer", "May 2026", "July 2026", "claim 2.00", "use 4.00", "to date", "data:image/png;base64,", "paper coupons"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	rest := page
	for n := 0; ; n++ { // each chart by itself is XML
		_, after, ok := strings.Cut(rest, "<svg")
		if !ok {
			if n != 6 {
				t.Errorf("%d charts", n)
			}
			break
		}
		svg, after, _ := strings.Cut(after, "</svg>")
		d := xml.NewDecoder(strings.NewReader("<svg" + svg + "</svg>"))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%v in %s", err, svg)
			}
		}
		if !strings.Contains(svg, "<title>") {
			t.Errorf("chart %d: %s", n, svg)
		}
		rest = after
	}
}

func TestCalendarBeginsOnMonday(t *testing.T) {
	w := &week.Week{Dues: []week.Due{{Claim: state.Claim{What: "rebate", Due: state.Due{Value: money.Must("1.00"), State: state.Expected, By: day("2026-05-31")}}}}}
	m := months(w)
	// From the calendar: 1 May 2026 is a Friday, 31 May a Sunday.
	if len(m) != 1 || m[0].Weeks[0][4].Day != 1 || m[0].Weeks[0][3].Day != 0 || m[0].Weeks[4][6].Day != 31 || len(m[0].Weeks) != 5 {
		t.Errorf("%+v", m)
	}
	if got := m[0].Weeks[4][6].What; len(got) != 1 || got[0] != "claim 1.00" {
		t.Errorf("%v", got)
	}
}

func TestTextIsEightyWide(t *testing.T) {
	w := sample()
	w.Receipts[1].Notes = []string{strings.Repeat("a long note ", 20)}
	for line := range strings.Lines(Text(w) + Due([]Owed{{Due: w.Dues[0], Store: "S", Date: "2026-05-09"}}, day("2026-05-20")) + Questions(w.Questions, nil)) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
			t.Errorf("%d characters: %s", n, line)
		}
	}
}
