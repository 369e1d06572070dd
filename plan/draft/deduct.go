package draft

import (
	"regexp"
	"strings"

	"tillproof/money"
	"tillproof/parse"
)

var (
	percentText = regexp.MustCompile(`\b(\d{1,2}(?:\.\d{1,2})?)\s?%`)
	makerWords  = regexp.MustCompile(`(?i)\b(?:mfr|mfg|mfc|manufacturer|maker|vendor|vnd)`)
	appWords    = regexp.MustCompile(`(?i)\b(?:app|digital|mobile)\b`)
	cardWords   = regexp.MustCompile(`(?i)\b(?:loyalty|member|club)`)
	paperWords  = regexp.MustCompile(`(?i)\b(?:cpn|coupon|coup|cp)\b`)
)

// deduction makes an offer of a deduction line: it takes off that item, or the
// whole basket, what it took off on the receipt.
func (t *tape) deduction(l *parse.Line) {
	if l.Kind != parse.LineDeduction || t.done[l.N] {
		return
	}
	t.done[l.N] = true
	if l.Amount == nil {
		t.refused(t.note(l), "its amount cannot be read")
		return
	}
	off := l.Amount.Neg()
	if off.Sign() <= 0 {
		t.refused(t.note(l), "it takes nothing off")
		return
	}
	g := t.itemOf(l)
	if g == nil && l.Of > 0 {
		t.refused(t.note(l), "the item it belongs to is not in the plan")
		return
	}
	t.paid = t.paid.Sub(off)
	title := oneLine(l.Name)
	if title == "" {
		title = off.String() + " off"
	}
	e := &entry{note: t.note(l)}
	e.add("title", "%s", scalar(title))
	if g == nil || off.Cmp(g.amount.Sub(t.deducted[g])) > 0 { // more than its item costs: it is of several
		t.basket(e, off)
	} else {
		t.onItem(e, l, g, off)
	}
	if l.Proof == parse.Doubtful {
		e.remark = "doubtful on the receipt: check the amount"
	}
	t.offers = append(t.offers, e)
}

// itemOf are the goods that l belongs to. Where the till took the line back and
// rang the same again, it is that.
func (t *tape) itemOf(l *parse.Line) *goods {
	if g := t.of[l.Of]; g != nil || l.Of < 1 || l.Of > len(t.receipt.Lines) {
		return g
	}
	name := oneLine(t.receipt.Lines[l.Of-1].Name)
	for _, g := range t.goods {
		if g.name == name {
			return g
		}
	}
	return nil
}

// basket takes an amount off everything: any spending will do.
func (t *tape) basket(e *entry, off money.Amount) {
	var ids []string
	for _, g := range t.goods {
		ids = append(ids, g.entry.id)
	}
	e.id = free("basket-offer", t.offered)
	e.add("applies_to", "%s", list(ids))
	e.add("spend", "0.01")
	e.add("deduct", "%s", price(off))
	e.remark = "what had to be spent, and on what, is not on the receipt"
	t.understood(e.note, "an offer on the basket: deduct %s (%s)", off, e.remark)
}

func (t *tape) onItem(e *entry, l *parse.Line, g *goods, off money.Amount) {
	suffix, text := "-offer", l.Text
	var carried []field
	switch {
	case makerWords.MatchString(text):
		suffix, carried = "-maker", []field{{"funded_by", "maker"}, {"carried_as", "paper"}}
	case appWords.MatchString(text):
		suffix, carried = "-app", []field{{"carried_as", "app"}}
	case cardWords.MatchString(text):
		suffix, carried = "-loyalty", []field{{"carried_as", "loyalty"}}
	case paperWords.MatchString(text):
		suffix, carried = "-paper", []field{{"carried_as", "paper"}}
	}
	e.id = free(g.entry.id+suffix, t.offered)
	e.add("applies_to", "%s", list([]string{g.entry.id}))
	value := price(off)
	if rate, ok := t.rate(text, g, off); ok {
		value = rate
	}
	if t.mode == plainAmounts {
		carried = nil
	}
	e.fields = append(e.fields, carried...)
	e.add("deduct", "%s", value)
	if value == price(off) {
		e.add("limit", "{total: 1}")
	}
	t.deducted[g] = t.deducted[g].Add(off)
	t.understood(e.note, "an offer on %s: deduct %s", g.entry.id, value)
}

// rate is the percentage that the line's text names, where it gives the amount.
func (t *tape) rate(text string, g *goods, off money.Amount) (string, bool) {
	m := percentText.FindStringSubmatch(text)
	if m == nil || t.mode != asPrinted {
		return "", false
	}
	rate, err := money.ParseRate(m[1] + "%")
	left := g.amount.Sub(t.deducted[g])
	return rate.String(), err == nil && !rate.IsZero() && rate.Of(left) == off
}

func fieldOf(e *entry, key string) string {
	for _, f := range e.fields {
		if f.key == key {
			return f.value
		}
	}
	return ""
}

// others says what else of the receipt's money is not in the plan.
func (t *tape) others(l *parse.Line) {
	if t.done[l.N] || t.of[l.N] != nil {
		return
	}
	switch {
	case l.Unread:
		t.refused(t.note(l), "the line could not be read")
	case l.Kind == parse.LineCredit:
		t.refused(t.note(l), "a reward; what has to be bought or spent for it is not on the receipt: add an offer with credit")
	case l.Kind == parse.LineFee:
		t.refused(t.note(l), "its amount cannot be read")
	case l.Kind == parse.LineQuantity && l.Amount != nil:
		t.refused(t.note(l), "the item it belongs to is not known")
	case l.Kind == parse.LineMessage && l.Points > 0 && strings.TrimSpace(l.Text) != "":
		t.refused(t.note(l), "points; what earns them is not on the receipt")
	}
}
