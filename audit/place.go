package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
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
	if c.lineFlags == nil {
		c.lineFlags = make([]string, len(c.r.Lines)+1)
		for i := range c.r.Lines {
			l := &c.r.Lines[i]
			c.lineFlags[i+1] = c.findFlag(l)
			c.anyCutFlag = c.anyCutFlag || l.Kind == parse.LineDeduction && c.lineFlags[i+1] != ""
		}
	}
	return c.lineFlags[n]
}

func (c *check) findFlag(l *parse.Line) string {
	if l.Flags != "" || l.Amount == nil {
		return l.Flags
	}
	words := strings.Fields(l.Text)
	if len(words) < 2 {
		return ""
	}
	for _, word := range words[len(words)-2:] {
		if word == "*" || c.flagOfGoods(word) {
			if flag, cut := c.cutName(words, word); cut {
				return flag
			}
			return word
		}
	}
	return ""
}

// cutName reports whether a single letter beside the amount may be the last of a name,
// where the line cuts the maker's off behind the goods: WATER T, of Tarnwick water; or where it cuts off the goods: TARNWICK W. It says nothing of any flag
// then, which is that of the goods.
func (c *check) cutName(words []string, letter string) (flag string, cut bool) {
	at := slices.Index(words, letter)
	if len(letter) != 1 || at < 1 || at != len(words)-2 || len(words[at-1]) < 3 {
		return "", false
	}
	for i, it := range c.tx.Items {
		maker, rest, _ := strings.Cut(strings.ToUpper(it.Name), " ")
		before := slices.ContainsFunc(strings.Fields(rest), func(w string) bool { return strings.HasPrefix(w, strings.ToUpper(words[at-1])) })
		if len(c.m.Items[i].Entries) > 0 {
			flag = c.m.Items[i].Entries[0].Flags
		}
		last := before && strings.HasPrefix(maker, letter) || strings.HasPrefix(maker, strings.ToUpper(words[at-1])) && strings.HasPrefix(rest, letter)
		if last && flag != letter {
			return flag, true
		}
		flag = ""
	}
	return "", false
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
	c.flag(1) // which looks at all lines, once
	return c.anyCutFlag
}

// flagTells reports whether the flag of o's line says that it came off item i,
// beneath which it stands, and not off o's own.
func (c *check) flagTells(o *plan.Offer, cut *match.Cut, i int) bool {
	own := c.onlyItem(o)
	return own >= 0 && c.flagOff(cut, own) && !c.flagOff(cut, i)
}

// flaggedItem is the one item whose flag a line has that cannot have come off o's
// own, -1 where there is none, or more than one.
func (c *check) flaggedItem(o *plan.Offer, cut *match.Cut) int {
	own := c.onlyItem(o)
	if !c.text || own < 0 || c.flag(cut.Lines[0]) == "" || !c.flagOff(cut, own) {
		return -1
	}
	found := -1
	for i := range c.tx.Items {
		if len(c.m.Items[i].Entries) == 0 || c.flagOff(cut, i) {
			continue
		}
		if found >= 0 {
			return -1
		}
		found = i
	}
	return found
}

// onlyItem is the one item of o that was rung, -1 where there are none or more:
// what came off several has no flag of its own.
func (c *check) onlyItem(o *plan.Offer) int {
	only := -1
	for _, i := range c.covered[o.Index] {
		if c.bill.Lines[i].Quantity == 0 {
			continue
		}
		if only >= 0 {
			return -1
		}
		only = i
	}
	return only
}

// lessLeft reports whether o should take or give less than want, or more, if a coupon
// came off the item where its line stands, or which its words name: an item of o that
// the coupon is not for.
func (c *check) lessLeft(o *plan.Offer, want money.Amount) bool {
	for k, other := range c.p.Offers {
		if other == o || other.Deduct == nil || other.Spend != nil {
			continue
		}
		m := &c.m.Offers[k]
		got, known := total(m.Cuts)
		for n := range m.Cuts {
			for _, i := range c.covered[o.Index] {
				if !known || other.Covers(c.tx.Items[i]) || !c.pointsTo(other, &m.Cuts[n], i) {
					continue
				}
				rung := copyRung(&c.rung)
				delete(rung.Offers, o.Index)
				rung.Offers[k] = plan.RungOffer{Items: map[int]money.Amount{i: got}}
				if c.due(c.p.PriceAs(c.tx, &rung), o) != want {
					return true
				}
			}
		}
	}
	return false
}

// nothingLeft reports whether the lines of other offers for o's one item come to its price,
// one taking more than it should without o: then it does not show whether o was scanned.
func (c *check) nothingLeft(o *plan.Offer) bool {
	i := c.onlyItem(o)
	if i < 0 {
		return false
	}
	var taken money.Amount
	over := false
	for k, other := range c.p.Offers {
		if other == o || c.onlyItem(other) != i || other.Deduct == nil || other.Spend != nil {
			continue
		}
		got, _ := total(c.m.Offers[k].Cuts)
		rung := copyRung(&c.rung)
		rung.Offers[o.Index] = plan.RungOffer{}
		delete(rung.Offers, k)
		due, _ := c.p.PriceAs(c.tx, &rung).Taken(other.ID)
		taken, over = taken.Add(got), over || got.Cmp(due) > 0
	}
	return over && taken.Cmp(c.bill.Lines[i].Price) >= 0
}

