// Package blackout finds the numbers in a receipt that are nobody's business but
// the shopper's: of cards, loyalty accounts and telephones. What leaves the
// machine has them blacked out, in its text and in its pictures.
//
// Receipt is the function to read first; Boxes says the same of a picture. Where
// it is not clear what a long number is, it counts as one of these: a copy that
// shows too little can be made again, one that shows too much cannot be taken
// back. Of an account number the last four digits stay, as on receipts
// themselves; of a telephone number nothing does.
package blackout

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tillproof/ocr"
	"tillproof/parse"
)

// Mark stands for each character that was blacked out in a text.
const Mark = '█'

// long is from how many digits on a number of unknown meaning is hidden, named
// from how many beside a word that says what it is.
const (
	long  = 7
	named = 5
)

var (
	accountWord = regexp.MustCompile(`(?i)\b(card|acct|account|member|membership|memb|loyalty|customer|cust|club|rewards?|pan|iban)\b`)
	phoneWord   = regexp.MustCompile(`(?i)\b(tel|telephone|phone|ph|fax|mobile|cell|call|text)\b`)
	phoneLike   = regexp.MustCompile(`^\+?\(?(\d{3}|\d \d{3}|\d-\d{3})?[).]?[ .-]*\d{3}[ .-]\d{4}\)?$`)
	amountLike  = regexp.MustCompile(`^[-+$€£]*\d{1,5}[.,]\d{2}-?[A-Za-z]?$`)
	timeLike    = regexp.MustCompile(`^\d{1,2}:\d{2}(:\d{2})?([AaPp][Mm]?)?$`)
	dateLike    = regexp.MustCompile(`^(\d{1,2}|\d{4})([/.-])\d{1,2}([/.-])(\d{4}|\d{2})$`)
)

// Span is a run of runes, To not included.
type Span struct{ From, To int }

// Text is s with the numbers blacked out that are nobody's business. What
// stands in keep is a number that may be seen: a product's code, a transaction's.
func Text(s string, keep ...string) string {
	r := []rune(s)
	for _, span := range Spans(s, keep...) {
		for i := span.From; i < span.To; i++ {
			if !unicode.IsSpace(r[i]) {
				r[i] = Mark
			}
		}
	}
	return string(r)
}

// Spans are the runs of runes that Text blacks out.
func Spans(s string, keep ...string) []Span {
	r := []rune(s)
	phone, account := phoneWord.MatchString(s), accountWord.MatchString(s)
	var spans []Span
	for _, n := range numbers(r, keep) {
		digits := 0
		for _, c := range r[n.From:n.To] {
			if isDigit(c) || isMask(c) {
				digits++
			}
		}
		least := long
		if phone || account {
			least = named
		}
		if digits < least {
			continue
		}
		if phone || account { // masks before the number may have been read as letters
			for n.From > 0 && !unicode.IsSpace(r[n.From-1]) && !strings.ContainsRune(":#=", r[n.From-1]) {
				n.From--
			}
		}
		if !phone && !phoneLike.MatchString(string(r[n.From:n.To])) {
			n.To = beforeLastFour(r, n)
		}
		if n.To > n.From {
			spans = append(spans, n)
		}
	}
	return spans
}

// numbers are the runs of digits and of what stands for them (***1234), over
// the single spaces and hyphens that group them.
func numbers(r []rune, keep []string) []Span {
	var all []Span
	open := false // whether the last number may go on
	for i := 0; i < len(r); {
		if unicode.IsSpace(r[i]) {
			if i > 0 && unicode.IsSpace(r[i-1]) {
				open = false
			}
			i++
			continue
		}
		j := i
		for j < len(r) && !unicode.IsSpace(r[j]) {
			j++
		}
		parts := tokens(r, i, j, keep)
		for k, p := range parts {
			if whole := k == 0 && p.From == i; whole && open {
				all[len(all)-1].To = p.To
			} else {
				all = append(all, p)
			}
		}
		open = len(parts) > 0 && parts[len(parts)-1].To == j
		i = j
	}
	return all
}

// tokens are the numbers in the word r[i:j]: none in an amount, a date, a time
// and what is kept; the whole word where nothing else is in it.
func tokens(r []rune, i, j int, keep []string) []Span {
	word := strings.Trim(string(r[i:j]), ",;.:()[]“”‘’\"'")
	if amountLike.MatchString(word) || timeLike.MatchString(word) || dateLike.MatchString(word) || slices.Contains(keep, strings.Trim(word, "#:")) {
		return nil
	}
	misread := likelyDigits(r[i:j])
	var all []Span
	from := -1
	for k := i; k <= j; k++ {
		part := k < j && (isDigit(r[k]) || isMask(r[k]) || misread && unicode.IsLetter(r[k]) || strings.ContainsRune("-.()+/", r[k]))
		switch {
		case part && from < 0:
			from = k
		case !part && from >= 0:
			if s := (Span{from, k}); isNumber(r[from:k], misread) {
				all = append(all, s)
			}
			from = -1
		}
	}
	return all
}

// isNumber reports whether a run has a digit or three masks in it: an x or an
// asterisk alone stands for no digit.
func isNumber(r []rune, misread bool) bool {
	masks := 0
	for _, c := range r {
		if isDigit(c) {
			return true
		}
		if isMask(c) {
			masks++
		}
	}
	return masks >= 3 || misread
}

// likelyDigits reports whether a word is a number of which some digits were read
// as the letters they look like.
func likelyDigits(word []rune) bool {
	digits, letters := 0, 0
	for _, c := range word {
		switch {
		case isDigit(c):
			digits++
		case isMask(c), strings.ContainsRune("-.()+/#:", c):
		case strings.ContainsRune("OoQDIl|iSBZ", c):
			letters++
		default:
			return false
		}
	}
	return letters > 0 && digits >= 3 && digits >= letters
}

