package draft

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"tillproof/plan"
)

// FromBasket makes a plan of a typed list, one line an item or an offer:
//
//	store: Harbor Lane Market
//	2026-05-09
//	3 oats 4.29, app 40%
//	2 foil 3.29 sale 2 for 5.00, maker 0.75 one
//	1.24 lb grapes 2.99
//	spend 18 get 4 gift card: oats jam
//
// The error says why there is no plan; the draft's notes are there all the same.
func FromBasket(text string) (*Draft, error) {
	b := &basket{book: &book{}, ids: map[string]bool{}, offerIDs: map[string]bool{}, txIDs: map[string]bool{}}
	var offers []Note
	for i, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(clean(line))
		line = strings.TrimSpace(strings.TrimLeft(line, "•*"))
		line = strings.TrimPrefix(line, "- ")
		n := Note{Line: i + 1, Part: line}
		switch {
		case line == "":
		case strings.HasPrefix(line, "#"):
			b.understood(n, "a comment")
		case b.header(n):
		default:
			if b.offerLine(n) { // what it is for may stand further down
				offers = append(offers, n)
			} else {
				b.item(n)
			}
		}
	}
	b.setTaxes()
	for _, n := range offers {
		b.offer(n)
	}
	return b.finish()
}

// basket is a typed list that is being read.
type basket struct {
	*book
	ids, offerIDs, txIDs map[string]bool
	taxes                []typedTax
	taxed                []string // ids
}

// header reads a line about the trip as a whole.
func (b *basket) header(n Note) bool {
	key, value, colon := strings.Cut(n.Part, ":")
	key, value = strings.ToLower(strings.TrimSpace(key)), strings.TrimSpace(value)
	if _, ok := day(n.Part); ok {
		key, value, colon = "date", n.Part, true
	}
	if rest, ok := strings.CutPrefix(strings.ToLower(n.Part), "tax "); ok && !colon {
		key, value, colon = "tax", rest, true
	}
	if !colon || value == "" {
		return false
	}
	switch key {
	case "store", "currency", "date":
		if b.has(key) {
			b.refused(n, "there is a %s already; keep one", key)
			return true
		}
		if _, ok := day(value); key == "date" && !ok {
			b.refused(n, "a date is year-month-day, like 2026-05-09")
			return true
		}
		if key == "currency" {
			value = strings.ToUpper(value)
		}
		b.head = append(b.head, field{key, scalar(value)})
		b.understood(n, "%s %s", key, value)
	case "tax":
		b.tax(n, value)
	case "transaction":
		id := unique(value, b.txIDs)
		b.transactions = append(b.transactions, &transaction{id: id})
		b.understood(n, "the transaction %s begins", id)
	case "pay", "pay with":
		b.payWith(n, split(strings.ToLower(value)))
	default:
		return false
	}
	return true
}

func (b *basket) payWith(n Note, tenders []string) {
	for _, t := range tenders {
		if !slices.Contains([]string{"card", "cash", "gift card", "points", "store credit"}, t) {
			b.refused(n, "pay with card, cash, gift card, points or store credit")
			return
		}
	}
	b.now().payWith = list(tenders)
	b.understood(n, "paid with %s", strings.Join(tenders, ", "))
}

func (b *basket) has(key string) bool {
	for _, f := range b.head {
		if f.key == key {
			return true
		}
	}
	return false
}

// split cuts a list at its commas.
func split(s string) []string {
	var all []string
	for _, part := range strings.Split(s, ",") {
		if part = strings.TrimSpace(part); part != "" {
			all = append(all, part)
		}
	}
	return all
}

// tax reads "6.25%" or "6.25% foil, soap"; the items are looked up at the end.
func (b *basket) tax(n Note, value string) {
	rate, items, _ := strings.Cut(value, " ")
	items = strings.TrimPrefix(strings.TrimSpace(items), "on ")
	b.taxes = append(b.taxes, typedTax{n, rate, items})
}

// now is the transaction that lines go to.
func (b *basket) now() *transaction {
	if len(b.transactions) == 0 {
		b.transactions = append(b.transactions, &transaction{id: unique("trip", b.txIDs)})
	}
	return b.transactions[len(b.transactions)-1]
}

// offerLine reports whether the line is an offer for several items.
func (b *basket) offerLine(n Note) bool {
	head, _, colon := strings.Cut(n.Part, ":")
	s, ok := parseSpec(head)
	first := strings.ToLower(strings.Fields(n.Part)[0])
	starts := first == "spend" || first == "buy"
	return ok && (len(s.unknown) == 0 && (starts || colon) || starts && colon)
}

