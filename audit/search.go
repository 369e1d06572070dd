package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// Where a coupon came off is often not printed: all stand at the foot of the
// receipt. It shows all the same where a percentage was taken of what was left,
// or in the tax. So where the sums of an offer, or of the tax, are explained by
// none of the known causes, each coupon is tried on each other item; where just
// one such place makes all sums right, that is where it came off.

// maxStrays bounds the places that are tried, maxStrayWork that number times what
// one of them costs, items and offers: the search ends within milliseconds. On a long
// receipt one of them costs more, and there are more of them: hence longTrip, twice.
const (
	maxStrays    = 400
	maxStrayWork = 18_000
	longTrip     = 100 // items and offers
)

// tries is how many of most may be tried, where that number times what one of them costs
// is to stay below work.
func (c *check) tries(most, work int) int {
	n := len(c.tx.Items) + len(c.p.Offers)
	most = min(most, work/n)
	if n > longTrip {
		most = most * longTrip / n * longTrip / n
	}
	return most
}

// computed walks through the part of the receipt that a till works out:
// deductions and tax.
func (c *check) computed() {
	for _, o := range c.inTillOrder() {
		c.deduction(o)
	}
	c.unplannedCuts()
	c.tax()
}

// searchStrays is computed, with what the sums alone tell of where coupons came
// off.
func (c *check) searchStrays() {
	start := c.mark()
	c.computed()
	before, unexplained := c.worked()
	if before == 0 {
		return
	}
	plain := c.mark()
	places, rivals, all := c.places(start, before, unexplained)
	c.strays = nil
	c.reset(plain)
	if !all {
		c.note("not every item was tried as the place where a coupon may have come off: the receipt is too long")
	}
	switch {
	case len(places) == 0:
		for _, d := range rivals {
			c.doubtBeside(d)
		}
	case len(places) > 1 || unexplained == 0 || c.saysOwn(c.p.Offers[places[0].offer]) || !c.offerUnexplained():
		// More than one place would do, or a known cause would as well, or a few
		// cents of tax are all that speaks for it: then what they do not share is not sure.
		for _, at := range places {
			c.doubtPlaced(at.under, unexplained > 0)
		}
	default:
		c.reset(start)
		c.strays = map[int]int{places[0].offer: places[0].item}
		c.computed()
	}
}

// places are the offers, with items that they are not for, that would explain
// all gaps if the one had come off the other. Where known causes explain them
// too, only items count that the coupon's line names. rivals are those that leave no
// more to explain, and all is false where the search was cut short.
func (c *check) places(start state, before, unexplained int) (found []place, rivals []*check, all bool) {
	tried, bill, weight := 0, c.bill, c.weight()
	placed := map[*plan.Offer]bool{} // what the lines themselves tell
	for _, g := range c.gaps {
		placed[g.offer] = placed[g.offer] || g.what == ofPlace
	}
	// That a till works in another order shows on other receipts as well, where a coupon
	// that came off other goods under its own title shows nowhere.
	order := slices.ContainsFunc(c.gaps, c.onlyOrder)
	most := c.tries(maxStrays, maxStrayWork)
	c.trial = true
	defer func() { c.trial = false }()
	for _, o := range c.inTillOrder() {
		if !c.mayStray(o) {
			continue
		}
		cut := &c.m.Offers[o.Index].Cuts[0]
		titled := order && cut.Last && c.titled(cut, o)
		sum, _ := total(c.m.Offers[o.Index].Cuts)
		for i, it := range c.tx.Items {
			if o.Covers(it) || bill.Lines[i].Quantity == 0 || unexplained == 0 && !titled && !c.mayMean(cut, i, o) || c.flagOff(cut, i) ||
				sum.Cmp(bill.Lines[i].Price) > 0 && !c.p.Store.Policy.Overage {
				continue
			}
			if tried++; tried > most {
				return found, rivals, false
			}
			c.reset(start)
			c.strays = map[int]int{o.Index: i}
			c.computed()
			if !c.isPlaced(o) {
				continue
			}
			if after, left := c.worked(); left == 0 && after < before {
				found = append(found, place{o.Index, i, c.kept()})
			} else if !placed[o] && c.weight() <= weight {
				rivals = append(rivals, c.kept())
			}
		}
	}
	return found, rivals, true
}

// place is an offer, an item that it may have come off by mistake, and what is found then.
type place struct {
	offer, item int
	under       *check
}

// doubtPlaced marks what was taken off, and the tax, that is not the same in d, where a
// coupon came off other goods; of what is missing only where else something is explained
// by nothing: the coupon may have left it nothing to take.
func (c *check) doubtPlaced(d *check, unexplained bool) {
	for _, g := range c.gaps {
		if (g.what == ofDeduction && g.offer != nil || g.what == ofTax) && (unexplained || !g.actual.IsZero()) && !d.hasGap(g) {
			g.rival = true
		}
	}
}

