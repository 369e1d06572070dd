package parse

import (
	"slices"
	"strings"

	"tillproof/ocr"
)

// No till prints ".2762", "58.899" or "2.2248" as an amount. What reads so has lost or
// gained a sign or a digit, and its form says which amounts it can have been. They are
// readings like others: unlike a digit that merely looks like another, something in them
// is certainly misread, so that they need no reader who saw them otherwise.

// misformed are the amounts that the last number of words can have been, the likeliest
// first, where it has the form of none: ways to print it, and the word that is it.
func misformed(words []ocr.Word) (n int, ways []string) {
	for n = len(words) - 1; n > 0 && n >= len(words)-2; n-- {
		s := words[n].Text
		from := strings.IndexAny(s, ".0123456789")
		if from < 0 {
			if len(s) > 2 || weightsAndPieces(s) {
				return n, nil
			}
			continue // a flag
		}
		if way := signMisread(words[:n], s); way != "" {
			return n, []string{way}
		}
		if strings.Trim(s[:from], "$-(") != "" || words[n-1].Text == "@" || isTimesText(words[n-1].Text) {
			return n, nil
		}
		if label := words[0].Text; s[from] == '.' && strings.HasSuffix(label, ":") && !sumWords[strings.ToUpper(strings.Trim(label, ":"))] {
			return n, nil // the end of a number that is not printed whole: "Customer: ...8900"
		}
		size := numberLen(s[from:])
		behind := s[from+size:]
		if len(behind) > 3 || strings.ContainsAny(behind, "%/0123456789") || weightsAndPieces(behind) || n+1 < len(words) && weightsAndPieces(words[n+1].Text) {
			return n, nil
		}
		for _, way := range formed(s[from : from+size]) {
			ways = append(ways, s[:from]+way+behind)
		}
		return n, ways
	}
	return n, nil
}

// signMisread is the amount that s, after words, is with its minus and its point read as one
// dash where something is off: "1-90". It is empty where s is none.
func signMisread(words []ocr.Word, s string) string {
	whole, places, dashed := strings.Cut(s, "-")
	if !dashed || !isDigits(whole, len(whole)) || len(whole) == 0 || len(whole) > 2 || len(places) != 2 || !twoPlaces(places) ||
		!slices.ContainsFunc(words, func(w ocr.Word) bool { return offRead[strings.ToUpper(w.Text)] }) {
		return ""
	}
	return "-" + whole + "." + places
}

// weightsAndPieces reports whether s is a unit of what is weighed or counted.
func weightsAndPieces(s string) bool {
	up := strings.ToUpper(strings.Trim(s, "./,"))
	return weights[up] != "" || pieces[up]
}

// formed are the amounts that the digits and points of s can have been.
func formed(s string) []string {
	dot := strings.IndexByte(s, '.')
	if dot < 0 || strings.Contains(s, ",") {
		return nil
	}
	if last := strings.LastIndexByte(s, '.'); last != dot {
		if n := len(s) - last; n != 3 || last > 4 || last-dot == 4 || strings.Count(s, ".") > 2 {
			return nil // a date, or thousands
		}
		return []string{s[:dot] + s[dot+1:]} // "7.1.74"
	}
	whole, places := s[:dot], s[dot+1:]
	switch {
	case dot == 0 && (len(places) == 3 || len(places) == 4) && places[0] != '0':
		// The point was read before its digits.
		return []string{places[:len(places)-2] + "." + places[len(places)-2:]}
	case dot == 0 || dot > 4 || whole[0] == '0' && len(places) == 3:
		return nil // "0.549" is a weight
	case len(places) == 3:
		// A digit was read twice, or a flag as a digit.
		ways := []string{whole + "." + places[:2]}
		for _, two := range []string{places[1:], places[:1] + places[2:]} {
			if way := whole + "." + two; !slices.Contains(ways, way) {
				ways = append(ways, way)
			}
		}
		return ways
	case len(places) == 4 && dot <= 2 && places[:2] != "19" && places[:2] != "20": // no telephone, no year
		return []string{whole + "." + places[:2]} // its minus and flag were read as digits
	}
	return nil
}

// formMended is words with the likeliest amount that their last number can have been,
// and the rest of these as its runners-up; ok where it has the form of none.
func formMended(words []ocr.Word) (out []ocr.Word, ok bool) {
	n, ways := misformed(words)
	if len(ways) == 0 {
		return nil, false
	}
	out = slices.Clone(words)
	w := &out[n]
	w.Text, w.Confidence, w.Alternatives = ways[0], min(w.Confidence, misformedConfidence), nil
	for _, way := range ways[1:] {
		w.Alternatives = append(w.Alternatives, ocr.Alternative{Text: way, Cost: misformedCost})
	}
	return out, true
}

