package parse

import (
	"fmt"
	"strings"
	"time"
)

// dayReading is a date found in a line. other is the second reading of a date
// whose day and month could be either, byDay the one of the two with the day
// first; dayFirst says that it can only be read with the day first.
type dayReading struct {
	iso, other, byDay string
	dayFirst          bool
}

// piece is a run of digits or letters in a text, and what stands before it.
type piece struct {
	text   string
	number bool
	before string // the signs before it, white space left out
}

// cutPieces cuts a text into runs of digits and of letters.
func cutPieces(s string, out []piece) []piece {
	from := 0
	for i := 0; i < len(s); {
		n := i
		switch {
		case digit(s[i]):
			for n < len(s) && digit(s[n]) {
				n++
			}
		case s[i]|0x20 >= 'a' && s[i]|0x20 <= 'z':
			for n < len(s) && s[n]|0x20 >= 'a' && s[n]|0x20 <= 'z' {
				n++
			}
		default:
			i++
			continue
		}
		out = append(out, piece{text: s[i:n], number: digit(s[i]), before: strings.ReplaceAll(s[from:i], " ", "")})
		i, from = n, n
	}
	return out
}

// findDate finds the first date in the pieces of a line: 05/09/2026,
// 2026-05-09, 9.5.26, May 9 2026, 09-MAY-26, Feb23'19.
func findDate(ps []piece) (d dayReading, ok bool) {
	for i := 0; i+2 < len(ps); i++ {
		a, b, c := &ps[i], &ps[i+1], &ps[i+2]
		switch {
		case a.number && b.number && c.number && isDateSign(b.before) && b.before == c.before:
			d, ok = numericDate(a.text, b.text, c.text, b.before)
		case !a.number && b.number && c.number && monthOf(a.text) > 0:
			// "Jan 25, 2018"; the hour of "Jan 25 11:47" is no year.
			if len(c.text) == 4 || strings.Contains(c.before, "'") || c.before == "," || c.before == "/" || c.before == "-" {
				d, ok = namedDate(c.text, monthOf(a.text), b.text)
			}
		case a.number && !b.number && c.number && b.before == "" && len(c.text) <= 2 && i+3 < len(ps) && ps[i+3].number && len(ps[i+3].text) == 4 && ps[i+3].before == ",":
			// "Reg 07  May 31, 2026": the year is still to come.
		case a.number && !b.number && c.number && monthOf(b.text) > 0:
			d, ok = namedDate(c.text, monthOf(b.text), a.text)
		}
		if ok {
			return d, true
		}
	}
	return d, false
}

// onDay is d read as the day of the week says that stands beside it, where that settles which of
// two dates it is: "Tue 05-12-2026".
func (d dayReading) onDay(ps []piece) dayReading {
	falls := func(iso, name string) bool {
		at, err := time.Parse(time.DateOnly, iso)
		return err == nil && strings.EqualFold(at.Weekday().String()[:3], name[:3])
	}
	for i := range ps {
		name := ps[i].text
		if d.other == "" || ps[i].number || len(name) < 3 || !weekDays[strings.ToUpper(name)] || falls(d.iso, name) == falls(d.other, name) {
			continue
		}
		if falls(d.other, name) {
			d.iso = d.other
		}
		d.dayFirst, d.other = d.iso == d.byDay, ""
	}
	return d
}

// weekDays are the days of the week as tills print them.
var weekDays = map[string]bool{}

func init() {
	for day := time.Sunday; day <= time.Saturday; day++ {
		name := strings.ToUpper(day.String())
		weekDays[name], weekDays[name[:3]] = true, true
	}
	weekDays["TUES"], weekDays["THUR"], weekDays["THURS"] = true, true, true
}

func isDateSign(s string) bool { return s == "/" || s == "-" || s == "." }

// numericDate reads a date of three numbers. Year first is ISO 8601; else the
// month stands first as in the United States unless it cannot, or the sign is
// a point, which is how dates with the day first are written.
func numericDate(a, b, c, sign string) (d dayReading, ok bool) {
	if len(a) == 4 {
		iso, ok := isoDate(a, small(b), small(c))
		return dayReading{iso: iso}, ok
	}
	if len(a) > 2 || len(b) > 2 || len(c) != 2 && len(c) != 4 {
		return d, false
	}
	us, usOK := isoDate(c, small(a), small(b))
	day, dayOK := isoDate(c, small(b), small(a))
	switch {
	case usOK && dayOK && us != day:
		d.iso, d.other, d.byDay = us, day, day
		if sign == "." {
			d.iso, d.other = day, us
		}
	case usOK:
		d.iso = us
	case dayOK:
		d.iso, d.dayFirst = day, true
	default:
		return d, false
	}
	return d, true
}

func namedDate(year string, month int, day string) (dayReading, bool) {
	if len(day) > 2 {
		return dayReading{}, false
	}
	iso, ok := isoDate(year, month, small(day))
	return dayReading{iso: iso}, ok
}

// small is the value of at most two digits, 0 for more.
func small(s string) int {
	if len(s) > 2 {
		return 0
	}
	n := 0
	for i := range len(s) {
		n = n*10 + int(s[i]-'0')
	}
	return n
}

var monthDays = [...]int{31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// isoDate returns the date as ISO 8601; false where there is no such day. A
// year of two digits is of this century.
func isoDate(year string, month, day int) (string, bool) {
	switch len(year) {
	case 2:
		year = "20" + year
	case 4:
	default:
		return "", false
	}
	if year < "1990" || year > "2099" || month < 1 || month > 12 || day < 1 || day > monthDays[month-1] {
		return "", false
	}
	leap := small(year[2:])%4 == 0 && year != "2100"
	if month == 2 && day == 29 && !leap {
		return "", false
	}
	return fmt.Sprintf("%s-%02d-%02d", year, month, day), true
}

const monthNames = "january february march april may june july august september october november december"

// monthOf is the month that s names, in full or by three letters or more; 0
// for none.
func monthOf(s string) int {
	if len(s) < 3 || len(s) > 9 {
		return 0
	}
	low := strings.ToLower(s)
	if low == "sept" {
		return 9
	}
	rest := monthNames
	for n := 1; n <= 12; n++ {
		name, after, _ := strings.Cut(rest, " ")
		if strings.HasPrefix(name, low) {
			return n
		}
		rest = after
	}
	return 0
}

// findTime finds a time of day in the pieces of a line and returns it with 24
// hours: "2:01 PM" is 14:01.
func findTime(ps []piece) string {
	for i := 0; i+1 < len(ps); i++ {
		h, m := &ps[i], &ps[i+1]
		if !h.number || !m.number || m.before != ":" || len(h.text) > 2 || len(m.text) != 2 {
			continue
		}
		hour, minute, second, next := small(h.text), small(m.text), -1, i+2
		if next < len(ps) && ps[next].number && ps[next].before == ":" && len(ps[next].text) == 2 {
			second = small(ps[next].text)
			next++
		}
		if hour > 23 || minute > 59 || second > 59 {
			continue
		}
		if next < len(ps) && !ps[next].number {
			switch strings.ToUpper(ps[next].text) {
			case "PM", "P":
				if hour < 12 {
					hour += 12
				}
			case "AM", "A":
				hour %= 12
			}
		}
		if second >= 0 {
			return fmt.Sprintf("%02d:%02d:%02d", hour, minute, second)
		}
		return fmt.Sprintf("%02d:%02d", hour, minute)
	}
	return ""
}
