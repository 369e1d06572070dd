// Package packet makes what somebody needs to dispute a receipt: the wording,
// each finding with the plan's rule and its sum, the offer's terms and picture,
// the receipt as read and as photographed, dates and hashes.
//
// Build is the function to read first; its Document becomes a text or a PDF.
// What goes in is blacked out by Build itself, texts by package blackout; the
// pictures have to be so already. The package does no I/O and asks no clock.
package packet

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
	"tillproof/report"
	"tillproof/report/blackout"
)

// Addressee is whom a packet is for.
type Addressee string

// The addressees.
const (
	Store Addressee = "store" // whoever runs the till
	Maker Addressee = "maker" // who funds the coupon
	Payer Addressee = "payer" // who pays the rebate
)

// Picture is one picture of a packet, encoded as a JPEG without anything else
// in it.
type Picture struct {
	// File is its name in the packet's folder.
	File, Caption string
	JPEG          []byte
	Width, Height int
}

// Hash names a file that the packet rests on and its SHA-256.
type Hash struct{ File, SHA256 string }

// Input is what a packet is made of.
type Input struct {
	To     Addressee
	Plan   *plan.Plan
	Result *audit.Result
	// Wording is what the person would say or write.
	Wording string
	// Receipt are the receipt's pictures, marked with the numbers that Findings
	// gives; Proofs the pictures of offers, by the offer's id.
	Receipt []Picture
	Proofs  map[string]Picture
	Hashes  []Hash
}

// Findings are the findings of r that are put to an addressee: firm ones that
// lost money and are not the shopper's or the plan's own. Nobody is asked about
// what may only have been misread.
func Findings(to Addressee, p *plan.Plan, r *audit.Result) []audit.Finding {
	var put []audit.Finding
	for _, f := range r.Findings {
		lost := f.Certainty.Firm() && f.Effect.Sign() < 0 && (f.Side == audit.SideTill || f.Side == audit.SideOpen)
		o := offer(p, f.Offer)
		mine := f.Kind != audit.MissingRebate
		switch to {
		case Maker:
			mine = mine && o != nil && o.FundedBy == "maker"
		case Payer:
			mine = f.Kind == audit.MissingRebate
		}
		if lost && mine {
			put = append(put, f)
		}
	}
	return put
}

// Dues are the rebates that a packet for to claims.
func Dues(to Addressee, r *audit.Result) []audit.Due {
	if to != Payer {
		return nil
	}
	return r.Due
}

func offer(p *plan.Plan, id string) *plan.Offer {
	for _, o := range p.Offers {
		if o.ID == id {
			return o
		}
	}
	return nil
}

// Build puts a packet together.
func Build(in Input) *Document {
	b := &builder{in: in, receipt: blackout.Receipt(in.Result.Receipt), d: &Document{}}
	for _, tx := range in.Plan.Transactions {
		if tx.ID == in.Result.Transaction {
			date, _ := plan.ParseDate(in.Result.Receipt.Date) // zero where it was not read: the plan's
			b.bill = in.Plan.Explain(tx, &plan.Rung{Date: date})
		}
	}
	b.head()
	for i, f := range Findings(in.To, in.Plan, in.Result) {
		b.finding(i+1, f)
	}
	for _, due := range Dues(in.To, in.Result) {
		b.due(due)
	}
	b.asRead()
	for _, p := range in.Receipt {
		b.d.heading(p.Caption)
		b.d.picture(p)
	}
	b.origins()
	return b.d
}

type builder struct {
	in      Input
	receipt *parse.Receipt
	bill    *plan.TransactionBill
	d       *Document
}

