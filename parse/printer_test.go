package parse

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"tillproof/money"
	"tillproof/ocr"
)

// part of a printed line in the receipt's sums, as the test printer means it.
type meant uint8

const (
	meansTold   meant = iota // in no sum
	meansAdds                // adds its amount
	meansStates              // states the running sum
	meansPays                // a tender
	meansChange              // states what was paid too much
)

// printedLine is one line of a random receipt and what it means.
type printedLine struct {
	text  string
	kind  LineKind
	means meant
	cents int64
}

// printer draws a receipt at random, in a layout drawn at random.
type printer struct {
	r     *rand.Rand
	lines []printedLine
	sum   int64
	units int
	// The layout.
	minus, gathered, under, indent, codes, flags int
	width                                        int
}

func newPrinter(seed uint64) *printer {
	r := rand.New(rand.NewPCG(seed, 4))
	return &printer{r: r, minus: r.IntN(5), gathered: r.IntN(3), under: r.IntN(6), indent: r.IntN(2), codes: r.IntN(3), flags: r.IntN(3), width: 30 + r.IntN(16)}
}

func (p *printer) one(texts ...string) string { return texts[p.r.IntN(len(texts))] }

// amount prints cents in the layout's way of printing a minus.
func (p *printer) amount(cents int64) string {
	s := money.FromCents(max(cents, -cents)).String()
	if cents >= 0 {
		return s
	}
	switch p.minus {
	case 0:
		return "-" + s
	case 1:
		return s + "-"
	case 2:
		return "(" + s + ")"
	case 3:
		return "- " + s
	}
	return "-$" + s
}

// line prints a line with the amount on its right.
func (p *printer) line(left string, cents int64, kind LineKind, means meant) {
	amount := p.amount(cents)
	gap := max(p.width-len(left)-len(amount), 2)
	text := left + strings.Repeat(" ", gap) + amount
	if p.flags == 1 && kind == LineItem {
		text += " " + p.one("T", "F", "TF")
	}
	p.lines = append(p.lines, printedLine{text: text, kind: kind, means: means, cents: cents})
	if means == meansAdds {
		p.sum += cents
	}
}

func (p *printer) bare(text string, kind LineKind) {
	p.lines = append(p.lines, printedLine{text: text, kind: kind})
}

func (p *printer) state(left string, kind LineKind) {
	p.line(left, p.sum, kind, meansStates)
}

func (p *printer) pay(left string, cents int64) {
	p.line(left, cents, LineTender, meansPays)
	p.sum -= cents
}

var brands = []string{"MILLBROOK", "TERN", "FENNY", "SALTMARSH", "OLD QUAY", "DUNLIN", "HEATHER HILL"}
var goods = []string{"ROLLED OATS", "PLUM JAM", "KITCHEN FOIL", "DOG BISCUITS", "GROUND COFFEE", "RYE CRACKERS", "TOMATO SOUP", "DISH SOAP", "PEAR JUICE", "BEAN CHILI"}

// item prints an item, with its quantity where the layout has it.
func (p *printer) item() {
	name := p.one(brands...) + " " + p.one(goods...)
	if p.codes == 1 {
		name = fmt.Sprintf("%012d %s", p.r.Int64N(1e12), name)
	}
	units := int64(1)
	if p.r.IntN(3) == 0 {
		units = int64(2 + p.r.IntN(4))
	}
	each := int64(50 + p.r.IntN(1400))
	p.units += int(units)
	switch {
	case units == 1:
		p.line(name, each, LineItem, meansAdds)
	case p.under == 0:
		p.line(name, units*each, LineItem, meansAdds)
		p.bare(fmt.Sprintf("   %d @ %s", units, p.amount(each)), LineQuantity)
	case p.under == 1:
		p.bare(name, LineItem)
		p.line(fmt.Sprintf("   %d @ %s", units, p.amount(each)), units*each, LineQuantity, meansAdds)
	case p.under == 2:
		p.bare(fmt.Sprintf("%d @ %s", units, p.amount(each)), LineQuantity)
		p.line(name, units*each, LineItem, meansAdds)
	case p.under == 3:
		p.line(name+fmt.Sprintf(" %d X %s", units, p.amount(each)), units*each, LineItem, meansAdds)
	case p.under == 4 && p.codes != 1:
		p.line(fmt.Sprintf("%d %s", units, name), units*each, LineItem, meansAdds)
	default:
		p.line(fmt.Sprintf("%s x%d", name, units), units*each, LineItem, meansAdds)
	}
}

