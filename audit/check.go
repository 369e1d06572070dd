package audit

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// Input is what one check needs.
type Input struct {
	Plan *plan.Plan
	// Transaction is the id of the plan's transaction; "" where the receipt is
	// to tell.
	Transaction string
	Receipt     *parse.Receipt
	PlanRef     PlanRef
	Tool        string
}

// check is one audit on its way. It walks through the receipt in the order in
// which a till works, and keeps two things: rung, the plan with everything
// replaced that is known to have gone otherwise so far, and bill, what that
// comes to. At each step what should be by then is compared with what the
// receipt shows; where they differ there is a gap, the receipt's side of it
// goes into rung, and what the bill changes by is the gap's effect. So no
// consequence is ever taken for a fault of its own, and the effects add up to
// the difference of the totals by construction.
type check struct {
	in Input
	p  *plan.Plan // in.Plan, but that late offers are still expected
	tx *plan.Transaction
	r  *parse.Receipt
	m  *match.Assignment

	day plan.Date // the receipt's, zero where not read
	// late are the offers planned for a day that has passed on the receipt.
	late []bool

	expected *plan.TransactionBill
	rung     plan.Rung
	bill     *plan.TransactionBill
	paid     paid

	// firm: all lines were read and their sums close. foreign: the receipt is
	// not one of this plan. text: a program wrote it, nothing can be misread.
	firm, foreign, text bool

	// strays are the offers that are taken to have come off an item they are
	// not for (search.go), by Offer.Index.
	strays map[int]int
	// covered are the items of tx that each offer is for, by Offer.Index.
	covered [][]int
	// trial: only what differs is asked, and not how sure it is.
	trial bool
	// openSpread: a line for several items may have come off them in more than
	// one way.
	openSpread bool
	// lineFlags are the flags of the lines, by number, once they are looked up.
	lineFlags []string
	// anyCutFlag: a deduction has one of them.
	anyCutFlag bool
	// flagged are the amounts of goods not planned that the receipt's flags say
	// are taxed.
	flagged []money.Amount

	gaps      []*gap
	tolerated money.Amount
	result    *Result
}

// Check compares what the receipt says the till did with what the plan says it
// should have done.
//
// It fails only where the transaction named is not in the plan.
func Check(in Input) (*Result, error) {
	return checkFirm(in, in.Receipt.FirmBody())
}

// checkFirm is Check, told whether the receipt's body is firm.
func checkFirm(in Input, firm bool) (*Result, error) {
	c := &check{firm: firm, in: in, p: in.Plan, r: in.Receipt, result: &Result{
		Version: 1, Tool: in.Tool, Plan: in.PlanRef, Receipt: in.Receipt,
		Matches: []match.Match{}, Findings: []Finding{}, NotChecked: []Note{}, Due: []Due{},
	}}
	c.readDay()
	if err := c.choose(); err != nil {
		return nil, err
	}
	c.judgeReceipt()
	for _, o := range c.p.Offers {
		c.result.Notes = append(c.result.Notes, o.CodeRemarks()...)
	}
	c.result.Transaction = c.tx.ID
	c.result.Expected = c.expected
	c.result.Matches = c.m.Matches(c.p, c.tx)
	c.result.OutOfPocket = Compared{Expected: c.expected.OutOfPocket}
	if c.anyItem() {
		c.walk()
	}
	c.conclude()
	return c.result, nil
}

// readDay reads the receipt's date; where day and month could be either, the
// reading that is a planned day is taken.
func (c *check) readDay() {
	c.day, _ = plan.ParseDate(c.r.Date)
	if other, err := plan.ParseDate(c.r.DateOther); err == nil {
		for _, tx := range c.p.Transactions {
			if c.planned(tx) == other {
				c.day = other
			}
		}
	}
}

// planned is the day a transaction is planned for, zero where none is.
func (c *check) planned(tx *plan.Transaction) plan.Date {
	if !tx.Date.IsZero() {
		return tx.Date
	}
	return c.in.Plan.Date
}

