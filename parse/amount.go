package parse

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// tail is the amount at the end of a line, with what belongs to it.
type tail struct {
	ok    bool
	at    int   // the lexeme that is the number
	from  int   // the first lexeme that belongs to it: sign, currency
	cents int64 // without sign
	minus bool  // a minus on either side, brackets or CR
	flags string
}

// signed is the amount with its sign.
func (t *tail) signed() int64 {
	if t.minus {
		return -t.cents
	}
	return t.cents
}

// taxCodes are flags of three letters; shorter ones need no list.
var taxCodes = map[string]bool{"ZRL": true, "ZRE": true, "STD": true, "EXM": true, "TAX": true}

// notFlags are short words beside a number that make it another thing than the
// line's amount.
var notFlags = map[string]bool{"LB": true, "LBS": true, "KG": true, "EA": true, "OZ": true, "ML": true, "AM": true, "PM": true, "PT": true, "PTS": true}

// currencies are the words that may stand beside an amount. RM and RP are how
// ringgit and rupiah are printed, the others ISO 4217 codes.
var currencies = map[string]bool{"RM": true, "RP": true, "USD": true, "EUR": true, "GBP": true, "CAD": true, "AUD": true, "MYR": true, "IDR": true, "SGD": true, "US": true}

// findTail finds the amount that ends a line: after it only flags, a minus or
// a closing bracket may stand. whole allows for amounts without decimals, in
// currencies that have none.
func findTail(lx []lexeme, whole bool) tail {
	t := tail{at: -1}
	closing, flags := false, 0
	i := len(lx) - 1
	for ; i >= 0 && t.at < 0; i-- {
		l := &lx[i]
		switch {
		case l.isAmount() || whole && isWholeAmount(lx, i):
			t.at = i
		case l.isSign('-') && l.isRun():
			if len(lx)-i > 5 {
				return t // a dash as ornament: "-- was 4.49 --"
			}
		case l.isSign('-'):
			t.minus = true
		case l.isSign(')'):
			closing = true
		case l.kind == lexSign && strings.IndexByte("*#|.,:;'`_^!\"~+]}&=<>[{?\\", l.sign) >= 0 && len(lx)-i <= 5:
		case l.isSign('/') && i == len(lx)-1 && i > 0 && !l.glued:
		case l.kind == lexWord && strings.EqualFold(l.text, "CR"):
			t.minus = true
		case isFlag(lx, i) && flags < 2:
			t.flags = l.text + t.flags
			flags++
		default:
			return t
		}
	}
	if t.at < 0 {
		return t
	}
	t.cents = lx[t.at].digits
	if lx[t.at].dec != 2 {
		t.cents = wholeCents(&lx[t.at])
	}
	t.ok = t.cents <= largest
	return t.lead(lx, closing)
}

// largest is the largest amount taken for one, in cents: far above any
// receipt, and what money.Parse takes.
const largest = 9_999_999_99

