package week

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// What speaks for a transaction besides its items, which count up to 1.
const (
	sameDay   = 0.30
	otherDay  = -0.05
	farDay    = -0.20 // at a month and more
	sameTotal = 0.15
	// sameAmounts counts for all lines' amounts, where a photo was read badly.
	sameAmounts = 0.30
	wrongStore  = -0.50
	// oddStore: the name in a photo that was read badly is none of any plan. It may
	// be misread, and of what is assigned so nothing is firm.
	oddStore = -0.15
	// misreadDays from everything planned a date read in a bad photo is none.
	misreadDays = 60
	// least is the score under which a receipt is of no planned transaction,
	// sure the one at which transactions of other days need not be looked at.
	least, sure = 0.35, 0.80
	// margin is what the whole folder's fit must lose by any other assignment.
	margin = 0.05
)

// fits are the slots that r, of which all was read, may be of: those of its store
// and day; where none of these is sure those of its store, and then all.
func (a *assessor) fits(r *Receipt, read *parse.Receipt, slots []slot) []fit {
	day, _ := plan.ParseDate(r.Date)
	other, _ := plan.ParseDate(r.Read.DateOther)
	if a.strayDate(r) {
		day, other = plan.Date{}, plan.Date{}
	}
	may := map[string]bool{"": true, r.Store: true} // stores that it may be of
	for _, s := range a.stores {
		may[s] = may[s] || r.Store == "" || inHead(s, read)
	}
	tier := func(s *slot) int {
		store := may[s.plan.Plan.Store.Name]
		switch {
		case !store:
			return 2
		case day.IsZero() || s.day.IsZero() || s.day == day || s.day == other:
			return 0
		}
		return 1
	}
	wrong := wrongStore
	if !read.Firm && !r.isText() && !slices.Contains(a.stores, r.Store) {
		wrong = oddStore
	}
	var all []fit
	best := 0.0
	for n := range 3 {
		for i := range slots {
			if tier(&slots[i]) != n {
				continue
			}
			score := a.score(r, read, &slots[i], day, other)
			if n == 2 {
				score += wrong
			}
			if score >= least {
				all = append(all, fit{i, score})
			}
			best = max(best, score)
		}
		if best >= sure {
			break
		}
	}
	slices.SortStableFunc(all, func(x, y fit) int { return cmp.Compare(y.score, x.score) })
	if len(all) > 12 {
		all = all[:12]
	}
	return all
}

// score says how well r is of s.
func (a *assessor) score(r *Receipt, read *parse.Receipt, s *slot, day, other plan.Date) float64 {
	var rung *plan.Rung // priced again each time: the bills of all plans are many
	if !day.IsZero() && day != s.day {
		rung = &plan.Rung{Date: day}
	}
	bill := s.plan.Plan.PriceAs(s.tx, rung)
	as := match.Assign(s.plan.Plan, s.tx, bill, read)
	if !slices.ContainsFunc(as.Items, func(m match.ItemMatch) bool { return len(m.Entries) > 0 }) {
		return 0
	}
	score := as.Score
	switch {
	case s.day.IsZero():
	case day.IsZero():
		if shows(read, s.day) {
			score += sameDay
		}
	case s.day == day || s.day == other:
		score += sameDay
	default:
		n := apart(day, s.day)
		if !other.IsZero() {
			n = min(n, apart(other, s.day))
		}
		score += max(otherDay-float64(n)/200, farDay)
	}
	if r.Total != nil && *r.Total == bill.OutOfPocket {
		score += sameTotal
	}
	if !read.Firm && !r.isText() {
		score += sameAmounts * amountsIn(bill, read)
	}
	return score
}

// amountsIn is the share of bill's lines whose price, of the line or of one unit,
// stands on a line of r that may be goods: print that is too small or blurred for
// names leaves figures legible.
func amountsIn(bill *plan.TransactionBill, r *parse.Receipt) float64 {
	there := map[money.Amount]int{}
	for i := range r.Lines {
		if l := &r.Lines[i]; l.Amount != nil && (l.Kind == parse.LineItem || l.Kind == parse.LineOther) {
			there[*l.Amount]++
		}
	}
	n := 0
	for i := range bill.Lines {
		price := bill.Lines[i].Price
		if there[price] > 0 {
			there[price]--
			n++
		}
	}
	return float64(n) / float64(max(len(bill.Lines), 1))
}

// strayDate reports whether the date of r was read in a bad photo and lies far from
// everything planned: then it was misread.
func (a *assessor) strayDate(r *Receipt) bool {
	day, err := plan.ParseDate(r.Date)
	if _, typed := a.in.Answers[dateID(r)]; err != nil || typed || r.Read.Firm || r.isText() {
		return false
	}
	near := func(planned plan.Date) bool { return planned.IsZero() || apart(day, planned) < misreadDays }
	for i := range a.in.Plans {
		p := a.in.Plans[i].Plan
		for _, tx := range p.Transactions {
			if planned := tx.Date; planned.IsZero() && near(p.Date) || !planned.IsZero() && near(planned) {
				return false
			}
		}
	}
	return true
}

// apart is the number of days between two dates, at most 60.
func apart(a, b plan.Date) int {
	if b.Before(a) {
		a, b = b, a
	}
	for n := range 60 {
		if a.AddDays(n) == b {
			return n
		}
	}
	return 60
}

// shows reports whether day stands somewhere on r, though no date was read: many
// tills print it once more in a number at the end (common practice, no source),
// and of a line that was read badly the day may be left.
func shows(r *parse.Receipt, day plan.Date) bool {
	t, err := time.Parse(time.DateOnly, day.String())
	if err != nil {
		return false
	}
	forms := []string{"060102", "20060102", "010206", "01022006", "020106", "02Jan", "Jan02"}
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Kind != parse.LineOther && l.Kind != parse.LineMessage {
			continue
		}
		text := squeeze(l.Text)
		if slices.ContainsFunc(forms, func(f string) bool { return strings.Contains(text, strings.ToUpper(t.Format(f))) }) {
			return true
		}
	}
	return false
}
