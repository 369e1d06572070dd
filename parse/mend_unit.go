package parse

import (
	"regexp"
	"slices"
	"strings"

	"tillproof/ocr"
)

// poundsRead are what readers make of "lb".
var poundsRead = map[string]bool{"1b": true, "Ib": true, "ib": true, "|b": true, "1lb": true, "llb": true, "Ilb": true, "1Ib": true, "I1b": true, "11b": true, "lbb": true}

// mendedUnit is s with "lb" put right where it stands behind a number or a
// slash: "2.19/1b", "1.371b" for 1.37 lb, and "Ib" by itself. afterNumber: the
// word before is a number, and more follows, so that it is no flag of an amount.
func mendedUnit(s string, afterNumber bool) string {
	if i := strings.LastIndexByte(s, '/'); i >= 0 {
		if pound := s[:i]; len(pound) == 3 && poundsRead[pound] && isNumber(s[i+1:]) {
			return "1lb" + s[i:] // "11b/0.99"
		}
		if unit := s[i+1:]; (poundsRead[unit] || unit == "b") && (i == 0 || digit(s[i-1])) {
			return s[:i+1] + "lb"
		}
		return s
	}
	if i := strings.IndexByte(s, '@'); i > 0 {
		return mendedUnit(s[:i], false) + s[i:] // "2.641b@.99"
	}
	if afterNumber && poundsRead[s] {
		return "lb"
	}
	// A weight has two decimals: a third digit before "b" is the unit's letter.
	if n := len(s) - 2; n >= 3 && poundsRead[s[n:]] && s[n-3] == '.' && twoPlaces(s[n-2:n]) && isNumber(s[:n]) {
		return s[:n] + "lb"
	}
	return s
}

// isNumber reports whether s is digits with one point among them.
func isNumber(s string) bool {
	points := 0
	for i := range len(s) {
		switch {
		case s[i] == '.':
			points++
		case !digit(s[i]):
			return false
		}
	}
	return points == 1
}

// leadingLetter reports whether a line begins with a letter that was a digit: by
// itself before a word for pieces and a times sign, or a sign and a price, as in "S
// PCS X 3.29".
func leadingLetter(words []ocr.Word) bool {
	if len(words) < 3 || len(words[0].Text) != 1 || likeDigits[words[0].Text[0]] == 0 || likeDigits[words[0].Text[0]] == '0' {
		return false
	}
	sign := 1
	if pieces[strings.ToUpper(words[1].Text)] {
		sign = 2
	}
	return sign+1 < len(words) && isTimesText(words[sign].Text) && isNumber(strings.TrimPrefix(words[sign+1].Text, "$"))
}

func isTimesText(s string) bool { return s == "X" || s == "x" || s == "@" || s == "×" }

// groupDigit is the digit that the word at i was, a letter or sign in a price for several:
// "2 EA @ l FOR 6.60", "5 AT ! FOR 11.00"; "" where it is none.
func groupDigit(words []ocr.Word, i int) string {
	if i == 0 || i+2 >= len(words) || len(words[i].Text) != 1 || words[i-1].Text != "@" && !strings.EqualFold(words[i-1].Text, "AT") ||
		!strings.EqualFold(words[i+1].Text, "FOR") || !isNumber(strings.TrimPrefix(words[i+2].Text, "$")) {
		return ""
	}
	c := words[i].Text[0]
	if strings.IndexByte("!tT[](){}", c) >= 0 {
		return "1"
	}
	if digit := likeDigits[c]; digit != 0 && digit != '0' {
		return string(rune(digit))
	}
	return ""
}

// groupSign is the word at i, the sign between pieces and their price for several or the number
// of these, put right: "6 EA 9 T FOR 4.29" for 6 EA @ 1 FOR 4.29; "" where it is neither.
func groupSign(words []ocr.Word, i int) string {
	if i != 2 && i != 3 || len(words) < 6 || len(words[2].Text) != 1 || len(words[3].Text) != 1 || words[2].Text == "@" || !isDigits(words[0].Text, 3) ||
		!pieces[strings.ToUpper(words[1].Text)] || !strings.EqualFold(words[4].Text, "FOR") || !isNumber(strings.TrimPrefix(words[5].Text, "$")) {
		return ""
	}
	switch {
	case i == 2:
		return "@"
	case strings.IndexByte("lIiTt|!1", words[3].Text[0]) >= 0:
		return "1"
	}
	return ""
}