// choose finds the transaction and matches the receipt to it.
func (c *check) choose() error {
	if len(c.p.Transactions) == 0 {
		return fmt.Errorf("%s: the plan has no transaction to compare the receipt with; add one", c.p.File)
	}
	if c.in.Transaction != "" {
		for _, tx := range c.p.Transactions {
			if tx.ID == c.in.Transaction {
				c.prepare(tx)
				c.m = match.Assign(c.p, tx, c.expected, c.r)
				return nil
			}
		}
		return fmt.Errorf("%s: the plan has no transaction %q; name one of: %s", c.p.File, c.in.Transaction, transactionIDs(c.p))
	}
	if len(c.p.Transactions) == 1 {
		c.prepare(c.p.Transactions[0])
		c.m = match.Assign(c.p, c.tx, c.expected, c.r)
		return nil
	}
	bills := make([]*plan.TransactionBill, len(c.p.Transactions))
	for i, tx := range c.p.Transactions {
		bills[i] = c.p.PriceAs(tx, &plan.Rung{Date: c.day})
	}
	choice := match.Choose(c.p, bills, c.r)
	c.prepare(choice.Transaction)
	c.m = choice.Assignment
	for _, rival := range choice.Rivals {
		c.undecided("the receipt fits transaction %s as well as %s: name it with --transaction", rival.ID, c.tx.ID)
		c.foreign = true
	}
	return nil
}

func transactionIDs(p *plan.Plan) string {
	ids := make([]string, len(p.Transactions))
	for i, tx := range p.Transactions {
		ids[i] = tx.ID
	}
	return strings.Join(ids, ", ")
}

// prepare works out what is expected of tx on the receipt's day.
func (c *check) prepare(tx *plan.Transaction) {
	c.tx = tx
	c.markLate(tx)
	c.covered = make([][]int, len(c.p.Offers))
	for k, o := range c.p.Offers {
		for i, it := range tx.Items {
			if o.Covers(it) {
				c.covered[k] = append(c.covered[k], i)
			}
		}
	}
	c.rung = plan.Rung{Date: c.day, Items: map[int]plan.RungItem{}, Offers: map[int]plan.RungOffer{}, Credits: map[int]money.Amount{}}
	c.paid = readPaid(c.r)
	if len(c.p.Taxes) == 0 {
		// The plan expects no tax: what was rung is taken as it is.
		tax := c.paid.tax
		c.rung.Tax = &tax
	}
	c.expected = c.p.PriceAs(tx, &c.rung)
	c.bill = c.expected
}

// markLate finds the offers that were valid on the planned day and no longer
// on the receipt's. They stay expected, so that what coming late has cost is
// said, and laid to nobody at the store.
func (c *check) markLate(tx *plan.Transaction) {
	was := c.planned(tx)
	if c.day.IsZero() || was.IsZero() || was == c.day {
		return
	}
	c.note("the receipt is of %s, the plan is for %s", c.day, was)
	for i, o := range c.p.Offers {
		if !o.Valid.Contains(was) || o.Valid.Contains(c.day) {
			continue
		}
		if c.late == nil {
			c.late = make([]bool, len(c.p.Offers))
			p := *c.in.Plan
			p.Offers = append([]*plan.Offer(nil), p.Offers...)
			c.p = &p
		}
		c.late[i] = true
		lasting := *o
		lasting.Valid = plan.Span{}
		c.p.Offers[i] = &lasting
	}
	if c.late != nil {
		c.p.Prepare()
	}
}

func (c *check) isLate(o *plan.Offer) bool { return c.late != nil && c.late[o.Index] }

// judgeReceipt finds out how far the receipt can be trusted at all.
func (c *check) judgeReceipt() {
	c.text = true
	for i := range c.r.Lines {
		c.text = c.text && c.r.Lines[i].Photo == 0
	}
	switch c.r.Kind {
	case parse.KindReturn:
		c.foreign = true
		c.undecided("this is the receipt of a return, not of a purchase")
	case parse.KindSlip, parse.KindOther:
		c.foreign = true
		c.undecided("this is no receipt of a purchase")
	}
	switch {
	case c.p.Store.Name == "" || c.r.Store == "" || match.SameStore(c.p.Store.Name, c.r):
	case c.storeUnread() && c.everyItem():
		c.note("the name of the store could not be read; the goods are those planned")
	default:
		c.foreign = true
		c.undecided("the receipt is of %s, the plan is for %s", c.r.Store, c.p.Store.Name)
	}
	if c.twice() {
		c.foreign = true
		c.undecided("the same receipt is there twice: check it once")
	}
	if !c.anyItem() {
		c.foreign = true
		c.undecided("no planned item was found on the receipt")
	}
	if n := c.silentVoid(); n > 0 && c.firm {
		c.firm = false
		c.undecided("line %d may take goods back, or be a coupon that makes them free: look at the receipt", n)
	} else if n := c.nameUnread(); n > 0 && c.firm {
		c.firm = false
		c.undecided("line %d could not be read, and may belong to the goods beneath: photograph it again, closer and with more light", n)
	} else if !c.firm {
		c.undecided("%s", c.whyNotFirm())
	}
}

