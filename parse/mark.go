package parse

import (
	"slices"
	"strings"
)

// foldTable maps a letter or digit to the one that stands for all that print
// alike, so that SUBT0TAL and SUBTOTAL are the same word; 0 is no letter.
var foldTable = func() (t [256]byte) {
	for c := byte('A'); c <= 'Z'; c++ {
		t[c] = c
	}
	for c := byte('0'); c <= '9'; c++ {
		t[c] = c
	}
	for _, alike := range []string{"O0Q", "IL1|", "S5", "B8", "Z2", "G6"} {
		for i := range len(alike) {
			t[alike[i]] = alike[0]
		}
	}
	for c := byte('a'); c <= 'z'; c++ {
		t[c] = t[c-'a'+'A']
	}
	return t
}()

// fold is a word as it is compared: upper case, with letters and digits that
// print alike made one. Other bytes are left out.
func fold(s string) string {
	var buf [32]byte
	b := buf[:0]
	for i := range len(s) {
		if c := foldTable[s[i]]; c != 0 {
			b = append(b, c)
		}
	}
	return string(b)
}

// foldWords cuts a text into folded words: at everything but letters, digits
// and apostrophes. What has more digits than letters is a number with
// something beside it and keeps its digits. Four or more single letters in a
// row are one word, since tills space out what they stress ("T O T A L").
func foldWords(s string, out []string) []string {
	var folded, plain [40]byte
	first := len(out)
	n, letters := 0, 0
	for i := 0; i <= len(s); i++ {
		c := byte(0)
		if i < len(s) {
			if s[i] == '\'' && n > 0 {
				continue
			}
			c = foldTable[s[i]]
			if s[i] >= 0x80 {
				c = '_'
			}
			if brokenAt(s, i) {
				c = foldTable['I']
			}
		}
		if c != 0 {
			if n < len(folded) {
				folded[n], plain[n] = c, s[i]
				n++
			}
			if !digit(s[i]) {
				letters++
			}
			continue
		}
		if n > 0 {
			if letters*2 > n {
				out = append(out, string(folded[:n]))
			} else {
				out = append(out, string(plain[:n]))
			}
			n, letters = 0, 0
		}
	}
	return joinSpaced(out, first)
}

// brokenAt reports whether a bracket or bar at i stands for a letter, between two
// capitals of one word: "TO[AL". What is upright folds to I, since what a word is does
// not hang on one letter.
func brokenAt(s string, i int) bool {
	return i > 0 && i+1 < len(s) && strings.IndexByte("[]{}|", s[i]) >= 0 && capital(s[i-1]) && capital(s[i+1])
}

func capital(c byte) bool { return c >= 'A' && c <= 'Z' }

// isBroken reports whether a word has such a sign: a letter of it was misread, however
// sure the reader was.
func isBroken(s string) bool {
	for i := range len(s) {
		if brokenAt(s, i) {
			return true
		}
	}
	return false
}

// joinSpaced joins runs of four or more single letters from first on.
func joinSpaced(words []string, first int) []string {
	run := 0
	for i := first; i <= len(words); i++ {
		if i < len(words) && len(words[i]) == 1 && !digit(words[i][0]) {
			run++
			continue
		}
		if run >= 4 {
			joined := ""
			for _, w := range words[i-run : i] {
				joined += w
			}
			return joinSpaced(slices.Replace(words, i-run, i, joined), i-run+1)
		}
		run = 0
	}
	return words
}

// marked is what the words of a line say.
type marked struct {
	marks  marks
	tender string
	// first are the marks of the first phrase that has any.
	first marks
	// unknown counts words of three letters or more that no phrase has, lead
	// those of them before the first phrase.
	unknown, lead int
}

func (m *marked) has(any marks) bool { return m.marks&any != 0 }