func isDigit(c rune) bool { return c >= '0' && c <= '9' }
func isMask(c rune) bool  { return strings.ContainsRune("*Xx•·", c) }

// beforeLastFour is where in n the last four digits begin; its end, where it
// does not end in four digits.
func beforeLastFour(r []rune, n Span) int {
	left := 4
	for i := n.To - 1; i >= n.From; i-- {
		switch {
		case isDigit(r[i]):
			if left--; left == 0 {
				return i
			}
		case unicode.IsSpace(r[i]) || strings.ContainsRune("-.()/", r[i]):
		default:
			return n.To
		}
	}
	return n.To
}

// Receipt is a copy of r whose texts have the numbers blacked out. Product codes
// of goods and coupons stay, and the receipt's own transaction and register.
func Receipt(r *parse.Receipt) *parse.Receipt {
	out := *r
	out.Lines = slices.Clone(r.Lines)
	for i := range out.Lines {
		l := &out.Lines[i]
		keep := kept(r, l)
		l.Text, l.Name = Text(l.Text, keep...), Text(l.Name, keep...)
		if !goods[l.Kind] {
			l.Code = ""
		}
	}
	out.Messages = slices.Clone(r.Messages)
	for i, m := range out.Messages {
		out.Messages[i] = Text(m)
	}
	out.Store = Text(r.Store)
	return &out
}

var goods = map[parse.LineKind]bool{
	parse.LineItem: true, parse.LineQuantity: true, parse.LineDeduction: true,
	parse.LineVoid: true, parse.LineFee: true,
}

// kept are the numbers of line l that may be seen.
func kept(r *parse.Receipt, l *parse.Line) []string {
	keep := []string{r.Transaction, r.Register}
	if goods[l.Kind] && l.Code != "" {
		keep = append(keep, l.Code)
	}
	return slices.DeleteFunc(keep, func(s string) bool { return s == "" })
}

// Boxes are the parts of photo n, in pixels of the upright photo, that are to be
// blacked out. lines are all that was read in it, once or several times; r says
// what the lines are. Print that was seen and not read is blacked out as a
// whole: nobody knows what it says.
func Boxes(r *parse.Receipt, n int, lines []ocr.Line) []ocr.Box {
	var hide []ocr.Box
	pitch := pitchOf(lines)
	for i := range lines {
		l := &lines[i]
		keep := keptAt(r, n, l.Box)
		if len(l.Readings) == 0 {
			if !readElsewhere(lines, l) {
				hide = append(hide, l.Box)
			}
			continue
		}
		hide = append(hide, wordBoxes(l.Readings[0].Words, pitch, keep)...)
	}
	return hide
}

// keptAt are the numbers that may be seen in box on photo n: of all lines that
// it lies over, since on paper that lies aslant a line's box reaches into those
// of its neighbours.
func keptAt(r *parse.Receipt, n int, box ocr.Box) (keep []string) {
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Photo == n && l.Box != nil && overlap(ocr.Box{X: l.Box[0], Y: l.Box[1], W: l.Box[2], H: l.Box[3]}, box) > 0.3 {
			keep = append(keep, kept(r, l)...)
		}
	}
	return keep
}

// readElsewhere reports whether what l could not read was read another time.
func readElsewhere(lines []ocr.Line, l *ocr.Line) bool {
	return slices.ContainsFunc(lines, func(m ocr.Line) bool { return len(m.Readings) > 0 && overlap(m.Box, l.Box) > 0.8 })
}

// overlap is how much of b lies in a.
func overlap(a, b ocr.Box) float64 {
	w := min(a.X+a.W, b.X+b.W) - max(a.X, b.X)
	h := min(a.Y+a.H, b.Y+b.H) - max(a.Y, b.Y)
	if w <= 0 || h <= 0 || b.W*b.H == 0 {
		return 0
	}
	return float64(w*h) / float64(b.W*b.H)
}

// wordBoxes are the parts of words that are to be hidden: all of a word but the
// characters that may be seen at its end. Where those are is not told by how many
// characters were read, since a number may have more than were: they get no more
// room than characters have on this line or, where it is less, pitch.
func wordBoxes(words []ocr.Word, pitch float64, keep []string) []ocr.Box {
	text, starts := "", make([]int, len(words))
	count := 0
	for i, w := range words {
		if i > 0 {
			text, count = text+" ", count+1
		}
		starts[i] = count
		text, count = text+w.Text, count+len([]rune(w.Text))
	}
	var hide []ocr.Box
	for _, span := range Spans(text, keep...) {
		for i, w := range words {
			size := len([]rune(w.Text))
			from, to := max(span.From-starts[i], 0), min(span.To-starts[i], size)
			if from >= to {
				continue
			}
			wide := min(pitch, float64(w.Box.W)/float64(size))
			shown := float64(size-to)*wide - wide/3
			if to == size {
				shown = -wide / 3
			}
			x := w.Box.X - int(wide/3)
			right := float64(w.Box.X+w.Box.W) - shown
			hide = append(hide, ocr.Box{X: x, Y: w.Box.Y - w.Box.H/8, W: int(right) + 1 - x, H: w.Box.H + w.Box.H/4})
		}
	}
	return hide
}

// pitchOf is how far apart characters stand in most of what was read.
func pitchOf(lines []ocr.Line) float64 {
	var all []float64
	for _, l := range lines {
		if len(l.Readings) == 0 {
			continue
		}
		for _, w := range l.Readings[0].Words {
			if n := len([]rune(w.Text)); n >= 3 {
				all = append(all, float64(w.Box.W)/float64(n))
			}
		}
	}
	if len(all) == 0 {
		return 1
	}
	slices.Sort(all)
	return all[len(all)/2]
}
