package match

import (
	"tillproof/parse"

	"github.com/hbollon/go-edlib"
)

// sameStore is the Jaro-Winkler similarity from which a name is the store's, read
// badly: large print and emblems at the head of a receipt often are.
const sameStore = 0.8

// headLines is how far down a receipt its store's name may stand.
const headLines = 12

// SameStore reports whether r may be a receipt of the store called name: the
// name read, or a line above the first item, is much like it.
func SameStore(store string, r *parse.Receipt) bool {
	full := newName(store)
	if full.size == 0 || sameName(r.Store, &full) {
		return true
	}
	for i := range r.Lines {
		if l := &r.Lines[i]; i >= headLines || l.Kind == parse.LineItem {
			break
		} else if sameName(l.Text, &full) {
			return true
		}
	}
	return false
}

// sameName reports whether printed is store in full, with a branch's name or
// number behind it, shortened, or with letters misread.
func sameName(printed string, store *name) bool {
	p := newName(printed)
	if p.size < 3 {
		return false
	}
	if likeness(&p, store) >= 60 || likeness(store, &p) >= 70 {
		return true
	}
	a, b := p.joined(), store.joined()
	// A name cut short, or with a branch behind it; a letter lost in it moves the cut.
	short, long := a, b
	if len(a) > len(b) {
		short, long = b, a
	}
	if n := len(short); n >= 8 || len(a) >= len(b) {
		for k := max(n-2, 1); k <= min(n+3, len(long)); k++ {
			if 4*edits(short, long[:k]) <= max(n, k) {
				return true
			}
		}
	} else if 4*edits(a, b) <= len(b) {
		return true
	}
	return edlib.JaroWinklerSimilarity(p.joined(), store.joined()) >= sameStore
}