func (p *printer) deduction() {
	pad := strings.Repeat(" ", 2*p.indent)
	p.line(pad+p.one("STORE COUPON", "MFR CPN", "APP OFFER 40%", "SALE SAVINGS", "DIGITAL COUPON OATS", "MEMBER DEAL JAM"), -int64(10+p.r.IntN(300)), LineDeduction, meansAdds)
}

// print draws the whole receipt.
func (p *printer) print() {
	p.bare("HARBOR LANE MARKET", LineOther)
	p.bare("05/09/2026 10:41 AM  REG 3  TRANS 8841", LineOther)
	for range 1 + p.r.IntN(9) {
		p.item()
		if p.gathered > 0 && p.r.IntN(3) == 0 {
			p.deduction()
		}
		if p.r.IntN(12) == 0 {
			p.line("BOTTLE DEPOSIT", 10, LineFee, meansAdds)
		}
		if p.r.IntN(12) == 0 {
			p.line("DUNLIN TEA", 299, LineItem, meansAdds)
			p.line("VOID DUNLIN TEA", -299, LineVoid, meansAdds)
		}
		if p.r.IntN(12) == 0 {
			p.line("YOU SAVED", int64(p.r.IntN(200)), LineMessage, meansTold)
		}
		if p.r.IntN(15) == 0 && p.lines[len(p.lines)-1].kind != LineDeduction {
			p.line("REG PRICE", int64(300+p.r.IntN(200)), LineOther, meansTold)
		}
	}
	if p.gathered == 0 {
		for range p.r.IntN(4) {
			p.deduction()
		}
	}
	p.foot()
}

// foot prints subtotal, tax, total, tenders and what follows.
func (p *printer) foot() {
	if p.r.IntN(4) > 0 {
		p.state(p.one("SUBTOTAL", "SUB TOTAL", "Sub-Total"), LineSubtotal)
		if p.r.IntN(5) == 0 {
			p.deduction()
		}
	}
	for range p.r.IntN(3) {
		p.line(p.one("TAX", "TAX 6.25%", "SALES TAX", "T1 TAX"), int64(p.r.IntN(300)), LineTax, meansAdds)
	}
	p.state(p.one("TOTAL", "BALANCE DUE", "AMOUNT DUE", "GRAND TOTAL", "*** TOTAL"), LineTotal)
	if p.r.IntN(5) == 0 {
		p.deduction()
		if p.r.IntN(2) == 0 {
			p.state("BALANCE DUE", LineTotal)
		}
	}
	if p.sum > 500 && p.r.IntN(4) == 0 {
		p.pay("GIFT CARD ************4321", int64(100+p.r.IntN(400)))
	}
	switch p.r.IntN(3) {
	case 0:
		p.pay(p.one("CARD ****1234", "DEBIT CARD", "CREDIT"), p.sum)
	case 1:
		p.pay(p.one("CASH", "CASH TENDERED"), p.sum+int64(p.r.IntN(2000)))
		p.line("CHANGE", -p.sum, LineChange, meansChange)
		if p.sum == 0 {
			p.lines[len(p.lines)-1].cents = 0
		}
	case 2:
		p.pay("CARD", p.sum)
		p.line("CHANGE", 0, LineChange, meansChange)
	}
	if p.r.IntN(2) == 0 {
		p.bare(fmt.Sprintf("ITEMS SOLD %d", p.units), LineOther)
	}
	if p.r.IntN(3) == 0 {
		p.line("YOU SAVED TODAY", int64(p.r.IntN(900)), LineMessage, meansTold)
	}
	if p.r.IntN(3) == 0 {
		p.line("GIFT CARD EARNED", int64(100*(1+p.r.IntN(9))), LineCredit, meansTold)
	}
	if p.r.IntN(3) == 0 {
		p.bare("YOU EARNED 3000 POINTS", LineCredit)
	}
	p.bare("THANK YOU", LineMessage)
}

// sensible reports whether the receipt could be one: no running sum under zero.
func (p *printer) sensible() bool {
	sum := int64(0)
	for _, l := range p.lines {
		switch l.means {
		case meansAdds:
			sum += l.cents
		case meansStates:
			if sum <= 0 {
				return false
			}
		}
	}
	return sum > 0
}

func textOf(lines []printedLine) string {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(l.text)
		b.WriteByte('\n')
	}
	return b.String()
}

func parseText(text string) *Receipt { return Parse([]ocr.Page{TextPage(text)}, Options{}) }
