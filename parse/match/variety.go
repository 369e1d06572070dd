package match

import (
	"slices"
	"strings"
)

// variance is how far a print differs from a name.
type variance int

const (
	same variance = iota
	// perhaps: before the words they share it has another word than the name, or,
	// where letters may be misread, a word more: a brand or a variety. Findings on it
	// are not sure.
	perhaps
	// unlike: it is another variety, unless letters of it were misread.
	unlike
	// other: it is another variety.
	other
)

// varies says whether printed names another variety than full: behind a word
// they share stands one in each that has no counterpart in the other ("FENNY
// PEACH JAM" for plum jam), or a word more between two that they share whose
// letters are beyond doubt, or, where nothing can be misread (clean), another number.
func varies(printed, full *name, clean bool) variance {
	at, got := -1, same // at is the last word of full that was matched
	var odd []*word
	for i := range printed.words {
		p := &printed.words[i]
		next := counterpart(p, full, at+1, clean)
		if next < 0 {
			if i == len(printed.words)-1 && cutNumber(p, full.words[at+1:]) {
				break // a size cut where the room for the name ends
			}
			switch {
			case !clean && p.pieceOf(full):
				// In faint print a word falls into pieces: WH MEAL for wholemeal.
			case counterpart(p, full, 0, clean) < 0:
				odd = append(odd, p)
			case at >= 0:
				got = max(got, more(odd))
			}
			continue
		}
		got = max(got, differ(odd, full.words[at+1:next], at, clean))
		switch {
		case at >= 0 || next > 0 && elsewhere(&full.words[0], printed, clean):
			got = max(got, more(odd))
		case next > 0:
			got = max(got, min(more(odd), perhaps))
		}
		at, odd = next, odd[:0]
	}
	return max(got, differ(odd, full.words[at+1:], at, clean))
}

// more says what the odd words of a print make of it that stand between words it shares
// with the name.
func more(odd []*word) variance {
	got := same
	for _, p := range odd {
		switch {
		case !p.qualifies():
		case p.plain:
			return other
		default:
			got = perhaps
		}
	}
	return got
}

// differ says what it makes of a print that one of its odd words stands where the
// name has another word, or number, behind a shared one.
func differ(odd []*word, names []word, at int, clean bool) variance {
	got := same
	if at < 0 {
		return got
	}
	for _, p := range odd {
		for j := range names {
			f := &names[j]
			switch {
			case p.number && f.number && clean:
				return other
			case !p.qualifies() || !f.qualifies() || !clean && nearly(p.text, f.text):
			case p.plain && (clean || !nearlyCut(p.text, f.text)):
				return other
			default:
				got = unlike
			}
		}
	}
	return got
}

// nearlyCut reports whether p, of four letters or more, is f cut short but for one letter: a
// reader that takes one letter of a worn face for another is sure of it, BUIR for BUTR.
func nearlyCut(p, f string) bool {
	if len(p) < 4 || p[0] != f[0] {
		return false
	}
	for i := 1; i < len(p); i++ {
		if within(p[:i]+p[i+1:], f) {
			return true
		}
	}
	return false
}

// nearly reports whether two words may be one, misread: one letter in three.
func nearly(a, b string) bool { return 3*edits(a, b) <= max(len(a), len(b)) }

// counterpart is the first word of full from a place on that p may stand for,
// -1 for none.
func counterpart(p *word, full *name, from int, clean bool) int {
	for j := from; j < len(full.words); j++ {
		if standsFor(p, &full.words[j], clean) {
			return j
		}
	}
	return -1
}

// standsFor reports whether p may be shorthand for f; in clean print no letter
// is misread.
func standsFor(p, f *word, clean bool) bool {
	if clean {
		return p.text == f.text || !p.number && !f.number && p.text[0] == f.text[0] && cut(p.text, f) >= 40
	}
	return shorthand(p, f, false) >= 40 || lookAlike(p, f)
}

// alike are letters that worn print makes of each other.
var alike = [...]string{"MN", "UV", "IL", "IT", "CG", "CO", "OQ", "OD", "EF", "FP", "KX", "HN"}

// Begins reports whether word begins full but for one letter, behind the first, that prints like
// the one it has: SOPT for SOFT. Both are capitals; word has four letters or more.
func Begins(word, full string) bool {
	if len(word) < 4 || len(word) > len(full) || word[0] != full[0] {
		return false
	}
	off := 0
	for i := range len(word) {
		if a, b := word[i:i+1], full[i:i+1]; a != b {
			if off++; !slices.Contains(alike[:], a+b) && !slices.Contains(alike[:], b+a) {
				return false
			}
		}
	}
	return off == 1
}

// lookAlike reports whether p, of three letters, cuts f short but for one that prints like
// another: LOM for long, BXD for baked. Of so few letters any other is another word.
func lookAlike(p, f *word) bool {
	if len(p.text) != 3 || p.number || f.number {
		return false
	}
	for i := range len(p.text) {
		for _, pair := range alike {
			at := strings.IndexByte(pair, p.text[i])
			if at < 0 {
				continue
			}
			if q := p.text[:i] + pair[1-at:2-at] + p.text[i+1:]; q[0] == f.text[0] && cut(q, f) >= 80 {
				return true
			}
		}
	}
	return false
}

// elsewhere reports whether a word of printed may stand for f.
func elsewhere(f *word, printed *name, clean bool) bool {
	for i := range printed.words {
		if standsFor(&printed.words[i], f, clean) {
			return true
		}
	}
	return false
}

// pieceOf reports whether w stands within a word of full.
func (w *word) pieceOf(full *name) bool {
	return w.qualifies() && slices.ContainsFunc(full.words, func(f word) bool { return strings.Contains(f.text, w.text) })
}

// headMisread reports whether each word of printed, before the first that it shares with full,
// begins one that full has before that, but for one letter which is not beyond doubt: KEX KIT TOW
// for Wexcombe kitchen towels.
func headMisread(printed, full *name) bool {
	first := slices.IndexFunc(printed.words, func(p word) bool { return counterpart(&p, full, 0, false) >= 0 })
	if first < 1 {
		return false
	}
	head := full.words[:counterpart(&printed.words[first], full, 0, false)]
	return !slices.ContainsFunc(printed.words[:first], func(p word) bool {
		return p.plain || !p.qualifies() || !slices.ContainsFunc(head, func(f word) bool {
			return !f.number && len(f.text) >= len(p.text) && edits(p.text, f.text[:len(p.text)]) == 1
		})
	})
}

// qualifies reports whether w is long enough to be the name of a variety.
func (w *word) qualifies() bool { return !w.number && len(w.text) >= 3 }

// cutNumber reports whether p is the beginning of a number among words.
func cutNumber(p *word, words []word) bool {
	for i := range words {
		if p.number && words[i].number && strings.HasPrefix(words[i].text, p.text) {
			return true
		}
	}
	return false
}
