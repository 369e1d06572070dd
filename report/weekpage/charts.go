package weekpage

import (
	"cmp"
	"fmt"
	"html"
	"html/template"
	"slices"
	"strings"
	"time"

	"tillproof/money"
	"tillproof/plan"
	"tillproof/week"
)

// A chart is rows of bars: a label on the left, bars, the amount beside each. On
// a phone the label stands above its bars. Bars differ by their filling, so that
// no colour is needed.
const (
	barHeight  = 16
	amountRoom = 90
)

// form is how a chart is laid out: its class in the page, its width, and that
// of the labels, 0 where they stand above the bars.
type form struct {
	class        string
	width, label int
}

var forms = []form{{"wide", 760, 250}, {"narrow", 380, 0}}

// fillings of bars, by name: empty, hatched, full, dotted. A pattern is named
// after the form, since one in a chart that is not shown cannot be used.
const fillings = `<defs><pattern id="hatch-%[1]s" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
	`<rect width="6" height="6" fill="#fff"/><line x1="0" y1="0" x2="0" y2="6" stroke="#111" stroke-width="2.4"/></pattern>` +
	`<pattern id="dots-%[1]s" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#fff"/><circle cx="2" cy="2" r="1.3" fill="#111"/></pattern></defs>`

func (f form) fill(name string) string {
	switch name {
	case "hatched":
		return "url(#hatch-" + f.class + ")"
	case "dotted":
		return "url(#dots-" + f.class + ")"
	case "full":
		return "#444"
	}
	return "#fff"
}

// bars are the bars of one row.
type bars struct {
	label string
	of    []value
}

type value struct {
	name, filling string
	amount        money.Amount
	text          string // in place of the amount, where that is not known
}

// chart draws rows of bars to one scale, in each form. what says in words what
// it shows.
func chart(what string, rows []bars) template.HTML {
	var largest money.Amount
	lines := 0
	for _, r := range rows {
		lines += len(r.of)
		for _, v := range r.of {
			largest = money.Max(largest, v.amount)
		}
	}
	if lines == 0 {
		return ""
	}
	var b strings.Builder
	for _, f := range forms {
		f.draw(&b, what, rows, lines, largest)
	}
	return template.HTML(b.String())
}

// draw draws one form of a chart, of so many bars.
func (f form) draw(b *strings.Builder, what string, rows []bars, lines int, largest money.Amount) {
	const rowGap, legendHeight, labelHeight = 8, 26, 16
	names := 0
	for _, r := range rows {
		names += len(r.of[0].name)
	}
	y := 0
	if names > 0 {
		y = legendHeight
	}
	height := y + lines*(barHeight+2) + len(rows)*rowGap
	if f.label == 0 {
		height += len(rows) * labelHeight
	}
	fmt.Fprintf(b, `<svg role="img" class="%s" viewBox="0 0 %d %d" width="%d" height="%d" font-family="system-ui,sans-serif" font-size="13" fill="#111"><title>%s</title>`,
		f.class, f.width, height, f.width, height, html.EscapeString(what))
	fmt.Fprintf(b, fillings, f.class)
	f.legend(b, rows)
	room := int64(f.width - f.label - amountRoom)
	for _, r := range rows {
		fmt.Fprintf(b, `<text x="0" y="%d">%s</text>`, y+12, html.EscapeString(cutTo(r.label, labelLength)))
		if f.label == 0 {
			y += labelHeight
		}
		for _, v := range r.of {
			w := 0
			if largest.Sign() > 0 && v.amount.Sign() > 0 {
				w = max(1, int(v.amount.Cents()*room/largest.Cents()))
			}
			fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s" stroke="#111"/>`, f.label, y, w, barHeight-2, f.fill(v.filling))
			fmt.Fprintf(b, `<text x="%d" y="%d">%s</text>`, f.label+w+6, y+12, cmp.Or(v.text, v.amount.String()))
			y += barHeight + 2
		}
		y += rowGap
	}
	b.WriteString(`</svg>`)
}

// labelLength is how much of a label there is room for.
const labelLength = 34

// legend says which filling is what, where there is more than one.
func (f form) legend(b *strings.Builder, rows []bars) {
	var seen []string
	x := f.label
	for _, r := range rows {
		for _, v := range r.of {
			if v.name == "" || slices.Contains(seen, v.name) {
				continue
			}
			seen = append(seen, v.name)
			fmt.Fprintf(b, `<rect x="%d" y="4" width="14" height="12" fill="%s" stroke="#111"/><text x="%d" y="15">%s</text>`, x, f.fill(v.filling), x+20, html.EscapeString(v.name))
			x += 34 + 8*len(v.name)
		}
	}
}

func cutTo(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}

