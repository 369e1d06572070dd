package audit

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"

	"github.com/shopspring/decimal"
)

// style is how the till of these tests prints: by chance for each receipt.
type style struct {
	quantityBeneath bool // a line "3 @ 4.29" beneath the item
	repeat          bool // a line for each unit
	savings         bool // the regular price, and the sale as a line of its own
	gathered        bool // deductions at the end, not beneath their items
	perUse          bool // a line for each use
	cryptic         bool // coupon texts that name no item

	// What the till did besides what it rang of the plan.
	voided    string // the offer taken and taken back
	unplanned []parse.Line
	noSavings bool // the sale was not rung, so that no savings are printed
}

func randomStyle(r *rand.Rand) style {
	return style{quantityBeneath: r.IntN(2) == 0, repeat: r.IntN(3) == 0, savings: r.IntN(2) == 0,
		gathered: r.IntN(2) == 0, perUse: r.IntN(2) == 0, cryptic: r.IntN(4) == 0}
}

// printer prints receipts as the parser would read them: with every amount
// proved and every line read. text is the same on paper.
type printer struct {
	style
	r     *parse.Receipt
	sum   money.Amount
	later []func()
}

// printBill prints what a till rang, sums and all.
func printBill(p *plan.Plan, tx *plan.Transaction, b *plan.TransactionBill, s style) *parse.Receipt {
	t := &printer{style: s, r: &parse.Receipt{
		Kind: parse.KindSale, Store: strings.ToUpper(p.Store.Name), Date: b.Date.String(),
		Complete: parse.Complete{Top: true, Bottom: true},
	}}
	if p.Store.Name != "" {
		t.line(parse.LineOther, t.r.Store, nil)
	}
	for i := range b.Lines {
		t.item(p, tx.Items[i], &b.Lines[i])
	}
	for _, l := range s.unplanned {
		t.add(parse.LineItem, l.Name, *l.Amount)
	}
	for _, f := range t.later {
		f()
	}
	for _, d := range b.BasketDeductions {
		t.deduct(p, d.Offer, d.Amount, 1, 0, "WHOLE BSKT")
	}
	t.sums(b)
	for _, c := range b.Credits {
		t.credit(c)
	}
	return t.r
}

func (t *printer) line(kind parse.LineKind, text string, amount *money.Amount) *parse.Line {
	l := parse.Line{N: len(t.r.Lines) + 1, Kind: kind, Text: text, Name: text, Amount: amount, Confidence: 1}
	if amount != nil {
		l.Proof = parse.Proved
		l.Text = fmt.Sprintf("%-28s%9s", text, amount)
	}
	t.r.Lines = append(t.r.Lines, l)
	return &t.r.Lines[len(t.r.Lines)-1]
}

func (t *printer) add(kind parse.LineKind, text string, amount money.Amount) *parse.Line {
	t.sum = t.sum.Add(amount)
	return t.line(kind, text, &amount)
}

// short is the till's shorthand of a name: no vowels but the first letters,
// words cut to five letters, no sizes.
func short(name string) string {
	var words []string
	for _, w := range strings.Fields(strings.ToUpper(name)) {
		if w[0] >= '0' && w[0] <= '9' || len(w) == 1 {
			continue
		}
		s := w[:1] + strings.NewReplacer("A", "", "E", "", "I", "", "O", "", "U", "").Replace(w[1:])
		words = append(words, s[:min(len(s), 5)])
	}
	return strings.Join(words, " ")
}

func (t *printer) item(p *plan.Plan, it *plan.Item, l *plan.BillLine) {
	if l.Quantity == 0 {
		return
	}
	name, price, saved := short(it.Name), l.Price, money.Amount{}
	if t.savings && !t.noSavings && l.Regular.Cmp(price) > 0 {
		price, saved = l.Regular, l.Regular.Sub(l.Price)
	}
	at := 0
	if t.repeat && price.Cents()%int64(l.Quantity) == 0 {
		each := price.Fraction(1, int64(l.Quantity))
		for range l.Quantity {
			at = t.add(parse.LineItem, name, each).N
		}
	} else {
		n := decimal.NewFromInt(int64(l.Quantity))
		main := t.add(parse.LineItem, name, price)
		at = main.N
		switch {
		case l.Quantity == 1:
		case t.quantityBeneath:
			q := t.line(parse.LineQuantity, fmt.Sprintf("%d @ %s", l.Quantity, it.Shelf), nil)
			q.Quantity, q.Of = &n, at
		default:
			main.Quantity = &n
		}
	}
	if !saved.IsZero() {
		t.add(parse.LineDeduction, "SALE SAVINGS", saved.Neg()).Of = at
	}
	if !l.Fee.IsZero() {
		t.add(parse.LineFee, "DEPOSIT", l.Fee).Of = at
	}
	for _, o := range p.Offers {
		if o.ID == t.voided && o.Covers(it) {
			text := map[string]string{"store": "STORE CPN ", "maker": "MFR CPN "}[o.FundedBy] + name[strings.LastIndex(name, " ")+1:]
			one := money.FromCents(77)
			of := t.add(parse.LineDeduction, text, one.Neg()).N
			t.add(parse.LineVoid, "VOID "+text, one).Of = of
			t.voided = ""
		}
	}
	for _, d := range l.Deductions {
		print := func(of int) { t.deduct(p, d.Offer, d.Amount, d.Uses, of, name) }
		if t.gathered {
			t.later = append(t.later, func() { print(0) })
		} else {
			print(at)
		}
	}
}

func (t *printer) deduct(p *plan.Plan, id string, amount money.Amount, uses, of int, item string) {
	var o *plan.Offer
	for _, other := range p.Offers {
		if other.ID == id {
			o = other
		}
	}
	words := map[string]string{"app": "DIGITAL CPN", "loyalty": "MEMBER DEAL", "paper": "STORE CPN", "print": "STORE CPN", "shelf": "PROMO"}[o.CarriedAs]
	if o.FundedBy == "maker" {
		words = "MFR CPN"
	}
	text := words
	if !t.cryptic || of == 0 {
		text += " " + item[strings.LastIndex(item, " ")+1:]
	}
	if o.Deduct.Percent != nil {
		text += " " + o.Deduct.Percent.String()
	}
	if t.perUse && o.Deduct.Amount != nil && uses > 1 && amount == o.Deduct.Amount.Mul(uses) {
		for range uses {
			t.add(parse.LineDeduction, text, o.Deduct.Amount.Neg()).Of = of
		}
		return
	}
	t.add(parse.LineDeduction, text, amount.Neg()).Of = of
}

func (t *printer) sums(b *plan.TransactionBill) {
	sub := t.sum
	t.line(parse.LineSubtotal, "SUBTOTAL", &sub)
	t.r.Subtotal = &sub
	if !b.Tax.IsZero() {
		tax := b.Tax
		t.line(parse.LineTax, "TAX", &tax)
		t.r.Tax = &tax
	}
	total := sub.Add(b.Tax)
	t.line(parse.LineTotal, "TOTAL", &total)
	t.r.Total = &total
	n := t.line(parse.LineTender, "CARD", &total).N
	t.r.Tenders = []parse.Tender{{Kind: "card", Amount: total, Line: n}}
}

func (t *printer) credit(c plan.BillCredit) {
	value := c.Value
	l := t.line(parse.LineCredit, strings.ToUpper(c.Kind)+" EARNED", &value)
	if c.Kind == "points" {
		l.Amount, l.Points, l.Text, l.Name = nil, c.Points, fmt.Sprintf("YOU EARNED %d POINTS", c.Points), ""
	}
	l.Proof = parse.Read
}
