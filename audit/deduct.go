package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// deduction compares what one offer took off with what it should have by then.
func (c *check) deduction(o *plan.Offer) {
	m := &c.m.Offers[o.Index]
	want, covered := c.bill.Taken(o.ID)
	got, known := total(m.Cuts)
	if !known {
		// An amount that cannot be read is taken for what it should be: the
		// receipt is undecided anyhow.
		c.undecided("the amount of “%s” in line %d could not be read", o.Title, m.Cuts[0].Lines[0])
		return
	}
	place := c.misplaced(o, m, want)
	if want == got && place == nil {
		return
	}
	if want.IsZero() && c.offVariety(o, m, got) {
		return
	}
	if place == nil && !got.IsZero() && rounds(o) && want.Sub(got).Abs().Cents() <= int64(covered) {
		c.rung.Offers[o.Index] = c.rungOffer(o, m, got)
		c.tolerated = c.tolerated.Add(c.fix())
		return
	}
	what := ofDeduction
	if place != nil {
		what = ofPlace
	}
	g := c.open(what, want, got)
	g.offer, g.items, g.place = o, c.offerItems(o), place
	g.voided = len(m.Voided) > 0
	g.lines = c.offerLines(o, m)
	g.rests = g.lines
	// What was taken back in full is not to be found in another line.
	back := g.voided && got.IsZero() && c.voidedAll(g)
	if !c.trial {
		g.weak = m.Weak && !back && !(place != nil && c.strayTo(o) < 0) || c.weakItems(o) || place != nil && (c.strayTo(o) >= 0 && c.anyUnsure() || c.r.Subtotal == nil && !c.goodsBelow(m.Cuts[0].Lines[0]) && c.namedItem(o, &m.Cuts[0]) != place.Index)
		// What was taken and taken back was rung in its place; another line is not it for sure.
		g.rival = !back && (got.Cmp(want) < 0 && c.rivals(o, want) || got.IsZero() && (c.takenElsewhere(o, want) || c.nothingLeft(o))) ||
			place != nil && (g.voided || c.mayBePrice(o, &m.Cuts[0], place)) || c.takesAnothers(o, m) || !back && got.Cmp(want) < 0 && c.lessLeft(o, want) || c.saysSavings(m.Cuts)
	}
	c.rung.Offers[o.Index] = c.rungOffer(o, m, got)
	g.effect = c.fix()
	if place != nil && g.effect.IsZero() && want == got {
		g.effect = money.Amount{}
	}
}

// mayBePrice reports whether a line of o that came off it names nothing, has the words of a price,
// other than an offer at the shelf has, and is so much off each of several units: it may be a
// lower price, unless it says what o gives.
func (c *check) mayBePrice(o *plan.Offer, cut *match.Cut, it *plan.Item) bool {
	units := int64(c.bill.Lines[it.Index].Quantity)
	return !saysValue(cut, o) && units > 1 && cut.Off.Cents()%units == 0 && saysSale(cut) && c.namesNothing(cut) && slices.ContainsFunc(c.p.Offers, func(shelf *plan.Offer) bool {
		return shelf.CarriedAs == "shelf" && slices.ContainsFunc(c.m.Offers[shelf.Index].Cuts, func(other match.Cut) bool { return !alike(other.Name, cut.Name) })
	})
}

// saysValue reports whether the words of a line say what o gives: "40%", ".75 OFF", "FOR 2.88".
func saysValue(cut *match.Cut, o *plan.Offer) bool {
	value := ""
	switch d := o.Deduct; {
	case d.Percent != nil:
		value = d.Percent.String()
	case d.Amount != nil:
		value = d.Amount.String()
	case d.To != nil:
		value = d.To.String()
	}
	return value != "" && slices.ContainsFunc(strings.Fields(cut.Name), func(word string) bool {
		word = strings.TrimPrefix(word, "$")
		return word == value || "0"+word == value
	})
}

