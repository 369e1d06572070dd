package join

import (
	"strings"

	"tillproof/ocr"
)

// entry is what is compared of a line.
type entry struct {
	text []rune
	// amounts are all that its readings end in, the likeliest first.
	amounts []string
	// clear is how well it was read, from 0 (not at all) to 1.
	clear float64
	// y is where the line stands in its photo, of which page it is the photo.
	y    float64
	page int
}

// pair is a line that both sides have: a of the first, b of the second.
type pair struct{ a, b int }

// fit is how far one photo lies over another.
type fit struct {
	// sure: the lines leave one way. several: more than one way is likely.
	sure, several bool
}

const (
	// apart is what a line costs that only one of the photos has between lines
	// that both have, where it was read clearly; it falls to unseen.
	apart, unseen = 0.9, 0.15
	// leastLines is how many lines with different amounts have to agree: one
	// thing bought twice prints two lines the same, and with a coupon on each four.
	leastLines = 3
	// alike is from when two lines count as agreeing.
	alike = 0.6
	// flaw is the most that another way may cost in lines that do not agree, to
	// be likely; longest is the most lines that a till is taken to repeat one
	// after the other (an item, its quantity, its coupons).
	flaw    = 1.0
	longest = 8
	// hidden is the most that lines that do not agree may cost in all.
	hidden = 3.0
)

// overlay finds the lines that a and b share. Lines that only one of them has
// between such lines are believed where the other has room for them; where that
// gives nothing, it is taken that none is missing.
func overlay(a []spot, b []entry) (shared []pair, how fit) {
	first := make([]entry, len(a))
	for i := range a {
		first[i] = a[i].entry
	}
	g := newGrid(first, b)
	for _, g.rigid = range []bool{false, true} {
		best := g.best(nil)
		if !g.enough(best) {
			continue
		}
		how.several = true
		shared, cost, clean := g.settle(best)
		if clean && cost <= hidden && g.level(best) && !g.rivals(best) {
			return shared, fit{sure: true}
		}
	}
	return nil, how
}

// entries are those of lines.
func entries(lines []ocr.Line, page int) []entry {
	out := make([]entry, len(lines))
	for i := range lines {
		out[i] = entryOf(&lines[i], page)
	}
	return out
}

func entryOf(l *ocr.Line, page int) entry {
	e := entry{text: []rune(strings.ToUpper(strings.Join(strings.Fields(l.Text()), " "))), clear: clearness(*l), y: float64(l.Box.Y) + float64(l.Box.H)/2, page: page}
	for _, r := range l.Readings {
		for i := len(r.Words) - 1; i >= 0; i-- {
			if a := digits(r.Words[i].Text); a != "" {
				e.amounts = append(e.amounts, a)
				break
			}
		}
	}
	return e
}

// digits are the digits of an amount, "" where the word is none.
func digits(word string) string {
	point := strings.LastIndexAny(word, ".,")
	if point < 1 || point+2 >= len(word) {
		return ""
	}
	var b strings.Builder
	for _, c := range word {
		if c >= '0' && c <= '9' {
			b.WriteRune(c)
		}
	}
	if b.Len() < 3 {
		return ""
	}
	return b.String()
}

// clearness is how confident the best reading of l is.
func clearness(l ocr.Line) float64 {
	if len(l.Readings) == 0 {
		return 0
	}
	sum, n := 0.0, 0
	for _, w := range l.Readings[0].Words {
		sum += w.Confidence * float64(len(w.Text))
		n += len(w.Text)
	}
	return sum / float64(max(n, 1))
}

// likeness says how much speaks for x and y being the same line: 1.5 for a line
// with an amount read the same twice, below 0 for two that differ, near 0 where
// one could not be read.
func likeness(x, y entry) float64 {
	clear := min(x.clear, y.clear)
	if len(x.text) == 0 || len(y.text) == 0 {
		return -0.1
	}
	long := max(len(x.text), len(y.text))
	same := 1 - float64(distance(x.text, y.text))/float64(long)
	v := max((same-0.6)/0.4, -1)
	if v > 0 {
		v *= min(float64(long)/6, 1)
	}
	if len(x.amounts) > 0 && len(y.amounts) > 0 {
		v += amountsAgree(x.amounts, y.amounts)
	}
	if v < 0 {
		v *= clear
	}
	return v
}

// amountsAgree is 0.5 where both were read with the same amount first, a little
// where it is among the other readings, less than 0 otherwise.
func amountsAgree(x, y []string) float64 {
	if x[0] == y[0] {
		return 0.5
	}
	for _, a := range x {
		for _, b := range y {
			if a == b {
				return 0.1
			}
		}
	}
	return -0.8
}

// distance is the number of characters to put in, take out or change to make y
// of x (Levenshtein 1966).
func distance(x, y []rune) int {
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i, c := range x {
		diagonal := row[0]
		row[0] = i + 1
		for j, d := range y {
			cost := 1
			if c == d {
				cost = 0
			}
			diagonal, row[j+1] = row[j+1], min(row[j+1]+1, row[j]+1, diagonal+cost)
		}
	}
	return row[len(y)]
}