// misformedConfidence is the most that is thought of an amount of no form, and
// misformedCost how much less likely its other readings are than the first.
const (
	misformedConfidence = 0.5
	misformedCost       = 0.7
)

// lostMinus reports whether the minus of w, a line of a photo with words of savings or
// coupons, may not have been seen: among the goods, where another line that begins like
// it has one.
func (c *classifier) lostMinus(w *row) bool {
	if w.exact || c.tenders > 0 || c.at < inBody || c.at > inSums || w.tail.minus || w.tail.cents == 0 || w.qty.ok || !w.said.has(markSaved|markCoupon) || w.said.has(markTotal|markSubtotal|markYouSaved|markVoid) || c.takesBack(w) || c.givesBack(w) || c.undoes(w) {
		return false
	}
	// The code of the goods may stand behind the words.
	lead := func(w *row) string {
		s := w.beforeAmount()
		if i := strings.IndexAny(s, "0123456789"); i >= 0 {
			s = s[:i]
		}
		return fold(s)
	}
	words, found := lead(w), false
	for i := range c.p.rows {
		if v := &c.p.rows[i]; v != w && v.tail.ok && v.tail.minus && len(words) >= 6 && lead(v) == words {
			if i < c.i && v.tail.cents == w.tail.cents {
				return false // that one, taken back
			}
			found = true
		}
	}
	return found
}

// mendUnitless puts right what happens to amounts without units on receipts that print
// them. A code stands right before one, "59680.25-TX": no line of a shop's receipt comes
// to tens of thousands. And the point was not seen before a minus: "GRAPES 71-".
func (p *parser) mendUnitless(words []ocr.Word) []ocr.Word {
	for n := len(words) - 1; p.unitless && n >= max(0, len(words)-2); n-- {
		w := words[n]
		if s := w.Text; n > 0 && n == len(words)-1 && len(s) >= 3 && len(s) <= 5 && twoPlaces(s) && s[2] == '-' {
			w.Text, w.Alternatives, w.Confidence = "."+s, nil, min(w.Confidence, misformedConfidence)
			return append(words[:n:n], w)
		}
		if s := strings.TrimLeft(w.Text, "-$"); n > 0 && len(s) >= 3 && s[0] == ',' && twoPlaces(s[1:]) && (len(s) == 3 || !digit(s[3])) {
			w.Text, w.Alternatives, w.Confidence = w.Text[:len(w.Text)-len(s)]+"."+s[1:], nil, min(w.Confidence, misformedConfidence)
			return slices.Concat(words[:n:n], []ocr.Word{w}, words[n+1:])
		}
		if s := w.Text; n > 0 && len(s) >= 4 && digit(s[0]) && s[1] == '.' && twoPlaces(s[2:]) && strings.EqualFold(words[n-1].Text, "TAX") {
			// The number of the tax was read as a part of it: "TAX 1 .31".
			w.Alternatives = append(slices.Clone(w.Alternatives), ocr.Alternative{Text: s[1:], Cost: misformedCost})
			return slices.Concat(words[:n:n], []ocr.Word{w}, words[n+1:])
		}
		dot := strings.IndexByte(w.Text, '.')
		if dot < 5 || len(w.Text) < dot+3 || strings.Trim(w.Text[:dot], "0123456789") != "" || !twoPlaces(w.Text[dot+1:]) {
			continue
		}
		code, amount := w, w
		code.Text, amount.Text = w.Text[:dot], w.Text[dot:]
		code.Alternatives, amount.Alternatives = nil, nil
		amount.Confidence = min(w.Confidence, misformedConfidence)
		code.Box.W = w.Box.W * dot / len(w.Text)
		amount.Box.X, amount.Box.W = w.Box.X+code.Box.W, w.Box.W-code.Box.W
		return slices.Concat(words[:n:n], []ocr.Word{code, amount}, words[n+1:])
	}
	return words
}

// printsUnitless reports whether at least two amounts of the pages begin with their
// point: ".39-".
func printsUnitless(pages []ocr.Page) bool {
	found := 0
	for words := range bestWords(pages) {
		for _, w := range words {
			s := strings.TrimPrefix(w.Text, "-")
			if len(s) >= 3 && s[0] == '.' && twoPlaces(s[1:]) && (len(s) == 3 || !digit(s[3])) {
				found++
			}
		}
	}
	return found >= 2
}
