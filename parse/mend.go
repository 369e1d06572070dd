package parse

import (
	"strings"

	"tillproof/ocr"
)

// mendWords puts right what readers commonly do to amounts: a space beside the
// point ("1. 40", "12 .87"), letters for digits ("1O.99", "l2.50"), a letter for
// the currency sign ("S8.35"), a point read twice. Words that need nothing come
// back as they are.
func mendWords(words []ocr.Word) []ocr.Word {
	needed := false
	for i := range words {
		if mended(words[i].Text) != words[i].Text || mendedWord(words, i) != words[i].Text || i+1 < len(words) && splitAmount(&words[i], &words[i+1]) || splitPrice(words, i) {
			needed = true
			break
		}
	}
	if !needed {
		return words
	}
	out := make([]ocr.Word, 0, len(words))
	for i, w := range words {
		if i > 0 && splitPrice(words, i-1) {
			last := &out[len(out)-1]
			last.Text += "." + w.Text
			last.Box.W = w.Box.X + w.Box.W - last.Box.X
			last.Confidence = min(last.Confidence, w.Confidence, 0.8)
			last.Alternatives = nil
			continue
		}
		if w.Text = mendedWord(words, i); i == 0 && w.Text != words[0].Text && leadingLetter(words) {
			w.Confidence = min(w.Confidence, 0.8)
		}
		if n := len(out); n > 0 && splitAmount(&out[n-1], &w) {
			last := &out[n-1]
			last.Alternatives = joinAlternatives(last, &w)
			last.Text = mended(last.Text + w.Text)
			last.Box.W = w.Box.X + w.Box.W - last.Box.X
			last.Confidence = min(last.Confidence, w.Confidence)
			continue
		}
		if m := mended(w.Text); m != w.Text {
			w.Text = m
			w.Confidence = min(w.Confidence, 0.8)
		}
		out = append(out, w)
	}
	return out
}

// youRead reports whether a line begins with YOU, its first letter misread, before what it is
// told of: "Tou pay 8.37" beneath goods and what came off them.
func youRead(words []ocr.Word) bool {
	s := words[0].Text
	return len(words) > 1 && (len(s) == 3 || len(s) == 4) && strings.EqualFold(s[len(s)-2:], "ou") && !strings.EqualFold(s, "you") &&
		(strings.EqualFold(words[1].Text, "pay") || strings.EqualFold(words[1].Text, "saved") || strings.EqualFold(words[1].Text, "save"))
}

// mendedWord is the word at i as the words around it tell it must be.
func mendedWord(words []ocr.Word, i int) string {
	switch {
	case i == 0 && leadingLetter(words):
		return string(likeDigits[words[0].Text[0]])
	case atNought(words, i), pieceSign(words, i):
		return "@"
	}
	if s := joinedAt(words, i); s != words[i].Text {
		return s
	}
	if i == 0 && youRead(words) {
		return "You"
	}
	if i == 0 && len(words[0].Text) == 3 && saysQuantity(words) {
		return "QTY"
	}
	if s := piecesRead(words, i); s != "" {
		return s
	}
	if s := groupDigit(words, i); s != "" {
		return s
	}
	if s := groupSign(words, i); s != "" {
		return s
	}
	if unitRead(words, i) {
		return "lb"
	}
	if groupFor(words, i) {
		return "FOR"
	}
	return mendedUnit(words[i].Text, i > 0 && i+1 < len(words) && isNumber(words[i-1].Text))
}

// splitAmount reports whether a and b are an amount that was read with a space
// beside its point: "1." and "40", "12" and ".87".
func splitAmount(a, b *ocr.Word) bool {
	s, t := a.Text, b.Text
	if len(s) == 0 || len(t) < 2 || b.Box.X-(a.Box.X+a.Box.W) > 2*max(a.Box.H, b.Box.H) {
		return false
	}
	end := s[len(s)-1]
	if end == '.' || end == ',' {
		return splitThousands(s, t) || len(s) > 1 && digit(s[len(s)-2]) && twoPlaces(t) && !strings.ContainsAny(s[:len(s)-1], ".,:/")
	}
	places := strings.TrimLeft(t, ".,")
	return digit(end) && len(places) < len(t) && twoPlaces(places) && !strings.ContainsAny(s, ".,:/-")
}

