package match

import (
	"slices"
	"strings"

	"tillproof/plan"
)

// companyDigits is how many digits of two GTINs must be equal to be taken for
// one maker's: GS1 company prefixes have 6 to 12 digits, most of them 7 or more
// (common practice, no source).
const companyDigits = 7

// Alike says from 0 to 100 how much an entry's name is like that of item it
// (a code of the same maker counts for a good likeness), and how near its
// price is to that of as many units.
func Alike(e *Entry, it *plan.Item) (name, price int) {
	full := newName(it.Name)
	name = likeness(&e.name, &full)
	p, g := strings.TrimLeft(e.Code, "0"), strings.TrimLeft(it.Code, "0")
	if len(p) > companyDigits && len(g) > companyDigits && p[:companyDigits] == g[:companyDigits] {
		name = max(name, 70)
	}
	n := e.Units
	if n == 0 {
		n, _ = units(e, it, e.Amount.Sub(e.Amount), false)
	}
	return name, closeness(e.Amount, it.Cost(n))
}

// Names says from 0 to 100 how well the words of a line name it.
func Names(text string, it *plan.Item) (best int) {
	n := newName(text)
	for _, full := range append([]string{it.Name}, it.PrintsAs...) {
		f := newName(full)
		best = max(best, likeness(&n, &f))
	}
	return best
}

// IsOther reports whether an entry's name says that it is another variety than it, by
// letters that cannot be misread.
func IsOther(e *Entry, it *plan.Item) bool {
	full := newName(it.Name)
	return varies(&e.name, &full, e.clean) == other
}

// IsUnlike reports whether an entry's name has nothing of it's, and a word that cannot be
// misread: other goods, whatever they cost.
func IsUnlike(e *Entry, it *plan.Item) bool {
	full := newName(it.Name)
	return likeness(&e.name, &full) == 0 && slices.ContainsFunc(e.name.words, func(w word) bool { return w.plain && !w.number && len(w.text) >= plainLetters })
}