// kept is c with gaps of its own, as they are now.
func (c *check) kept() *check {
	d := *c
	d.gaps = nil
	for _, g := range c.gaps {
		kept := *g
		d.gaps = append(d.gaps, &kept)
	}
	return &d
}

// saysOwn reports whether o's line stands beneath goods that o is for, or names them.
func (c *check) saysOwn(o *plan.Offer) bool {
	return c.namesOwn(o) || c.beneathOwn(o, &c.m.Offers[o.Index].Cuts[0])
}

// mayMean reports whether the place or the words of o's line say that it came off item i.
// One that stands with all others names what it came off, unless its words are those of
// the coupon itself.
func (c *check) mayMean(cut *match.Cut, i int, o *plan.Offer) bool {
	if c.namesRather(cut, i, o) {
		return true
	}
	own := c.names(cut, o)
	return c.nearItem(cut) == i && !(cut.Last && own >= wellNamed && own > cut.Like(i) && !c.titled(cut, o))
}

// titled reports whether a line may have the title of its coupon o, which says what it is
// for and not what it came off: what it gives, and goods without their maker.
func (c *check) titled(cut *match.Cut, o *plan.Offer) bool {
	words := strings.Fields(strings.ToUpper(cut.Name))
	gives := slices.ContainsFunc(words, func(word string) bool {
		return word == "OFF" || word == "FREE" || word == "BUY" || word == "FOR" || strings.HasSuffix(word, "%")
	})
	return gives && !slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool {
		name := strings.Fields(strings.ToUpper(it.Name))
		return o.Covers(it) && it.Weight == nil && slices.ContainsFunc(words, func(word string) bool {
			// PEA may be short for a maker as for the peanuts.
			return len(word) > 2 && shortens(word, name[0]) && !slices.ContainsFunc(name[1:], func(of string) bool { return shortens(word, of) })
		})
	})
}

// shortens reports whether word may be how a till shortens another: two letters of it or
// more, the first among them, in their order.
func shortens(word, of string) bool {
	if len(word) < 2 || of == "" || word[0] != of[0] {
		return false
	}
	for _, r := range word {
		at := strings.IndexRune(of, r)
		if at < 0 {
			return false
		}
		of = of[at+1:]
	}
	return true
}

// namesRather reports whether the words of o's line may mean item i: they name it, and
// goods of o's no better, or they name nothing.
func (c *check) namesRather(cut *match.Cut, i int, o *plan.Offer) bool {
	if cut.Like(i) == 0 {
		return c.namesNothing(cut)
	}
	own := c.names(cut, o)
	return own < wellNamed || cut.Like(i) >= own
}

// mayStray reports whether the receipt leaves open what o's one line came off.
func (c *check) mayStray(o *plan.Offer) bool {
	m := &c.m.Offers[o.Index]
	return o.Spend == nil && len(m.Cuts) > 0 && alikeCuts(m.Cuts) && !m.Cuts[0].ByCode && (m.Cuts[0].Names < 0 || o.Covers(c.tx.Items[m.Cuts[0].Names])) &&
		!(c.beneathOwn(o, &m.Cuts[0]) && !c.headed(&m.Cuts[0]) && (!m.Cuts[0].Last || c.besideItems(o) && !c.loneSilent(o, &m.Cuts[0])))
}

// headed reports whether a line without an amount that says coupons stands above the
// deductions among which a line is, below the goods: they are gathered there.
func (c *check) headed(cut *match.Cut) bool {
	for n := cut.Lines[0] - 1; n > 0 && n > cut.Of; n-- {
		l := c.r.Line(n)
		if l.Amount == nil && (l.Kind == parse.LineMessage || l.Kind == parse.LineOther) {
			if text := strings.ToUpper(l.Text); strings.Contains(text, "COUPON") || strings.Contains(text, "CPN") {
				return true
			}
		}
	}
	return false
}

// loneSilent reports whether o's line names no goods, and no other coupon stands beneath
// its own goods, nor a discount whose line begins with its word: that savings do says nothing
// of where coupons stand.
func (c *check) loneSilent(o *plan.Offer, cut *match.Cut) bool {
	return c.namesNothing(cut) && !slices.ContainsFunc(c.p.Offers, func(other *plan.Offer) bool {
		return other != o && other.Deduct != nil && other.Spend == nil &&
			slices.ContainsFunc(c.m.Offers[other.Index].Cuts, func(theirs match.Cut) bool {
				return !theirs.Last && c.beneathOwn(other, &theirs) && (other.CarriedAs != "shelf" || leadWord(theirs.Name) == leadWord(cut.Name))
			})
	})
}

// alikeCuts reports whether all lines are read, and have the same words: they are
// uses of one coupon.
func alikeCuts(cuts []match.Cut) bool {
	_, known := total(cuts)
	return known && !slices.ContainsFunc(cuts, func(cut match.Cut) bool { return cut.Name != cuts[0].Name })
}

// strayTo is the item that o is taken to have come off, -1 for none.
func (c *check) strayTo(o *plan.Offer) int {
	if i, ok := c.strays[o.Index]; ok {
		return i
	}
	return -1
}

