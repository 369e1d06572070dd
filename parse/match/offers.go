package match

import (
	"tillproof/money"
	"tillproof/plan"
)

// OfferMatch is what a receipt shows of one planned offer.
type OfferMatch struct {
	// Cuts are its deductions that were not voided, Voided those that were.
	Cuts   []Cut
	Voided []Cut
	// Rewards are the lines that tell of its credit.
	Rewards []Reward
	Score   int
	By      By
	// Weak: nothing in the text speaks for it.
	Weak bool
	// Either: a line comes out as this offer's and as another's, and its words
	// hardly tell which of the two it is.
	Either bool
}

// target is what a deduction line may be: a use of an offer, or the savings
// line of an item's own sale price.
type target struct {
	offer *plan.Offer // nil: the sale price of item
	item  int
	text  name
	// forms are amounts that one of its lines may show; total is all that is
	// expected of it, uses the number of its uses.
	forms []form
	total money.Amount
	uses  int
	// eligible says which planned items it may reduce.
	eligible []bool
}

// form is an amount that a line of an offer may show.
type form struct {
	amount money.Amount
	score  int
}

// What the amount of a line adds to its score: just what is expected, what the
// offer would give on another base or by another value, or only near it.
const (
	amountExact = 45
	amountOther = 30
	amountNear  = 12
)

// targets lists what deduction lines may be, given the bill worked out from
// the items rung.
func targets(p *plan.Plan, tx *plan.Transaction, bill *plan.TransactionBill, items []ItemMatch) []target {
	n := len(tx.Items)
	all := make([]target, 0, len(p.Offers)+n)
	room := make([]bool, (len(p.Offers)+n)*n)
	takeRoom := func() []bool {
		mine := room[:n:n]
		room = room[n:]
		return mine
	}
	for _, o := range p.Offers {
		if o.Deduct == nil {
			continue
		}
		t := target{offer: o, item: -1, eligible: takeRoom()}
		any := false
		for i, it := range tx.Items {
			t.eligible[i] = o.Covers(it)
			any = any || t.eligible[i]
		}
		if !any {
			continue
		}
		t.text = newName(o.Title)
		t.expect(tx, bill, items)
		all = append(all, t)
	}
	for i, it := range tx.Items {
		if len(items[i].Entries) == 0 {
			continue
		}
		t := target{item: i, eligible: takeRoom()}
		t.eligible[i] = true
		t.expectSale(it, &items[i])
		all = append(all, t)
	}
	return all
}

// expect fills in what an offer's lines may show.
func (t *target) expect(tx *plan.Transaction, bill *plan.TransactionBill, items []ItemMatch) {
	o := t.offer
	for i := range bill.Lines {
		for _, d := range bill.Lines[i].Deductions {
			if d.Offer != o.ID {
				continue
			}
			t.add(d.Amount, amountExact)
			t.total = t.total.Add(d.Amount)
			t.uses += d.Uses
			if d.Uses > 1 && d.Amount.Cents()%int64(d.Uses) == 0 {
				t.add(money.FromCents(d.Amount.Cents()/int64(d.Uses)), amountExact)
			}
		}
	}
	for _, d := range bill.BasketDeductions {
		if d.Offer == o.ID {
			t.total = t.total.Add(d.Amount)
		}
	}
	t.uses = max(t.uses, 1)
	t.add(t.total, amountExact)
	if one := o.Deduct.Amount; one != nil && t.uses > 1 && one.Sign() > 0 {
		// The last of several uses may be cut to what is left of its item.
		t.add(money.FromCents(t.total.Cents()%one.Cents()), amountExact)
	}
	t.byValue(o.Deduct, tx, items, amountExact-2)
	for i := range o.SeenValues {
		t.byValue(&o.SeenValues[i], tx, items, amountOther)
	}
}

