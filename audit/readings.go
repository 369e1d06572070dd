package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// holder is what a deduction is taken for: an offer's, the savings on an item, or, where
// it is neither, nothing.
type holder struct {
	offer *plan.Offer
	item  int
}

var none = holder{nil, -1}

// readings are the other ways to read the lines that differences hang on.
func (c *check) readings() (all []reading) {
	var lines []laid
	add := func(cuts []match.Cut, of holder) {
		for _, cut := range cuts {
			if cut.Known && (cut.Off.Sign() > 0 || cut.Voided) {
				lines = append(lines, laid{cut, of})
			}
		}
	}
	for k, o := range c.p.Offers {
		add(c.m.Offers[k].Cuts, holder{o, -1})
		add(c.m.Offers[k].Voided, holder{o, -1})
	}
	for i := range c.m.Items {
		add(c.m.Items[i].Savings, holder{nil, i})
	}
	add(c.m.Extra, none)
	all = slices.Concat(c.undivided(), c.gathered(), c.allOffers(), c.lent(), c.together())
	for _, l := range lines {
		for _, to := range c.holders(&l.cut, l.of) {
			if !c.openAt(l.of) && !c.openAt(to) {
				continue // two that come out would both not
			}
			m := c.moved(&l.cut, l.of, to)
			all = append(all, reading{m, c.words(&l.cut, l.of, to, 0)})
		}
	}
	for i, a := range lines {
		for _, b := range lines[:i] {
			if a.of == b.of || a.cut.Off == b.cut.Off && !a.cut.Voided && (!c.text || alike(a.cut.Name, b.cut.Name)) || !c.openAt(a.of) && !c.openAt(b.of) || a.of == none || b.of == none ||
				!c.mayTake(&a.cut, a.of, b.of) || !c.mayTake(&b.cut, b.of, a.of) {
				continue
			}
			first := c.moved(&a.cut, a.of, b.of)
			all = append(all, reading{moved(first, &b.cut, b.of, a.of), max(c.words(&a.cut, a.of, b.of, b.cut.Lines[0]), c.words(&b.cut, b.of, a.of, a.cut.Lines[0]))})
		}
	}
	return all
}

// undivided are the readings in which a line that is taken for the sum of several offers
// is one of theirs alone.
func (c *check) undivided() (all []reading) {
	of := map[int][]int{}
	for k := range c.m.Offers {
		for _, cut := range c.m.Offers[k].Cuts {
			of[cut.Lines[0]] = append(of[cut.Lines[0]], k)
		}
	}
	for n := range c.r.Lines {
		holders := of[n+1]
		for _, k := range holders {
			if len(holders) < 2 || c.r.Lines[n].Amount == nil {
				continue
			}
			m := c.m
			for _, other := range holders {
				h := holder{c.p.Offers[other], -1}
				for _, cut := range c.m.Offers[other].Cuts {
					if cut.Lines[0] != n+1 {
						continue
					}
					if other != k {
						m = without(m, &cut, h)
						continue
					}
					whole := cut
					whole.Off = c.r.Lines[n].Amount.Abs()
					m = moved(m, &whole, h, h)
				}
			}
			all = append(all, reading{m, 0})
		}
	}
	return all
}

// gathered are the readings in which all savings on goods of an offer that have the
// words of its own lines, but for numbers, are its lines too.
func (c *check) gathered() (all []reading) {
	for k, o := range c.p.Offers {
		h := holder{o, -1}
		if cuts := c.m.Offers[k].Cuts; o.Deduct == nil || o.Spend != nil || len(cuts) == 0 || !c.openAt(h) {
			continue
		}
		m, n := c.m, 0
		for i, it := range c.tx.Items {
			for _, cut := range c.m.Items[i].Savings {
				if o.Covers(it) && cut.Known && alike(cut.Name, c.m.Offers[k].Cuts[0].Name) {
					m = moved(m, &cut, holder{nil, i}, h)
					n++
				}
			}
		}
		if n > 0 {
			all = append(all, reading{m, 0})
		}
	}
	return all
}

// openAt reports whether a difference hangs on what is laid to h.
func (c *check) openAt(h holder) bool {
	return h == none || slices.ContainsFunc(c.gaps, func(g *gap) bool {
		if h.offer != nil {
			return g.offer == h.offer
		}
		return g.what == ofPrice && g.item.Index == h.item
	})
}

// holders are what else a line may be.
func (c *check) holders(cut *match.Cut, of holder) (all []holder) {
	for _, o := range c.p.Offers {
		if to := (holder{o, -1}); o.Deduct != nil && to != of && c.mayHold(cut, of, to) {
			all = append(all, to)
		}
	}
	if i := c.itemAbove(cut); i >= 0 {
		if to := (holder{nil, i}); to != of && c.mayHold(cut, of, to) {
			all = append(all, to)
		}
	}
	return all
}