// rounds reports whether what o takes off is a rounded share of a price.
func rounds(o *plan.Offer) bool { return o.Deduct.Percent != nil || o.Deduct.Free }

func total(cuts []match.Cut) (sum money.Amount, known bool) {
	for i := range cuts {
		if !cuts[i].Known {
			return sum, false
		}
		sum = sum.Add(cuts[i].Off)
	}
	return sum, true
}

// rungOffer is what o took off, laid on the items it is printed for, else on
// those it should have come off.
func (c *check) rungOffer(o *plan.Offer, m *match.OfferMatch, got money.Amount) plan.RungOffer {
	if got.IsZero() {
		return plan.RungOffer{}
	}
	if o.Spend != nil {
		return plan.RungOffer{Basket: got}
	}
	if spread := c.spread(o, m, got); spread != nil {
		return *spread
	}
	rung := plan.RungOffer{Items: map[int]money.Amount{}}
	for k := range m.Cuts {
		cut := &m.Cuts[k]
		if i := c.cutItem(o, cut); i >= 0 {
			rung.Items[i] = rung.Items[i].Add(cut.Off)
		} else {
			rung.Basket = rung.Basket.Add(cut.Off)
		}
	}
	if !c.p.Store.Policy.Overage {
		return rung // what is laid on no item comes off those it should
	}
	// Where a coupon's overage comes off the basket, that is what Basket means:
	// the items get all that is left of them first.
	for i, it := range c.tx.Items {
		left := c.bill.Lines[i].Net.Add(byLine(c.bill, o).Items[i]).Sub(rung.Items[i])
		if part := money.Min(rung.Basket, left); o.Covers(it) && part.Sign() > 0 {
			rung.Items[i] = rung.Items[i].Add(part)
			rung.Basket = rung.Basket.Sub(part)
		}
	}
	c.aboveGoods(o, &rung)
	return rung
}

// aboveGoods lays what a coupon took of its own goods above what was left of them to the
// basket, whichever line names the goods: a till that gives it may print it with them.
func (c *check) aboveGoods(o *plan.Offer, rung *plan.RungOffer) {
	if o.CarriedAs == "shelf" {
		return
	}
	order := c.inTillOrder()
	before := order[:slices.Index(order, o)]
	for i, it := range c.tx.Items {
		left := lessTaken(&c.bill.Lines[i], func(id string) bool {
			return slices.ContainsFunc(before, func(other *plan.Offer) bool { return other.ID == id })
		})
		if above := rung.Items[i].Sub(left); o.Covers(it) && above.Sign() > 0 && left.Sign() >= 0 {
			rung.Items[i] = left
			rung.Basket = rung.Basket.Add(above)
		}
	}
}

// cutItem is the item that a deduction of o came off, as far as its place or
// its words say; -1 where they do not.
func (c *check) cutItem(o *plan.Offer, cut *match.Cut) int {
	if at := c.strayTo(o); at >= 0 {
		return at
	}
	i := c.m.ItemOfLine(cut.Of)
	named := c.namedItem(o, cut)
	switch {
	case cut.ByCode && i >= 0:
		return i
	case i >= 0 && named >= 0 && o.Covers(c.tx.Items[i]) && !o.Covers(c.tx.Items[named]) && cut.Like(named) < fullyNamed:
		return i // a word of the offer's own goods that others have as well
	case cut.Last && named >= 0 && (cut.Like(named) >= fullyNamed || !(c.beneathOwn(o, cut) && c.besideItems(o) && !c.headed(cut))) && (i < 0 || !o.Covers(c.tx.Items[i]) || cut.SaysMuch()):
		return named // among those that are gathered at the end, the words tell
	case i >= 0 && (o.Covers(c.tx.Items[i]) || !cut.Last && (c.besideItems(o) || c.flagTells(o, cut, i))):
		return i
	case cut.Names >= 0:
		return cut.Names
	}
	if named < 0 {
		return c.flaggedItem(o, cut)
	}
	return named
}

