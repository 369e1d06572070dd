package match

import (
	"slices"
	"strings"

	"tillproof/parse"
)

// A till prints the same words on line after line: its own of a deduction, the name of goods
// that are rung one by one. Where a reader has a letter of one of them otherwise, the others
// say what it was.

// photoName is a name on a photo, with its line.
type photoName struct {
	line  *parse.Line
	name  *string
	words []string
}

// echoed puts right the words of photos' names that differ in one letter from a word of other
// lines which stands beside the same word there, and was read in two lines, read for sure, or is
// a word of the trade. The words must not be sure themselves: goods may differ in a letter.
func (c *content) echoed(r *parse.Receipt) {
	var all []photoName
	add := func(n int, name *string) {
		if l := r.Line(n); l.Photo > 0 {
			all = append(all, photoName{l, name, strings.Fields(*name)})
		}
	}
	for i := range c.entries {
		add(c.entries[i].Lines[0], &c.entries[i].Name)
	}
	for i := range c.cuts {
		add(c.cuts[i].Lines[0], &c.cuts[i].Name)
	}
	for i := range all {
		at := &all[i]
		for k, w := range at.words {
			if len(w) < 4 || !lettersOnly(w) || slices.Contains(at.line.Plain, w) {
				continue
			}
			if meant := meantBy(all, i, k); meant != "" {
				at.words[k] = meant
				*at.name = strings.Join(at.words, " ")
			}
		}
	}
}

// meantBy is the word that other names have for word k of name i; "" where none has another,
// one has the same, or they differ among themselves.
func meantBy(all []photoName, i, k int) string {
	w, seen, sure := all[i].words[k], "", false
	for j := range all {
		for m, v := range all[j].words {
			switch {
			case j == i || !besideSame(all[i].words, k, all[j].words, m):
			case v == w:
				return ""
			case len(v) < 4 || !lettersOnly(v) || edits(v, w) != 1:
			case seen != "" && seen != v:
				return ""
			default:
				sure = sure || seen == v || slices.Contains(all[j].line.Plain, v) || ofTrade(v) && !ofTrade(w)
				seen = v
			}
		}
	}
	if !sure {
		return ""
	}
	return seen
}

// besideSame reports whether word k of a has the same word of three letters or more before or
// behind it as word m of b.
func besideSame(a []string, k int, b []string, m int) bool {
	same := func(i, j int) bool {
		return i >= 0 && j >= 0 && i < len(a) && j < len(b) && a[i] == b[j] && len(a[i]) >= 3
	}
	return same(k-1, m-1) || same(k+1, m+1)
}

// ofTrade reports whether a word is one of tills' own.
func ofTrade(word string) bool {
	word = strings.ToUpper(word)
	return said[word] != nil || slices.Contains(besideTrade, word)
}

// lettersOnly reports whether s is letters of the English alphabet.
func lettersOnly(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return (r < 'A' || r > 'Z') && (r < 'a' || r > 'z') }) < 0
}
