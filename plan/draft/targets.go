package draft

import (
	"strings"
	"unicode"
)

// typedTax is a line about tax, whose items are looked up when all are known.
type typedTax struct {
	note        Note
	rate, items string
}

// offer reads an offer for several items: "spend 18 get 4 gift card: oats jam".
func (b *basket) offer(n Note) {
	head, targets, colon := strings.Cut(n.Part, ":")
	s, _ := parseSpec(head)
	if targets = strings.TrimSpace(targets); !colon || targets == "" {
		targets = "all"
	}
	ids, names := b.targets(n, targets)
	if len(ids) == 0 {
		b.refused(n, "none of its items is in the list; write them behind a colon, by a word of their names")
		return
	}
	b.addOffer(n, &s, ids, names)
}

// targets are the items that a list of words names. Words that name none are
// noted.
func (b *basket) targets(n Note, text string) (ids, names []string) {
	seen := map[string]bool{}
	add := func(list []*entry) {
		for _, e := range list {
			if !seen[e.id] {
				seen[e.id] = true
				ids, names = append(ids, e.id), append(names, e.called)
			}
		}
	}
	var lost []string
	for _, part := range split(text) {
		switch found := b.named(part); {
		case strings.EqualFold(part, "all") || strings.EqualFold(part, "everything"):
			add(b.items())
		case len(found) > 0:
			add(found)
		default:
			for _, word := range strings.Fields(part) {
				found := b.named(word)
				if len(found) == 0 && !strings.EqualFold(word, "and") {
					lost = append(lost, word)
				}
				add(found)
			}
		}
	}
	if len(lost) > 0 && len(ids) > 0 {
		b.refused(Note{Line: n.Line, Part: strings.Join(lost, " ")}, "no item of the list is called so")
	}
	return ids, names
}

// named are the items that text names: by id or name, or else by a word or
// several of the name.
func (b *basket) named(text string) []*entry {
	var exact, some []*entry
	for _, e := range b.items() {
		switch {
		case strings.EqualFold(e.id, text) || strings.EqualFold(e.called, text):
			exact = append(exact, e)
		case hasWords(e.called, text):
			some = append(some, e)
		}
	}
	if exact != nil {
		return exact
	}
	return some
}

// hasWords reports whether all words of text are words of name.
func hasWords(name, text string) bool {
	words := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '%' })
	}
	have := map[string]bool{}
	for _, w := range words(name) {
		have[w] = true
	}
	want := words(text)
	for _, w := range want {
		if !have[w] {
			return false
		}
	}
	return len(want) > 0
}

// setTaxes adds the taxes that were typed.
func (b *basket) setTaxes() {
	var entries []string
	for _, t := range b.taxes {
		rate := t.rate
		if !strings.HasSuffix(rate, "%") {
			b.refused(t.note, "a tax is a percentage: tax: 6.25%%, or tax: 6.25%% foil, soap")
			continue
		}
		ids := b.taxed
		if t.items != "" {
			ids, _ = b.targets(t.note, t.items)
			if len(ids) == 0 {
				b.refused(t.note, "none of its items is in the list")
				continue
			}
		}
		value, of := "{rate: "+rate+"}", "everything"
		if len(ids) > 0 {
			value, of = "{rate: "+rate+", items: "+list(ids)+"}", strings.Join(ids, ", ")
		}
		entries = append(entries, value)
		b.understood(t.note, "tax of %s on %s", rate, of)
	}
	switch {
	case len(entries) == 1:
		b.head = append(b.head, field{"tax", entries[0]})
	case len(entries) > 1:
		b.head = append(b.head, field{"tax", "[" + strings.Join(entries, ", ") + "]"})
	case len(b.taxed) > 0:
		b.remarks = append(b.remarks, "Taxed: "+strings.Join(b.taxed, ", ")+"; add tax: {rate: …, items: [...]} with your rate.")
	}
}
