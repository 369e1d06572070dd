package plan

import (
	"tillproof/money"
)

// compiled is what pricing needs of a plan, by index instead of by name, so
// that a plan is looked through once and priced many times.
type compiled struct {
	of     *Plan // the plan it was made of: a changed copy needs its own
	offers []compiledOffer
	// steps are the offers that take slots, in the order of the store's steps;
	// the others are in file order.
	steps, spends, credits, rebates []int
	taxes                           []Tax
	txs                             []compiledTx
	// before is the state in which each transaction begins, the earlier ones
	// having gone as planned.
	before []tally
	// tooLarge are offers whose credit or rebate is above any amount of money.
	tooLarge []int
}

type compiledOffer struct {
	*Offer
	step    stepIndex
	slot    slots
	measure Measure
	fixed   money.Amount // Deduct.Amount
	coupon  bool         // carried by the shopper: not an automatic offer
}

// stepIndex counts the steps in their usual order.
type stepIndex int

const (
	stepShelf stepIndex = iota
	stepStore
	stepMaker
)

type compiledTx struct {
	tx    *Transaction
	lines []line
	units []unit
	// applies are the items of each offer, taxed those of each tax, as indexes
	// in ascending order.
	applies, taxed [][]int32
}

// Prepare works out once what every pricing of p needs. Load does it. A plan
// that was made by hand, or copied and then changed, is priced without it, only
// more slowly. Of a copy, what was changed must be new as well: a new slice of
// offers, a new Offer in it, and so on, as what is the same is not looked at
// again. A plan that is changed in place must be prepared again.
func (p *Plan) Prepare() {
	c := compile(p, nil)
	c.statesUpTo(len(c.txs))
	p.compiled = c
}

// ready returns what Prepare left, or makes it anew for a plan that was copied
// or never prepared, with the states up to that of transaction upTo. It leaves
// p as it is, so that pricing may run in parallel.
func (p *Plan) ready(upTo int) *compiled {
	if c := p.compiled; c != nil && c.of == p {
		return c
	}
	c := compile(p, p.compiled)
	c.statesUpTo(upTo)
	return c
}

// compile prepares p. was is what was prepared of the plan that p is a copy of,
// nil where that is not known; what is the same in p is taken from it.
func compile(p *Plan, was *compiled) *compiled {
	c := &compiled{of: p, offers: make([]compiledOffer, len(p.Offers)), txs: make([]compiledTx, len(p.Transactions))}
	for i, o := range p.Offers {
		c.offers[i] = compileOffer(o, &p.Store.Policy)
		switch {
		case o.Credit != nil:
			c.credits = append(c.credits, i)
		case o.Rebate != nil:
			c.rebates = append(c.rebates, i)
		case o.Spend != nil:
			c.spends = append(c.spends, i)
		}
	}
	order := p.Store.Policy.Order
	if order == nil {
		order = []Step{StepShelf, StepStore, StepMaker}
	}
	for _, step := range order {
		for i, o := range p.Offers {
			if o.Deduct != nil && o.Spend == nil && o.Step() == step {
				c.steps = append(c.steps, i)
			}
		}
	}
	for i, tx := range p.Transactions {
		if was != nil && i < len(was.txs) && was.txs[i].tx == tx && same(was.taxes, p.Taxes) {
			c.txs[i] = was.txs[i].of(p, was)
		} else {
			c.txs[i] = compileTx(p, tx)
		}
	}
	c.taxes = p.Taxes
	return c
}

// same reports whether a and b are one slice.
func same[T any](a, b []T) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// statesUpTo prices the transactions before number n as planned, for the state
// in which each begins and n would.
func (c *compiled) statesUpTo(n int) {
	now := newTally(c)
	for i := 0; ; i++ {
		c.before = append(c.before, now.snapshot())
		if i >= n || i >= len(c.txs) {
			return
		}
		r := newRun(c, &c.txs[i], nil)
		r.tally = now
		r.price()
		now, r.tally = r.tally, tally{}
		r.release()
	}
}