// head says what it is about, what is asked for and in which words.
func (b *builder) head() {
	r := b.receipt
	name := strings.TrimSpace(b.in.Plan.Store.Name)
	if name == "" {
		name = r.Store
	}
	b.d.Title = strings.TrimSpace(fmt.Sprintf("Receipt of %s, %s", dash(r.Date), dash(name)))
	b.d.title(b.d.Title)
	b.d.row("Date and time on the receipt", strings.TrimSpace(dash(r.Date)+" "+r.Time))
	b.d.row("Register and transaction on the receipt", dash(r.Register)+" / "+dash(r.Transaction))
	if r.Total != nil {
		b.d.row("Total on the receipt", r.Total.String())
	}
	sum := money.Amount{}
	for _, f := range Findings(b.in.To, b.in.Plan, b.in.Result) {
		sum = sum.Sub(f.Effect)
	}
	if b.in.To == Payer {
		for _, d := range b.in.Result.Due {
			sum = sum.Add(d.Value)
		}
		b.d.row("To be paid", sum.String())
	} else {
		b.d.row("Missing", sum.String())
	}
	b.d.heading("In words")
	keep := []string{r.Transaction, r.Register}
	for i := range r.Lines {
		if l := &r.Lines[i]; l.Kind == parse.LineItem && l.Code != "" {
			keep = append(keep, l.Code) // the words quote lines of goods
		}
	}
	for _, para := range strings.Split(b.in.Wording, "\n\n") {
		b.d.para(blackout.Text(para, keep...))
	}
}

// finding shows one finding with all that speaks for it.
func (b *builder) finding(n int, f audit.Finding) {
	b.d.heading(fmt.Sprintf("%d. %s", n, report.Headline(b.in.Plan, f)))
	b.d.row("Planned", f.Expected.String())
	b.d.row("On the receipt", f.Actual.String())
	b.d.row("Difference with all that follows from it", f.Effect.Signed())
	b.d.row("How sure that is", string(f.Certainty))
	if f.Cause.Text != "" {
		b.d.para("Likely cause: " + f.Cause.Text)
	}
	b.evidence(f.Lines)
	for _, id := range f.Items {
		b.item(id)
	}
	if o := offer(b.in.Plan, f.Offer); o != nil {
		b.offer(o, f.Items)
	}
	b.sums(f)
}

// due shows one rebate that is claimed.
func (b *builder) due(due audit.Due) {
	o := offer(b.in.Plan, due.Offer)
	if o == nil {
		return
	}
	b.d.heading("Rebate: " + o.Title)
	b.d.row("Worth, by this receipt", due.Value.String())
	if !due.SubmitBy.IsZero() {
		b.d.row("To be sent in by", due.SubmitBy.String())
	}
	b.evidence(due.Lines)
	b.offer(o, nil)
	if b.bill != nil {
		for _, r := range b.bill.Rebates {
			if r.Offer == due.Offer {
				b.steps("By the plan", r.Steps, r.Value)
			}
		}
	}
}

// evidence quotes lines of the receipt.
func (b *builder) evidence(lines []int) {
	for _, n := range lines {
		if n < 1 || n > len(b.receipt.Lines) {
			continue
		}
		l := b.receipt.Lines[n-1]
		b.d.mono(fmt.Sprintf("line %2d  %s", n, strings.Join(strings.Fields(l.Text), " ")))
	}
}

var seenAt = map[plan.PriceFrom]string{
	plan.FromLabel: "on the shelf's label", plan.FromAdvert: "in an advertisement", plan.FromHearsay: "by hearsay",
}

// item says what an item should have cost and where that was seen.
func (b *builder) item(id string) {
	for _, tx := range b.in.Plan.Transactions {
		for _, it := range tx.Items {
			if tx.ID != b.in.Result.Transaction || it.ID != id {
				continue
			}
			text := fmt.Sprintf("%s: regular price %s", it.Name, it.Shelf)
			if s := it.Sale; s != nil {
				text += ", this week " + s.Price.String()
				if s.For > 1 {
					text = strings.TrimSuffix(text, s.Price.String()) + fmt.Sprintf("%d for %s", s.For, s.Price)
				}
				if s.MustBuy > 0 {
					text += fmt.Sprintf(", when %d are bought", s.MustBuy)
				}
			}
			if at := seenAt[it.PriceFrom]; at != "" {
				text += "; seen " + at
			}
			b.d.para(text + ".")
		}
	}
}

