package ocr

import (
	"strings"
	"unicode"

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