// mayHold reports whether the words and the place of a line, now of's, let it be to.
func (c *check) mayHold(cut *match.Cut, of, to holder) bool {
	if to.offer == nil {
		same, others := c.savingsWords(cut, to.item)
		return to.item >= 0 && c.itemAbove(cut) == to.item && (same || !others && (c.namesNothing(cut) || cut.ByCode && cut.Silent()) && (saysSale(cut) || namesPrice(cut)))
	}
	if of.item >= 0 {
		if same, _ := c.savingsWords(cut, of.item); same && !c.anyCutAlike(cut) || namesPrice(cut) {
			return false
		}
	}
	o := to.offer
	if !slices.ContainsFunc(c.covered[o.Index], func(i int) bool { return c.bill.Lines[i].Quantity > 0 }) {
		return false
	}
	remainder := c.remainder(cut, o)
	switch {
	case remainder && of.offer == nil:
		return true
	case of.offer != nil && !remainder && !cut.MayRather(o, of.offer), of.offer == nil && !cut.Suits(o):
		return false
	case of.item >= 0:
		return o.Spend == nil && (o.Covers(c.tx.Items[of.item]) || c.lacks(o, cut.Off))
	case remainder:
		return true
	}
	at := c.nearItem(cut)
	if at >= 0 && of.offer != nil && of.offer.Covers(c.tx.Items[at]) && (o.Spend != nil || !o.Covers(c.tx.Items[at])) && (!cut.Last || c.besideItems(o) && c.names(cut, o) < wellNamed && !c.othersHere(cut, of.offer, at)) && !c.hasNumber(o, cut) {
		return false // it stands beneath goods of its own
	}
	if own := c.onlyItem(o); own >= 0 && o.Spend == nil && c.flagOff(cut, own) {
		return false
	}
	return o.Spend != nil || c.names(cut, o)+wellNamed > c.names(cut, of.offer)
}

// lacks reports whether nothing of o is there and it should take off just so much.
func (c *check) lacks(o *plan.Offer, off money.Amount) bool {
	return slices.ContainsFunc(c.gaps, func(g *gap) bool {
		return g.what == ofDeduction && g.offer == o && g.actual.IsZero() && !g.voided && g.expected == off
	})
}

// savingsWords reports whether the savings on other goods than item have the words of a
// line, but for their numbers, and whether there are any.
func (c *check) savingsWords(cut *match.Cut, item int) (same, others bool) {
	for i := range c.m.Items {
		for k := range c.m.Items[i].Savings {
			if i != item {
				others = true
				same = same || alike(c.m.Items[i].Savings[k].Name, cut.Name)
			}
		}
	}
	return same, others
}

// namesPrice reports whether a line names the price itself, and no goods: no coupon does.
func namesPrice(cut *match.Cut) bool {
	return cut.Silent() && slices.ContainsFunc(strings.Fields(strings.ToUpper(cut.Name)), func(word string) bool {
		return word == "SALE" || word == "PRICE" || word == "PRICES" || word == "TPR"
	})
}

// anyCutAlike reports whether a coupon or discount has the words of a line too.
func (c *check) anyCutAlike(cut *match.Cut) bool {
	return slices.ContainsFunc(c.m.Offers, func(m match.OfferMatch) bool {
		return slices.ContainsFunc(m.Cuts, func(other match.Cut) bool { return alike(other.Name, cut.Name) })
	})
}

// alike reports whether two texts are the same but for amounts and numbers of uses. A
// coupon's own number counts.
func alike(a, b string) bool {
	return couponNumber(a) == couponNumber(b) && noNumbers(a) == noNumbers(b)
}

func noNumbers(text string) string {
	text = strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '.' {
			return -1
		}
		return r
	}, text)
	return strings.TrimSpace(strings.TrimSuffix(text, " x"))
}

// names is how well the words of a line name goods of o.
func (c *check) names(cut *match.Cut, o *plan.Offer) (best int) {
	if o == nil || o.Spend != nil {
		return 0
	}
	for _, i := range c.covered[o.Index] {
		best = max(best, cut.Like(i))
	}
	return best
}