// pointsTo reports whether o's line stands beneath item i, or has its flag and not
// that of o's own, or names it and none of o's own.
func (c *check) pointsTo(o *plan.Offer, cut *match.Cut, i int) bool {
	if at := c.cutItem(o, cut); at >= 0 && !o.Covers(c.tx.Items[at]) {
		return at == i
	}
	if c.flagOff(cut, i) {
		return false
	}
	if !cut.Last && c.m.ItemOfLine(cut.Of) == i || c.nearItem(cut) == i && c.mayMean(cut, i, o) && c.couponsBeside(o, cut) || c.flagTells(o, cut, i) {
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

// namesNothing reports whether the words of a line are like no planned goods, nor has it
// the number of any.
func (c *check) namesNothing(cut *match.Cut) bool {
	return !cut.ByCode && (cut.Silent() || !slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool { return cut.Like(it.Index) > 0 }))
}

// namesOwn reports whether a line of o names goods that o is for.
func (c *check) namesOwn(o *plan.Offer) bool {
	return slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(cut match.Cut) bool {
		return slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool { return o.Covers(it) && cut.Like(it.Index) >= wellNamed })
	})
}

// couponsBeside reports whether the receipt's other coupons stand beneath their own
// goods, goods following, so that o's line under the last goods may be theirs too;
// where there are no others, a line without words may, or one alone whose title is a price:
// that of an amount or a share says by it what it came off.
func (c *check) couponsBeside(o *plan.Offer, cut *match.Cut) bool {
	beside, others := false, false
	for k, other := range c.p.Offers {
		if other == o || other.Deduct == nil || other.Spend != nil || other.CarriedAs == "shelf" {
			continue
		}
		for _, theirs := range c.m.Offers[k].Cuts {
			if c.sumsAbove(theirs.Lines[0]) != c.sumsAbove(cut.Lines[0]) || c.headed(&theirs) && !c.headed(cut) {
				continue // gathered elsewhere: that says nothing of this one
			}
			others = true
			beside = beside || !theirs.Last && c.beneathOwn(other, &theirs)
		}
	}
	above := cut.Lines[0] - 1
	for above > 0 && (c.r.Line(above).Kind == parse.LineMessage || c.r.Line(above).Kind == parse.LineOther) {
		above--
	}
	// Beneath another deduction such a line says no more.
	return beside || !others && (c.namesNothing(cut) || o.Deduct.To != nil && c.titled(cut, o) && c.aloneBeneath(o, cut)) && c.m.ItemOfLine(above) >= 0
}

// aloneBeneath reports whether no other offer's line stands beneath the goods above o's:
// several are gathered there, whatever they are for.
func (c *check) aloneBeneath(o *plan.Offer, cut *match.Cut) bool {
	at := c.nearItem(cut)
	return !slices.ContainsFunc(c.p.Offers, func(other *plan.Offer) bool {
		return other != o && slices.ContainsFunc(c.m.Offers[other.Index].Cuts, func(theirs match.Cut) bool { return c.nearItem(&theirs) == at })
	})
}

// sumsAbove counts the subtotals and totals above a line.
func (c *check) sumsAbove(line int) (n int) {
	for i := range c.r.Lines[:line-1] {
		if k := c.r.Lines[i].Kind; k == parse.LineSubtotal || k == parse.LineTotal {
			n++
		}
	}
	return n
}

// wellNamed is how well words must name goods to say where a coupon came off: words
// of a coupon itself, such as "one of them free", are a little like many names.
const wellNamed = 45

// fullyNamed is how well words must name goods to say so although their line stands right
// beneath goods of its own: the last goods stand above what is gathered at the end by chance.
const fullyNamed = 60

// onlyMaker reports whether a line has the maker's name of it, in full, and no other
// goods of the receipt or the plan begin with it.
func (c *check) onlyMaker(cut *match.Cut, it *plan.Item) bool {
	maker, _, _ := strings.Cut(it.Name, " ")
	maker = strings.ToUpper(maker)
	if len(maker) < 6 || !slices.Contains(strings.Fields(strings.ToUpper(cut.Name)), maker) {
		return false
	}
	return !slices.ContainsFunc(c.tx.Items, func(other *plan.Item) bool {
		return other != it && strings.HasPrefix(strings.ToUpper(other.Name), maker[:4])
	}) && !slices.ContainsFunc(c.m.Unplanned, func(e match.Entry) bool { return strings.HasPrefix(strings.ToUpper(e.Name), maker[:4]) })
}

// namedItem is the item that a line's words name best, where that is none of o's;
// -1 where they name none well, two alike, or one of o's as well.
func (c *check) namedItem(o *plan.Offer, cut *match.Cut) int {
	best, second, item := 0, 0, -1
	for i, it := range c.tx.Items {
		like := cut.Like(i)
		if like > 0 && c.onlyMaker(cut, it) {
			like = max(like, wellNamed)
		}
		switch {
		case like == 0 || c.bill.Lines[i].Quantity == 0:
		case o.Covers(it):
			return -1
		case c.text && c.flag(cut.Lines[0]) != "" && c.flagOff(cut, i): // another of that brand
		case like > best:
			best, second, item = like, best, i
		default:
			second = max(second, like)
		}
	}
	if best < wellNamed || best == second || item >= 0 && (c.flagOff(cut, item) || c.tillsWords(o, cut, item)) {
		return -1
	}
	return item
}

// tillsWords reports whether o's line stands beneath goods of its own, and the line of
// another offer beneath its own is as much like item: then the words are the till's, and
// like those goods by chance.
func (c *check) tillsWords(o *plan.Offer, cut *match.Cut, item int) bool {
	if !c.beneathOwn(o, cut) {
		return false
	}
	for k, other := range c.p.Offers {
		if other == o || other.Covers(c.tx.Items[item]) {
			continue
		}
		for n := range c.m.Offers[k].Cuts {
			if theirs := &c.m.Offers[k].Cuts[n]; theirs.Like(item) >= cut.Like(item) && c.beneathOwn(other, theirs) {
				return true
			}
		}
	}
	return false
}