// mark finds the phrases in the words of a line. A store's own words, where
// given, go before the common ones. misread says of a word whether a letter of it
// may be wrong; nil: of none.
func mark(words []string, own *wordIndex, misread func(word string) bool) marked {
	var m marked
	for i := 0; i < len(words); {
		n := 0
		if own != nil {
			n = m.take(own, words[i:])
		}
		if n == 0 {
			n = m.take(commonWords, words[i:])
		}
		if n == 0 && misread != nil && i+1 < len(words) && len(words[i]) >= 2 && len(words[i])+len(words[i+1]) >= 5 {
			// One word that was read as two.
			if joined := words[i] + words[i+1]; commonWords.byFirst[joined] != nil {
				if n = m.take(commonWords, append([]string{joined}, words[i+2:]...)); n > 0 {
					n++
				}
			}
		}
		if was := words[i]; n == 0 && misread != nil && len(was) >= 5 && was[len(was)-1] == 'I' && !commonWords.known[was] {
			// What stands upright behind a word is a mark of exclamation: "On salel".
			words[i] = was[:len(was)-1]
			n = m.take(commonWords, words[i:])
			words[i] = was
		}
		if n == 0 && misread != nil && len(words[i]) >= 3 && misread(words[i]) {
			if w := nearestWord(words[i]); w != "" {
				was := words[i]
				words[i] = w
				n = m.take(commonWords, words[i:])
				words[i] = was
			}
		}
		if n > 0 {
			i += n
			continue
		}
		if isWord(words[i]) && !commonWords.known[words[i]] {
			if m.unknown++; m.marks == 0 {
				m.lead++
			}
		}
		i++
	}
	return m
}

// take adds the longest phrase that words begin with and returns its length.
func (m *marked) take(x *wordIndex, words []string) int {
next:
	for _, p := range x.byFirst[words[0]] {
		if len(p.rest) >= len(words) {
			continue
		}
		for j, w := range p.rest {
			if words[j+1] != w {
				continue next
			}
		}
		if m.first == 0 {
			m.first = p.marks
		}
		m.marks |= p.marks
		if p.tender != "" && (m.tender == "" || m.tender == tenderOther || m.tender == tenderCard && p.tender != tenderOther) {
			m.tender = p.tender
		}
		return 1 + len(p.rest)
	}
	return 0
}

// isWord reports whether a folded word has three letters or more, and more
// letters than digits.
func isWord(w string) bool {
	letters := 0
	for i := range len(w) {
		if !digit(w[i]) {
			letters++
		}
	}
	return letters >= 3 && letters*2 > len(w)
}

// nearestWord returns the one known long word that w was misread from: one
// letter wrong, missing or too many, two in a word of seven or more. Where two
// fit it returns "".
func nearestWord(w string) string {
	if commonWords.known[w] || commonWords.goods[w] || !isWord(w) {
		return ""
	}
	if total, void := fold("total"), fold("void"); len(w) < 5 {
		// Of short words only what is left of the most important ones. GOLD folds to GOID.
		if len(w) == len(void) && w[1:] == void[1:] && strings.IndexByte("YUW", w[0]) >= 0 {
			return void
		}
		if distance(w, total, 1) == 1 || w == total[2:] {
			return total
		}
		return ""
	}
	allowed := 1
	if len(w) >= 7 {
		allowed = 2
	}
	found, best := "", allowed+1
	if gift := fold("gift"); len(w) == 5 && w[0] == gift[0] && w[4] == gift[3] && distance(w, gift, 1) == 1 {
		return gift // no other word has these letters: "GIEFT CARD"
	}
	for _, k := range commonWords.long {
		if len(k)-len(w) > allowed || len(w)-len(k) > allowed {
			continue
		}
		switch d := distance(w, k, best); {
		case d < best:
			found, best = k, d
		case d == best && d <= allowed && len(k) == len(found):
			found = ""
		case d == best && d <= allowed && len(k) > len(found) && found != "":
			found = k // the more of a word is left the likelier it is that
		}
	}
	return found
}

// distance is the number of letters to change, add or drop to make b of a;
// above limit it is only known to be above it.
func distance(a, b string, limit int) int {
	var rows [2][40]int
	if len(b) >= len(rows[0]) {
		return limit + 1
	}
	prev, cur := &rows[0], &rows[1]
	for j := range len(b) + 1 {
		prev[j] = j
	}
	for i := range len(a) {
		cur[0] = i + 1
		least := cur[0]
		for j := range len(b) {
			d := prev[j]
			if a[i] != b[j] {
				d = min(d, prev[j+1], cur[j]) + 1
			}
			cur[j+1] = d
			least = min(least, d)
		}
		if least > limit {
			return limit + 1
		}
		prev, cur = cur, prev
	}
	return prev[len(b)]
}
