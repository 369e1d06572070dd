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
// that was made or copied by hand is priced without it, only more slowly, and
// must be prepared again when it is changed after that.
func (p *Plan) Prepare() { p.compiled = compile(p) }

// ready returns what Prepare left, or makes it anew for a plan that was copied
// or never prepared; it leaves p as it is, so that pricing may run in parallel.
func (p *Plan) ready() *compiled {
	if c := p.compiled; c != nil && c.of == p {
		return c
	}
	return compile(p)
}

func compile(p *Plan) *compiled {
	c := &compiled{of: p, offers: make([]compiledOffer, len(p.Offers))}
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
	c.txs = make([]compiledTx, len(p.Transactions))
	for i, tx := range p.Transactions {
		c.txs[i] = compileTx(p, tx)
	}
	c.before = make([]tally, len(p.Transactions))
	now := newTally(c)
	for i := range c.txs {
		c.before[i] = now.snapshot()
		r := newRun(c, &c.txs[i], nil)
		r.tally = now
		r.price()
		now, r.tally = r.tally, tally{}
		r.release()
	}
	return c
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
