package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// What a sale saves and what an offer takes off may stand in one line beneath a price, or
// in lines of the same words.

// doubtSaving marks a price that a line of savings made lower, and
// an offer on the same item of which nothing is there.
func (c *check) doubtSaving(g *gap) {
	if g.what != ofPrice {
		return
	}
	g.rival = g.rival || c.takenToPrice(g) || c.savedByBasket(g)
	if len(c.m.Items[g.item.Index].Savings) == 0 {
		return
	}
	others := c.savedInOffersWords(g)
	for _, other := range c.gaps {
		if other.what == ofDeduction && other.offer != nil && other.actual.IsZero() && !other.voided && (other.offer.Covers(g.item) && c.maySave(other, g.item) || others && other.offer.Spend == nil) {
			g.rival, other.rival = true, true
		}
	}
}

// doubtTakenBack marks what came off by no offer and is just what one of more units than planned, or
// a line of theirs, cost: it may be how the till took that back, in words nobody knows. Beneath goods
// that cost too much it may be what their sale saves, and so may a line that was laid to an offer for
// other goods and names none.
func (c *check) doubtTakenBack() {
	for _, g := range c.gaps {
		if g.what == ofPrice && g.actual.Cmp(g.expected) > 0 && g.item.Sale != nil {
			g.rival = g.rival || slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
				return !o.Covers(g.item) && slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(cut match.Cut) bool {
					return !cut.Last && c.nearItem(&cut) == g.item.Index && c.namesNothing(&cut)
				})
			})
		}
		if g.what != ofDeduction || g.offer != nil {
			continue
		}
		if to := c.p.Store.Policy.CashRounding; to.Sign() > 0 && g.actual.Abs().Cmp(to) < 0 {
			g.rival = true // the total, rounded for cash
		}
		for _, other := range c.gaps {
			if other.what == ofDeduction && other.offer != nil && other.actual.IsZero() && other.expected == g.actual {
				g.rival, other.rival = true, true // its own line, in words nobody knows
			}
			if other.item == nil || other.what != ofQuantity && other.what != ofPrice {
				continue
			}
			dear := other.what == ofPrice && other.actual.Cmp(other.expected) > 0
			if dear && slices.ContainsFunc(c.m.Extra, func(cut match.Cut) bool {
				return slices.Contains(g.lines, cut.Lines[0]) && c.nearItem(&cut) == other.item.Index
			}) {
				g.rival, other.rival = true, true
			}
			for _, e := range c.m.Items[other.item.Index].Entries {
				if e.Amount == g.actual || eachOf(&e) == g.actual || e.Amount.Sign() < 0 {
					g.rival, other.rival = true, true
				}
			}
		}
	}
}

// doubtTakenElsewhere marks what an offer did not take where a line of just that amount was taken
// for what a sale saves on its goods, or where the line of another offer that stands beneath its
// goods, and came off them, would leave it nothing to take; and a tax that nothing explains where
// what was laid to the basket says that it is such a saving.
func (c *check) doubtTakenElsewhere() {
	for _, g := range c.gaps {
		if g.what == ofTax && c.isUnexplained(g) {
			g.rival = g.rival || c.basketSaves(-1)
		}
		if g.what != ofDeduction || g.offer == nil || g.offer.Spend != nil || !g.actual.IsZero() || g.voided {
			continue
		}
		for _, i := range c.covered[g.offer.Index] {
			g.rival = g.rival || slices.ContainsFunc(c.m.Items[i].Savings, func(cut match.Cut) bool {
				return cut.Known && cut.Off == g.expected && (cut.Like(i) > 0 || strings.Contains(strings.ToUpper(cut.Name), "OFF"))
			})
			g.rival = g.rival || slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
				cuts := c.m.Offers[o.Index].Cuts
				if o == g.offer || len(cuts) == 0 || o.Covers(c.tx.Items[i]) || c.m.ItemOfLine(cuts[0].Of) != i || !c.mayMean(&cuts[0], i, o) {
					return false
				}
				off, known := total(cuts)
				rung := copyRung(&c.rung)
				rung.Offers[o.Index] = plan.RungOffer{Items: map[int]money.Amount{i: off}}
				return known && c.shouldBe(g, &rung).IsZero()
			})
		}
	}
}

// savedInOffersWords reports whether nothing explains the price of g, and a line that makes it
// lower begins as lines of offers do and no other savings: it may be an offer's for other goods.
func (c *check) savedInOffersWords(g *gap) bool {
	if !c.isUnexplained(g) {
		return false
	}
	begins := func(cuts []match.Cut, words string) bool {
		return slices.ContainsFunc(cuts, func(cut match.Cut) bool { return leadWords(cut.Name) == words })
	}
	return slices.ContainsFunc(c.m.Items[g.item.Index].Savings, func(cut match.Cut) bool {
		words := leadWords(cut.Name)
		return words != "" && slices.ContainsFunc(c.m.Offers, func(m match.OfferMatch) bool { return begins(m.Cuts, words) }) &&
			!slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool { return it != g.item && begins(c.m.Items[it.Index].Savings, words) })
	})
}

