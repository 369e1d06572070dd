package match

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
)

// savingsTables are the lines below the tenders, by number, that are tables of what
// was saved: two lines or more with amounts whose sum the next one states, as savings.
func savingsTables(r *parse.Receipt) map[int]bool {
	var in map[int]bool
	var run []*parse.Line
	paid := false
	for i := range r.Lines {
		l := &r.Lines[i]
		paid = paid || l.Kind == parse.LineTender
		switch {
		case !paid || l.Kind != parse.LineMessage && l.Kind != parse.LineOther && l.Kind != parse.LineCredit:
			run = run[:0]
		case l.Amount == nil:
			if hasLetters(l.Text) {
				run = run[:0]
			}
		default:
			if k := sumOf(run, l.Amount.Abs()); k >= 0 && tellsSavings(l.Text) {
				if in == nil {
					in = map[int]bool{}
				}
				for _, above := range run[k:] {
					in[above.N] = true
				}
				in[l.N] = true
			}
			run = append(run, l)
		}
	}
	return in
}

// sumOf is where the last lines of run, two or more, begin whose amounts come to sum;
// -1 where none do.
func sumOf(run []*parse.Line, sum money.Amount) int {
	var got money.Amount
	for k := len(run) - 1; k >= 0; k-- {
		got = got.Add(run[k].Amount.Abs())
		if got == sum && k < len(run)-1 {
			return k
		}
	}
	return -1
}

func hasLetters(s string) bool {
	return strings.ContainsFunc(s, func(c rune) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' })
}

// tellsSavings reports whether a line has a word for what was saved, or for all of it.
func tellsSavings(text string) bool {
	n := newName(text)
	return n.has("SAVED", "SAVE", "SAVINGS", "SAVING", "TOTAL", "TTL", "ALL", "DISCOUNTS", "OFF", "SVGS", "KEPT")
}

// isOwnAmount reports whether a is the receipt's total, subtotal or what was paid.
func isOwnAmount(r *parse.Receipt, a money.Amount) bool {
	if a.IsZero() {
		return false
	}
	for i := range r.Tenders {
		if r.Tenders[i].Amount == a {
			return true
		}
	}
	return r.Total != nil && *r.Total == a || r.Subtotal != nil && *r.Subtotal == a || r.Change != nil && *r.Change == a
}

// isSaved reports whether an amount is what the receipt's deductions come to, all of them or
// those that share a word with the line: it tells what was saved.
func (r *Reward) isSaved(of *parse.Receipt) bool {
	var all, alike money.Amount
	for i := range of.Lines {
		l := &of.Lines[i]
		if l.Kind != parse.LineDeduction || l.Amount == nil {
			continue
		}
		all = all.Sub(*l.Amount)
		words := newName(l.Name)
		if slices.ContainsFunc(r.name.words, func(w word) bool { return len(w.text) >= plainLetters && !w.number && words.has(w.text) }) {
			alike = alike.Sub(*l.Amount)
		}
	}
	return !r.Value.IsZero() && (r.Value == all || r.Value == alike)
}

// done are words by which a line says that something was given, and not may be.
var done = []string{"EARNED", "ISSUED", "AWARDED"}

// offersMore reports whether a line says what spending would bring: it names two
// amounts, or what is to be spent, and not that something was given for it.
func offersMore(amounts int, n *name) bool {
	if n.has(done...) {
		return false
	}
	return amounts > 1 || n.has("SPEND") || n.has("EARN", "GET") && n.has("ON", "WHEN", "IF")
}

// amountsIn are the amounts with two decimals in a text.
func amountsIn(text string) (found []money.Amount) {
	for i := 0; i+2 < len(text); i++ {
		if text[i] != '.' && text[i] != ',' || !isDigit(text[i+1]) || !isDigit(text[i+2]) || i+3 < len(text) && isDigit(text[i+3]) {
			continue
		}
		j := i
		for j > 0 && isDigit(text[j-1]) {
			j--
		}
		if j == i {
			continue
		}
		if a, err := money.Parse(text[j:i] + "." + text[i+1:i+3]); err == nil {
			found = append(found, a)
		}
	}
	return found
}
