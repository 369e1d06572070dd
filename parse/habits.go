package parse

import (
	"regexp"

	"tillproof/ocr"
)

// habits are how a receipt prints amounts: what departs from it was misread.
type habits struct {
	// behind: the minus stands behind the amounts, or brackets round them; brackets: these.
	behind, brackets bool
	// leading: it stands before them, and nowhere else.
	leading bool
	// flags are the letters that stand behind at least two amounts, before those that
	// stand before them.
	flags, before map[string]bool
}

// Forms of a word: an amount with a minus behind it or brackets, with a minus before it, with flags; one
// of which the point was not seen, or is a colon, "4:30-T"; what is left of an amount below one unit
// whose nought and point were not seen; a code, a price or a leader that is glued to an amount.
var (
	formBehind    = regexp.MustCompile(`^\$?\d+\.\d\d-[A-Z]{0,2}$|^\(\$?\d+\.\d\d\)`)
	formLeading   = regexp.MustCompile(`^-\$?\d+\.\d\d[A-Z]{0,2}$`)
	formFlagged   = regexp.MustCompile(`^-?\$?\d*\.\d\d([A-Z]{1,2})$`)
	formAmount    = regexp.MustCompile(`^-?\$?\d*\.\d\d$`)
	formPointless = regexp.MustCompile(`^(-?\$?\d{1,3}):?(\d\d)([A-Z]{0,2})$`)
	formColon     = regexp.MustCompile(`^\$?\d{1,4}:\d\d$`)
	formPlaces    = regexp.MustCompile(`^(\d\d)([A-Z]{0,2})$`)
	formLostUnits = regexp.MustCompile(`^\d\d-[A-Z]{0,2}$`)
	formUnitless  = regexp.MustCompile(`^(-?)([0-9][0-9O]|O[0-9])([A-Z]?)$`)
	formGlued     = regexp.MustCompile(`^(?:[-.,]?\d{8,14}[.,]|[A-Za-z]{1,4}[.,:]+|[A-Za-z]{2,})(\$?\d{1,4}\.\d\d[A-Z]{0,2})$`)
	formJoined    = regexp.MustCompile(`^_?(\d{1,3})(\d\d-[A-Z]{0,2})$`)
	formColoned   = regexp.MustCompile(`^(\$?\d{1,3}):(\d\d-[A-Z]?)$`)
	formOpened    = regexp.MustCompile(`^(\(\$?\d+\.\d\d)([A-Z]{0,2})$`)
	formClosed    = regexp.MustCompile(`^[^(]?(\$?\d+\.\d\d\)[A-Z]{0,2})$`)
	formBracket   = regexp.MustCompile(`^\(\$?\d+\.\d\d\)?[A-Z]{0,2}$`)
	formTwo       = regexp.MustCompile(`^\$?\d{1,4}\.\d\d(\$?\d{1,4}\.\d\d-?[A-Z]{0,2})$`)
	formBetween   = regexp.MustCompile(`^-[^$]{1,2}(\$\d{1,4}\.\d\d[A-Z]{0,2})$`)
	formSignRead  = regexp.MustCompile(`^[_=~]{1,2}(\$?\d*\.\d\d[A-Z]{0,2})$`)
	formLeader    = regexp.MustCompile(`^[.,:;'…]+(-?\$?\d+\.\d\d.*)$`)
)

// habitsOf are the habits of the photos among pages.
func habitsOf(pages []ocr.Page) habits {
	h := habits{flags: map[string]bool{}, before: map[string]bool{}}
	behind, before, brackets, halves := 0, 0, 0, 0
	flags, first := map[string]int{}, map[string]int{}
	for i := range pages {
		for j := range pages[i].Lines {
			readings := pages[i].Lines[j].Readings
			if pages[i].Text || len(readings) == 0 {
				continue
			}
			words := readings[0].Words
			for k := max(0, len(words)-2); k < len(words); k++ {
				s := words[k].Text
				switch {
				case formBracket.MatchString(s):
					brackets++
				case formClosed.MatchString(s):
					halves++
				}
				switch {
				case formBehind.MatchString(s):
					behind++
				case formLeading.MatchString(s):
					before++
				}
				if m := formFlagged.FindStringSubmatch(s); m != nil {
					flags[m[1]]++
				} else if k+1 == len(words)-1 && formAmount.MatchString(s) && isFlagText(words[k+1].Text) {
					flags[words[k+1].Text]++
				}
				if k == len(words)-1 && k > 1 && isFlagText(words[k-1].Text) && formAmount.MatchString(s) {
					first[words[k-1].Text]++
				}
			}
		}
	}
	h.brackets = brackets >= 3 || brackets > 0 && brackets+halves >= 2 && behind <= brackets && before == 0
	h.behind = h.brackets && before == 0 || behind >= 2 && before*3 <= behind
	h.leading = before >= 2 && behind+brackets == 0
	for f, n := range flags {
		h.flags[f] = n >= 2
	}
	for f, n := range first {
		h.before[f] = n >= 2
	}
	return h
}

// isFlagText reports whether s is one or two capitals.
func isFlagText(s string) bool {
	return len(s) >= 1 && len(s) <= 2 && capital(s[0]) && capital(s[len(s)-1])
}

// signed is the amount s with its minus as the receipt prints it, behind or as brackets; empty
// where it is so, or where the receipt prints it otherwise.
func (h *habits) signed(s string) string {
	switch m := formBetween.FindStringSubmatch(s); {
	case m != nil:
		return "-" + m[1] // nothing stands between minus and currency sign
	case !h.behind:
	case formLostUnits.MatchString(s):
		return "0." + s
	case formJoined.MatchString(s):
		return formJoined.ReplaceAllString(s, "$1.$2")
	case formColoned.MatchString(s):
		return formColoned.ReplaceAllString(s, "$1.$2")
	case h.brackets && formOpened.MatchString(s):
		return formOpened.ReplaceAllString(s, "$1)$2")
	case h.brackets && formClosed.MatchString(s):
		return "(" + formClosed.FindStringSubmatch(s)[1]
	case formLeading.MatchString(s):
		return s[1:] // where the minus stands behind, one before is dirt
	}
	return ""
}

// unseenBracket are the runners-up of text, made of s: where its opening bracket was made of
// the first digit, that it was not seen at all.
func unseenBracket(s, text string) []ocr.Alternative {
	if !digit(s[0]) || len(text) != len(s) {
		return nil
	}
	return []ocr.Alternative{{Text: "(" + s, Cost: 1}}
}