// savedByBasket reports whether a line right beneath the goods of g that was laid to what comes
// off all that was bought, for its amount perhaps, has the very words of savings on others: it
// may be theirs.
func (c *check) savedByBasket(g *gap) bool { return c.basketSaves(g.item.Index) }

// basketSaves reports whether what was laid to an offer on the basket stands beneath the goods of
// item, any for -1, in the words of savings.
func (c *check) basketSaves(item int) bool {
	return slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
		return o.Deduct != nil && o.Spend != nil && slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(cut match.Cut) bool {
			at := c.nearItem(&cut)
			return at >= 0 && (at == item || item < 0) && c.saysSavings([]match.Cut{cut})
		})
	})
}

// takenToPrice reports whether an offer takes goods down to a price of its own, so that
// what they cost before changes nothing, and the words of its line are those of a price:
// how much of it is the price's and how much the offer's, nothing tells. But a till that
// tells both in one line prints the regular price above it, and does so for all goods.
func (c *check) takenToPrice(g *gap) bool {
	if (c.text || c.extends(g.lines, true)) && (g.actual != c.bill.Lines[g.item.Index].Regular || c.salesApart(g.item)) {
		return false
	}
	return g.effect.IsZero() && slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
		return o.Deduct != nil && o.Deduct.To != nil && o.Covers(g.item) &&
			slices.ContainsFunc(c.m.Offers[o.Index].Cuts, func(cut match.Cut) bool { return cut.Silent() && saysSale(&cut) && c.beneathOwn(o, &cut) })
	})
}

// salesApart reports whether the sale of other goods shows in their price itself, or in
// savings of other words than the lines of offers.
func (c *check) salesApart(but *plan.Item) bool {
	return slices.ContainsFunc(c.tx.Items, func(it *plan.Item) bool {
		m := &c.m.Items[it.Index]
		if it == but || it.Sale == nil || len(m.Entries) == 0 {
			return false
		}
		if l := &c.bill.Lines[it.Index]; len(m.Savings) == 0 {
			gross, known := m.Gross()
			return known && gross == l.Price && l.Price.Cmp(l.Regular) < 0
		}
		return !c.anyCutAlike(&m.Savings[0])
	})
}

// maySave reports whether what is missing may be a line of the savings on an item: what
// comes off the whole basket has one amount, and stands below the goods.
func (c *check) maySave(missing *gap, it *plan.Item) bool {
	return missing.offer.Spend == nil || slices.ContainsFunc(c.m.Items[it.Index].Savings, func(cut match.Cut) bool { return cut.Off == missing.expected })
}

// leadWords are the first two words of a text: "LESS" alone begins every line of some tills.
func leadWords(text string) string {
	words := strings.Fields(noNumbers(strings.ToUpper(text)))
	return strings.Join(words[:min(len(words), 2)], " ")
}

// doubtSwapped marks a price with a line of savings and an offer with a line on the same
// goods where the two lines, each taken for the other, leave no more than one of them open:
// a till may tell both in words of its own.
func (c *check) doubtSwapped() {
	for _, g := range c.gaps {
		if g.what != ofPrice || len(c.m.Items[g.item.Index].Savings) != 1 {
			continue
		}
		for _, other := range c.gaps {
			if other.what == ofDeduction && other.offer != nil && other.offer.Spend == nil && other.offer.Covers(g.item) && c.swapRight(g.item, other.offer) {
				g.rival, other.rival = true, true
			}
		}
	}
}

// swapRight reports whether o has one line and would take just what the savings of it are,
// if its own line were these.
func (c *check) swapRight(it *plan.Item, o *plan.Offer) bool {
	cuts, saving := c.m.Offers[o.Index].Cuts, &c.m.Items[it.Index].Savings[0]
	if len(cuts) != 1 || !cuts[0].Known || !saving.Known {
		return false
	}
	price := c.bill.Lines[it.Index].Price.Add(saving.Off).Sub(cuts[0].Off)
	rung := copyRung(&c.rung)
	item := rung.Items[it.Index]
	if item.Quantity == 0 {
		item.Quantity = c.bill.Lines[it.Index].Quantity
	}
	item.Price = &price
	rung.Items[it.Index] = item
	delete(rung.Offers, o.Index)
	due, _ := c.p.PriceAs(c.tx, &rung).Taken(o.ID)
	return due == saving.Off
}

// doubtBesideUnsure marks what an offer took that is not all there is to say of its goods:
// where their price is unsure, or what another offer took off them, what is due of it is too.
func (c *check) doubtBesideUnsure() {
	unsure := func(h *gap, it *plan.Item) bool {
		return (h.rival || h.misread) && (h.what == ofPrice && h.item == it || h.what == ofDeduction && h.offer != nil && !h.actual.IsZero() && h.offer.Covers(it))
	}
	for _, g := range c.gaps {
		if g.what != ofDeduction || g.offer == nil || g.actual.IsZero() || g.offer.Spend != nil || g.rival {
			continue
		}
		for _, it := range c.tx.Items {
			if g.offer.Covers(it) && slices.ContainsFunc(c.gaps, func(h *gap) bool { return h != g && unsure(h, it) }) {
				g.rival = true
			}
		}
	}
}

