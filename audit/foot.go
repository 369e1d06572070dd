package audit

import (
	"regexp"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
)

// What comes back is told below the sums, where no sum proves anything. On a photo a credit
// that was not found there is missing only if what stands there was read.

// wellRead is the confidence from which a line was read well, legible that from which it was
// so far that an amount in it would look like one.
const wellRead, legible = 0.75, 0.55

// formTold is what an amount or points may look like in a line that was not read well: any
// digit, a currency sign, or letters that digits are misread as, around a point.
var formTold = regexp.MustCompile(`[\d$]|[OoSlIBZ][.,][OoSlIBZ]{2}`)

// mayTellAmount reports whether a line may tell an amount, however it was misread.
func mayTellAmount(text string) bool { return formTold.MatchString(text) }

// footUnclear reports whether a credit may have been told on a photo in words that were
// misread: an amount stands outside all sums that nothing accounts for, in a line that was
// read badly, or a third of the lines below what was paid was and may tell an amount.
func (c *check) footUnclear() bool {
	if c.text {
		return false
	}
	first, paid := len(c.r.Lines), 0
	for i := range c.r.Lines {
		switch c.r.Lines[i].Kind {
		case parse.LineItem, parse.LineQuantity:
			first = min(first, i)
		case parse.LineTender, parse.LineChange:
			paid = i + 1
		}
	}
	lines, bad := 0, 0
	for i := first; i < len(c.r.Lines); i++ {
		l := &c.r.Lines[i]
		if l.Kind != parse.LineOther && l.Kind != parse.LineMessage && l.Kind != parse.LineCredit {
			continue
		}
		if c.unaccounted(l) {
			return true
		}
		if i >= paid {
			lines++
			if l.Confidence < legible || l.Confidence < wellRead && mayTellAmount(l.Text) {
				bad++
			}
		}
	}
	return bad > 0 && 3*bad >= lines
}

// unaccounted reports whether a line outside all sums has an amount that is doubtful and is
// neither one of the sums' nor what all that came off adds up to, with what was taken back or
// without, or all in the same words, by itself or with the lines around it, nor any offer's, and the
// line does not say what could be had.
func (c *check) unaccounted(l *parse.Line) bool {
	if l.Conditional || l.Amount == nil || l.Amount.IsZero() || l.Proof != parse.Doubtful || c.isReward(l.N) {
		return false
	}
	if slices.ContainsFunc(c.r.Lines, func(o parse.Line) bool {
		return o.N != l.N && o.Amount != nil && o.Proof.Firm() && o.Amount.Abs() == l.Amount.Abs()
	}) {
		return false // told once more
	}
	off, back, kinds := c.cameOff(l)
	for words, sum := range kinds {
		if sum == l.Amount.Abs() && sharesWord(words, l.Text) {
			return false
		}
	}
	for _, told := range [2]money.Amount{l.Amount.Abs(), c.toldAround(l)} {
		if told == off || told == off.Sub(back) {
			return false
		}
	}
	return true
}

// cameOff is what all deductions but l come to, what of it was taken back, and what they come to by
// the words of their lines.
func (c *check) cameOff(l *parse.Line) (off, back money.Amount, kinds map[string]money.Amount) {
	kinds = map[string]money.Amount{}
	for i := range c.r.Lines {
		o := &c.r.Lines[i]
		if o.Amount == nil || o.N == l.N {
			continue
		}
		switch o.Kind {
		case parse.LineDeduction:
			off = off.Add(o.Amount.Abs())
			kind := formNoLetters.ReplaceAllString(o.Text, " ")
			kinds[kind] = kinds[kind].Add(o.Amount.Abs())
		case parse.LineVoid:
			if o.Amount.Sign() > 0 { // a deduction's, not goods'
				back = back.Add(*o.Amount)
			}
		}
	}
	return off, back, kinds
}

// toldAround is what l and the lines right above and below it come to that tell amounts in words of
// what was saved: savings by their kinds.
func (c *check) toldAround(l *parse.Line) (sum money.Amount) {
	tells := func(n int) bool {
		return n >= 1 && n <= len(c.r.Lines) && c.r.Line(n).Amount != nil && (c.r.Line(n).Kind == parse.LineMessage || c.r.Line(n).Kind == parse.LineOther) && formSaving.MatchString(c.r.Line(n).Text)
	}
	if !tells(l.N) {
		return l.Amount.Abs()
	}
	from := l.N
	for tells(from - 1) {
		from--
	}
	for n := from; tells(n); n++ {
		sum = sum.Add(c.r.Line(n).Amount.Abs())
	}
	return sum
}

// formNoLetters is what of a line is no letter, formSaving a word of what was saved.
var (
	formNoLetters = regexp.MustCompile(`[^A-Za-z]+`)
	formSaving    = regexp.MustCompile(`(?i)sav|disc|off|coup|cpn|deal|special`)
)

// sharesWord reports whether a word of four letters or more stands in both texts.
func sharesWord(a, b string) bool {
	known := strings.Fields(strings.ToUpper(a))
	for word := range strings.FieldsSeq(strings.ToUpper(formNoLetters.ReplaceAllString(b, " "))) {
		if len(word) >= 4 && slices.Contains(known, word) {
			return true
		}
	}
	return false
}

// isReward reports whether a line is taken for what an offer gave.
func (c *check) isReward(line int) bool {
	for k := range c.m.Offers {
		for i := range c.m.Offers[k].Rewards {
			if c.m.Offers[k].Rewards[i].Line == line {
				return true
			}
		}
	}
	return false
}