func compileOffer(o *Offer, policy *Policy) compiledOffer {
	c := compiledOffer{Offer: o, measure: o.Measure, coupon: o.CarriedAs != "shelf"}
	if c.measure == "" {
		c.measure = policy.Measure
	}
	if c.measure == "" {
		c.measure = MeasureSale
	}
	if o.Deduct != nil && o.Deduct.Amount != nil {
		c.fixed = *o.Deduct.Amount
	}
	switch o.Step() {
	case StepMaker:
		c.step = stepMaker
		if c.coupon {
			c.slot = slotMaker
		}
	case StepStore:
		c.step, c.slot = stepStore, slotStore
		if digital := o.CarriedAs == "app" || o.CarriedAs == "loyalty"; digital && !policy.OneAppOrStoreSlot {
			c.slot = slotApp
		}
	default:
		if o.Buy > 1 {
			c.slot = slotGroup
		}
	}
	return c
}

// of returns t for plan p, a copy of the plan that was was made of, in which the
// transaction is the same and offers may differ.
func (t compiledTx) of(p *Plan, was *compiled) compiledTx {
	applies := make([][]int32, len(p.Offers))
	for i, o := range p.Offers {
		if i < len(was.offers) && same(was.offers[i].AppliesTo, o.AppliesTo) {
			applies[i] = t.applies[i]
			continue
		}
		for k, it := range t.tx.Items {
			if o.Covers(it) {
				applies[i] = append(applies[i], int32(k))
			}
		}
	}
	t.applies = applies
	return t
}

func compileTx(p *Plan, tx *Transaction) compiledTx {
	t := compiledTx{tx: tx}
	byWord := map[string][]int32{}
	for i, it := range tx.Items {
		t.lines, t.units = appendLine(t.lines, t.units, it, RungItem{Quantity: it.Quantity})
		for _, word := range append([]string{it.ID}, it.Tags...) {
			byWord[word] = append(byWord[word], int32(i))
		}
	}
	all := make([]int32, len(tx.Items))
	for i := range all {
		all[i] = int32(i)
	}
	for _, o := range p.Offers {
		t.applies = append(t.applies, union(byWord, o.AppliesTo, len(all)))
	}
	for _, tax := range p.Taxes {
		items := all
		if tax.Items != nil {
			items = union(byWord, tax.Items, len(all))
		}
		t.taxed = append(t.taxed, items)
	}
	return t
}

// union returns the items that any of the words names, once each, in order.
func union(byWord map[string][]int32, words []string, n int) []int32 {
	if len(words) == 1 {
		return dedupe(byWord[words[0]])
	}
	in := make([]bool, n)
	for _, word := range words {
		for _, i := range byWord[word] {
			in[i] = true
		}
	}
	var items []int32
	for i, yes := range in {
		if yes {
			items = append(items, int32(i))
		}
	}
	return items
}

// dedupe drops repeats from an ascending list: an item may have a tag twice.
func dedupe(items []int32) []int32 {
	for i := 1; i < len(items); i++ {
		if items[i] == items[i-1] {
			short := append([]int32(nil), items[:i]...)
			for _, it := range items[i:] {
				if it != short[len(short)-1] {
					short = append(short, it)
				}
			}
			return short
		}
	}
	return items
}

// Covers reports whether o applies to it.
func (o *Offer) Covers(it *Item) bool {
	for _, word := range o.AppliesTo {
		if word == it.ID {
			return true
		}
		for _, tag := range it.Tags {
			if word == tag {
				return true
			}
		}
	}
	return false
}

// tally is how far the plan has got with each offer.
type tally struct {
	uses []int
	// when are the days of the transactions in which each offer with a limit for
	// a day was used; nil where no offer has one. A snapshot shares the inner
	// slices, which are only ever appended to.
	when   [][]Date
	earned []money.Amount // credits given
	paid   []money.Amount // credits spent again
}

func newTally(c *compiled) tally {
	n := len(c.offers)
	t := tally{uses: make([]int, n), earned: make([]money.Amount, n), paid: make([]money.Amount, n)}
	for i := range c.offers {
		if c.offers[i].Limit.TransactionsPerDay > 0 {
			t.when = make([][]Date, n)
			break
		}
	}
	return t
}

// snapshot returns t as it is now, whatever becomes of t.
func (t tally) snapshot() tally {
	var s tally
	s.copy(t)
	return s
}

// copy makes t what from is now, in the room that t has.
func (t *tally) copy(from tally) {
	t.uses = append(t.uses[:0], from.uses...)
	t.earned = append(t.earned[:0], from.earned...)
	t.paid = append(t.paid[:0], from.paid...)
	t.when = t.when[:0]
	for _, days := range from.when {
		t.when = append(t.when, days[:len(days):len(days)])
	}
}