// lead takes the sign and currency before the number, and finds what makes the
// number a unit price and no amount of the line: "2 @ 3.79", "2 FOR 5.00".
func (t tail) lead(lx []lexeme, closing bool) tail {
	j := t.at - 1
	for j >= 0 && isCurrency(lx, j) {
		j--
	}
	t.from = j + 1
	if j < 0 {
		return t
	}
	width := charWidth(&lx[t.at])
	switch l := &lx[j]; {
	case l.isSign('-') && j > 0 && l.glued && lx[j-1].isWhole():
		t.ok = false // a number of its own: "09-7.81"
	case l.isSign('-') && l.isRun() && !lx[j+1].glued: // what is left of dots that lead to it
	case l.isSign('-') && lx[j+1].x0-l.x1 <= width*3/2:
		t.minus, t.from = true, j
		for t.from > 0 && isCurrency(lx, t.from-1) && lx[t.from].glued {
			t.from--
		}
	case l.isSign('(') && closing:
		t.minus, t.from = true, j
		if j > 0 && lx[j-1].isSign('-') {
			t.from = j - 1
		}
	case l.isSign('@'):
		t.ok = j > 0 && lx[j-1].kind == lexWord && !hasNumberIn(lx[:j]) || numbersTax(lx[:j]) // "TAX @ 1.95", "TAX 1 @ 1.95": no units
	case lx[t.at].text[0] == '.' && lx[t.at].glued && t.from == t.at && !l.isSign('-') && !l.isSign('('):
		// What stands before the point was read as a sign: the digit is lost.
		t.ok = l.isSign(':') || l.isSign('=') || l.isSign('*')
	case isTimes(l) && lx[j+1].x0-l.x1 > 2*width && namesBefore(lx, j):
		// "FREE RANGE EGGS 6 X    4.65": a flag
	case isTimes(l) && timesMakes(lx[:j], t.cents):
		// "TISSUE 9CT 3.80X2 X 7.60": a flag
	case t.minus && isTimes(l):
		// "MFR COUPON OATS 700g x   0.70-": the number of uses was cut off
	case isTimes(l) && takesCouponBack(lx[:j]):
		// "VOID STR CPN SPRKL WTR 1 x  3.78": so it was
	case j > 0 && lx[j-1].isWhole() && lx[j-1].digits < 10000 && (l.isSign('/') || isFor(l) || isTimes(l)):
		t.ok = false
	case (l.isSign('/') || l.isSign('=')) && j > 1 && lx[j-2].isWhole() && isWeight(&lx[j-1]):
		t.ok = false // "1 lb /0.59", "1 kg = 2.09"
	case isTimes(l) && afterWeight(lx, j):
		t.ok = false
	case isAt(l) && afterUnits(lx, j):
		t.ok = false
	}
	return t.leader(lx)
}

// takesCouponBack reports whether lx begins with the word for taking back and has a coupon's.
func takesCouponBack(lx []lexeme) bool {
	return len(lx) > 1 && lx[0].kind == lexWord && strings.HasPrefix(strings.ToUpper(lx[0].text), "VOID") && slices.ContainsFunc(lx[1:], func(l lexeme) bool {
		word := strings.ToUpper(l.text)
		return word == "CPN" || word == "COUPON"
	})
}

// numbersTax reports whether lx ends with the number of a tax, "SALES TAX 1", and has no
// other number.
func numbersTax(lx []lexeme) bool {
	n := len(lx)
	return n > 1 && lx[n-1].isWhole() && len(lx[n-1].text) == 1 && lx[n-2].kind == lexWord && strings.EqualFold(lx[n-2].text, "TAX") && !hasNumberIn(lx[:n-1])
}

// leader takes off the dots that lead up to the amount, which are no part of the name,
// and a flag that stands between them and it: "OATS ....... TX 4.29".
func (t tail) leader(lx []lexeme) tail {
	dots := func(k int) bool { return k > 1 && lx[k].isSign('.') && len(lx[k].text) > 2 && !lx[k].glued }
	switch k := t.from - 1; {
	case dots(k):
		t.from = k
	case dots(k-1) && isFlag(lx, k) && !lx[k].glued:
		t.flags, t.from = lx[k].text+t.flags, k-1
	}
	return t
}

func hasNumberIn(lx []lexeme) bool {
	for i := range lx {
		if lx[i].kind == lexNumber {
			return true
		}
	}
	return false
}

// namesBefore reports whether a word of three letters or more, or a code, stands
// before i, or a unit price does.
func namesBefore(lx []lexeme, i int) bool {
	for k := range lx[:i] {
		if l := &lx[k]; l.isAmount() || l.kind == lexWord && len(l.text) >= 3 && !countWords[fold(l.text)] || isLongCode(l) {
			return true
		}
	}
	return false
}

// timesMakes reports whether lx ends with a price and its units that come to cents: "3.80X2".
func timesMakes(lx []lexeme, cents int64) bool {
	n := len(lx)
	return n >= 3 && isUnits(&lx[n-1]) && isTimes(&lx[n-2]) && lx[n-3].isAmount() && lx[n-3].digits < largest/1000 && lx[n-3].digits*lx[n-1].digits == cents
}

