package weekpage

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"tillproof/plan"
	"tillproof/report"
	"tillproof/week"
)

// Deadline is one last day for the calendar.
type Deadline struct {
	ID, Title, Detail string
	Day               plan.Date
}

// alarmDays are how many days before a last day its alarms ring.
var alarmDays = []int{3, 1}

// ICS is a calendar of last days, an all-day event each with alarms before it,
// as RFC 5545 has it. stamp is when it was made.
func ICS(all []Deadline, stamp time.Time) string {
	var c calendar
	c.line("BEGIN", "VCALENDAR")
	c.line("VERSION", "2.0")
	c.line("PRODID", "-//tillproof//due//EN")
	c.line("CALSCALE", "GREGORIAN")
	for _, d := range all {
		if d.Day.IsZero() {
			continue
		}
		c.line("BEGIN", "VEVENT")
		c.line("UID", d.ID+"@tillproof.invalid") // the same each time: a calendar updates it
		c.line("DTSTAMP", stamp.UTC().Format("20060102T150405Z"))
		c.line("DTSTART;VALUE=DATE", compact(d.Day))
		c.line("DTEND;VALUE=DATE", compact(d.Day.AddDays(1))) // the day after is not in it
		c.text("SUMMARY", "Last day: "+d.Title)
		c.text("DESCRIPTION", d.Detail)
		c.line("TRANSP", "TRANSPARENT")
		for _, n := range alarmDays {
			c.line("BEGIN", "VALARM")
			c.line("ACTION", "DISPLAY")
			c.text("DESCRIPTION", "Last day "+d.Day.String()+": "+d.Title)
			// At nine in the morning of the n-th day before.
			c.line("TRIGGER", fmt.Sprintf("-PT%dH", 24*n-9))
			c.line("END", "VALARM")
		}
		c.line("END", "VEVENT")
	}
	c.line("END", "VCALENDAR")
	return c.String()
}

func compact(d plan.Date) string { return strings.ReplaceAll(d.String(), "-", "") }

// calendar writes content lines.
type calendar struct{ strings.Builder }

var escapes = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", "")

// text writes a property whose value is free text.
func (c *calendar) text(name, value string) {
	value = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' || r == utf8.RuneError || r == 0x7f {
			return -1
		}
		return r
	}, value)
	c.line(name, escapes.Replace(value))
}

// line writes one content line, folded so that no line has over 75 octets
// (RFC 5545, section 3.1) and no character is cut apart.
func (c *calendar) line(name, value string) {
	rest, room := name+":"+value, 75
	for len(rest) > room {
		n := room
		for !utf8.RuneStart(rest[n]) {
			n--
		}
		c.WriteString(rest[:n] + "\r\n ")
		rest, room = rest[n:], 74
	}
	c.WriteString(rest + "\r\n")
}

// Owed is a due for the list: a week's, with where it is of.
type Owed struct {
	week.Due
	Store string `json:"store,omitempty"`
	Date  string `json:"date,omitempty"`
}

// Due lists what is still owed by its last day, then what has none.
func Due(all []Owed, today plan.Date) string {
	var d doc
	if len(all) == 0 {
		return "Nothing is owed.\n"
	}
	d.linef("%s  %s  %9s  %s  %s", fit("Last day", 10), fit("id", 13), "left", fit("state", 12), "what")
	return d.String() + DueRows(all, today)
}

// DueRows are the lines of Due without the one that names them, so that a long
// list need not be there at once.
func DueRows(all []Owed, today plan.Date) string {
	var d doc
	for _, o := range all {
		by := "-"
		if !o.By.IsZero() {
			by = o.By.String()
		}
		what := o.Title
		if !today.IsZero() && !o.By.IsZero() && !o.By.Before(today) && o.By.Before(today.AddDays(7)) {
			what = "SOON: " + what
		}
		if o.ClaimTo != "" {
			what += ", from " + o.ClaimTo
		}
		if o.Store != "" {
			what += " (" + strings.TrimSpace(o.Store+" "+o.Date) + ")"
		}
		head := fmt.Sprintf("%s  %s  %9s  %s  ", fit(by, 10), fit(o.ID, 13), o.Left(), fit(string(o.State), 12))
		for i, l := range report.Wrap(what, width-utf8.RuneCountInString(head)) {
			if i > 0 {
				head = strings.Repeat(" ", utf8.RuneCountInString(head))
			}
			d.linef("%s%s", head, l)
		}
	}
	return d.String()
}
