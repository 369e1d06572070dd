package audit

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// How alike in name, and how near in price, an unplanned item must be to pass
// for another variety of a missing one.
const (
	varietyName  = 40
	varietyPrice = 60
)

// findVariety looks for the unplanned item that stands in for the missing item
// of g, or for the missing units of it: another flavour or size, by its name or the
// maker's part of its code, and its price.
func (c *check) findVariety(g *gap, it *plan.Item) {
	best := varietyName
	for i := range c.m.Unplanned {
		e := &c.m.Unplanned[i]
		if e.Fee || !e.Known || c.standsIn(e) || g.what == ofQuantity && max(e.Units, 1) > it.Quantity-len(c.m.Items[it.Index].Entries) {
			continue
		}
		like, price := match.Alike(e, it)
		if price >= varietyPrice && like >= best {
			best, g.standIn = like, e
		}
	}
}

// standsIn reports whether e is taken to stand in for an item already.
func (c *check) standsIn(e *match.Entry) bool {
	for _, g := range c.gaps {
		if g.standIn == e {
			return true
		}
	}
	return false
}

// doubtVarieties marks goods that are missing, and what seems to stand in for them, where
// that has no word that is not theirs: it may be the goods themselves. So it marks their
// price, of which that would be a part, and what was taken off them.
func (c *check) doubtVarieties() {
	for _, g := range c.gaps {
		if g.standIn == nil || !wordsOf(g.standIn.Name, g.item) {
			continue
		}
		if g.standIn.Amount.Cmp(g.expected) > 0 {
			c.undecided("line %d may be %s itself, at another price than planned: look at its name", g.standIn.Lines[0], g.item.Name)
		}
		for _, other := range c.gaps {
			if other == g || other.what == ofUnplanned && other.standsFor == g.item || other.what == ofTax ||
				other.what == ofPrice && other.item == g.item || other.what == ofDeduction && (other.offer == nil || other.offer.Covers(g.item)) {
				other.rival = true
			}
		}
	}
}

// doubtTornGoods marks goods that were not planned where a line of the very same name was laid
// to planned ones: one of the two is not what it was taken for, and so may the planned goods
// be that they seem to stand in for.
func (c *check) doubtTornGoods() {
	for _, g := range c.gaps {
		if g.what != ofUnplanned || !slices.ContainsFunc(c.m.Items, func(m match.ItemMatch) bool {
			return slices.ContainsFunc(m.Entries, func(e match.Entry) bool {
				return e.Name != "" && unnumbered(e.Name) == unnumbered(g.entry.Name) && e.Code == g.entry.Code
			})
		}) {
			continue
		}
		g.rival = true
		for _, missing := range c.gaps {
			missing.rival = missing.rival || missing.standIn == g.entry
		}
	}
}

// wordsOf reports whether all words of a name begin words of it, as the plan has them, but
// for numbers, its unit and single letters: those may be marks of a sale or a tax.
func wordsOf(name string, it *plan.Item) bool {
	own := strings.Fields(strings.ToUpper(strings.Join(append([]string{it.Name, it.Unit}, it.PrintsAs...), " ")))
	for _, word := range strings.Fields(strings.ToUpper(name)) {
		if len(word) > 1 && strings.Trim(word, "0123456789.") != "" && !slices.ContainsFunc(own, func(o string) bool { return strings.HasPrefix(o, word) || shortens(word, o) }) {
			return false
		}
	}
	return true
}

// offersLost names the offers of which less is due than planned since it was not
// rung as planned: they need not apply to another variety, and the till is right.
func (c *check) offersLost(it *plan.Item) string {
	var lost []string
	for _, o := range c.p.Offers {
		if o.Covers(it) && c.due(c.bill, o).Cmp(c.due(c.expected, o)) < 0 && !c.isGap(o) {
			lost = append(lost, "“"+o.Title+"”")
		}
	}
	if lost == nil {
		return ""
	}
	return fmt.Sprintf("; what is planned of %s need not apply to it", strings.Join(lost, ", "))
}

// due is what o comes to in a bill: deduction, credit or rebate.
func (c *check) due(b *plan.TransactionBill, o *plan.Offer) money.Amount {
	off, _ := b.Taken(o.ID)
	credit, _ := earned(b, o)
	rebate, _, _ := rebateOf(b, o)
	return off.Add(credit).Add(rebate)
}

// isGap reports whether o has a difference of its own.
func (c *check) isGap(o *plan.Offer) bool {
	for _, g := range c.gaps {
		if g.offer == o && (g.what == ofDeduction || g.what == ofPlace || g.what == ofCredit) {
			return true
		}
	}
	return false
}

// strangeWord reports whether the name of goods has a word that is none of theirs between
// two that are: TOL CLA PLAI YOGU may be another variety, at its own price.
//
// Goods that a photo shows the planned code of are those goods, whatever was read beside it.
func (c *check) strangeWord(m *match.ItemMatch, it *plan.Item) bool {
	if !c.text && m.By == match.ByCode {
		return false
	}
	return slices.ContainsFunc(m.Entries, func(e match.Entry) bool {
		words := strings.Fields(e.Name)
		for i := 1; i+1 < len(words); i++ {
			letters := len(words[i]) > 2 && strings.Trim(words[i], "0123456789.&@$/") == words[i]
			if letters && !c.own(words[i], it) && named(words[i-1], it) && named(words[i+1], it) {
				return true
			}
		}
		return false
	})
}

// extraWord reports whether goods by weight have all their words in a name of a text that has a long
// one more: GRAPES GREEN SEEDLESS may be another variety, by the same price as well.
func (c *check) extraWord(m *match.ItemMatch, it *plan.Item) bool {
	if !c.text || it.Weight == nil || m.By == match.ByCode {
		return false
	}
	return slices.ContainsFunc(m.Entries, func(e match.Entry) bool {
		words := strings.FieldsFunc(e.Name, func(r rune) bool { return r == ' ' || r == ',' || r == '.' })
		more := slices.DeleteFunc(words, func(word string) bool {
			return len(word) < 5 || strings.ContainsAny(word, "0123456789") || wordsOf(word, it)
		})
		return len(more) > 0 && match.Names(e.Name, it) >= bareName
	})
}

// own reports whether a word is one of it; on a photo also with letters that look alike:
// INDRY for laundry.
func (c *check) own(word string, it *plan.Item) bool {
	if wordsOf(word, it) {
		return true
	}
	upper := strings.ToUpper(word)
	return !c.text && (misreadWord(upper, it) || strings.Contains(upper, "I") && wordsOf(strings.ReplaceAll(upper, "I", "L"), it) ||
		strings.Contains(upper, "L") && wordsOf(strings.ReplaceAll(upper, "L", "I"), it))
}

// misreadWord reports whether a word is, or begins, one of it but for a letter behind the first: any
// of six letters or more, of a shorter one a letter that prints like another.
func misreadWord(word string, it *plan.Item) bool {
	return slices.ContainsFunc(strings.Fields(strings.ToUpper(it.Name)), func(w string) bool {
		if match.Begins(word, w) {
			return true
		}
		if len(w) != len(word) || len(w) < 6 || w[0] != word[0] {
			return false
		}
		off := 0
		for i := range len(w) {
			if w[i] != word[i] {
				off++
			}
		}
		return off == 1
	})
}

// named reports whether a word of letters is one of it.
func named(word string, it *plan.Item) bool {
	return len(word) > 1 && strings.Trim(word, "0123456789.") != "" && wordsOf(word, it)
}
