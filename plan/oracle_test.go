package plan_test

import (
	"math/big"
	"slices"
	"sort"

	"tillproof/money"
	"tillproof/plan"
)

// oracle prices a plan a second time, as slowly and plainly as the rules are
// written: exact fractions for every unit, nothing prepared, nothing shared with
// the package under test but its types. It leaves out texts and warnings.
type oracle struct {
	p    *plan.Plan
	used map[*plan.Offer]int
	days map[*plan.Offer]map[plan.Date]int
}

type oUnit struct {
	left  *big.Rat // in cents
	line  *oLine
	slots map[string]bool
}

type oLine struct {
	item                *plan.Item
	units               []*oUnit
	price, regular      int64
	shelf, store, maker int64 // taken off by steps
	shareS, shareM      int64 // of basket deductions
	offs                map[string]int64
	uses                map[string]int
}

// left is what is left of a line, in cents.
func (l *oLine) left() int64 {
	return l.price - l.shelf - l.store - l.maker - l.shareS - l.shareM
}

type oBill struct {
	lines                    []*oLine
	baskets                  []oBasket
	tax, fees, rounding, out int64
	credits, rebates         map[string]int64
	final                    int64
}

type oBasket struct {
	offer  string
	amount int64
}

func rat(n int64) *big.Rat { return new(big.Rat).SetInt64(n) }

// halfUp rounds to whole cents, half up; r is not negative.
func halfUp(r *big.Rat) int64 {
	n := new(big.Int).Mul(r.Num(), big.NewInt(2))
	n.Add(n, r.Denom())
	return n.Div(n, new(big.Int).Mul(r.Denom(), big.NewInt(2))).Int64()
}

func rate(r money.Rate) *big.Rat {
	x, _ := new(big.Rat).SetString(r.Decimal().String())
	return x.Quo(x, rat(100))
}

func covers(words []string, it *plan.Item) bool {
	for _, w := range words {
		if w == it.ID || slices.Contains(it.Tags, w) {
			return true
		}
	}
	return false
}

func (o *oracle) price() []*oBill {
	o.used, o.days = map[*plan.Offer]int{}, map[*plan.Offer]map[plan.Date]int{}
	var bills []*oBill
	for _, tx := range o.p.Transactions {
		bills = append(bills, o.transaction(tx))
	}
	return bills
}

func (o *oracle) transaction(tx *plan.Transaction) *oBill {
	b := &oBill{credits: map[string]int64{}, rebates: map[string]int64{}}
	for _, it := range tx.Items {
		b.lines = append(b.lines, newOLine(it))
		b.fees += it.Fee.Cents() * int64(it.Quantity)
	}
	order := o.p.Store.Policy.Order
	if order == nil {
		order = []plan.Step{"shelf", "store", "maker"}
	}
	over := map[*plan.Offer]int64{}
	var overOrder []*plan.Offer
	for _, step := range order {
		for _, of := range o.p.Offers {
			if of.Deduct != nil && of.Spend == nil && of.Step() == step {
				if n := o.deduct(tx, b, of); n > 0 {
					over[of] = n
					overOrder = append(overOrder, of)
				}
			}
		}
	}
	for _, of := range overOrder {
		o.shareOut(b, of, b.lines, min(over[of], leftOf(b.lines)))
	}
	for _, of := range o.p.Offers {
		if of.Deduct != nil && of.Spend != nil {
			o.basket(tx, b, of)
		}
	}
	o.tax(b)
	for _, l := range b.lines {
		b.out += l.left()
	}
	b.out += b.tax + b.fees
	if step := o.p.Store.Policy.CashRounding.Cents(); step > 0 && len(tx.PayWith) == 1 && tx.PayWith[0].Kind == "cash" {
		b.rounding = (2*b.out+step)/(2*step)*step - b.out
		b.out += b.rounding
	}
	b.final = b.out
	for _, of := range o.p.Offers {
		o.reward(tx, b, of)
	}
	return b
}