// doubtSpent marks what came off all that was bought where it would be another if goods whose
// price is open had cost what was planned: whether enough was spent hangs on that.
func (c *check) doubtSpent() {
	rung := copyRung(&c.rung)
	for _, g := range c.gaps {
		if g.what == ofPrice && (g.rival || g.weak || g.gaveAway()) {
			item := rung.Items[g.item.Index]
			item.Price = nil
			if item.Quantity == 0 {
				item.Quantity = c.bill.Lines[g.item.Index].Quantity
			}
			rung.Items[g.item.Index] = item
		}
	}
	for _, g := range c.gaps {
		if g.what == ofDeduction && g.offer != nil && g.offer.Spend != nil && !g.rival {
			g.rival = c.shouldBe(g, &rung) != c.shouldBe(g, &c.rung)
		}
	}
}

// doubtTold leaves everything open where a line beneath goods, which was taken for a mere
// remark since the sums close without it, tells just what is missing there, or has a minus
// on a photo and stands beneath goods that do not come out: it may have been taken off, and
// the sums close by chance, without lines that were not seen.
func (c *check) doubtTold() {
	for _, g := range c.gaps {
		if !c.firm || g.what == ofCard || g.what == ofRebate || g.what == ofCredit || g.what == ofTax {
			continue
		}
		var missing money.Amount
		if g.what == ofPrice || g.what == ofDeduction && g.offer != nil {
			missing = g.printed()
		}
		at := slices.IndexFunc(c.r.Lines, func(l parse.Line) bool {
			if l.Kind != parse.LineMessage && l.Kind != parse.LineOther || l.Amount == nil || !c.tellsOf(&l, g) {
				return false
			}
			return l.Amount.Abs() == missing && missing.Sign() > 0 || !c.text && l.Amount.Sign() < 0
		})
		if at >= 0 {
			c.firm = false
			c.undecided("line %d may be a deduction, although the receipt's sums close without it: look at it", at+1)
		}
	}
}

// doubtBelowNought leaves everything open where a line that was taken for a part of a price
// takes off more than the goods cost: it is something else, perhaps of all that is missing.
func (c *check) doubtBelowNought() {
	for _, g := range c.gaps {
		if c.firm && g.what == ofPrice && g.actual.Sign() < 0 && len(g.lines) > 0 {
			c.firm = false
			c.undecided("line %d takes off more than %s costs, and may be for other goods: look at it", g.lines[len(g.lines)-1], g.item.Name)
		}
	}
}

// doubtMixed leaves everything open where lines of the same words, each with a minus, were
// taken in part for deductions and in part for mere remarks: a till prints one thing in one
// way, and what made the sums close was chance.
func (c *check) doubtMixed() {
	if !c.firm || !slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what != ofCard && g.what != ofRebate && g.what != ofCredit }) {
		return
	}
	for i := range c.r.Lines {
		told := &c.r.Lines[i]
		if told.Kind != parse.LineMessage && told.Kind != parse.LineOther || told.Amount == nil || told.Amount.Sign() >= 0 || !c.amongGoods(told.N) {
			continue
		}
		if slices.ContainsFunc(c.r.Lines, func(l parse.Line) bool {
			return l.Kind == parse.LineDeduction && l.Amount != nil && noNumbers(l.Text) == noNumbers(told.Text)
		}) {
			c.firm = false
			c.undecided("line %d has the words of deductions, and the receipt's sums close without it: look at it", told.N)
			return
		}
	}
}

// amongGoods reports whether goods stand above a line, and goods or a sum below.
func (c *check) amongGoods(line int) bool {
	goods := func(l parse.Line) bool { return l.Kind == parse.LineItem }
	return slices.ContainsFunc(c.r.Lines[:line-1], goods) && slices.ContainsFunc(c.r.Lines[line:], func(l parse.Line) bool { return goods(l) || l.Kind == parse.LineSubtotal || l.Kind == parse.LineTotal })
}

// doubtCharges leaves everything open where what was taken for a deposit or charge has the
// name of goods that are missing: then what the lines are was misunderstood.
func (c *check) doubtCharges() {
	for _, g := range c.gaps {
		for i := range c.m.Unplanned {
			e := &c.m.Unplanned[i]
			if !c.firm || g.what != ofItem || !e.Fee {
				continue
			}
			if like, _ := match.Alike(e, g.item); like >= varietyName {
				c.firm = false
				c.undecided("line %d was taken for a deposit or charge, and may be %s: look at it", e.Lines[0], g.item.Name)
			}
		}
	}
}

// tellsOf reports whether a line stands beneath goods of g.
func (c *check) tellsOf(l *parse.Line, g *gap) bool {
	at := c.m.ItemOfLine(l.Of)
	if at < 0 {
		at = c.m.ItemOfLine(l.N - 1)
	}
	return at >= 0 && (c.tx.Items[at] == g.item || g.offer != nil && g.offer.Covers(c.tx.Items[at]))
}