// groupFor reports whether the word at i is FOR with a letter misread, between how many are
// priced together and their price: "3 AT 1 FDR 3.26", "2 EA @ 1 FQK 3.76", "QTY 3, 2 G6R 4.00".
func groupFor(words []ocr.Word, i int) bool {
	if i < 3 || i > 4 || len(words) < i+2 || strings.EqualFold(words[i].Text, "for") || !isDigits(words[i-1].Text, 2) || !isNumber(strings.TrimPrefix(words[i+1].Text, "$")) {
		return false
	}
	if i == 4 {
		return len(words) == 6 && formForLike.MatchString(words[i].Text) && weights[strings.ToUpper(words[i].Text)] == "" && !pieces[strings.ToUpper(words[i].Text)] && isDigits(words[0].Text, 3) && pieces[strings.ToUpper(words[1].Text)] && (words[2].Text == "@" || strings.EqualFold(words[2].Text, "AT"))
	}
	if saysQuantity(words) {
		units, comma := strings.CutSuffix(words[1].Text, ",")
		return comma && isDigits(units, 3) && (forRead(words[i].Text) || formForRead.MatchString(words[i].Text))
	}
	return forRead(words[i].Text) && isDigits(words[0].Text, 3) && (words[1].Text == "@" || strings.EqualFold(words[1].Text, "AT"))
}

// formForLike is FOR with any of its letters left where it was: "FQK".
var formForLike = regexp.MustCompile(`^(?i:f[a-z]{1,3}|[a-z]o[a-z]|[a-z]{2}r)$`)

// formForRead is FOR with its first two letters misread, "g6r".
var formForRead = regexp.MustCompile(`^[A-Za-z][oO0Q6c][rR]$`)

// saysQuantity reports whether a line begins with the word for one, or what readers make of it.
func saysQuantity(words []ocr.Word) bool {
	if len(words) == 0 {
		return false
	}
	switch strings.ToUpper(words[0].Text) {
	case "QTY", "QUANTITY":
		return true
	case "OTY", "0TY", "GTY":
		return len(words) > 1 && isDigits(strings.TrimSuffix(words[1].Text, ","), 3)
	}
	return false
}

// atNought reports whether the word at i is a nought that was "@": between a weight with
// its unit and a price that is said to be by weight, "1.16 LB 0 2.65 PER LB", between pieces
// and a price that come to the amount, or in a line that says to be a quantity, "QTY 4 0 2.89".
func atNought(words []ocr.Word, i int) bool {
	if i < 2 || i+1 >= len(words) || len(words[i].Text) != 1 || strings.IndexByte("0OoQ", words[i].Text[0]) < 0 {
		return false
	}
	if i == 2 && (len(words) == 4 || len(words) == 5 && pieces[strings.ToUpper(words[4].Text)]) && saysQuantity(words) {
		return isDigits(words[1].Text, 3) && formAmount.MatchString(words[3].Text)
	}
	if i == 2 && pieces[strings.ToUpper(words[1].Text)] && len(words) > 4 && comesTo(words[0].Text, words[3].Text, strings.Trim(words[4].Text, "-")) {
		return true // "1 EA 0 7.19 7.19"
	}
	if i+2 >= len(words) {
		return false
	}
	last := words[len(words)-1].Text
	return weights[strings.ToUpper(words[i-1].Text)] != "" && isNumber(words[i-2].Text) && isNumber(strings.TrimPrefix(words[i+1].Text, "$")) && weightsAndPieces(last)
}

// unitRead reports whether the word at i is "lb", with a letter misread, at the beginning of a
// weight that comes to the line's amount: "0.78 LS @ 3.19 2.49".
func unitRead(words []ocr.Word, i int) bool {
	s := words[i].Text
	if i != 1 || len(words) < 5 || len(s) != 2 || weights[strings.ToUpper(s)] != "" || words[2].Text != "@" ||
		strings.IndexByte("LlI1|", s[0]) < 0 && s[1] != 'B' && s[1] != 'b' {
		return false
	}
	each, _, _ := strings.Cut(words[3].Text, "/")
	weight, dec := number(words[0].Text)
	price, dec2 := number(strings.TrimPrefix(each, "$"))
	amount, dec3 := number(strings.TrimPrefix(words[4].Text, "$"))
	if dec != 2 || dec2 != 2 || dec3 != 2 || weight > largest/1000 || price > largest/1000 {
		return false
	}
	off := weight*price - 100*amount
	return off >= -50 && off <= 50
}

