package audit

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// A till may print the numbers of what it scanned: of a package from a scale, with its
// price in it, or the data of a coupon's symbol. What they say is compared with the plan
// and with what was charged, and told: partly their digits are known from memory, and
// layouts are national, so that no finding rests on them.

// leastSymbol is the fewest digits of the data of AI (8110); printedOld those of the old
// symbol, a UPC-A with a check digit.
const (
	leastSymbol = 21
	printedOld  = 12
)

// printedCodes tells where numbers that are printed say other than the plan or the lines.
func (c *check) printedCodes() {
	for i := range c.r.Lines {
		c.printedPrice(&c.r.Lines[i])
	}
	for k, o := range c.p.Offers {
		for n := range c.m.Offers[k].Cuts {
			cut := &c.m.Offers[k].Cuts[n]
			if code, line := c.printedSymbol(cut); code != "" {
				for _, remark := range o.PrintedRemarks(code, fmt.Sprintf("the symbol printed in line %d", line), cut.Off) {
					c.noteOnce(remark)
				}
			}
		}
	}
	for n := range c.m.Extra {
		cut := &c.m.Extra[n]
		if code, line := c.printedSymbol(cut); code != "" {
			if words := plan.SymbolWords(code); words != "" {
				c.noteOnce(fmt.Sprintf("line %d prints the symbol of a coupon that the plan does not have: %s", line, words))
			}
		}
	}
}

// noteOnce is note of a remark that several may have cause to make.
func (c *check) noteOnce(text string) {
	if !slices.Contains(c.result.Notes, text) {
		c.result.Notes = append(c.result.Notes, text)
	}
}

// printedPrice tells where the number of a package has another price in it than the line
// charges.
func (c *check) printedPrice(l *parse.Line) {
	if l.Kind != parse.LineItem || l.Code == "" || l.Amount == nil || l.Amount.Sign() <= 0 || l.Proof == parse.Doubtful || l.Quantity != nil && l.Unit == "" {
		return
	}
	code, err := plan.ParsePriceEmbedded(l.Code)
	if err != nil || code.Price == *l.Amount || code.Price.IsZero() {
		return
	}
	if slices.ContainsFunc(c.r.Lines, func(q parse.Line) bool { return q.Of == l.N && q.Kind == parse.LineQuantity && q.Unit == "" }) {
		return // of several units
	}
	c.noteOnce(fmt.Sprintf("the number %s in line %d has a price of %s in it, as those from a shop's own scale do, and the line charges %s: compare it with the label", l.Code, l.N, code.Price, *l.Amount))
}

// printedSymbol is the data of the coupon's symbol that stands in the lines of cut, or
// alone in the line above or beneath them, "" for none.
func (c *check) printedSymbol(cut *match.Cut) (code string, line int) {
	for _, n := range cut.Lines {
		if code := c.symbolIn(c.r.Line(n)); code != "" {
			return code, n
		}
	}
	for _, n := range []int{cut.Lines[len(cut.Lines)-1] + 1, cut.Lines[0] - 1} {
		if n < 1 || n > len(c.r.Lines) {
			continue
		}
		if l := c.r.Line(n); l.Amount == nil && (l.Kind == parse.LineOther || l.Kind == parse.LineMessage) {
			if code := c.symbolIn(l); code != "" {
				return code, n
			}
		}
	}
	return "", 0
}

// symbolIn is the data of a coupon's symbol in a line's text. On a photo only what has a
// check digit is believed.
func (c *check) symbolIn(l *parse.Line) string {
	for word := range strings.FieldsSeq(partAI.Replace(joinAI.Replace(l.Text))) {
		if strings.Trim(word, "0123456789") != "" {
			continue
		}
		if old := len(word) == printedOld && word[0] == '5'; !old && (len(word) < leastSymbol || l.Photo > 0) {
			continue
		}
		if plan.IsCouponSymbol(word) {
			return word
		}
	}
	return ""
}

var (
	// joinAI joins an application identifier with the data that a space parts from it.
	joinAI = strings.NewReplacer("8110 ", "8110", "8112 ", "8112", "(8110) ", "8110", "(8112) ", "8112")
	// partAI parts it from what stands before it.
	partAI = strings.NewReplacer("(8110)", " 8110", "(8112)", " 8112", "#", " ", ":", " ")
)
