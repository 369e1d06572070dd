package match

import (
	"slices"

	"tillproof/parse"
)

// What the words of a deduction say beside the goods: the till's own words, with which its
// lines begin, and the line below it, which may say what it is for.

// tillWords finds the words with which deductions beneath different goods begin alike:
// the till's own, and no names of goods.
func (c *content) tillWords() {
	for i := range c.cuts {
		for k := range c.cuts[:i] {
			a, b := &c.cuts[i], &c.cuts[k]
			if a.Of == 0 || b.Of == 0 || a.Of == b.Of || !a.name.clean {
				continue
			}
			n := 0
			for n < len(a.name.words) && n < len(b.name.words) && a.name.words[n].text == b.name.words[n].text {
				n++
			}
			a.lead, b.lead = max(a.lead, n), max(b.lead, n)
		}
	}
}

// noteUnder is the line below line n of a text where it is taken for nothing, has no
// amount and is no heading, empty where it is not.
func noteUnder(r *parse.Receipt, n int) (name, string) {
	if n >= len(r.Lines) {
		return name{}, ""
	}
	if l := r.Line(n + 1); (l.Kind == parse.LineOther || l.Kind == parse.LineMessage) && l.Amount == nil && l.Photo == 0 && hasLetters(l.Text) {
		under := newName(l.Text)
		if n+2 <= len(r.Lines) {
			// What names the goods of the next deduction belongs to that.
			if next := r.Line(n + 2); next.Kind == parse.LineDeduction {
				if goods := newName(next.Name); likeness(&under, &goods) >= hint {
					return name{}, ""
				}
			}
		}
		return under, l.Text
	}
	return name{}, ""
}

// namesGoods reports whether the words of the cut's own line name goods, planned or not.
func (c *Cut) namesGoods(items []wanted, all *content) bool {
	return c.words.rest.size >= 2 && (slices.ContainsFunc(items, func(w wanted) bool { return w.like(&c.words.rest) >= hint }) ||
		slices.ContainsFunc(all.entries, func(e Entry) bool { return likeness(&c.words.rest, &e.name) >= hint }))
}

// underNames reports whether the line below the cut names a planned item: "for OATS".
func (c *Cut) underNames(items []wanted) bool {
	if len(c.under.words) > 1 && slices.Contains([]string{"FOR", "ON", "OF", "ITEM", "OFF"}, c.under.words[0].text) {
		c.under.size -= len(c.under.words[0].text)
		c.under.words = c.under.words[1:]
	}
	return slices.ContainsFunc(items, func(w wanted) bool { return w.like(&c.under) >= sure })
}