// tripChart shows planned against paid for each plan and day.
func tripChart(w *week.Week) template.HTML {
	type trip struct{ day, store, plan string }
	planned, paid, unread := map[trip]money.Amount{}, map[trip]money.Amount{}, map[trip]string{}
	var order []trip
	for _, r := range w.Receipts {
		if r.Result == nil || !r.Counted() {
			continue
		}
		t := trip{r.Date, r.Store, r.Plan}
		if !slices.Contains(order, t) {
			order = append(order, t)
		}
		planned[t] = planned[t].Add(r.Result.OutOfPocket.Expected)
		if p := r.Paid(); p != nil {
			paid[t] = paid[t].Add(*p)
		} else {
			unread[t] = "not read"
		}
	}
	var rows []bars
	for _, t := range order {
		rows = append(rows, bars{strings.TrimSpace(t.day + " " + t.store), []value{{name: "planned", filling: "empty", amount: planned[t]},
			{name: "paid", filling: "hatched", amount: paid[t], text: unread[t]}}})
	}
	return chart("Planned and paid amounts for each trip", rows)
}

// missingChart shows what findings say is missing, by store and kind of offer.
func missingChart(w *week.Week) template.HTML {
	sums := map[string]money.Amount{}
	store := map[string]string{}
	for _, r := range w.Receipts {
		store[r.ID] = r.Store
	}
	for _, f := range w.Findings {
		kind := ": " + carriedText[f.Carried]
		key := cutTo(store[f.Receipt], labelLength-len(kind)) + kind
		sums[key] = sums[key].Add(f.Effect.Abs())
	}
	var rows []bars
	for key, sum := range sums {
		rows = append(rows, bars{key, []value{{filling: "full", amount: sum}}})
	}
	slices.SortFunc(rows, func(x, y bars) int {
		if c := y.of[0].amount.Cmp(x.of[0].amount); c != 0 {
			return c
		}
		return strings.Compare(x.label, y.label)
	})
	return chart("Money missing by store and kind of offer", rows)
}

var carriedText = map[string]string{"shelf": "automatic", "paper": "paper coupons", "print": "printed coupons", "app": "app", "loyalty": "customer's card", "price": "prices"}

// moneyChart shows what was found and what came back, to date.
func moneyChart(s ToDate) template.HTML {
	return chart("Money found missing and money recovered, to date", []bars{
		{"found missing", []value{{filling: "hatched", amount: s.Found}}},
		{"of it refunded", []value{{filling: "full", amount: s.Refunded}}},
		{"credits and rebates received", []value{{filling: "full", amount: s.Received}}},
		{"credits and rebates still out", []value{{filling: "dotted", amount: s.Owed}}},
	})
}

// month is one month of the calendar, its weeks from Monday.
type month struct {
	Name  string
	Weeks [][7]cell
}

type cell struct {
	Day  int // 0: of another month
	What []string
}

// months are the months in which credits and rebates have their last days.
func months(w *week.Week) (all []month) {
	what := map[plan.Date][]string{}
	times := map[plan.Date]map[string]int{} // of equal amounts there may be many
	var days []plan.Date
	for _, d := range w.Dues {
		if d.By.IsZero() || d.Settled() {
			continue
		}
		if what[d.By] == nil {
			days = append(days, d.By)
			times[d.By] = map[string]int{}
		}
		do := "use"
		if d.What == "rebate" {
			do = "claim"
		}
		text := do + " " + d.Left().String()
		if times[d.By][text]++; times[d.By][text] == 1 {
			what[d.By] = append(what[d.By], text)
		}
	}
	for day, all := range what {
		for i, text := range all {
			if n := times[day][text]; n > 1 {
				all[i] = fmt.Sprintf("%s × %d", text, n)
			}
		}
	}
	slices.SortFunc(days, func(x, y plan.Date) int { return strings.Compare(x.String(), y.String()) })
	const mostMonths = 12
	last := ""
	for _, d := range days {
		if m := d.String()[:7]; m != last && len(all) < mostMonths {
			last = m
			all = append(all, oneMonth(m, what))
		}
	}
	return all
}

func oneMonth(yearMonth string, what map[plan.Date][]string) month {
	first, _ := time.Parse("2006-01", yearMonth) // of a valid date
	m := month{Name: first.Format("January 2006")}
	at := (int(first.Weekday()) + 6) % 7 // Monday is 0
	days := first.AddDate(0, 1, -1).Day()
	for n := 1; n <= days; n++ {
		if len(m.Weeks) == 0 || at == 7 {
			if len(m.Weeks) > 0 {
				at = 0
			}
			m.Weeks = append(m.Weeks, [7]cell{})
		}
		day, _ := plan.ParseDate(fmt.Sprintf("%s-%02d", yearMonth, n))
		m.Weeks[len(m.Weeks)-1][at] = cell{n, what[day]}
		at++
	}
	return m
}