// isPlaced reports whether o has a gap of its place.
func (c *check) isPlaced(o *plan.Offer) bool {
	return slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofPlace && g.offer == o })
}

// worked counts the gaps of planned offers and of the tax, and those of them
// that no cause reproduces.
func (c *check) worked() (all, unexplained int) {
	for _, g := range c.gaps {
		if g.what == ofDeduction && g.offer != nil || g.what == ofTax {
			all++
			if c.isUnexplained(g) {
				unexplained++
			}
		}
	}
	return all, unexplained
}

// isUnexplained reports whether no cause reproduces g.
func (c *check) isUnexplained(g *gap) bool {
	first, _ := c.explain(g)
	return first.chance == 0
}

// offerUnexplained reports whether what an offer took is explained by nothing.
func (c *check) offerUnexplained() bool {
	return slices.ContainsFunc(c.gaps, func(g *gap) bool {
		return g.what == ofDeduction && g.offer != nil && c.isUnexplained(g)
	})
}

// doubtStrays marks a tax that nothing reproduces, or only two mistakes at once, where a
// deduction off other goods, of which the receipt does not say where it came off, leaves a
// tax that takes fewer.
func (c *check) doubtStrays() {
	at := slices.IndexFunc(c.gaps, func(g *gap) bool { return g.what == ofTax && !g.rival && !c.taxOnce(g.actual) })
	if at < 0 {
		return
	}
	g, left := c.gaps[at], c.tries(maxStrays, maxStrayWork)
	fewer := (*check).taxOnce
	if c.isUnexplained(g) {
		fewer = (*check).taxComesOut
	}
	for _, o := range c.inTillOrder() {
		got, known := total(c.m.Offers[o.Index].Cuts)
		if o.Spend != nil || !known || got.IsZero() || !c.mayStray(o) || c.isPlaced(o) {
			continue
		}
		for i, it := range c.tx.Items {
			if o.Covers(it) || c.bill.Lines[i].Quantity == 0 || c.bill.Lines[i].Price.Cmp(got) < 0 || c.flagOff(&c.m.Offers[o.Index].Cuts[0], i) {
				continue
			}
			if left--; left < 0 {
				g.rival = true
				c.note("not every item was tried as the place where a coupon may have come off: the receipt is too long, and the tax may be right")
				return
			}
			rung := copyRung(&c.rung)
			rung.Offers[o.Index] = plan.RungOffer{Items: map[int]money.Amount{i: got}}
			if fewer(c.over(&rung), g.actual) {
				g.rival = true
				return
			}
		}
	}
}

// doubtExcess marks what took goods below nothing, which no till does: something came off
// others than it was laid to.
func (c *check) doubtExcess() {
	if c.p.Store.Policy.Overage {
		return
	}
	for i, it := range c.tx.Items {
		if l := &c.bill.Lines[i]; l.Quantity == 0 || l.Net.Sign() >= 0 {
			continue
		}
		for _, g := range c.gaps {
			g.rival = g.rival || g.what == ofDeduction && g.offer != nil && !g.actual.IsZero() && g.offer.Covers(it)
		}
	}
}

// doubtOverage marks what is just right once all is rung: what a coupon is worth above its
// goods comes off what the other offers leave, and so hangs on those that come later too.
func (c *check) doubtOverage() {
	for _, g := range c.gaps {
		if c.p.Store.Policy.Overage && g.what == ofDeduction && g.offer != nil && g.offer.Spend == nil && !g.rival {
			g.rival = c.shouldBe(g, &c.rung) == g.actual
		}
		g.rival = g.rival || g.what == ofDeduction && g.offer != nil && g.offer.Spend != nil && g.offer.Deduct.Percent != nil && c.overShared()
	}
}

// state is how far a walk has got: what was rung, the gaps with their contents,
// and how much the result's lists held.
type state struct {
	rung       plan.Rung
	bill       *plan.TransactionBill
	gaps       []*gap
	contents   []gap
	tolerated  money.Amount
	notChecked int
	undecided  int
	notes      int
}

// mark keeps how far the walk has got; reset goes back to it.
func (c *check) mark() state {
	s := state{rung: copyRung(&c.rung), bill: c.bill, gaps: slices.Clone(c.gaps), tolerated: c.tolerated,
		notChecked: len(c.result.NotChecked), undecided: len(c.result.Undecided), notes: len(c.result.Notes)}
	for _, g := range c.gaps {
		s.contents = append(s.contents, *g)
	}
	return s
}

func (c *check) reset(s state) {
	c.rung, c.bill, c.gaps, c.tolerated = copyRung(&s.rung), s.bill, slices.Clone(s.gaps), s.tolerated
	for i, g := range c.gaps {
		*g = s.contents[i]
	}
	c.result.NotChecked = c.result.NotChecked[:s.notChecked]
	c.result.Undecided = c.result.Undecided[:s.undecided]
	c.result.Notes = c.result.Notes[:s.notes]
}
