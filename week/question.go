package week

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// Question is something that could not be decided.
type Question struct {
	ID string `json:"id"`
	// Kind is amount, date, same, join, transaction or name.
	Kind string `json:"kind"`
	// Amount is what is at stake.
	Amount  money.Amount `json:"amount"`
	Text    string       `json:"text"`
	Choices []string     `json:"choices,omitempty"`
	File    File         `json:"file"`
	Receipt string       `json:"receipt,omitempty"`
	// Line is the line in question, 0 for none, Printed what was read there.
	// Page and Box say where it stands in the file, Box nil for all of it.
	Line    int        `json:"line,omitempty"`
	Printed string     `json:"printed,omitempty"`
	Page    int        `json:"page,omitempty"`
	Box     *parse.Box `json:"box,omitempty"`
	// Optional questions decide nothing now; their answer is learnt.
	Optional bool `json:"optional,omitempty"`
	// Name is what is learnt where the answer is yes.
	Name *Name `json:"name,omitempty"`
}

// Name is a text that a store's till prints for an item.
type Name struct {
	Store string `json:"store"`
	Item  string `json:"item"` // its code, else its name
	Text  string `json:"text"`
}

// ItemKey is what an item is known by over plans: its code, else its name.
func ItemKey(it *plan.Item) string {
	if it.Code != "" {
		return it.Code
	}
	return strings.ToLower(strings.Join(strings.Fields(it.Name), " "))
}

// mostAmounts is how many lines of one receipt are asked about at a time.
const mostAmounts = 6

func (a *assessor) question(q Question) {
	if a.open[q.ID] {
		return
	}
	a.open[q.ID] = true
	a.w.Questions = append(a.w.Questions, q)
}

// asked reports whether a question is open.
func (a *assessor) asked(id string) bool { return a.open[id] }

// ask asks about what keeps receipts undecided, and puts the questions in
// order: the largest sum first, those that decide nothing last.
func (a *assessor) ask() {
	for _, r := range a.w.Receipts {
		if !r.Counted() || r.Result == nil {
			continue
		}
		for _, q := range r.questions {
			a.question(q)
		}
		a.askDate(r)
	}
	for i := range a.w.Questions {
		if q := &a.w.Questions[i]; q.Amount.Sign() < 0 {
			q.Amount = q.Amount.Abs()
		}
	}
	slices.SortStableFunc(a.w.Questions, func(x, y Question) int {
		if x.Optional != y.Optional {
			if x.Optional {
				return 1
			}
			return -1
		}
		return cmp.Or(y.Amount.Cmp(x.Amount), cmp.Compare(x.File.Name, y.File.Name)) // the rest in the order of asking
	})
}

// stake is what an undecided receipt may have lost: its unsure findings, or
// the difference between planned and paid, or all of it.
func stake(r *Receipt) (sum money.Amount) {
	for _, f := range r.Result.Findings {
		if f.Certainty == audit.CertainUnsure && f.Effect.Sign() < 0 {
			sum = sum.Sub(f.Effect)
		}
	}
	expected := r.Result.OutOfPocket.Expected
	if paid := r.Paid(); paid != nil {
		return money.Max(sum, paid.Sub(expected).Abs())
	}
	return money.Max(sum, expected)
}

// askAmounts asks for amounts that could not be read, of an undecided receipt.
func (a *assessor) askAmounts(r *Receipt) {
	torn := slices.ContainsFunc(a.w.Receipts, func(o *Receipt) bool { return o.SameAs == r.ID && o.Store == "" })
	if r.Verdict != audit.Undecided || torn {
		return
	}
	// Where something cannot be read at all, the sums that do not close are its
	// fault: the amounts that were read are not asked about too.
	blank := slices.ContainsFunc(r.Read.Lines, func(l parse.Line) bool { return (l.Proof == parse.Doubtful || l.Unread) && l.Amount == nil })
	asked := 0
	for _, i := range suspects(r.Read, blank) {
		if i >= len(r.at) {
			continue
		}
		l, s := &r.Read.Lines[i], r.at[i]
		if _, done := a.in.Answers[amountID(s)]; done {
			continue
		}
		text := "What amount is printed in line " + fmt.Sprint(l.N) + "?"
		if l.Unread {
			text = "What is printed in line " + fmt.Sprint(l.N) + "? Type its amount, or the whole line."
		}
		r.questions = append(r.questions, Question{ID: amountID(s), Kind: "amount", Amount: stake(r), Text: text, File: *s.file, Receipt: r.ID,
			Line: l.N, Printed: strings.Join(strings.Fields(l.Text), " "), Page: int(s.page), Box: l.Box})
		if asked++; asked == mostAmounts {
			return
		}
	}
}

