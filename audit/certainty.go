package audit

import (
	"slices"
	"strings"

	"tillproof/parse"
)

// certainty says how far a finding can be trusted: by the amounts it rests on,
// by whether what is not there can have been missed, and by how sure it is
// which line is what.
func (c *check) certainty(rule *Rule, g *gap) Certainty {
	got := c.ofLines(g)
	switch {
	case c.foreign, g.rival, g.misread, g.offer != nil && g.offer.Remembered:
		got = CertainUnsure
	case g.what == ofCredit:
		if rule.Kind == MissingCredit && (!c.bottomRead() || c.noTender() || c.onlySums() || c.footUnclear() || c.m.MayTell(g.offer)) || !c.firm || c.anyUnread() {
			got = CertainUnsure
		}
	case g.what == ofCard:
		if !c.text || g.text == bareDigits { // no sum proves the digits of a card number
			got = CertainLikely
		}
	case !c.firm, g.what == ofTax && (c.taxBelowTotal() || c.noTender()):
		got = CertainUnsure
	case g.what == ofDeduction && g.actual.Cmp(g.expected) < 0 && c.noTender():
		got = CertainUnsure // coupons may stand between a total and what it was paid with
	case g.gaveAway():
		got = CertainUnsure
	}
	if g.what != ofCard && g.item != nil && c.extends(g.rests, false) {
		got = CertainUnsure
	}
	if g.what == ofDeduction && g.offer != nil && c.m.Offers[g.offer.Index].Either || g.weak && g.what != ofCard {
		got = CertainUnsure
	}
	return less(got, rule.most)
}

// gaveAway reports whether goods cost nothing by what was taken for their price: no sale gives
// goods away, and it may be an offer's use.
func (g *gap) gaveAway() bool {
	return g.what == ofPrice && g.actual.IsZero() && !g.expected.IsZero()
}

// noTender reports whether a photo shows nothing of how it was paid: a bill that ends with its
// total, or a receipt of which what follows a total was not seen, tax and credits among it.
func (c *check) noTender() bool { return !c.text && len(c.r.Tenders) == 0 }

// onlySums reports whether all that was taken for a way of paying names none and has the words
// of a sum, as "YOU PAY" has: how it was paid may stand below, with the credits, and was not seen.
func (c *check) onlySums() bool {
	return !slices.ContainsFunc(c.r.Tenders, func(t parse.Tender) bool {
		return t.Kind != "other" || !slices.ContainsFunc(strings.Fields(strings.ToUpper(c.r.Line(t.Line).Text)), func(word string) bool {
			return slices.Contains(sumWords, word)
		})
	})
}

// sumWords are words of sums, and of no way of paying.
var sumWords = []string{"PAY", "DUE", "TOTAL", "TL", "TTL", "STL", "TAKE"}

// extends reports whether a sum of a quantity and its price comes out, or not, on one of lines. Where
// one holds, two figures that were misread would have to agree; where one does not, one of the three
// was misread, or changed, and no sum but this proves the first two.
func (c *check) extends(lines []int, holds bool) bool {
	return slices.ContainsFunc(c.r.Sums, func(s parse.Sum) bool {
		return s.Kind == "extension" && s.Holds == holds && slices.Contains(lines, s.To)
	})
}

// taxBelowTotal reports whether a tax stands below the last total that was
// read: then another total was not, and what is taxed is not known.
func (c *check) taxBelowTotal() bool {
	below := false
	for i := range c.r.Lines {
		switch l := &c.r.Lines[i]; {
		case l.Kind == parse.LineTotal && l.Amount != nil:
			below = false
		case l.Kind == parse.LineTax && l.Amount != nil:
			below = true
		}
	}
	return below
}

// ofLines is the certainty that the amounts allow which the gap rests on.
func (c *check) ofLines(g *gap) Certainty {
	got := CertainProved
	for _, n := range g.rests {
		if n < 1 || n > len(c.r.Lines) {
			continue
		}
		l := c.r.Line(n)
		switch {
		case l.Unread || l.Proof == parse.Doubtful:
			return CertainUnsure
		case l.Amount == nil && l.Points == 0 || l.Proof.Firm():
		case c.text && l.Proof == parse.Read:
		default:
			got = CertainLikely
		}
	}
	return got
}

// less is the less firm of two certainties.
func less(a, b Certainty) Certainty {
	for _, c := range [...]Certainty{CertainUnsure, CertainLikely} {
		if a == c || b == c {
			return c
		}
	}
	return CertainProved
}