// offer shows an offer's rule, terms, dates and picture.
func (b *builder) offer(o *plan.Offer, _ []string) {
	b.d.para("The offer: " + o.Title + " (funded by the " + o.FundedBy + ").")
	if o.Terms != "" {
		b.d.para("Its terms as seen: “" + strings.Join(strings.Fields(o.Terms), " ") + "”")
	}
	if !o.Valid.From.IsZero() {
		b.d.row("Valid from", o.Valid.From.String())
	}
	if !o.Valid.Through.IsZero() {
		b.d.row("Valid through", o.Valid.Through.String())
	}
	if !o.SeenOn.IsZero() {
		b.d.row("Seen on", o.SeenOn.String())
	}
	if o.CouponCode != "" {
		b.d.row("Coupon", o.CouponCode)
	}
	if p, ok := b.in.Proofs[o.ID]; ok {
		b.d.picture(p)
	}
}

// sums shows how the plan comes to what the finding should have been.
func (b *builder) sums(f audit.Finding) {
	if b.bill == nil {
		return
	}
	for _, l := range b.bill.Lines {
		if f.Offer == "" && slices.Contains(f.Items, l.Item) {
			b.steps("By the plan", l.Steps, l.Price)
		}
		for _, d := range l.Deductions {
			if f.Offer != "" && d.Offer == f.Offer {
				b.steps("By the plan, off "+b.itemName(l.Item), d.Steps, d.Amount)
			}
		}
	}
	for _, d := range b.bill.BasketDeductions {
		if d.Offer == f.Offer {
			b.steps("By the plan, off the basket", d.Steps, d.Amount)
		}
	}
	for _, c := range b.bill.Credits {
		if c.Offer == f.Offer {
			b.steps("By the plan, the "+c.Kind, c.Steps, c.Value)
		}
	}
	if f.Kind == audit.TaxFinding {
		b.steps("By the plan, the tax", b.bill.TaxSteps, b.bill.Tax)
	}
}

// steps shows a sum step by step and what it comes to.
func (b *builder) steps(what string, steps []plan.Sum, result money.Amount) {
	b.d.para(what + ":")
	for _, s := range steps {
		b.d.row("   "+s.Text, s.Amount.String())
	}
	if len(steps) == 0 || steps[len(steps)-1].Amount != result {
		b.d.row("   which is", result.String())
	}
}

func (b *builder) itemName(id string) string {
	for _, tx := range b.in.Plan.Transactions {
		for _, it := range tx.Items {
			if it.ID == id {
				return it.Name
			}
		}
	}
	return id
}

// asRead lists the whole receipt as it was read.
func (b *builder) asRead() {
	b.d.heading("The receipt as read")
	for _, l := range b.receipt.Lines {
		text, amount := strings.Join(strings.Fields(l.Text), " "), ""
		if l.Unread {
			text = "(print that could not be read)"
		}
		if l.Amount != nil {
			amount = l.Amount.String()
		}
		b.d.mono(strings.TrimRight(fmt.Sprintf("%3d %-42s %9s %s", l.N, cut(text, 42), amount, l.Proof), " "))
	}
	b.d.para("“Proved” amounts take part in a sum on the receipt that works out; “repaired” ones were misread, and only one reading makes the sums work out.")
}

// origins names the files it rests on, so that each can be compared later.
func (b *builder) origins() {
	b.d.heading("The originals, unaltered, by their SHA-256")
	for _, h := range b.in.Hashes {
		b.d.para(h.File)
		b.d.mono("  " + h.SHA256)
	}
	b.d.para("The pictures here are copies: laid flat, marked, without the camera's notes, and with the numbers of cards, loyalty accounts and telephones blacked out. The originals are with the shopper.")
	b.d.para(report.Caution)
}

func dash(s string) string {
	if s == "" {
		return "(not read)"
	}
	return s
}

// cut shortens s to n characters.
func cut(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-3]) + "..."
	}
	return s
}