var (
	cut      = regexp.MustCompile(`[,;]\s+|;`)
	quantity = regexp.MustCompile(`^(?:(\d{1,4})\s*[xX×]\s+|[xX](\d{1,4})\s+|(\d{1,4})\s+)(.*)$`)
	weighed  = regexp.MustCompile(`^(\d+(?:\.\d+)?|\.\d+)\s*(lb|oz|kg|g)s?\s+(?:of\s+)?(.*)$`)
	priced   = regexp.MustCompile(`^(.*?)\s*(?:@|\bat\b)?\s*[$€£]?(\d*\.\d{2})(?:\s*(?:each|ea|a piece|(?:/|per)\s*(lb|oz|kg|g)))?$`)
	saleWord = regexp.MustCompile(`(?i)^(.*?),?\s*\b(?:on )?sale\b:?\s*(.*)$`)
	several  = regexp.MustCompile(`(?i)^(\d+)\s*(?:for|/)\s*[$€£]?(\d+(?:\.\d{1,2})?|\.\d{1,2})(?:\s+must\s+buy\s+(\d+))?$`)
	onePrice = regexp.MustCompile(`^[$€£]?(\d+(?:\.\d{1,2})?|\.\d{1,2})(?:\s*(?:each|ea))?$`)
)

// item reads "3 oats 4.29 sale 3.45, app 40%".
func (b *basket) item(n Note) {
	clauses := cut.Split(n.Part, -1)
	head, sale := clauses[0], ""
	if m := saleWord.FindStringSubmatch(head); m != nil {
		head, sale = m[1], m[2]
	}
	e := &entry{note: n}
	amount, unit := "", ""
	if m := weighed.FindStringSubmatch(head); m != nil {
		amount, unit, head = m[1], m[2], m[3]
	} else if m := quantity.FindStringSubmatch(head); m != nil {
		amount, head = m[1]+m[2]+m[3], m[4]
	}
	m := priced.FindStringSubmatch(strings.TrimSpace(head))
	if m == nil || strings.TrimSpace(m[1]) == "" {
		b.refused(n, "an item is a number, a name and its price: 3 oats 4.29")
		return
	}
	if per := m[3]; per != "" && per != unit {
		b.refused(n, "the price is for each %s; write the weight first: 1.24 %s %s", per, per, m[0])
		return
	}
	name := strings.TrimSpace(m[1])
	e.id, e.called = unique(name, b.ids), name
	e.add("name", "%s", scalar(name))
	said := name
	switch {
	case unit != "":
		e.add("weight", "%s %s", amount, unit)
		said = amount + " " + unit + " of " + said
	case amount != "":
		e.add("quantity", "%s", strings.TrimLeft(amount, "0")+zero(amount))
		said = amount + " of " + said
	}
	shelf, _ := number(m[2])
	e.add("shelf", "%s", price(shelf))
	b.understood(n, "%s at %s, called %s", said, price(shelf), e.id)
	if sale != "" {
		b.sale(e, sale)
	}
	tx := b.now()
	tx.items = append(tx.items, e)
	for _, clause := range clauses[1:] {
		if clause = strings.TrimSpace(clause); clause != "" {
			b.clause(e, Note{Line: n.Line, Part: clause}, name)
		}
	}
}

func zero(digits string) string {
	if strings.Trim(digits, "0") == "" {
		return "0"
	}
	return ""
}

// sale reads what stands behind the word sale.
func (b *basket) sale(e *entry, text string) {
	text = strings.TrimSpace(text)
	n := Note{Line: e.note.Line, Part: "sale " + text}
	if m := several.FindStringSubmatch(text); m != nil {
		if a, ok := number(m[2]); ok {
			value := m[1] + " for " + price(a)
			if m[3] != "" {
				value += " must buy " + m[3]
			}
			b.set(e, n, "sale", value)
			return
		}
	}
	if m := onePrice.FindStringSubmatch(text); m != nil {
		if a, ok := number(m[1]); ok {
			b.set(e, n, "sale", price(a))
			return
		}
	}
	b.refused(n, "a sale is a price: sale 3.45, sale 2 for 5.00, sale 4 for 12.00 must buy 4")
}

// set adds a field that is checked by itself: a bad one is refused without the
// whole item.
func (b *basket) set(e *entry, n Note, key, value string) {
	for _, f := range e.fields {
		if f.key == key {
			b.refused(n, "there is a %s already; keep one", key)
			return
		}
	}
	try := &transaction{id: "t", items: []*entry{{id: e.id, fields: append(append([]field{}, e.fields...), field{key, value})}}}
	src, _ := (&book{transactions: []*transaction{try}}).write()
	if _, err := plan.Load(src, "plan.yaml", nil); err != nil {
		b.refused(n, "%s", reason(err))
		return
	}
	e.add(key, "%s", value)
	b.understood(n, "%s %s", strings.ReplaceAll(key, "_", " "), value)
}