// byValue adds what the deduction d gives by itself: for one use, for several,
// and as a percentage of the prices that tills take it of.
func (t *target) byValue(d *plan.Deduct, tx *plan.Transaction, items []ItemMatch, score int) {
	if d.Amount != nil {
		for n := 1; n <= t.uses; n++ {
			t.add(d.Amount.Mul(n), score)
		}
		for i, it := range tx.Items {
			if n := items[i].Units; t.eligible[i] && n > 0 { // cut to the price
				t.add(money.Min(d.Amount.Mul(t.uses), it.Cost(n)), score)
			}
		}
		return
	}
	if t.offer.Spend != nil {
		return // it takes a share of the basket, not of an item
	}
	for i, it := range tx.Items {
		if !t.eligible[i] || len(items[i].Entries) == 0 {
			continue
		}
		for n := 1; n <= max(items[i].Units, 1); n++ {
			for _, price := range [...]money.Amount{it.Cost(n), it.Shelf.Mul(n)} {
				switch {
				case d.Percent != nil:
					t.add(d.Percent.Of(price), min(score, amountOther))
				case d.Free:
					t.add(price, min(score, amountOther))
				case d.To != nil:
					t.add(money.Max(price.Sub(d.To.Mul(n)), money.Amount{}), min(score, amountOther))
				}
			}
		}
	}
}

func (t *target) add(a money.Amount, score int) {
	if a.Sign() <= 0 {
		return
	}
	for i := range t.forms {
		if t.forms[i].amount == a {
			t.forms[i].score = max(t.forms[i].score, score)
			return
		}
	}
	if t.forms == nil {
		t.forms = make([]form, 0, 8)
	}
	t.forms = append(t.forms, form{a, score})
}

// expectSale fills in what the savings lines of an item's sale may show: for
// all its units, for each entry, and for one unit.
func (t *target) expectSale(it *plan.Item, m *ItemMatch) {
	var gross money.Amount
	for i := range m.Entries {
		e := &m.Entries[i]
		gross = gross.Add(e.Amount)
		n := max(e.Units, 1)
		t.add(e.Amount.Sub(it.Cost(n)), amountExact)
	}
	t.total = gross.Sub(it.Cost(m.Units))
	t.add(t.total, amountExact)
	t.uses = len(m.Entries)
	if t.total.Sign() <= 0 {
		t.total = money.Amount{}
	}
}

// amount is what the amount of a line adds to its score for t.
func (t *target) amount(off money.Amount) int {
	best := 0
	for _, f := range t.forms {
		if f.amount == off {
			best = max(best, f.score)
		} else if c := closeness(f.amount, off) * amountNear / 100; c > best {
			best = c
		}
	}
	return best
}

// reading is a cut with what its text says, worked out once.
type reading struct {
	cut *Cut
	// of is the planned item it is printed for: -1 none known, -2 not planned.
	of int
	// near is the planned item whose line is the nearest above, -1 for none;
	// beneath: nothing stands between but its own lines and other deductions.
	near    int
	beneath bool
	// likes are the planned items that its words name, and how well; stranger
	// how well they name something on the receipt that is not planned.
	likes    []like
	stranger int
}

type like struct{ item, score int }

func read(cut *Cut, items []wanted, c *content, prints map[string][]string) reading {
	r := reading{cut: cut, of: -1}
	r.near, r.beneath = c.itemAbove(cut.Lines[0])
	cut.Last = cut.Lines[0] > c.lastEntry()
	cut.words = hear(cut.Name, &cut.name, cut.lead, prints)
	if cut.Of > 0 && cut.Of < len(c.byLine) && c.byLine[cut.Of] > 0 {
		r.of = c.entries[c.byLine[cut.Of]-1].item
	}
	if len(cut.under.words) > 0 && !cut.namesGoods(items, c) && cut.underNames(items) {
		cut.words.rest = cut.under
		if len(cut.words.percents) == 0 && len(cut.words.values) == 0 {
			cut.words.percents, cut.words.values = percentsIn(cut.underText), valuesIn(cut.underText)
		}
	}
	if cut.words.rest.size < 2 {
		return r
	}
	for i := range items {
		if score := items[i].like(&cut.words.rest); score >= hint {
			r.likes = append(r.likes, like{i, score})
		}
	}
	cut.Names, cut.likes = r.names(), r.likes
	for k := range c.entries {
		if c.entries[k].item < 0 && !c.entries[k].Fee {
			r.stranger = max(r.stranger, likeness(&cut.words.rest, &c.entries[k].name))
		}
	}
	return r
}

