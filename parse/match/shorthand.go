package match

import (
	"math/bits"
	"strings"
)

// shorthand says from 0 to 100 how well p may stand for the word f. clean: no letter of p
// was misread.
func shorthand(p, f *word, clean bool) int {
	switch {
	case p.text == f.text:
		return 100
	case p.number || f.number:
		return 0
	}
	if p.text[0] == f.text[0] {
		if s := cut(p.text, f); s > 0 {
			return s
		}
	}
	if clean {
		return 0
	}
	return max(misread(p, f), readTwice(p.text, f), runTogether(p.text, f))
}

// runTogether is shorthand for a word in which r and n, or two t, were read as m, as they stand
// in small letters: "Tamwick" for Tarnwick, "bumer" for butter.
func runTogether(p string, f *word) int {
	best := 0
	for i := range len(p) {
		if p[i] != 'M' {
			continue
		}
		for _, two := range [...]string{"RN", "TT"} {
			switch q := p[:i] + two + p[i+1:]; {
			case q == f.text:
				return 95
			case q[0] == f.text[0]:
				best = max(best, cut(q, f)*9/10)
			}
		}
	}
	return best
}

// readTwice is shorthand for a word of which a letter was read twice, as readers do where
// it is broad: "PORDGG" for PORDG.
func readTwice(p string, f *word) int {
	best := 0
	for i := 1; i < len(p) && p[0] == f.text[0] && len(p) > 4; i++ {
		if p[i] == p[i-1] {
			best = max(best, cut(p[:i]+p[i+1:], f)*9/10)
		}
	}
	return best
}

// cut is shorthand for words with the same first letter: f cut short, without
// its vowels, both, or with further letters left out.
func cut(p string, f *word) int {
	n := len(p)
	few := [...]int{0, 40, 75}
	switch {
	case strings.HasPrefix(f.text, p):
		if n < len(few) {
			return few[n]
		}
		return 92
	case boned(p, f.text) == inPart && n > 2, boned(p, f.text) == inFull:
		if n < len(few) {
			return few[n] - 10
		}
		return 90
	case len(f.text) > 2 && strings.HasPrefix(p, f.text) && n-len(f.text) <= 2:
		return 88 // a plural
	case n > 2 && within(p, f.text):
		return 50 + 35*n/len(f.text)
	case n == 2 && within(p, f.text):
		return 40
	}
	return 0
}

// within reports whether the letters of p stand in f in p's order.
func within(p, f string) bool {
	i := 0
	for j := 0; i < len(p) && j < len(f); j++ {
		if p[i] == f[j] {
			i++
		}
	}
	return i == len(p)
}

// misread is shorthand for words of which a letter or two were misread.
func misread(p, f *word) int {
	n := len(p.text)
	if n < 4 || len(f.text) < 4 || bits.OnesCount32(p.letters&^f.letters) > n/4 {
		return 0
	}
	best := misreadOf(p.text, f.text)
	best = max(best, misreadOf(p.text, f.text[:min(len(f.text), n)]))
	var room [32]byte
	bone := room[:0]
	for j := 0; j < len(f.text) && len(bone) < cap(bone); j++ {
		if j == 0 || !isVowel(f.text[j]) && f.text[j] != bone[len(bone)-1] {
			bone = append(bone, f.text[j])
		}
	}
	if len(bone) < len(f.text) {
		best = max(best, misreadOf(p.text, string(bone)))
	}
	return best
}

func misreadOf(p, whole string) int {
	n := len(p)
	if d := len(whole) - n; len(whole) < 4 || d < -1 || d > 1 {
		return 0
	}
	if d := edits(p, whole); 4*d <= n {
		return 95 - 100*d/n
	}
	return 0
}