// silentVoid is a line that takes goods back without a word for that, where an offer for
// them took too little by as much, or by so many times as much, 0 for none: it may be that
// offer, in words of the till's own.
func (c *check) silentVoid() int {
	for i := range c.r.Lines {
		l := &c.r.Lines[i]
		if l.Kind != parse.LineVoid || l.Of == 0 || l.Amount == nil || l.Amount.IsZero() {
			continue
		}
		of := c.r.Line(l.Of)
		if of.Kind != parse.LineItem && of.Kind != parse.LineQuantity || l.Name != of.Name && c.saysVoid(l) {
			continue
		}
		item := c.m.ItemOfLine(l.Of)
		if slices.ContainsFunc(c.p.Offers, func(o *plan.Offer) bool {
			want, _ := c.expected.Taken(o.ID)
			got, known := total(c.m.Offers[o.Index].Cuts)
			missing := want.Sub(got)
			return o.Deduct != nil && o.Spend == nil && (item < 0 || o.Covers(c.tx.Items[item])) &&
				(!known || missing.Sign() > 0 && missing.Cents()%l.Amount.Abs().Cents() == 0)
		}) {
			return l.N
		}
	}
	return 0
}

// saysVoid reports whether a line, or the one above where that has no amount, has a word
// for what is taken back.
func (c *check) saysVoid(l *parse.Line) bool {
	if parse.SaysVoid(l.Text, c.p.Store.Prints) {
		return true
	}
	above := l.N - 1
	return above > 0 && c.r.Line(above).Amount == nil && parse.SaysVoid(c.r.Line(above).Text, c.p.Store.Prints)
}

// nameUnread is a line of a photo that could not be read and stands right above the first
// goods, 0 for none: it may be goods, or name them, although the sums close without it.
func (c *check) nameUnread() int {
	at := slices.IndexFunc(c.r.Lines, func(l parse.Line) bool { return l.Kind == parse.LineItem || l.Kind == parse.LineQuantity })
	if at > 0 && c.r.Lines[at].Photo > 0 && c.r.Lines[at-1].Unread {
		return at
	}
	return 0
}

// whyNotFirm says which part of the receipt keeps it open. What is above the
// first item keeps nothing open.
func (c *check) whyNotFirm() string {
	switch n := c.likelyWrong(); {
	case n > 0 && c.text:
		return fmt.Sprintf("the receipt's sums do not close, and the amount in line %d may be the wrong one: look at it", n)
	case n > 0:
		return fmt.Sprintf("the amount in line %d is doubtful, and the receipt's sums do not close: look at it on the paper, or photograph it again", n)
	}
	unread, items := 0, false
	for i := range c.r.Lines {
		l := &c.r.Lines[i]
		items = items || l.Kind == parse.LineItem
		if l.Kind == parse.LineTender {
			break // below it no goods and no coupons stand
		}
		if l.Unread && unread == 0 && items {
			unread = l.N
		}
	}
	switch {
	case c.r.Total == nil:
		return "no total was read: photograph the whole receipt"
	case unread > 0:
		return fmt.Sprintf("line %d could not be read: photograph it again, closer and with more light", unread)
	}
	if i := slices.IndexFunc(c.r.Lines, func(l parse.Line) bool { return l.Proof == parse.Repaired }); i >= 0 {
		return fmt.Sprintf("the amount in line %d was misread, and lines beside it show none: look at both on the paper, or photograph it again", i+1)
	}
	return "the lines from the first item to the total were not all read, or their sums do not close"
}

// likelyWrong is the doubtful line that most of the sums that stay open have in common, 0
// where none is doubtful: one wrong amount is likelier than several. Where all sums work out,
// what is in none of them keeps nothing open.
func (c *check) likelyWrong() (n int) {
	open, in, anyOpen := make([]int, len(c.r.Lines)+1), make([]bool, len(c.r.Lines)+1), false
	for _, s := range c.r.Sums {
		if s.Kind == "count" {
			continue
		}
		anyOpen = anyOpen || !s.Holds
		for _, k := range append(slices.Clone(s.Lines), s.To) {
			in[k] = true
			if !s.Holds {
				open[k]++
			}
		}
	}
	for i := range c.r.Lines {
		if l := &c.r.Lines[i]; l.Proof == parse.Doubtful && (anyOpen || in[l.N]) && (n == 0 || open[l.N] > open[n]) {
			n = l.N
		}
	}
	return n
}

func (c *check) anyItem() bool {
	for i := range c.m.Items {
		if len(c.m.Items[i].Entries) > 0 {
			return true
		}
	}
	return false
}

func (c *check) undecided(format string, args ...any) {
	c.result.Undecided = append(c.result.Undecided, fmt.Sprintf(format, args...))
}

func (c *check) note(format string, args ...any) {
	c.result.Notes = append(c.result.Notes, fmt.Sprintf(format, args...))
}