// splitThousands reports whether s and t are a number with its thousands
// divided that was read as two words: "36." and "000".
func splitThousands(s, t string) bool {
	n := len(s)
	return n >= 2 && (s[n-1] == '.' || s[n-1] == ',') && digit(s[n-2]) && len(t) == 3 && digit(t[0]) && digit(t[1]) && digit(t[2])
}

// twoPlaces reports whether s begins with two digits, or a digit and a letter
// like one, and no third.
func twoPlaces(s string) bool {
	if len(s) < 2 || len(s) > 2 && (digit(s[2]) || len(s) > 3 && (s[2] == '.' || s[2] == ',') && digit(s[3])) {
		return false // "15.40" is an amount by itself
	}
	return digit(s[0]) && digit(s[1]) || digit(s[0]) && likeDigits[s[1]] != 0 || likeDigits[s[0]] != 0 && digit(s[1])
}

// joinAlternatives are the runners-up of a word that was read as two.
func joinAlternatives(a, b *ocr.Word) []ocr.Alternative {
	out := make([]ocr.Alternative, 0, len(a.Alternatives)+len(b.Alternatives))
	for _, alt := range a.Alternatives {
		out = append(out, ocr.Alternative{Text: alt.Text + b.Text, Cost: alt.Cost})
	}
	for _, alt := range b.Alternatives {
		out = append(out, ocr.Alternative{Text: a.Text + alt.Text, Cost: alt.Cost})
	}
	return out
}

// likeDigits are letters that readers give for digits inside an amount.
var likeDigits = [256]byte{'O': '0', 'o': '0', 'D': '0', 'Q': '0', 'l': '1', 'I': '1', 'i': '1', '|': '1', 'Z': '2', 'z': '2', 'S': '5', 's': '5', 'B': '8', 'G': '6', 'b': '6', 'U': '4', 'A': '4', 'T': '7', 'g': '9', 'q': '9', '}': '3'}

// mended is s with digits for letters and one point for two, where s has the
// form of an amount: at least two true digits, a point, two places after it.
// Other words come back as they are.
func mended(s string) string {
	if isClock(s) {
		return s[:5] + ":" + s[6:]
	}
	if i := strings.Index(s, ".:"); i > 0 && len(s) >= i+4 && digit(s[i-1]) && digit(s[i+2]) && digit(s[i+3]) {
		s = s[:i+1] + s[i+2:]
	}
	dot := strings.LastIndexByte(s, '.')
	if dot < 0 && strings.IndexByte(s, '$') >= 0 && strings.Count(s, ":") == 1 {
		dot = strings.IndexByte(s, ':')
	}
	if dot < 1 || len(s) < dot+3 || len(s) > 12 {
		return s
	}
	from, sign := amountStart(s, dot)
	prefix := s[:from]
	end := dot
	for end > from && strings.IndexByte(".,:", s[end-1]) >= 0 {
		end--
	}
	if end == from {
		return s
	}
	digits, letters := 0, 0
	var buf [16]byte
	b := append(buf[:0], prefix...)
	if sign {
		b[from-1] = '$'
	}
	for i := from; i < dot+3; i++ {
		switch {
		case i >= end && i < dot:
			continue
		case i == dot:
			b = append(b, '.')
			continue
		case digit(s[i]):
			digits++
			b = append(b, s[i])
		case likeDigits[s[i]] != 0:
			letters++
			b = append(b, likeDigits[s[i]])
		default:
			return s
		}
	}
	for i := dot + 3; i < len(s); i++ {
		if digit(s[i]) {
			return s
		}
	}
	if letters == 0 && end == dot && !sign && s[dot] == '.' || digits < 2 || letters > digits {
		return s
	}
	return string(append(b, s[dot+3:]...))
}

// isClock reports whether s is a time of day whose second colon was read as a
// point: "08:18.00".
func isClock(s string) bool {
	two := func(i int, most byte) bool { return s[i] >= '0' && s[i] <= most && digit(s[i+1]) }
	return len(s) == 8 && s[2] == ':' && s[5] == '.' && two(0, '2') && two(3, '5') && two(6, '5')
}

// amountStart is where the digits begin in s: behind minus, bracket and
// currency sign. sign says that the currency sign was read as a letter.
func amountStart(s string, dot int) (from int, sign bool) {
	for from < dot && (s[from] == '$' || s[from] == '-' || s[from] == '(') {
		from++
	}
	if from+1 < dot && s[from] == '#' {
		return from + 1, true
	}
	if from+1 < dot && (s[from] == 'S' || s[from] == 's') {
		return from + 1, true
	}
	return from, false
}