// offerItems are the ids of the transaction's items that o applies to.
func (c *check) offerItems(o *plan.Offer) (ids []string) {
	for _, it := range c.tx.Items {
		if o.Covers(it) {
			ids = append(ids, it.ID)
		}
	}
	return ids
}

// offerLines are the lines of o and of the items it applies to.
func (c *check) offerLines(o *plan.Offer, m *match.OfferMatch) []int {
	lines := m.Lines()
	for i, it := range c.tx.Items {
		if o.Covers(it) && len(c.m.Items[i].Entries) > 0 {
			lines = append(lines, c.m.Items[i].Lines()...)
		}
	}
	slices.Sort(lines)
	return slices.Compact(lines)
}

// weakItems reports whether an item that o applies to was matched on grounds
// that are no more than a guess, or on a photo may be another variety by its name.
func (c *check) weakItems(o *plan.Offer) bool {
	for i, it := range c.tx.Items {
		if o.Covers(it) && (c.m.Items[i].Unsure() || !c.text && c.strangeWord(&c.m.Items[i], it) || c.extraWord(&c.m.Items[i], it)) {
			return true
		}
	}
	return false
}

// anyUnsure reports whether any item was matched on grounds that are a guess.
func (c *check) anyUnsure() bool {
	return slices.ContainsFunc(c.m.Items, func(m match.ItemMatch) bool { return m.Unsure() })
}

// misplaced is the item that o's deduction came off, where its line names an
// item that o does not apply to, or stands beneath one, and its amount is just
// what o gives there; nil otherwise. Where coupons stand is only evidence on a
// receipt that prints each one beneath its own item.
func (c *check) misplaced(o *plan.Offer, m *match.OfferMatch, want money.Amount) *plan.Item {
	if o.Spend != nil || len(m.Cuts) == 0 || want.IsZero() {
		return nil
	}
	at := c.cutItem(o, &m.Cuts[0])
	if at < 0 || o.Covers(c.tx.Items[at]) || slices.ContainsFunc(m.Cuts, func(cut match.Cut) bool { return c.cutItem(o, &cut) != at }) {
		return nil
	}
	it := c.tx.Items[at]
	got, _ := total(m.Cuts)
	var charged money.Amount
	for _, e := range c.m.Items[at].Entries {
		if !e.Voided {
			charged = charged.Add(e.Amount)
		}
	}
	if charged.Cmp(got) < 0 {
		return nil // a till takes no more off goods than they cost
	}
	if want == got || c.strayTo(o) < 0 && c.givesOn(o, it) == got {
		return it
	}
	return nil
}

// goodsBelow reports whether a planned item was rung after line n: a deduction below
// all goods may stand where tills gather them, and say nothing of the item above it. A
// subtotal below it tells which.
func (c *check) goodsBelow(n int) bool {
	return slices.ContainsFunc(c.m.Items, func(m match.ItemMatch) bool {
		return slices.ContainsFunc(m.Entries, func(e match.Entry) bool { return e.Lines[0] > n })
	})
}

// besideItems reports whether the other deductions of the receipt, savings and what was
// taken back among them, mostly stand beneath the items they are for.
func (c *check) besideItems(except *plan.Offer) bool {
	own, other := 0, 0
	for k, o := range c.p.Offers {
		if o == except || o.Deduct == nil || o.Spend != nil {
			continue
		}
		for _, cuts := range [...][]match.Cut{c.m.Offers[k].Cuts, c.m.Offers[k].Voided} {
			for n := range cuts {
				switch {
				case c.beneathOwn(o, &cuts[n]):
					own++
				case !cuts[n].Last: // not among those that are gathered at the end
					other++
				}
			}
		}
	}
	for i := range c.m.Items {
		for _, cut := range c.m.Items[i].Savings {
			if c.m.ItemOfLine(cut.Of) == i {
				own++
			}
		}
	}
	return own > 0 && own >= other
}