// suspects are the lines to ask about, by index, the likeliest to be misread
// first: what alone would make a sum work out, then what stands in the most sums
// that do not, then what was read with the least confidence. Messages, such as
// what was saved in all, stand in no sum and decide nothing.
func suspects(read *parse.Receipt, blank bool) (all []int) {
	wrong := make([]int, len(read.Lines)+1) // sums that do not work out, by line
	alone := make([]bool, len(read.Lines)+1)
	for _, s := range read.Sums {
		if s.Holds || s.Kind == "count" {
			continue
		}
		for _, n := range append(slices.Clone(s.Lines), s.To) {
			if n >= len(wrong) || n < 1 {
				continue
			}
			wrong[n]++
			if over := s.Got.Sub(s.Want); n == s.To {
				alone[n] = alone[n] || s.Want.OneDigitOff(s.Got)
			} else if a := read.Line(n).Amount; a != nil {
				alone[n] = alone[n] || *a == over || a.OneDigitOff(a.Sub(over))
			}
		}
	}
	goods := false
	for i := range read.Lines {
		l := &read.Lines[i]
		goods = goods || l.Kind == parse.LineItem
		if l.Unread && goods || l.Proof == parse.Doubtful && l.Kind != parse.LineMessage && !(blank && l.Amount != nil) {
			all = append(all, i)
		}
	}
	slices.SortStableFunc(all, func(x, y int) int {
		if alone[x+1] != alone[y+1] {
			if alone[x+1] {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(wrong[y+1], wrong[x+1]), cmp.Compare(read.Lines[x].Confidence, read.Lines[y].Confidence))
	})
	return all
}

// askDate asks for a date that was not read or can be read both ways, since
// last days hang on it.
func (a *assessor) askDate(r *Receipt) {
	if r.Date != "" && r.Read.DateOther == "" {
		return
	}
	q := Question{ID: dateID(r), Kind: "date", File: r.Files[0], Receipt: r.ID}
	for i := range a.w.Dues {
		if a.w.Dues[i].Receipt == r.ID {
			q.Amount = q.Amount.Add(a.w.Dues[i].Value)
		}
	}
	q.Text = "What date is on the receipt in " + r.Files[0].Name + "? Write it as " + exampleDate(r) + "."
	if r.Date != "" {
		q.Text = "Which date is on the receipt in " + r.Files[0].Name + "? It can be read both ways."
		q.Choices = []string{r.Date, r.Read.DateOther}
	} else {
		q.Optional = q.Amount.IsZero()
	}
	a.question(q)
}

func exampleDate(r *Receipt) string {
	if !r.day.IsZero() {
		return r.day.String()
	}
	return "2026-05-09"
}

// askNames asks whether lines that were matched by their price alone are the
// items that they were taken for, and whether an unplanned line is the item
// that is missing at the same price.
func (a *assessor) askNames(r *Receipt) {
	if !r.Read.Firm {
		return
	}
	for _, m := range r.Result.Matches {
		if m.Item != "" && !m.Sale && (m.By == match.ByPrice || m.By == match.ByElimination) && len(m.Lines) > 0 {
			a.askName(r, m.Item, m.Lines[0])
		}
	}
	for _, missing := range r.Result.Findings {
		if missing.Kind != audit.MissingItem || len(missing.Items) != 1 {
			continue
		}
		var lines []int
		for _, f := range r.Result.Findings {
			if f.Kind == audit.UnplannedItem && len(f.Lines) > 0 && f.Actual == missing.Expected {
				lines = append(lines, f.Lines[0])
			}
		}
		if len(lines) == 1 {
			a.askName(r, missing.Items[0], lines[0])
		}
	}
}

// askName asks whether line n is what the till prints for an item.
func (a *assessor) askName(r *Receipt, item string, n int) {
	at := slices.IndexFunc(r.tx.Items, func(it *plan.Item) bool { return it.ID == item })
	if at < 0 || n < 1 || n > len(r.Read.Lines) || n > len(r.at) {
		return
	}
	l, it := r.Read.Line(n), r.tx.Items[at]
	if l.Name == "" || l.Amount == nil {
		return
	}
	name := Name{Store: r.Store, Item: ItemKey(it), Text: l.Name}
	q := Question{ID: id("question", "name", name.Store, name.Item, name.Text), Kind: "name", Amount: *l.Amount, Optional: true,
		File: *r.at[n-1].file, Receipt: r.ID, Line: n, Printed: l.Text, Page: int(r.at[n-1].page), Box: l.Box, Choices: []string{"yes", "no"}, Name: &name,
		Text: fmt.Sprintf("Is %q in line %d what this till prints for %s?", l.Name, n, it.Name)}
	if _, done := a.in.Answers[q.ID]; !done {
		r.questions = append(r.questions, q)
	}
}
