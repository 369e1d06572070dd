package parse

// doubt is what the form of a line leaves open about its part in the sums.
type doubt uint8

const (
	doubtNone     doubt = iota
	doubtTax            // a tax: on top, or told of prices that include it
	doubtIncluded       // a tax said to be included
	doubtNet            // an amount without tax: a subtotal, or told
	doubtSaved          // a saving with a minus: deducted, or told of a net price
	doubtTold           // deductions below the subtotal: deducted, or told again
	doubtUnsigned       // a coupon without a minus: deducted, or told
	doubtVoid           // a void without a minus
	doubtRounding       // a rounding without a sign
	doubtBracket        // brackets around an amount: a minus, or a price told
	doubtBare           // an amount alone: of an item, or a sum without its word
	doubtBareTold       // the same amount: of an item, or told
	doubtTendered       // a tender above one that says what was handed over
	doubtRepeat         // a tender told again
)

// hypothesis is a set of doubts that are decided the other way than the form
// of the lines suggests, each for the whole receipt. The first, none, is what
// lines are taken for; the others are tried only where it does not work out.
//
// They are few on purpose. Were each line free to be in a sum or not, some
// choice would nearly always work out by chance, and prove a wrong amount.
type hypothesis uint16

func (d doubt) flag() hypothesis { return 1 << d }

// switchable are the doubts that a hypothesis may decide the other way.
var switchable = [...]doubt{doubtTax, doubtNet, doubtSaved, doubtTold, doubtUnsigned, doubtBracket, doubtBare, doubtBareTold, doubtTendered}

// minusTold are the doubts whether a line that seems a deduction is only told.
const minusTold = 1<<doubtSaved | 1<<doubtUnsigned | 1<<doubtBracket

// part is the part of row w under h.
func (h hypothesis) part(w *row) part {
	switch {
	case w.informal == doubtNone:
	case w.informal == doubtBare && h&doubtBareTold.flag() != 0:
		return partNone
	case h&w.informal.flag() == 0:
	case w.informal == doubtBare:
		return partCheck
	default:
		return partNone
	}
	return w.part
}

// hypotheses lists the sets of doubts that this receipt allows, small ones
// first.
func (p *parser) hypotheses() []hypothesis {
	var seen hypothesis
	for i := range p.rows {
		if w := &p.rows[i]; w.has && w.cents != 0 && w.part != partNone {
			if seen |= w.informal.flag(); w.informal == doubtBare {
				seen |= doubtBareTold.flag()
			}
		}
	}
	list := []hypothesis{0}
	for _, d := range switchable {
		if seen&d.flag() == 0 {
			continue
		}
		for _, h := range list[:len(list):len(list)] {
			if d == doubtBareTold && h&doubtBare.flag() != 0 {
				continue
			}
			list = append(list, h|d.flag())
		}
	}
	return list
}

// choose takes the hypothesis under which the chain works out as the amounts
// were read. The first is taken where it does. Another must be the only one
// that does, and must not be what one misread digit could pretend: that is so
// where what the first leaves open is a single digit off (3.00, 0.40). A sum
// beside the chain that works out too lifts that last condition. Nor must it
// be what a lost line could pretend: that lines with a minus are only told is
// believed of a text where they add up to others, or by the price beside them
// (toldByPrice), and not because the sum would work out.
func (p *parser) choose() bool {
	p.build(0, &p.chain)
	if p.open(&p.chain) == 0 {
		return true
	}
	digitOff := p.digitOff(&p.chain)
	found, other := hypothesis(0), chain{}
	for _, h := range p.hypotheses()[1:] {
		p.build(h, &other)
		if p.open(&other) > 0 {
			continue
		}
		if found != 0 && found&h != found || digitOff && len(other.beside) == 0 {
			return false
		}
		if p.exact && h&minusTold != 0 || h&doubtTold.flag() != 0 && !(p.toldAgain() && (!p.exact || p.countHolds())) {
			continue
		}
		if found == 0 {
			found = h
		}
	}
	if found == 0 {
		return false
	}
	p.assume(found)
	return true
}

