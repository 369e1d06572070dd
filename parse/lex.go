package parse

import (
	"unicode"
	"unicode/utf8"

	"tillproof/ocr"
)

// lexKind says what a lexeme is.
type lexKind uint8

const (
	lexWord   lexKind = iota // letters
	lexNumber                // digits, with points and commas between them
	lexSign                  // one sign, or a run of the same
)

// lexeme is a piece of a word: letters, a number or a sign. "3X1.29T" is four.
type lexeme struct {
	kind   lexKind
	sign   byte // of a lexSign: '-' for every dash, '$' for every currency sign
	glued  bool // it follows the lexeme before it without white space
	dec    int8 // of a number: digits after its last separator; none: -1; no number (12.05.2018): -2
	word   int16
	x0, x1 int32
	digits int64 // of a number: its digits as a whole number, separators left out
	text   string
}

// isAmount reports whether l is written like an amount of money: two decimals.
func (l *lexeme) isAmount() bool { return l.kind == lexNumber && l.dec == 2 }

// isWhole reports whether l is a whole number.
func (l *lexeme) isWhole() bool { return l.kind == lexNumber && l.dec == -1 }

// isSign reports whether l is the sign c.
func (l *lexeme) isSign(c byte) bool { return l.kind == lexSign && l.sign == c }

// isRun reports whether l is a run of the same sign, as ornaments are.
func (l *lexeme) isRun() bool { return len(l.text) > 1 && l.text[0] == l.text[1] }

// lexWords cuts words into lexemes, which it appends to out.
func lexWords(words []ocr.Word, out []lexeme) []lexeme {
	for n := range words {
		w := &words[n]
		first := len(out)
		out = lexText(w.Text, out)
		width := max(utf8.RuneCountInString(w.Text), 1)
		at := 0
		for i := first; i < len(out); i++ {
			l := &out[i]
			l.word, l.glued = int16(n), i > first
			l.x0 = int32(w.Box.X + w.Box.W*at/width)
			at += utf8.RuneCountInString(l.text)
			l.x1 = int32(w.Box.X + w.Box.W*at/width)
		}
	}
	return out
}

// lex cuts words into lexemes in p's own memory. Where the receipt prints a star before its
// amounts ("PEAS 4 *4.47") it is no times sign.
func (p *parser) lex(words []ocr.Word) []lexeme {
	out := lexWords(words, p.lexemes[:0])
	if !p.starred {
		return out
	}
	for i := range out[:max(0, len(out)-1)] {
		if next := &out[i+1]; out[i].isSign('*') && len(out[i].text) == 1 && !out[i].glued && next.isAmount() && next.glued {
			out[i].sign = '$'
		}
	}
	return out
}

// printsStars reports whether most lines of the pages that end in an amount have a star before it.
func printsStars(pages []ocr.Page) bool {
	with, all := 0, 0
	for words := range bestWords(pages) {
		for k := max(0, len(words)-2); k < len(words); k++ {
			if endForm(words[k].Text) == 2 {
				if all++; words[k].Text[0] == '*' {
					with++
				}
			}
		}
	}
	return with >= 3 && with*2 >= all
}

// lexText cuts one word into lexemes.
func lexText(s string, out []lexeme) []lexeme {
	for i := 0; i < len(s); {
		n := 0
		switch c := s[i]; {
		case digit(c) || (c == '.' && i+1 < len(s) && digit(s[i+1])):
			n = numberLen(s[i:])
			digits, dec := number(s[i : i+n])
			out = append(out, lexeme{kind: lexNumber, text: s[i : i+n], digits: digits, dec: int8(dec)})
		case letter(s[i:]) > 0:
			for i+n < len(s) {
				size := letter(s[i+n:])
				if size == 0 && s[i+n] == '\'' {
					size = 1
				}
				if size == 0 {
					break
				}
				n += size
			}
			out = append(out, lexeme{kind: lexWord, text: s[i : i+n]})
		default:
			var sign byte
			sign, n = signAt(s[i:])
			for i+n < len(s) && n > 0 && s[i+n] == s[i] && s[i] < utf8.RuneSelf {
				n++
			}
			out = append(out, lexeme{kind: lexSign, sign: sign, text: s[i : i+n]})
		}
		i += n
	}
	return out
}

func digit(c byte) bool { return c >= '0' && c <= '9' }

// letter returns the size of the letter that s begins with, 0 for none.
func letter(s string) int {
	c := s[0]
	if c < utf8.RuneSelf {
		if c|0x20 >= 'a' && c|0x20 <= 'z' {
			return 1
		}
		return 0
	}
	r, size := utf8.DecodeRuneInString(s)
	if unicode.IsLetter(r) || unicode.IsMark(r) {
		return size
	}
	return 0
}

// signAt returns the sign that s begins with and its size; all dashes are '-',
// all currency signs '$', the multiplication sign 'x', what is not known '?'.
func signAt(s string) (byte, int) {
	if s[0] < utf8.RuneSelf {
		return s[0], 1
	}
	r, size := utf8.DecodeRuneInString(s)
	switch r {
	case '−', '–', '—', '‐', '‑':
		return '-', size
	case '€', '£', '¥', '₹', '₩', '¢':
		return '$', size
	case '×':
		return 'x', size
	case '·', '•', '∙':
		return '*', size
	case '’', '‘', '“', '”':
		return '\'', size
	}
	return '?', size
}

// numberLen is the length of the number that s begins with: digits, and points
// and commas that have a digit on their right.
func numberLen(s string) int {
	n := 0
	for n < len(s) {
		if !digit(s[n]) && (s[n] != '.' && s[n] != ',' || n+1 >= len(s) || !digit(s[n+1])) {
			break
		}
		n++
	}
	return n
}

// number reads a number: its digits and how many stand after the last
// separator. The parts between separators must be thousands ("1,234.56"), else
// it is no number and dec is -2.
func number(s string) (digits int64, dec int) {
	dec = -1
	count, groups := 0, 0
	for i := 0; i < len(s); i++ {
		if digit(s[i]) {
			if digits = digits*10 + int64(s[i]-'0'); digits > 1e14 {
				return 0, -2
			}
			count++
			continue
		}
		if groups > 0 && count != 3 {
			return 0, -2
		}
		if groups == 0 && i > 3 && !lastSeparator(s, i) {
			return 0, -2
		}
		groups++
		count = 0
	}
	if groups == 0 {
		return digits, -1
	}
	if groups > 1 && count != 3 && sameSeparators(s) {
		return 0, -2
	}
	return digits, count
}

// lastSeparator reports whether no separator follows the one at i.
func lastSeparator(s string, i int) bool {
	for _, c := range []byte(s[i+1:]) {
		if !digit(c) {
			return false
		}
	}
	return true
}

// sameSeparators reports whether all separators of s are the same one:
// "12.05.18" is a date, "1,205.18" is not.
func sameSeparators(s string) bool {
	var first byte
	for i := 0; i < len(s); i++ {
		if digit(s[i]) {
			continue
		}
		if first != 0 && s[i] != first {
			return false
		}
		first = s[i]
	}
	return true
}