func newOLine(it *plan.Item) *oLine {
	l := &oLine{item: it, offs: map[string]int64{}, uses: map[string]int{}}
	each := make([]*big.Rat, it.Quantity)
	shelf := it.Shelf.Cents()
	switch s := it.Sale; {
	case it.Weight != nil:
		price := shelf
		if s != nil {
			price = s.Price.Cents()
		}
		w, _ := new(big.Rat).SetString(it.Weight.String())
		l.regular = halfUp(new(big.Rat).Mul(rat(shelf), w))
		each[0] = rat(halfUp(new(big.Rat).Mul(rat(price), w)))
	case s == nil:
		for i := range each {
			each[i] = rat(shelf)
		}
	default:
		full := it.Quantity
		if s.MustBuy > 0 {
			full = it.Quantity / s.MustBuy * s.MustBuy
		}
		group := halfUp(new(big.Rat).Mul(rat(int64(full)), big.NewRat(s.Price.Cents(), int64(s.For))))
		for i := range each {
			each[i] = rat(shelf)
			if i < full {
				each[i] = big.NewRat(group, int64(full))
			}
		}
	}
	if it.Weight == nil {
		l.regular = shelf * int64(it.Quantity)
	}
	sum := new(big.Rat)
	for _, e := range each {
		sum.Add(sum, e)
		l.units = append(l.units, &oUnit{left: e, line: l, slots: map[string]bool{}})
	}
	l.price = halfUp(sum)
	return l
}

// allowed is how often of may be used in tx.
func (o *oracle) allowed(tx *plan.Transaction, of *plan.Offer) int {
	date := o.date(tx)
	n := 1 << 30
	if !of.Valid.Contains(date) {
		return 0
	}
	if !of.Repeats {
		n = 1
	}
	if of.Held != nil {
		n = min(n, *of.Held-o.used[of])
	}
	if l := of.Limit.PerTransaction; l > 0 {
		n = min(n, l)
	}
	if l := of.Limit.Total; l > 0 {
		n = min(n, l-o.used[of])
	}
	if l := of.Limit.TransactionsPerDay; l > 0 && o.days[of][date] >= l {
		n = 0
	}
	return max(n, 0)
}

func (o *oracle) date(tx *plan.Transaction) plan.Date {
	if tx.Date.IsZero() {
		return o.p.Date
	}
	return tx.Date
}

func (o *oracle) use(tx *plan.Transaction, of *plan.Offer, n int) {
	if n == 0 {
		return
	}
	o.used[of] += n
	if o.days[of] == nil {
		o.days[of] = map[plan.Date]int{}
	}
	o.days[of][o.date(tx)]++
}

func (o *oracle) slot(of *plan.Offer) string {
	switch {
	case of.FundedBy == "maker" && of.CarriedAs == "shelf":
		return ""
	case of.FundedBy == "maker":
		return "maker"
	case of.CarriedAs == "shelf" && of.Buy > 1:
		return "group"
	case of.CarriedAs == "shelf":
		return ""
	case (of.CarriedAs == "app" || of.CarriedAs == "loyalty") && !o.p.Store.Policy.OneAppOrStoreSlot:
		return "app"
	}
	return "store"
}

// deduct takes of off and returns what its coupons are worth above their lines.
func (o *oracle) deduct(tx *plan.Transaction, b *oBill, of *plan.Offer) (over int64) {
	slot, policy := o.slot(of), o.p.Store.Policy
	var units []*oUnit
	for _, l := range b.lines {
		for _, u := range l.units {
			free := policy.NoCouponOnFreeUnit && of.CarriedAs != "shelf" && u.left.Sign() == 0
			if covers(of.AppliesTo, l.item) && !(slot != "" && u.slots[slot]) && !free {
				units = append(units, u)
			}
		}
	}
	place := map[*oUnit]int{}
	for i, u := range units {
		place[u] = i
	}
	sort.SliceStable(units, func(i, j int) bool { return units[i].left.Cmp(units[j].left) > 0 })
	allowed, used := o.allowed(tx, of), 0
	var groups [][]*oUnit // groups used whose amount depends on the units
	for len(units) >= of.Buy && used < allowed {
		group := units[:of.Buy]
		units = units[of.Buy:]
		reduced := slices.Clone(group)
		if of.Reduces > 0 {
			sort.SliceStable(reduced, func(i, j int) bool {
				if c := reduced[i].left.Cmp(reduced[j].left); c != 0 {
					return c < 0
				}
				return place[reduced[i]] < place[reduced[j]]
			})
			reduced = reduced[:of.Reduces]
		}
		if of.Deduct.Amount == nil {
			if something(of, reduced) {
				groups = append(groups, append(slices.Clone(reduced), group...))
				used++
			}
			continue
		}
		taken := o.takeFixed(b, of, reduced)
		if overage := policy.Overage && of.CarriedAs != "shelf"; taken == 0 && !overage {
			continue
		} else if overage {
			over += of.Deduct.Amount.Cents() - taken
		}
		for _, u := range group {
			u.slots[slot] = true
		}
		used++
	}
	if of.Deduct.Amount == nil {
		used = o.takeByUnit(b, of, groups, slot)
	}
	o.use(tx, of, used)
	return over
}

