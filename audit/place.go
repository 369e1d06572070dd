package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// What a coupon came off shows in where its line stands, in the goods that its
// words name, and in its tax flag: a till prints beside a deduction the flag of the
// item it lowers.

// flag is the tax or department mark beside the amount of line n: its letters, a
// star that ends the line, or a word beside the amount that is the flag of goods.
func (c *check) flag(n int) string {
	if n < 1 || n > len(c.r.Lines) {
		return ""
	}
	l := c.r.Line(n)
	if l.Flags != "" || l.Amount == nil {
		return l.Flags
	}
	words := strings.Fields(l.Text)
	if len(words) < 2 {
		return ""
	}
	for _, word := range words[len(words)-2:] {
		if word == "*" || c.flagOfGoods(word) {
			return word
		}
	}
	return ""
}

// flagOfGoods reports whether word is the flag of planned goods.
func (c *check) flagOfGoods(word string) bool {
	for i := range c.m.Items {
		for k := range c.m.Items[i].Entries {
			if c.m.Items[i].Entries[k].Flags == word {
				return true
			}
		}
	}
	return false
}

// entryFlag is the flag of goods, on whichever of their lines it stands.
func (c *check) entryFlag(e *match.Entry) string {
	if e.Flags != "" {
		return e.Flags
	}
	for _, n := range e.Lines {
		if f := c.flag(n); f != "" {
			return f
		}
	}
	return ""
}

// flagOff reports whether the flag of a deduction speaks against its having come
// off item i alone. No flag says something only where other deductions have one,
// and where none can have been overlooked.
func (c *check) flagOff(cut *match.Cut, i int) bool {
	own := c.flag(cut.Lines[0])
	if own == "" && !(c.text && c.cutsFlagged()) {
		return false
	}
	against := false
	for k := range c.m.Items[i].Entries {
		f := c.entryFlag(&c.m.Items[i].Entries[k])
		if f == own {
			return false
		}
		against = against || c.text || f != ""
	}
	return against
}

// cutsFlagged reports whether any deduction has a flag.
func (c *check) cutsFlagged() bool {
	has := func(cuts []match.Cut) bool {
		return slices.ContainsFunc(cuts, func(cut match.Cut) bool { return c.flag(cut.Lines[0]) != "" })
	}
	return slices.ContainsFunc(c.m.Items, func(m match.ItemMatch) bool { return has(m.Savings) }) ||
		slices.ContainsFunc(c.m.Offers, func(m match.OfferMatch) bool { return has(m.Cuts) }) || has(c.m.Extra)
}

// flagTells reports whether the flag of o's line says that it came off item i,
// beneath which it stands, and not off o's own.
func (c *check) flagTells(o *plan.Offer, cut *match.Cut, i int) bool {
	own := c.onlyItem(o)
	return own >= 0 && c.flagOff(cut, own) && !c.flagOff(cut, i)
}

// onlyItem is the one item of o that was rung, -1 where there are none or more:
// what came off several has no flag of its own.
func (c *check) onlyItem(o *plan.Offer) int {
	only := -1
	for i, it := range c.tx.Items {
		if !o.Covers(it) || c.bill.Lines[i].Quantity == 0 {
			continue
		}
		if only >= 0 {
			return -1
		}
		only = i
	}
	return only
}

// taxedElsewhere reports whether the flag of a deduction says that what it came off
// is taxed otherwise than the item it was laid to.
func (c *check) taxedElsewhere() bool {
	for k, o := range c.p.Offers {
		if o.Deduct == nil || o.Spend != nil || c.strayTo(o) >= 0 || c.isPlaced(o) {
			continue
		}
		own := c.onlyItem(o)
		if own >= 0 && slices.ContainsFunc(c.m.Offers[k].Cuts, func(cut match.Cut) bool { return c.flagOff(&cut, own) }) {
			return true
		}
	}
	return false
}