// words is what it weighs that the words and the place of a line speak for another
// holder more than for the one it would be given to, or less. except is a line that
// goes the other way.
func (c *check) words(cut *match.Cut, of, to holder, except int) (sum int) {
	if to.offer != nil && !c.remainder(cut, to.offer) {
		m := &c.m.Offers[to.offer.Index]
		if odd := func(other match.Cut) bool { return !alike(other.Name, cut.Name) && other.Lines[0] != except }; slices.ContainsFunc(m.Cuts, odd) || slices.ContainsFunc(m.Voided, odd) {
			sum += 2 // a till prints the uses of one offer alike
		}
		if at := c.pointedItem(cut); at >= 0 && of.item < 0 && to.offer.Spend == nil && !to.offer.Covers(c.tx.Items[at]) {
			sum++ // it would have come off other goods as well
		}
	}
	if of.offer != nil && !cut.Silent() && slices.ContainsFunc(c.m.Offers[of.offer.Index].Cuts, func(other match.Cut) bool {
		return other.Lines[0] != cut.Lines[0] && other.Name == cut.Name
	}) {
		sum++ // another use of the same coupon
	}
	if of.offer != nil && couponNumber(cut.Name) != "" && slices.ContainsFunc(c.m.Offers[of.offer.Index].Cuts, func(other match.Cut) bool {
		return other.Lines[0] != cut.Lines[0] && other.Name == cut.Name
	}) {
		sum += 2 // by its number
	}
	if of.offer != nil && to != none && !c.p.Store.Policy.Overage && of.offer.Spend == nil && slices.ContainsFunc(c.m.Offers[of.offer.Index].Cuts, func(other match.Cut) bool {
		return other.Lines[0] != cut.Lines[0] && !alike(other.Name, cut.Name)
	}) {
		sum-- // it has other words than the rest of the offer's lines
	}
	if of.offer != nil && of.offer.Spend != nil && to.offer != nil && to.offer.Spend == nil && !cut.Silent() && c.names(cut, to.offer) == 0 {
		sum++ // its words are of no goods
	}
	fits := func(h holder) int {
		if h.offer == nil {
			return cut.Fits(&plan.Offer{FundedBy: "store", CarriedAs: "shelf"})
		}
		return cut.Fits(h.offer)
	}
	switch d := fits(to) - fits(of); {
	case of == none:
	case d >= clearly:
		sum--
	case d <= -clearly/2:
		sum++
	}
	return sum
}

// pointedItem is the item that a line's words name, or beneath which it stands among
// the goods, -1 for none.
func (c *check) pointedItem(cut *match.Cut) int {
	if cut.Names >= 0 {
		return cut.Names
	}
	if cut.Last {
		return -1
	}
	return c.m.ItemOfLine(cut.Of)
}

// nearItem is the item a deduction stands beneath, with nothing but other deductions
// between, -1 for none.
func (c *check) nearItem(cut *match.Cut) int {
	if at := c.m.ItemOfLine(cut.Of); at >= 0 {
		return at
	}
	message := false
	for n := cut.Lines[0] - 1; n > 0; n-- {
		if i := c.m.ItemOfLine(n); i >= 0 {
			return i
		}
		k := c.r.Line(n).Kind
		if k != parse.LineMessage && (k != parse.LineDeduction && k != parse.LineVoid || message) {
			return -1 // a heading stands between, or a sum
		}
		message = k == parse.LineMessage
	}
	return -1
}

// itemAbove is the item whose price a line may be a part of, -1 for none.
func (c *check) itemAbove(cut *match.Cut) int {
	if i := c.m.ItemOfLine(cut.Of); i >= 0 || cut.Last {
		return i
	}
	return c.nearItem(cut)
}

// remainder reports whether a line may be what a coupon is worth above its item, which
// is printed as a coupon of the store's.
func (c *check) remainder(cut *match.Cut, o *plan.Offer) bool {
	return c.p.Store.Policy.Overage && cut.Last && o.Spend == nil && len(c.m.Offers[o.Index].Cuts) > 0
}

// moved is the reading taken, but that a line is to's.
func (c *check) moved(cut *match.Cut, of, to holder) *match.Assignment {
	return moved(c.m, cut, of, to)
}

func moved(m *match.Assignment, cut *match.Cut, of, to holder) *match.Assignment {
	n := without(m, cut, of)
	if to.offer == nil {
		if !cut.Voided {
			n.Items[to.item].Savings = append(slices.Clone(n.Items[to.item].Savings), *cut)
		}
		return n
	}
	t := &n.Offers[to.offer.Index]
	if cut.Voided {
		t.Voided = append(slices.Clone(t.Voided), *cut)
	} else {
		t.Cuts = append(slices.Clone(t.Cuts), *cut)
	}
	if len(t.Cuts)+len(t.Voided) == 1 {
		t.By, t.Score, t.Weak = match.ByPrice, 50, false
	}
	return n
}

// without is the reading m, but that a line is not of's.
func without(m *match.Assignment, cut *match.Cut, of holder) *match.Assignment {
	n := *m
	n.Items, n.Offers, n.Extra = slices.Clone(m.Items), slices.Clone(m.Offers), slices.Clone(m.Extra)
	rest := func(cuts []match.Cut) []match.Cut {
		return slices.DeleteFunc(slices.Clone(cuts), func(other match.Cut) bool { return other.Lines[0] == cut.Lines[0] })
	}
	switch {
	case of.offer != nil:
		o := &n.Offers[of.offer.Index]
		o.Cuts, o.Voided = rest(o.Cuts), rest(o.Voided)
	case of.item >= 0:
		n.Items[of.item].Savings = rest(n.Items[of.item].Savings)
	default:
		n.Extra = rest(n.Extra)
	}
	return &n
}
