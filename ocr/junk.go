package ocr

import (
	"slices"
	"strings"
	"unicode"

	"github.com/hbollon/go-edlib"

	"tillproof/ocr/lines"
)

// verdict says what becomes of a line that was found.
type verdict int

const (
	isPrint verdict = iota // it was read
	unread                 // it is print and cannot be read
	noPrint                // a blot, a rule, the grain of a table: no line at all
)

// Confidences below which a line is taken for unreadable, or for no print
// where it does not look like print either; from vague on letters are no grain of a table.
const (
	hopeless = 0.2
	vague    = 0.3
	doubtful = 0.5
)

// judgeAll judges all lines of a paper, each by itself and some by the others: what says,
// but for a letter or two, what a line says that was read well was read as well, and what
// cannot be read and lies beside all print is the table's.
func judgeAll(strips []lines.Strip, readings [][]Reading) []verdict {
	out := make([]verdict, len(strips))
	var known []string
	var print []lines.Strip
	for i, s := range strips {
		if out[i] = judge(s, readings[i]); out[i] != isPrint {
			continue
		}
		if best := readings[i][0]; best.confidence() >= wellKnown {
			print = append(print, s)
			if text := best.Text(); len(text) >= longText {
				known = append(known, text)
			}
		}
	}
	for i, s := range strips {
		switch {
		case out[i] != unread:
		case says(readings[i], known):
			out[i] = isPrint
		case besideAll(s, print) && (len(readings[i]) == 0 || readings[i][0].confidence() < hopeless):
			out[i] = noPrint
		}
	}
	return out
}

// From what confidence, and how long, a line's text tells what another is; and how many
// lines tell where print ends at the sides.
const (
	wellKnown = 0.7
	longText  = 10
	manyPrint = 10
)

// says reports whether a reading has one of the texts, but for a letter in eight.
func says(readings []Reading, known []string) bool {
	return slices.ContainsFunc(readings, func(r Reading) bool {
		text := r.Text()
		return len(text) >= longText && slices.ContainsFunc(known, func(k string) bool {
			most := len(k) / 8
			return max(len(text)-len(k), len(k)-len(text)) <= most && edlib.LevenshteinDistance(text, k) <= most
		})
	})
}

// besideAll reports whether s ends before most of many lines of print begin, or begins
// behind their ends.
func besideAll(s lines.Strip, print []lines.Strip) bool {
	within := 0
	for _, p := range print {
		if p.X0 < s.X1 && s.X0 < p.X1 {
			within++
		}
	}
	return len(print) >= manyPrint && 5*within <= len(print)
}

// judge tells print from what only looked like it. The worst mistake is to
// drop a line in silence: only what neither looks nor reads like print goes.
func judge(s lines.Strip, readings []Reading) verdict {
	if len(readings) == 0 {
		if s.Regular && s.Letters >= 4 {
			return unread
		}
		return noPrint
	}
	best := readings[0]
	plain, marks := 0, 0
	for _, r := range best.Text() {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			plain++
		case r != ' ':
			marks++
		}
	}
	confidence := best.confidence()
	switch {
	case marks >= 5 && marks > 4*plain && !hasAmount(best):
		return noPrint // a rule of dashes or stars
	case plain == 0 && marks < 5 && confidence < 0.8:
		return noPrint
	case hasAmount(best) && confidence >= hopeless:
		return isPrint
	case confidence < hopeless && s.Regular && s.Letters >= 6, confidence < doubtful && s.Regular && s.Letters >= 6 && plain <= 3:
		return unread
	case confidence < doubtful && !s.Regular && plain >= 8 && plain > 4*marks && s.X1-s.X0 > 4*s.Height && confidence >= hopeless:
		return isPrint // a heading in letters of its own
	case confidence >= vague && confidence < doubtful && !s.Regular && plain >= 5 && plain > 2*marks && s.X1-s.X0 > 6*s.Height:
		return unread // print that a stroke of a pen, a fold or a stain runs through
	case confidence < hopeless, confidence < doubtful && (plain <= 3 || !s.Regular):
		return noPrint
	case s.Letters <= 1 && plain <= 1 && confidence < 0.9:
		return noPrint
	}
	return isPrint
}

// hasAmount reports whether a word of r has digits around a point.
func hasAmount(r Reading) bool {
	for _, w := range r.Words {
		if i := strings.LastIndexAny(w.Text, ".,"); i > 0 && i+1 < len(w.Text) && isDigit(w.Text[i-1]) && isDigit(w.Text[i+1]) {
			return true
		}
	}
	return false
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