// toldAgain reports whether the deductions below the subtotal add up to those
// above it, so that they may be the same, told once more.
func (p *parser) toldAgain() bool {
	above, below := int64(0), int64(0)
	for i := range p.rows {
		switch w := &p.rows[i]; {
		case w.kind != LineDeduction || w.part != partAdd:
		case w.informal == doubtTold:
			below += w.cents
		default:
			above += w.cents
		}
	}
	return above == below
}

// toldByPrice finds savings with a minus that are only told: the regular price
// stands beside them, and less the saving it is what the item was charged.
func (p *parser) toldByPrice() {
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineDeduction || w.informal != doubtSaved {
			continue
		}
		p.toldBetween(i)
		for j, items := i-1, 0; j >= max(0, i-8) && items < 2 && w.kind == LineDeduction; j-- {
			if v := &p.rows[j]; v.kind == LineItem && v.has {
				items++
				p.toldBeside(i, j)
			}
		}
	}
}

// toldBetween takes row i, a saving, for told only where it leads from what the line above it
// tells, which no sum has, to the sum below it: "Total before savings 116.70, Total savings
// -25.76, Total after savings 90.94".
func (p *parser) toldBetween(i int) {
	if i == 0 || i+1 >= len(p.rows) {
		return
	}
	w, before, after := &p.rows[i], &p.rows[i-1], &p.rows[i+1]
	if before.has && before.part == partNone && before.said.has(markTotal|markSubtotal) && after.has && after.part == partCheck && before.cents+w.cents == after.cents {
		w.kind, w.part, w.of = LineMessage, partNone, 0
	}
}

// toldBeside takes row i, a saving, for told only where a regular price beside it
// less the saving is what item j was charged, or all items of its name together.
func (p *parser) toldBeside(i, j int) {
	w, item := &p.rows[i], &p.rows[j]
	units, all := int64(item.units()), p.chargedAlike(j)
	for k := max(j+1, i-2); k < min(len(p.rows), i+3); k++ {
		v := &p.rows[k]
		if v.kind == LineItem && k > i {
			return
		}
		if !v.said.has(markPrice) || v.part != partNone || !v.has {
			continue
		}
		if net := v.cents + w.cents; net == item.cents || v.cents*units+w.cents == item.cents || net == all {
			w.kind, w.part, w.of = LineMessage, partNone, 0
			return
		}
	}
}

// chargedAlike is what the items with the name of row j come to.
func (p *parser) chargedAlike(j int) (sum int64) {
	name := fold(p.rows[j].nameText())
	for i := range p.rows {
		if v := &p.rows[i]; v.kind == LineItem && v.has && fold(v.nameText()) == name {
			sum += v.cents
		}
	}
	return sum
}

// assume makes h what the lines are taken for.
func (p *parser) assume(h hypothesis) {
	for i := range p.rows {
		w := &p.rows[i]
		part := h.part(w)
		if part == w.part {
			continue
		}
		if w.part = part; part == partCheck {
			w.kind, w.informal = LineSubtotal, doubtNone
			continue
		}
		switch w.kind {
		case LineDeduction:
			if w.kind = LineMessage; w.informal == doubtUnsigned {
				w.cents = w.tail.signed()
			}
		case LineQuantity: // an amount alone that was given to a heading
			if w.of > 0 && !p.rows[w.of-1].has {
				p.rows[w.of-1].kind = LineOther
			}
			w.kind, w.of = LineOther, 0
		case LineTender, LineItem: // an item in no sum was not sold
			w.kind = LineOther
		}
	}
	p.build(0, &p.chain)
	if h&doubtNet.flag() != 0 {
		p.beside(&p.chain)
	}
}

// digitOff reports whether a segment of c misses by what one wrong digit makes:
// one digit and zeros.
func (p *parser) digitOff(c *chain) bool {
	for i := range c.segs {
		got, want, ok := p.got(&c.segs[i])
		if !ok || got == want {
			continue
		}
		d := got - want
		for d%10 == 0 {
			d /= 10
		}
		if d > -10 && d < 10 {
			return true
		}
	}
	return false
}