func something(of *plan.Offer, units []*oUnit) bool {
	for _, u := range units {
		if to := of.Deduct.To; to == nil && u.left.Sign() > 0 || to != nil && (u.line.item.Weight != nil || u.left.Cmp(rat(to.Cents())) > 0) {
			return true
		}
	}
	return false
}

func (o *oracle) takeFixed(b *oBill, of *plan.Offer, reduced []*oUnit) int64 {
	var lines []*oLine
	for _, l := range b.lines {
		if slices.ContainsFunc(reduced, func(u *oUnit) bool { return u.line == l }) {
			lines = append(lines, l)
		}
	}
	amount := min(of.Deduct.Amount.Cents(), leftOf(lines))
	counted := false
	for i, share := range shares(amount, lines) {
		lines[i].take(of, share, onLine(reduced, lines[i]))
		if share > 0 && !counted {
			lines[i].uses[of.ID]++
			counted = true
		}
	}
	return amount
}

func onLine(units []*oUnit, l *oLine) (on []*oUnit) {
	for _, u := range units {
		if u.line == l {
			on = append(on, u)
		}
	}
	return on
}

// takeByUnit takes a percentage, free or "to" off; each group has its reduced
// units first and then all of its units.
func (o *oracle) takeByUnit(b *oBill, of *plan.Offer, groups [][]*oUnit, slot string) (used int) {
	n := of.Reduces
	if n == 0 {
		n = of.Buy
	}
	amounts, reduced := map[*oLine]int64{}, map[*oLine][]*oUnit{}
	for _, g := range groups {
		for _, u := range g[:n] {
			reduced[u.line] = append(reduced[u.line], u)
		}
	}
	for l, units := range reduced {
		amounts[l] = min(o.byUnit(of, l, units), l.left())
	}
	for _, g := range groups {
		var first *oLine
		for _, l := range b.lines {
			if first == nil && amounts[l] > 0 && len(onLine(g[:n], l)) > 0 {
				first = l
			}
		}
		if first == nil {
			continue
		}
		first.uses[of.ID]++
		used++
		for _, u := range g[n:] {
			u.slots[slot] = true
		}
	}
	for l, units := range reduced {
		l.take(of, amounts[l], units)
	}
	return used
}

func (o *oracle) byUnit(of *plan.Offer, l *oLine, units []*oUnit) int64 {
	if to := of.Deduct.To; to != nil && l.item.Weight != nil {
		w, _ := new(big.Rat).SetString(l.item.Weight.String())
		price := l.item.Shelf
		if l.item.Sale != nil {
			price = l.item.Sale.Price
		}
		off := new(big.Rat).Mul(rat(price.Cents()-to.Cents()), w)
		off.Sub(off, rat(l.price-l.left()))
		return halfUp(positivePart(off))
	}
	sum, rounded := new(big.Rat), int64(0)
	for _, u := range units {
		off := new(big.Rat).Set(u.left)
		if to := of.Deduct.To; to != nil {
			off = positivePart(off.Sub(off, rat(to.Cents())))
		}
		if of.Deduct.Percent != nil {
			off.Mul(off, rate(*of.Deduct.Percent))
		}
		sum.Add(sum, off)
		rounded += halfUp(off)
	}
	if o.p.Store.Policy.RoundByUnit && of.Deduct.Percent != nil {
		return rounded
	}
	return halfUp(sum)
}

func positivePart(r *big.Rat) *big.Rat {
	if r.Sign() < 0 {
		return new(big.Rat)
	}
	return r
}