// lessLeft reports whether o should take less than want, or more, if a coupon came
// off the item where its line stands, or which its words name: an item of o that
// the coupon is not for.
func (c *check) lessLeft(o *plan.Offer, want money.Amount) bool {
	for k, other := range c.p.Offers {
		if other == o || other.Deduct == nil || other.Spend != nil {
			continue
		}
		m := &c.m.Offers[k]
		got, known := total(m.Cuts)
		for n := range m.Cuts {
			for i, it := range c.tx.Items {
				if !known || !o.Covers(it) || other.Covers(it) || !c.pointsTo(other, &m.Cuts[n], i) {
					continue
				}
				rung := copyRung(&c.rung)
				delete(rung.Offers, o.Index)
				rung.Offers[k] = plan.RungOffer{Items: map[int]money.Amount{i: got}}
				if taken, _ := c.p.PriceAs(c.tx, &rung).Taken(o.ID); taken != want {
					return true
				}
			}
		}
	}
	return false
}

// pointsTo reports whether o's line stands beneath item i, or has its flag and not
// that of o's own, or names it and none of o's own.
func (c *check) pointsTo(o *plan.Offer, cut *match.Cut, i int) bool {
	if !cut.Last && c.m.ItemOfLine(cut.Of) == i || c.flagTells(o, cut, i) {
		return true
	}
	if cut.Like(i) == 0 {
		return false
	}
	for k, it := range c.tx.Items {
		if o.Covers(it) && cut.Like(k) > 0 {
			return false
		}
	}
	return true
}

// claimNamed takes a deduction that is no offer's, since its words name goods that
// none is for, as the offer's of which nothing is there and that takes off just as
// much: it came off those goods.
func (c *check) claimNamed() {
	for _, o := range c.inTillOrder() {
		m := &c.m.Offers[o.Index]
		if o.Spend != nil || len(m.Cuts)+len(m.Voided) > 0 {
			continue
		}
		want, _ := c.bill.Taken(o.ID)
		at, onto := c.named(o, want)
		if at < 0 || c.claimedElse(o, &c.m.Extra[at], want) {
			continue
		}
		cut := c.m.Extra[at]
		cut.Names = onto
		m.Cuts, m.Weak, m.By, m.Score = []match.Cut{cut}, false, match.ByPrice, 50
		c.m.Extra = slices.Delete(slices.Clone(c.m.Extra), at, at+1)
	}
}

// named is the one deduction that is no offer's and could be o's but for the item
// that it names, and that item; -1 where there is none, or more than one.
func (c *check) named(o *plan.Offer, want money.Amount) (at, onto int) {
	at, onto = -1, -1
	for k := range c.m.Extra {
		cut := &c.m.Extra[k]
		item := c.namedItem(o, cut)
		if want.IsZero() || cut.Voided || !cut.Known || item < 0 || !cut.Suits(o) || cut.Off != want && c.givesOn(o, c.tx.Items[item]) != cut.Off {
			continue
		}
		if at >= 0 {
			return -1, -1
		}
		at, onto = k, item
	}
	return at, onto
}

// namedItem is the item that a line's words name best, where that is none of o's;
// -1 where they name none, two alike, or one of o's as well.
func (c *check) namedItem(o *plan.Offer, cut *match.Cut) int {
	best, second, item := 0, 0, -1
	for i, it := range c.tx.Items {
		like := cut.Like(i)
		switch {
		case like == 0 || c.bill.Lines[i].Quantity == 0:
		case o.Covers(it):
			return -1
		case like > best:
			best, second, item = like, best, i
		default:
			second = max(second, like)
		}
	}
	if best == second || item >= 0 && c.flagOff(cut, item) {
		return -1
	}
	return item
}

// claimedElse reports whether another offer without a line could have taken cut as
// well.
func (c *check) claimedElse(o *plan.Offer, cut *match.Cut, want money.Amount) bool {
	return slices.ContainsFunc(c.p.Offers, func(other *plan.Offer) bool {
		if other == o || other.Deduct == nil || len(c.m.Offers[other.Index].Cuts) > 0 || !cut.Suits(other) {
			return false
		}
		due, _ := c.bill.Taken(other.ID)
		return due == want
	})
}
