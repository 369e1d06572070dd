package audit

import (
	"slices"
	"strings"
	"unicode"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// A misread amount leaves the receipt's sums open, and nothing is firm. But two
// or three misread amounts may make up for each other, and then the sums close
// over wrong figures. Two things give that away on a photo: amounts that depart
// from the plan and cancel out, and what no till does.

// maxCancel bounds the sets of departures that are tried (2 to that power).
const maxCancel = 12

// fewLines is the length under which lines that repeat mean nothing.
const fewLines = 16

// twice reports whether the lower half of the lines is the upper half again, but
// for a few that were read otherwise.
func (c *check) twice() bool {
	n := len(c.r.Lines)
	for at := n/2 - 1; n >= fewLines && at <= n/2+1; at++ {
		same := 0
		for i := 0; i+at < n && i < at; i++ {
			if c.r.Lines[i].Text == c.r.Lines[i+at].Text {
				same++
			}
		}
		if same*4 >= n/2*3 {
			return true
		}
	}
	return false
}

// doubtMisread marks the gaps that misreadings making up for each other would
// explain as well.
func (c *check) doubtMisread() {
	if c.text {
		return
	}
	c.doubtNames()
	c.doubtUntaxed()
	if c.r.Kind != parse.KindReturn && slices.ContainsFunc(c.r.Lines, takesOffAsGoods) {
		for _, g := range c.gaps {
			g.misread = g.misread || g.what == ofDeduction || g.what == ofPlace || g.what == ofPrice || g.what == ofUnplanned
		}
	}
	var departs []*gap
	for _, g := range c.gaps {
		switch g.what {
		case ofPrice, ofFee, ofTax:
		case ofDeduction, ofPlace:
			if g.actual.IsZero() {
				continue // a line that is not there cannot have been misread
			}
		default:
			continue
		}
		if !g.printed().IsZero() {
			departs = append(departs, g)
		}
	}
	if c.cancel(departs) || c.impossible() {
		for _, g := range c.gaps {
			g.misread = g.misread || g.what != ofCard // the sums close by chance, and prove nothing
		}
	}
	for _, g := range c.gaps {
		if g.what != ofDeduction || g.offer != nil {
			continue
		}
		// It may be the sale or an offer of goods whose name was misread.
		g.misread = g.misread || slices.ContainsFunc(c.gaps, func(missing *gap) bool {
			_, ok := missing.lacks()
			return ok && missing.misread
		})
		for _, other := range c.gaps {
			if other.what == ofDeduction && other.offer != nil && other.actual.IsZero() && other.expected == g.actual {
				g.misread, other.misread = true, true // its own line, with words misread
			}
		}
	}
	for i, g := range departs {
		for _, other := range departs[:i] {
			prices := g.what == ofPrice && other.what == ofPrice
			if !g.effect.IsZero() && g.effect.Add(other.effect).IsZero() && !prices {
				// A deduction of one that was taken for the other's: "DEAL S0%". Two prices
				// that are off by as much have no such line between them.
				g.misread, other.misread = true, true
			}
		}
	}
}

// takesOffAsGoods reports whether a line was taken for goods or a fee and is less than nothing:
// on the receipt of a sale it may be any of the deductions that are not there.
func takesOffAsGoods(l parse.Line) bool {
	return (l.Kind == parse.LineItem || l.Kind == parse.LineFee) && l.Amount != nil && l.Amount.Sign() < 0
}

// doubtNames marks what is missing and what is unplanned at the same price, or
// both by weight: a name that was misread makes two of one item, unless it says by words
// read for sure that it is another variety. What has no legible name on a photo may be
// any of the missing, and not what it was taken for.
func (c *check) doubtNames() {
	for i := range c.m.Items {
		if !slices.ContainsFunc(c.m.Items[i].Entries, func(e match.Entry) bool { return e.Code == "" && c.isNameless(&e) }) {
			continue
		}
		for _, g := range c.gaps {
			_, missing := g.lacks()
			g.misread = g.misread || missing || g.item == c.tx.Items[i]
		}
	}
	for _, missing := range c.gaps {
		each, ok := missing.lacks()
		if !ok {
			continue
		}
		missing.misread = missing.misread || missing.what == ofItem && c.standsBare(missing.item)
		for _, g := range c.gaps {
			if g.what != ofUnplanned || g.entry == nil {
				continue
			}
			samePrice := g.actual == each || g.actual.OneDigitOff(each) && !match.IsUnlike(g.entry, missing.item) || missing.item.Weight != nil && g.entry.Weight != nil
			if samePrice && !match.IsOther(g.entry, missing.item) || c.isNameless(g.entry) || gluedName(g.entry.Name, missing.item.Name) {
				g.misread, missing.misread = true, true
			}
		}
	}
}

// bareName is how well the words of a line without an amount name goods for their amount to
// have been lost.
const bareName = 60

// standsBare reports whether goods that no amount was laid to stand by their name among the
// others: what they cost was not seen, and the sums close without it by chance.
func (c *check) standsBare(it *plan.Item) bool {
	for i := range c.r.Lines {
		l := &c.r.Lines[i]
		if l.Kind == parse.LineSubtotal || l.Kind == parse.LineTotal {
			return false
		}
		if l.Amount == nil && (l.Kind == parse.LineOther || l.Kind == parse.LineItem) && c.m.ItemOfLine(l.N) < 0 && match.Names(l.Text, it) >= bareName {
			return true
		}
	}
	return false
}

// doubtUntaxed marks what is unplanned and stands beneath all goods where tax is due and no line
// of it was read: it may be that line, with its word misread.
func (c *check) doubtUntaxed() {
	if c.r.Tax != nil || c.expected.Tax.IsZero() {
		return
	}
	for _, g := range c.gaps {
		if g.what == ofUnplanned && !slices.ContainsFunc(c.r.Lines[slices.Max(g.lines):], func(l parse.Line) bool { return c.m.ItemOfLine(l.N) >= 0 }) {
			g.misread = true
		}
	}
}

// gluedName reports whether the letters of a name that was read, one word for several perhaps,
// are letters of other in their order: "CARROLOOSE" for carrots loose.
func gluedName(read, other string) bool {
	letters := func(s string) []rune {
		return slices.DeleteFunc([]rune(strings.ToUpper(s)), func(r rune) bool { return !unicode.IsLetter(r) })
	}
	a, b := letters(read), letters(other)
	if len(a) < 6 || len(b) == 0 || a[0] != b[0] {
		return false
	}
	for _, r := range b {
		if len(a) > 0 && a[0] == r {
			a = a[1:]
		}
	}
	return len(a) == 0
}

// lacks is what one of the planned goods costs of which g says that they are not there, or
// not all of them.
func (g *gap) lacks() (each money.Amount, ok bool) {
	switch {
	case g.what == ofItem && g.got == 0:
		return g.expected, true
	case g.what == ofQuantity && g.item != nil && g.got < g.wanted:
		return money.FromCents(g.expected.Sub(g.actual).Cents() / int64(g.wanted-g.got)), true
	}
	return each, false
}

// printed is by how much the receipt's sum departs because of g's own lines.
func (g *gap) printed() money.Amount {
	if g.what == ofDeduction || g.what == ofPlace {
		return g.expected.Sub(g.actual)
	}
	return g.actual.Sub(g.expected)
}

// cancel reports whether some of the departures add up to nothing.
func (c *check) cancel(departs []*gap) bool {
	n := min(len(departs), maxCancel)
	if n < len(departs) {
		c.noteOnce("not all differences were tried for whether they cancel out, as misread amounts do: there are too many")
	}
	for set := 1; set < 1<<n; set++ {
		if set&(set-1) == 0 {
			continue // a single one
		}
		var sum money.Amount
		for i := range n {
			if set&(1<<i) != 0 {
				sum = sum.Add(departs[i].printed())
			}
		}
		if sum.IsZero() {
			return true
		}
	}
	return false
}

// impossible reports whether more came off an item than it cost, which a till
// does only where the store's policy pays out what a coupon is worth above it.
func (c *check) impossible() bool {
	if c.p.Store.Policy.Overage {
		return false
	}
	for i := range c.bill.Lines {
		if l := &c.bill.Lines[i]; l.Quantity > 0 && l.Net.Sign() < 0 {
			return true
		}
	}
	return false
}

// isNameless reports whether the name of e is too short to tell anything, or only says how
// much of what: "1.962 hg @ $1.85/hg", and "0.78 LOS X 3.19" for pounds.
func (c *check) isNameless(e *match.Entry) bool {
	letters, least := 0, 3
	if first, _, _ := strings.Cut(c.r.Line(e.Lines[0]).Text, " "); strings.Contains(strings.Trim(first, "."), ".") && strings.Trim(first, "0123456789.") == "" {
		least = 5
	}
	before, _, quantity := strings.Cut(e.Name, "@")
	if quantity {
		least = 5 // units and their word, misread
	}
	for _, r := range before {
		if unicode.IsLetter(r) {
			letters++
		}
	}
	return letters < least
}

// doubtSame doubts a deduction of which as much is missing as of another offer's on the
// same goods, where only one of the two changes what was paid: one loss was laid to both;
// and two of which one lacks what the other has too much.
func (c *check) doubtSame() {
	for _, a := range c.gaps {
		for _, b := range c.gaps {
			if a.what != ofDeduction || b.what != ofDeduction || a.offer == nil || b.offer == nil || a.offer == b.offer || !c.shareItem(a.offer, b.offer) {
				continue
			}
			switch {
			case a.difference() == b.difference():
				a.rival = a.rival || b.effect.IsZero() && !a.effect.IsZero()
			case a.difference() == b.difference().Neg():
				a.rival, b.rival = true, true // a line of one that was taken for the other's
			}
		}
	}
}