// givesOn is what o would take off item it, were it meant for it.
func (c *check) givesOn(o *plan.Offer, it *plan.Item) money.Amount {
	p, _ := c.changed(o, func(other *plan.Offer) { other.AppliesTo = []string{it.ID} })
	rung := copyRung(&c.rung)
	delete(rung.Offers, o.Index)
	got, _ := p.PriceAs(c.tx, &rung).Taken(o.ID)
	return got
}

// changed is the plan with one offer changed, for trying what the till may
// have done instead.
func (c *check) changed(o *plan.Offer, change func(*plan.Offer)) (*plan.Plan, *plan.Offer) {
	p := *c.p
	p.Offers = append([]*plan.Offer(nil), c.p.Offers...)
	other := *o
	change(&other)
	p.Offers[o.Index] = &other
	return &p, &other
}

// offVariety accepts a deduction that came off what stands in for a missing
// item: the till took the coupon for the other variety.
func (c *check) offVariety(o *plan.Offer, m *match.OfferMatch, got money.Amount) bool {
	planned, _ := c.expected.Taken(o.ID)
	if got.IsZero() || got.Cmp(planned) > 0 {
		return false
	}
	for _, g := range c.gaps {
		if g.what != ofUnplanned || g.standsFor == nil || !o.Covers(g.standsFor) {
			continue
		}
		c.rung.Offers[o.Index] = plan.RungOffer{Basket: got}
		g.effect = g.effect.Add(c.fix())
		g.lines = append(slices.Clone(g.lines), m.Lines()...)
		return true
	}
	return false
}

// roundsCash reports whether a line says that it rounds what is paid, by no more than cash
// is rounded: the total has it, and what it leaves is settled there.
func (c *check) roundsCash(cut *match.Cut) bool {
	words := strings.Fields(strings.ToUpper(c.r.Line(cut.Lines[0]).Text))
	return cut.Off.Abs().Cents() <= MostRounding && slices.ContainsFunc(words, func(word string) bool {
		return strings.HasPrefix(word, "NEAREST") || strings.HasPrefix(word, "ROUND") // not GROUND
	})
}

// unplannedCuts lists the deductions that are nothing planned.
func (c *check) unplannedCuts() {
	for i := range c.m.Extra {
		cut := &c.m.Extra[i]
		if cut.Off.IsZero() || c.roundsCash(cut) {
			continue
		}
		g := c.open(ofDeduction, money.Amount{}, cut.Off)
		g.lines, g.rests = cut.Lines, cut.Lines
		g.effect = cut.Off
		g.rival = slices.ContainsFunc(c.gaps, func(other *gap) bool {
			return other.what == ofDeduction && other.offer != nil && other.actual.Cmp(other.expected) < 0 && (slices.Contains(cut.May, other.offer.Index) || cut.Off == other.expected && cut.Suits(other.offer))
		})
		// Or an offer's of which nothing is there, off other goods or of another value.
		g.rival = g.rival || slices.ContainsFunc(c.gaps, func(other *gap) bool {
			return other.what == ofDeduction && other.offer != nil && other.offer.Spend == nil && (other.actual.IsZero() && !other.voided || !other.actual.IsZero() && c.isUnexplained(other)) && cut.Suits(other.offer)
		})
		// It may be what a coupon is worth above the goods that it came off.
		g.rival = g.rival || c.p.Store.Policy.Overage && cut.Last
		// Or another use of the coupon whose lines have its words.
		g.rival = g.rival || slices.ContainsFunc(c.gaps, func(other *gap) bool {
			return other.offer != nil && slices.ContainsFunc(c.m.Offers[other.offer.Index].Cuts, func(theirs match.Cut) bool { return alike(theirs.Name, cut.Name) })
		})
		g.text = cut.Name
		if i := c.m.ItemOfLine(cut.Of); i >= 0 {
			g.items = []string{c.tx.Items[i].ID}
		}
	}
}