// afterWeight reports whether the lexemes before i are a weight: "0.99 lb".
func afterWeight(lx []lexeme, i int) bool {
	if signLeads(lx, i-1) {
		return true
	}
	if i < 2 || lx[i-2].kind != lexNumber {
		return false
	}
	w, piece := unitOf(&lx[i-1])
	return w != "" || piece || leadsPieces(lx, i-1)
}

// leadsPieces reports whether the word at i is one for pieces by its place: it
// is short and stands behind a whole number that leads the line. PCS may be
// read as RCS.
func leadsPieces(lx []lexeme, i int) bool {
	return i == 1 && lx[0].isWhole() && lx[0].digits < 100 && lx[1].kind == lexWord && len(lx[1].text) <= 4
}

// signLeads is leadsPieces where the word's first letter was read as a sign: "5 @CS X".
func signLeads(lx []lexeme, i int) bool {
	return i == 2 && lx[1].kind == lexSign && lx[2].glued && leadsPieces([]lexeme{lx[0], lx[2]}, 1)
}

func isWeight(l *lexeme) bool {
	weight, _ := unitOf(l)
	return weight != ""
}

// isAt reports whether l is the word for "@".
func isAt(l *lexeme) bool { return l.kind == lexWord && strings.EqualFold(l.text, "AT") }

// afterUnits reports whether nothing but a number of units stands before i:
// "2 pieces", "3".
func afterUnits(lx []lexeme, i int) bool {
	switch i {
	case 1:
		return isUnits(&lx[0])
	case 2:
		return isUnits(&lx[0]) && lx[1].kind == lexWord && countWords[fold(lx[1].text)]
	}
	return false
}

// countWords are words for what is counted.
var countWords = map[string]bool{"PIECES": true, "PIECE": true, "PCS": true, "PC": true, "UNITS": true, "UNIT": true, "ITEMS": true, "PACKS": true, "PACK": true, "OFF": true, "EA": true, "EACH": true}

// charWidth is the width of a character of l.
func charWidth(l *lexeme) int32 {
	return max((l.x1-l.x0)/int32(max(utf8.RuneCountInString(l.text), 1)), 1)
}

// isFlag reports whether the lexeme at i is a tax or department flag: one or
// two letters, or a single digit by itself or after a letter.
func isFlag(lx []lexeme, i int) bool {
	l := &lx[i]
	switch l.kind {
	case lexWord:
		up := strings.ToUpper(l.text)
		return (len(up) <= 2 || taxCodes[up]) && !notFlags[up]
	case lexNumber:
		if i > 1 && l.glued && lx[i-1].isSign('-') && lx[i-2].isAmount() {
			return len(l.text) == 1 // "1.05-O", its flag read as a digit
		}
		return len(l.text) == 1 && i > 0 && (lx[i-1].kind == lexWord || lx[i-1].isAmount() && !l.glued) && len(lx[i-1].text) != 0
	}
	return false
}

// isCurrency reports whether the lexeme at i is a currency sign or code.
func isCurrency(lx []lexeme, i int) bool {
	l := &lx[i]
	return l.isSign('$') || l.kind == lexWord && len(l.text) <= 3 && currencies[strings.ToUpper(l.text)]
}

func isFor(l *lexeme) bool { return l.kind == lexWord && strings.EqualFold(l.text, "FOR") }

// isTimes reports whether l stands for "times".
func isTimes(l *lexeme) bool {
	return l.kind == lexWord && (l.text == "x" || l.text == "X") || l.isSign('x') || l.isSign('*') && len(l.text) == 1
}

// isWholeAmount reports whether the number at i may be an amount in a currency
// without decimals: thousands divided by points or commas, or beside the
// currency.
func isWholeAmount(lx []lexeme, i int) bool {
	l := &lx[i]
	if l.kind != lexNumber {
		return false
	}
	return l.dec == 3 && l.digits >= 1000 || l.dec == -1 && l.digits < 1e8 && (l.digits == 0 || i > 0 && isCurrency(lx, i-1))
}

// wholeCents is the value of a number without decimals.
func wholeCents(l *lexeme) int64 { return l.digits * 100 }
