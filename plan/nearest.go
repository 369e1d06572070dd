package plan

import (
	"strconv"
	"strings"

	"github.com/hbollon/go-edlib"
)

// nearest returns the word that a misspelt one most likely stands for, "" where
// none is near: at most one slip in three letters, so that a hint is worth reading.
func nearest(word string, known []string) string {
	if len(word) > 60 {
		return ""
	}
	best, least := "", 1+max(1, len([]rune(word))/3)
	for _, k := range known {
		if len(k) > 60 {
			continue
		}
		d := edlib.OSADamerauLevenshteinDistance(strings.ToLower(word), strings.ToLower(k))
		if d < least {
			best, least = k, d
		}
	}
	return best
}

// oneOf parses a word that must be one of known.
func oneOf[T ~string](known ...T) func(s string) (T, error) {
	return func(s string) (T, error) {
		all := make([]string, len(known))
		for i, k := range known {
			if T(s) == k {
				return k, nil
			}
			all[i] = string(k)
		}
		hint := "write one of: " + strings.Join(all, ", ")
		if near := nearest(s, all); near != "" {
			hint = "did you mean " + near + "?"
		}
		return "", wrong{"it cannot be " + quote(s), hint}
	}
}

// wrong is why a value cannot be what its field asks for, and what to do.
type wrong struct{ msg, hint string }

// Error is the message without the hint.
func (w wrong) Error() string { return w.msg }

// quote is strconv.Quote, cut where a value is too long to be shown.
func quote(s string) string {
	if r := []rune(s); len(r) > 60 {
		s = string(r[:57]) + "…"
	}
	return strconv.Quote(s)
}

// Nearest returns the one of known that word is most likely misspelt for, "" where
// none is near.
func Nearest(word string, known []string) string { return nearest(word, known) }