// pieceSign reports whether the word at i is a sign that was "@": it stands alone between
// pieces with their number and a price, and all the line is that: "2 PCS M 10.29".
func pieceSign(words []ocr.Word, i int) bool {
	if i != 2 || len(words) != 4 || len(words[2].Text) != 1 || digit(words[2].Text[0]) || !isDigits(words[0].Text, 3) || !pieces[strings.ToUpper(words[1].Text)] {
		return false
	}
	price, unit, _ := strings.Cut(words[3].Text, "/")
	return formAmount.MatchString(price) && (unit == "" || pieces[strings.ToUpper(unit)])
}

// piecesRead is the word at i as it was before its letters were misread, in a line that is pieces
// with their number, a price, and the amount these come to: "IT1 ER @ 5.09 5.09" and "2ER @ 2.00 4.00"
// for 1 EA and 2 EA; "" where it is none.
func piecesRead(words []ocr.Word, i int) string {
	at := slices.IndexFunc(words, func(w ocr.Word) bool { return w.Text == "@" })
	if at < 1 || at > 2 || i >= at || len(words) < at+3 {
		return ""
	}
	price, dec := number(strings.TrimPrefix(words[at+1].Text, "$"))
	amount, dec2 := number(strings.TrimPrefix(words[at+2].Text, "$"))
	units, unit := words[0].Text, words[1].Text
	if at == 1 {
		end := strings.LastIndexAny(units, "0123456789") + 1
		units, unit = units[:end], units[end:]
	}
	start := len(units)
	for start > 0 && digit(units[start-1]) {
		start--
	}
	n, whole := number(units[start:])
	if start == len(units) || whole != -1 || dec != 2 || dec2 != 2 || n < 1 || n >= 1000 || price >= largest/1000 || n*price != amount ||
		len(unit) != 2 || !strings.EqualFold(unit[:1], "E") || strings.ContainsAny(unit, "0123456789") || pieces[strings.ToUpper(unit)] && start == 0 {
		return ""
	}
	switch {
	case at == 1:
		return units[start:] + "EA"
	case i == 1:
		return "EA"
	}
	return units[start:]
}

// splitPrice reports whether the words at i and after it are a quantity with its unit
// price, whose point was not seen, and the amount that they come to: "6@3 59 21.54".
func splitPrice(words []ocr.Word, i int) bool {
	if i+2 >= len(words) || len(words[i+1].Text) != 2 {
		return false
	}
	units, price, ok := strings.Cut(words[i].Text, "@")
	if !ok {
		return false
	}
	n, dec := number(units)
	cents, dec2 := number(price + words[i+1].Text)
	amount, dec3 := number(strings.TrimPrefix(words[i+2].Text, "$"))
	return dec == -1 && dec2 == -1 && dec3 == 2 && n > 0 && n < 1000 && cents < largest/1000 && n*cents == amount
}

// joinedAt is the word at i, a quantity with its unit price whose "@" was read as a digit,
// put right: before the amount that they come to, "602.85 17.10" is 6@2.85.
func joinedAt(words []ocr.Word, i int) string {
	s := words[i].Text
	if i+1 < len(words) {
		if mended := joinedGroup(s, words[i+1].Text); mended != "" {
			return mended
		}
	}
	if i+1 >= len(words) || !isNumber(s) || len(s) < 6 || s[len(s)-3] != '.' {
		return s
	}
	amount, dec := number(strings.TrimPrefix(words[i+1].Text, "$"))
	if dec != 2 {
		return s
	}
	for at := 1; at <= 2 && at+4 < len(s); at++ {
		n, _ := number(s[:at])
		if cents, dec := number(s[at+1:]); s[0] != '0' && dec == 2 && n > 1 && n*cents == amount {
			return s[:at] + "@" + s[at+1:]
		}
	}
	return s
}

// joinedGroup is the same for a price of several: before 4.50, "392/3.00" is 3@2/3.00; "" where
// it is not.
func joinedGroup(s, total string) string {
	left, price, ok := strings.Cut(s, "/")
	amount, dec := number(strings.TrimPrefix(total, "$"))
	cents, dec2 := number(price)
	if !ok || dec != 2 || dec2 != 2 || len(left) < 3 || len(left) > 4 || !isDigits(left, 4) {
		return ""
	}
	for at := 1; at+1 < len(left); at++ {
		n, _ := number(left[:at])
		per, _ := number(left[at+1:])
		if left[0] != '0' && per > 1 && cents < largest/1000 && (n*cents*2+per)/(per*2) == amount {
			return left[:at] + "@" + left[at+1:] + "/" + price
		}
	}
	return ""
}