// reason is what is wrong and what to do, without a place.
func reason(err error) string {
	if faults, ok := err.(plan.Errors); ok && len(faults) > 0 {
		if faults[0].Hint != "" {
			return faults[0].Msg + "; " + faults[0].Hint
		}
		return faults[0].Msg
	}
	return err.Error()
}

// clause reads what stands behind an item's comma: a field of the item, or an
// offer for it.
func (b *basket) clause(e *entry, n Note, name string) {
	word, rest, _ := strings.Cut(n.Part, " ")
	word, rest = strings.ToLower(strings.TrimSuffix(word, ":")), strings.TrimSpace(rest)
	amount, isAmount := number(rest)
	switch {
	case word == "sale":
		b.sale(e, rest)
	case word == "on" && strings.HasPrefix(strings.ToLower(rest), "sale"):
		b.sale(e, strings.TrimSpace(rest[len("sale"):]))
	case word == "fee" || word == "deposit":
		if !isAmount {
			b.refused(n, "a fee is an amount: fee 0.10")
			return
		}
		b.set(e, n, "fee", price(amount))
	case word == "code":
		b.set(e, n, "code", scalar(strings.ReplaceAll(rest, " ", "")))
	case word == "prints" && rest != "":
		b.set(e, n, "prints_as", list([]string{strings.TrimPrefix(rest, "as ")}))
	case word == "below" && isAmount:
		b.set(e, n, "stock_up_below", price(amount))
	case (word == "tag" || word == "tags") && rest != "":
		b.set(e, n, "tags", list(strings.Fields(rest)))
	case (word == "label" || word == "advert" || word == "hearsay") && rest == "":
		b.set(e, n, "price_from", word)
	case (word == "taxed" || word == "taxable") && rest == "":
		b.taxed = append(b.taxed, e.id)
		b.understood(n, "%s is taxed, at the rate of the line tax:", e.id)
	default:
		b.itemOffer(e, n, name)
	}
}

func (b *basket) itemOffer(e *entry, n Note, name string) {
	s, ok := parseSpec(n.Part)
	if !ok && len(s.unknown) == 0 && b.more(e, n) {
		return
	}
	if !ok {
		b.refused(n, "it is no offer: app 40%%, maker 0.75 one, buy 2 get 1 free, back 0.60")
		return
	}
	b.addOffer(n, &s, []string{e.id}, []string{name})
}

// more adds what n says to the offer before it in the same line: "app 40%, limit 3".
func (b *basket) more(e *entry, n Note) bool {
	last := len(b.offers) - 1
	if last < 0 || b.offers[last].note.Line != n.Line {
		return false
	}
	o := b.offers[last]
	s, ok := parseSpec(o.note.Part + " " + n.Part)
	if !ok {
		return false
	}
	was := b.yes[len(b.yes)-1]
	if was.Part != o.note.Part {
		return false
	}
	b.yes, b.offers = b.yes[:len(b.yes)-1], b.offers[:last]
	delete(b.offerIDs, o.id)
	s.unknown = nil // they are noted already
	b.addOffer(Note{Line: n.Line, Part: o.note.Part + ", " + n.Part}, &s, []string{e.id}, []string{e.called})
	return true
}

// addOffer adds an offer that was read.
func (b *basket) addOffer(n Note, s *spec, ids, names []string) {
	fields, what, why := s.fields()
	if why != "" {
		b.refused(n, "%s", why)
		return
	}
	on := strings.Join(names, ", ")
	if r := []rune(on); len(r) > 120 {
		on = fmt.Sprintf("%d items", len(ids))
	}
	id := ids[0] + "-"
	if len(ids) > 1 {
		id += "and-more-"
	}
	o := &entry{note: n, id: free(id+s.suffix(), b.offerIDs)}
	o.add("title", "%s", scalar(what+": "+on))
	o.add("applies_to", "%s", list(ids))
	o.fields = append(o.fields, fields...)
	b.offers = append(b.offers, o)
	var said []string
	for _, f := range fields {
		said = append(said, f.key+" "+f.value)
	}
	b.understood(n, "an offer for %s: %s", strings.Join(ids, ", "), strings.Join(said, ", "))
	if len(s.unknown) > 0 {
		b.refused(Note{Line: n.Line, Part: strings.Join(s.unknown, " ")}, "left out of the offer %s", o.id)
	}
}
