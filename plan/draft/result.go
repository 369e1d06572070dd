package draft

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"

	"github.com/shopspring/decimal"
)

// FromResult makes a plan of the receipt in a result, as read or check print it
// with --json: its items with what was printed for them, and its deductions as
// offers that take off the same. It is meant for the next trip, or for a plan
// that was never written down; checking the same receipt against it proves
// nothing. The error says why there is no plan.
func FromResult(src []byte) (*Draft, error) {
	var result struct {
		Receipt *parse.Receipt `json:"receipt"`
	}
	if err := json.Unmarshal(src, &result); err != nil {
		return nil, fmt.Errorf("it is no result: %w", err)
	}
	r := result.Receipt
	switch {
	case r == nil || len(r.Lines) == 0:
		return nil, errors.New("there is no receipt in it; give what read or check prints with --json")
	case r.Kind != parse.KindSale && r.Kind != "":
		return nil, fmt.Errorf("it is a %s and no receipt of a sale", r.Kind)
	}
	for _, m := range []mode{asPrinted, amounts} {
		if d, err := newTape(r, m).draft(); d != nil || err != nil {
			return d, err
		}
	}
	return newTape(r, plainAmounts).draft()
}

// mode is how deductions are written: the first that comes to what the receipt
// does is taken.
type mode int

const (
	asPrinted    mode = iota // percentages and coupons as the words on the receipt say
	amounts                  // amounts, as a percentage may be of something else in a plan's order
	plainAmounts             // amounts that carry no coupon, as a unit has room for few
)

// tape is a receipt that is being made a plan.
type tape struct {
	*book
	receipt      *parse.Receipt
	mode         mode
	ids, offered map[string]bool
	done         map[int]bool   // lines, by N
	of           map[int]*goods // items, by their lines' N
	goods        []*goods       // in order
	paid         money.Amount   // what the receipt's lines that are in the plan come to
	deducted     map[*goods]money.Amount
}

// goods are one item of the plan: a line of the receipt, or several like it.
type goods struct {
	name, code string
	quantity   int
	weight     string
	amount     money.Amount // of all units
	each       money.Amount
	fee        money.Amount
	doubtful   bool
	first      *parse.Line
	entry      *entry
}

func newTape(r *parse.Receipt, m mode) *tape {
	return &tape{book: &book{}, receipt: r, mode: m, ids: map[string]bool{}, offered: map[string]bool{},
		done: map[int]bool{}, of: map[int]*goods{}, deducted: map[*goods]money.Amount{}}
}

// draft makes the plan; nil without an error where it does not come to what the
// receipt does, and another mode may.
func (t *tape) draft() (*Draft, error) {
	t.headOf()
	t.voids()
	for i := range t.receipt.Lines {
		t.item(&t.receipt.Lines[i])
	}
	for i := range t.receipt.Lines {
		t.fee(&t.receipt.Lines[i])
	}
	tx := &transaction{id: "trip", payWith: t.tenders()}
	for _, g := range t.goods {
		tx.items = append(tx.items, t.entry(g))
	}
	t.transactions = []*transaction{tx}
	for i := range t.receipt.Lines {
		t.deduction(&t.receipt.Lines[i])
	}
	for i := range t.receipt.Lines {
		t.others(&t.receipt.Lines[i])
	}
	d, err := t.finish()
	if err != nil {
		return d, err
	}
	p, err := plan.Load(d.YAML, "plan.yaml", nil)
	if err != nil {
		return d, err
	}
	if out := p.Price().OutOfPocket; out != t.paid {
		if t.mode != plainAmounts {
			return nil, nil
		}
		t.refused(Note{Part: "the sum"}, "the plan comes to %s and the receipt's lines to %s before tax; look at its offers", out, t.paid)
		return t.finish()
	}
	return d, nil
}

func (t *tape) note(l *parse.Line) Note { return Note{Line: l.N, Part: oneLine(l.Text)} }

func (t *tape) headOf() {
	r := t.receipt
	t.remarks = append(t.remarks,
		"Made of a receipt, for the next trip: prices and offers change, so look at both.",
		"Checking that receipt against this plan proves nothing: it was written from it.")
	if name := oneLine(r.Store); name != "" {
		t.head = append(t.head, field{"store", scalar(name)})
	}
	if _, ok := day(r.Date); ok {
		t.head = append(t.head, field{"date", r.Date})
		if r.DateOther != "" {
			t.remarks = append(t.remarks, "The date may also be "+oneLine(r.DateOther)+".")
		}
	}
	if r.Tax != nil && !r.Tax.IsZero() {
		t.remarks = append(t.remarks, "Tax of "+r.Tax.String()+" was rung. Add tax: {rate: ..., items: [...]} with your rate;",
			"without it, the tax that is rung is taken as it is.")
	}
}

// voids leaves out what the till took back.
func (t *tape) voids() {
	for i := range t.receipt.Lines {
		l := &t.receipt.Lines[i]
		if l.Kind != parse.LineVoid {
			continue
		}
		t.done[l.N] = true
		if l.Of < 1 || l.Of > len(t.receipt.Lines) {
			t.refused(t.note(l), "what it takes back is not known")
			continue
		}
		t.done[l.Of] = true
		t.understood(t.note(l), "takes back line %d: both are left out", l.Of)
	}
}

