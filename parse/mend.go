package parse

import (
	"strings"

	"tillproof/ocr"
)

// mendWords puts right what readers commonly do to amounts: a space beside the
// point ("1. 40", "12 .87") and letters for digits ("1O.99", "l2.50"). Words
// that need nothing come back as they are.
func mendWords(words []ocr.Word) []ocr.Word {
	needed := false
	for i := range words {
		if mendable(words[i].Text) || i+1 < len(words) && splitAmount(&words[i], &words[i+1]) {
			needed = true
			break
		}
	}
	if !needed {
		return words
	}
	out := make([]ocr.Word, 0, len(words))
	for _, w := range words {
		if n := len(out); n > 0 && splitAmount(&out[n-1], &w) {
			last := &out[n-1]
			last.Text += w.Text
			last.Box.W = w.Box.X + w.Box.W - last.Box.X
			last.Confidence = min(last.Confidence, w.Confidence)
			last.Alternatives = nil
			continue
		}
		if mendable(w.Text) {
			w.Text = mended(w.Text)
			w.Confidence = min(w.Confidence, 0.8)
		}
		out = append(out, w)
	}
	return out
}

// splitAmount reports whether a and b are an amount that was read with a space
// beside its point: "1." and "40", "12" and ".87".
func splitAmount(a, b *ocr.Word) bool {
	s, t := a.Text, b.Text
	if len(s) == 0 || len(t) == 0 || b.Box.X-(a.Box.X+a.Box.W) > 2*max(a.Box.H, b.Box.H) {
		return false
	}
	end := s[len(s)-1]
	if end == '.' || end == ',' {
		return len(s) > 1 && digit(s[len(s)-2]) && len(t) >= 2 && digit(t[0]) && digit(t[1]) && (len(t) == 2 || !digit(t[2])) && !strings.ContainsAny(s[:len(s)-1], ".,:/")
	}
	return digit(end) && len(t) >= 3 && (t[0] == '.' || t[0] == ',') && digit(t[1]) && digit(t[2]) && (len(t) == 3 || !digit(t[3])) && !strings.ContainsAny(s, ".,:/-")
}

// likeDigits are letters that readers give for digits inside an amount.
var likeDigits = map[byte]byte{'O': '0', 'o': '0', 'D': '0', 'Q': '0', 'l': '1', 'I': '1', 'i': '1', '|': '1', 'Z': '2', 'z': '2', 'S': '5', 's': '5', 'B': '8', 'G': '6', 'b': '6', 'U': '4', 'A': '4', 'T': '7', 'g': '9', 'q': '9'}

// mendable reports whether s has the form of an amount with letters among its
// digits: at least two true digits, a point, and two places after it.
func mendable(s string) bool {
	dot := strings.LastIndexByte(s, '.')
	if dot < 1 || len(s) < dot+3 || len(s) > 10 {
		return false
	}
	digits, letters := 0, 0
	from := 0
	for from < dot && (s[from] == '$' || s[from] == '-' || s[from] == '(') {
		from++
	}
	for i := from; i < dot+3; i++ {
		switch {
		case i == dot:
		case digit(s[i]):
			digits++
		case likeDigits[s[i]] != 0:
			letters++
		default:
			return false
		}
	}
	for _, c := range []byte(s[dot+3:]) {
		if digit(c) {
			return false
		}
	}
	return letters > 0 && digits >= 2 && letters <= digits && dot > from
}

// mended is s with digits for letters up to two places after the point.
func mended(s string) string {
	b := []byte(s)
	dot := strings.LastIndexByte(s, '.')
	for i := range min(len(b), dot+3) {
		if d := likeDigits[b[i]]; d != 0 && b[i] != '$' {
			b[i] = d
		}
	}
	return string(b)
}