// names is the one item that the words name better than any other, -1 for none:
// a brand alone names all its goods.
func (r *reading) names() int {
	item, best, second := -1, 0, 0
	for _, l := range r.likes {
		if l.score > best {
			item, best, second = l.item, l.score, best
		} else {
			second = max(second, l.score)
		}
	}
	if best < sure || best-second < 30 {
		return -1
	}
	return item
}

// lastEntry is the line of the last entry above the sums.
func (c *content) lastEntry() int {
	last := len(c.byLine) - 1
	if c.sums > 0 {
		last = c.sums
	}
	for n := last; n > 0; n-- {
		if c.byLine[n] > 0 {
			return n
		}
	}
	return 0
}

// itemAbove is the planned item of the nearest entry above a line, -1 for none;
// beneath is whether only deductions stand between.
func (c *content) itemAbove(line int) (item int, beneath bool) {
	beneath = true
	for n := line - 1; n > 0; n-- {
		if c.byLine[n] > 0 {
			return max(c.entries[c.byLine[n]-1].item, -1), beneath
		}
		beneath = beneath && c.cutAt(n) != nil
	}
	return -1, false
}

// offBasket reports whether t comes off all of several goods that were bought: its line names
// none of them.
func (t *target) offBasket() bool {
	several := 0
	for _, may := range t.eligible {
		if may {
			several++
		}
	}
	return t.offer != nil && t.offer.Spend != nil && several > 1
}

// suits says how well the text and place of a line speak for t, without its
// amount: above zero for, below against.
func (r *reading) suits(t *target) int {
	v := &r.cut.words
	got := 0
	if t.offer != nil {
		got += v.fits(t.offer)
		if v.savings {
			got -= 15
		}
	} else {
		switch {
		case v.savings:
			got += 25
		case v.sale && !v.other:
			got += 15
		case v.maker || v.app || v.paper:
			got -= 30
		}
		if len(v.percents) > 0 {
			got -= 30
		}
	}
	switch {
	case r.of == -1 && r.near >= 0 && t.eligible[r.near]:
		got += 4
	case r.of == -1:
	case t.offer != nil && t.offer.Spend != nil && r.of >= 0 && !r.cut.Last:
		got -= 10 // what comes off the basket is printed below the goods
	case r.of >= 0 && t.eligible[r.of]:
		got += 25
	case t.offer == nil:
		got -= 60
	case t.offer.Spend != nil:
	case r.cut.Last:
		got -= 5 // it may stand there because coupons are gathered at the end
	default:
		got -= 25
	}
	own, other := 0, r.stranger
	if t.offer != nil && v.rest.size >= 2 {
		own = likeness(&v.rest, &t.text)
	}
	for _, l := range r.likes {
		if t.eligible[l.item] && !(r.cut.Last && t.offBasket() && l.score >= sure) {
			own = max(own, l.score)
		} else {
			other = max(other, l.score)
		}
	}
	switch {
	case other >= enough && other-own >= 30:
		got -= 40
	case own < hint && v.rest.size >= 4 && !(t.offer == nil && other == 0 && r.of >= 0 && t.eligible[r.of]):
		got -= 12
	case own >= 2*hint:
		got += own / 4
	}
	return got
}

// score is how well the line is t (about 0 to 130), 0 where its text speaks against it: then
// the amount alone is no ground.
func (r *reading) score(t *target) (score, text int) {
	text = r.suits(t)
	amount := 0
	if r.cut.Known {
		amount = t.amount(r.cut.Off)
	}
	if r.cut.Voided {
		// What it was before it was taken back says whose it is where it fits.
		if was := t.amount(r.cut.Was); was >= amountOther {
			amount = was
		}
	}
	if t.offer == nil && amount < amountExact && (text < 30 || !r.cut.words.sale) {
		return 0, text
	}
	if text <= -20 || amount < amountOther && text <= 0 {
		return 0, text
	}
	return max(0, 25+text+amount), text
}