// amounts adds up what l and the quantity lines that belong to it say.
func (t *tape) amounts(l *parse.Line) (sum money.Amount, ok, doubtful bool) {
	for i := range t.receipt.Lines {
		q := &t.receipt.Lines[i]
		if q.N != l.N && (q.Kind != parse.LineQuantity || q.Of != l.N) {
			continue
		}
		t.done[q.N] = true
		if q.Amount != nil {
			sum, ok = sum.Add(*q.Amount), true
			doubtful = doubtful || q.Proof == parse.Doubtful
		}
	}
	return sum, ok, doubtful
}

func (t *tape) item(l *parse.Line) {
	if l.Kind != parse.LineItem || t.done[l.N] {
		return
	}
	sum, ok, doubtful := t.amounts(l)
	name := oneLine(l.Name)
	switch {
	case !ok:
		t.refused(t.note(l), "its amount cannot be read")
		return
	case sum.Sign() < 0:
		t.refused(t.note(l), "it was given back: its amount is below 0.00")
		return
	case name == "":
		name = "item of " + sum.String()
	}
	g := &goods{name: name, code: l.Code, quantity: 1, amount: sum, each: sum, doubtful: doubtful, first: l}
	if l.Quantity != nil {
		g.count(*l.Quantity, l)
	}
	t.paid = t.paid.Add(sum)
	for _, other := range t.goods {
		if other.name == g.name && other.code == g.code && other.weight == "" && g.weight == "" && other.each == g.each && !g.each.IsZero() {
			other.quantity += g.quantity
			other.amount = other.amount.Add(sum)
			other.doubtful = other.doubtful || doubtful
			t.of[l.N] = other
			t.understood(t.note(l), "%d more of line %d", g.quantity, other.first.N)
			return
		}
	}
	t.of[l.N] = g
	t.goods = append(t.goods, g)
}

// count takes the quantity or weight printed over.
func (g *goods) count(q decimal.Decimal, l *parse.Line) {
	if l.Unit != "" {
		if l.UnitPrice == nil || !l.UnitPrice.IsPositive() || len(l.UnitPrice.String()) > 10 {
			return
		}
		each := money.Round(*l.UnitPrice)
		if each.Times(q) == g.amount && each.Decimal().Equal(*l.UnitPrice) {
			g.weight, g.each = plan.WeightText(q)+" "+strings.ToLower(l.Unit), each
		}
		return
	}
	if !q.IsInteger() || !q.IsPositive() || q.GreaterThan(decimal.New(9999, 0)) {
		return
	}
	g.quantity = int(q.IntPart())
	g.each = money.Amount{}
	if each := g.amount.Fraction(1, int64(g.quantity)); each.Mul(g.quantity) == g.amount {
		g.each = each
	}
}

// fee puts a deposit or charge to its item.
func (t *tape) fee(l *parse.Line) {
	if l.Kind != parse.LineFee || t.done[l.N] || l.Amount == nil {
		return
	}
	t.done[l.N] = true
	g := t.of[l.Of]
	if g == nil || l.Amount.Sign() <= 0 || l.Amount.Cents()%int64(g.quantity) != 0 || !g.fee.IsZero() {
		name := oneLine(l.Name)
		if name == "" || l.Amount.Sign() <= 0 {
			t.refused(t.note(l), "what it is a fee for is not known")
			return
		}
		g = &goods{name: name, quantity: 1, amount: *l.Amount, each: *l.Amount, first: l}
		t.goods, t.of[l.N] = append(t.goods, g), g
		t.paid = t.paid.Add(*l.Amount)
		return
	}
	g.fee = l.Amount.Fraction(1, int64(g.quantity))
	t.paid = t.paid.Add(*l.Amount)
	t.understood(t.note(l), "a fee of %s for each of line %d", g.fee, g.first.N)
}

// entry writes an item.
func (t *tape) entry(g *goods) *entry {
	e := &entry{note: t.note(g.first), id: unique(g.name, t.ids), called: g.name}
	e.add("name", "%s", scalar(g.name))
	if code, err := plan.ParseGTIN(g.code); err == nil {
		_ = code // checked: it is written as it was printed
		e.add("code", "%s", scalar(g.code))
	}
	e.add("prints_as", "%s", list([]string{g.name}))
	switch {
	case g.weight != "":
		e.add("weight", "%s", g.weight)
		e.add("shelf", "%s", price(g.each))
	case g.each.IsZero() && g.quantity > 1: // a price for all of them, which no single price gives
		e.add("quantity", "%d", g.quantity)
		e.add("shelf", "%s", price(g.amount.Fraction(1, int64(g.quantity))))
		e.add("sale", "%d for %s", g.quantity, price(g.amount))
	default:
		if g.quantity > 1 {
			e.add("quantity", "%d", g.quantity)
		}
		e.add("shelf", "%s", price(g.each))
	}
	if !g.fee.IsZero() {
		e.add("fee", "%s", price(g.fee))
	}
	if g.doubtful {
		e.remark = "doubtful on the receipt: check the price"
	}
	g.entry = e
	text := fmt.Sprintf("%d of %s for %s, called %s", g.quantity, g.name, g.amount, e.id)
	if g.doubtful {
		text += "; doubtful, so check it on the paper"
	}
	t.understood(e.note, "%s", text)
	return e
}

// tenders are how it was paid, as far as a plan has words for it.
func (t *tape) tenders() string {
	var kinds []string
	for _, tender := range t.receipt.Tenders {
		known := slices.Contains([]string{"card", "cash", "gift card", "points", "store credit"}, tender.Kind)
		if known && !slices.Contains(kinds, tender.Kind) {
			kinds = append(kinds, tender.Kind)
		}
	}
	if kinds == nil {
		return ""
	}
	return list(kinds)
}
