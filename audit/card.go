package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
)

// mostCardDigits is what 15 U.S.C. 1681c(g) lets an electronically printed
// receipt show of a card number: its last five digits. An expiration date must
// not be printed at all.
const mostCardDigits = 5

// cards looks for more of a card number than the law lets a receipt show.
func (c *check) cards() {
	card := false
	for _, t := range c.r.Tenders {
		card = card || t.Kind == "card"
	}
	for i := range c.r.Lines {
		l := &c.r.Lines[i]
		switch l.Kind {
		case parse.LineTender, parse.LineOther, parse.LineMessage, parse.LineChange:
		default:
			continue
		}
		said := tooMuchOfCard(l.Text, card)
		if said == "" && slices.ContainsFunc(c.r.Tenders, func(t parse.Tender) bool {
			return t.Kind == "card" && (t.Line == l.N && bareNumber(l.Text, "CARD") || t.Line+1 == l.N && bareNumber(l.Text, "NO."))
		}) {
			said = bareDigits
		}
		if said == expiry && c.ofGift(i) {
			continue // that a gift card was given tells until when it is good
		}
		if said == "" {
			continue
		}
		sure := l.Photo == 0 || plainNumbers(l)
		// A number printed twice, on the tender and on the card's slip, is one mistake.
		at := slices.IndexFunc(c.gaps, func(g *gap) bool { return g.what == ofCard && g.text == said })
		if at < 0 {
			g := c.open(ofCard, money.Amount{}, money.Amount{})
			g.lines, g.text, g.misread = []int{l.N}, said, !sure
			continue
		}
		c.gaps[at].lines = append(c.gaps[at].lines, l.N)
		c.gaps[at].misread = c.gaps[at].misread && !sure
	}
}

// plainNumbers reports whether no character of the numbers on a photo's line can be
// misread.
func plainNumbers(l *parse.Line) bool {
	for _, field := range strings.Fields(l.Text) {
		if strings.ContainsAny(field, "0123456789") && !slices.Contains(l.Plain, field) {
			return false
		}
	}
	return true
}

// manyDigits is what is said of a card's number that is not masked enough.
const manyDigits = "more than the last five digits of the card number"

// bareDigits is what is said of a number beside the card without a mask: a till may print
// another of its own there.
const bareDigits = "what seems to be more than the last five digits of the card number"

// expiry is what is said of a card's expiration date.
const expiry = "the card's expiration date"

// ofGift reports whether line i, or the one above it, tells of a credit or a gift card.
func (c *check) ofGift(i int) bool {
	for n := max(i-1, 0); n <= i; n++ {
		if l := &c.r.Lines[n]; l.Kind == parse.LineCredit || strings.Contains(strings.ToUpper(l.Text), "GIFT") {
			return true
		}
	}
	return false
}

// cardWords are the words beside which tills print a card's number.
var cardWords = []string{"CARD", "ACCT", "ACCOUNT", "CREDIT", "DEBIT"}

// tooMuchOfCard says what a line shows that it must not, "" for nothing.
// cardPaid: the receipt was paid by card.
func tooMuchOfCard(text string, cardPaid bool) string {
	upper := strings.ToUpper(text)
	named := false
	for _, w := range cardWords {
		named = named || strings.Contains(upper, w)
	}
	digits, masked := cardNumber(upper, named)
	switch {
	case masked && digits > mostCardDigits && (cardPaid || named):
		return manyDigits
	case !masked && digits >= 13 && digits <= 19 && named && cardPaid:
		return "the whole card number"
	case (masked || named) && cardPaid && hasExpiry(upper):
		return expiry
	}
	return ""
}

// endWords are the words after which a till prints the last digits of a card alone,
// in place of a mask.
var endWords = []string{"ENDING", "ENDS", "LAST"}

// cardNumber counts the digits of the longest card-like number in a text, and
// says whether part of it is masked, by signs or by words that say so. Its groups are
// divided by blanks; a masked number ends with the first group of digits after the mask.
// named: the text names a card.
func cardNumber(text string, named bool) (digits int, masked bool) {
	n, stars := 0, false
	last := ""
	for _, field := range strings.Fields(text) {
		field = strings.TrimRight(field, ",;")
		d, mask, ok := cardGroup(field[strings.LastIndexByte(field, ':')+1:])
		if dotted := strings.TrimLeft(field, "."); named && slices.Contains(numberWords, strings.TrimRight(last, ".:")) && len(field)-len(dotted) >= leastMask(last) {
			d, mask, ok = cardGroup(dotted)
			mask = true
		}
		last = field
		if !ok {
			// “ending in 1234”, “ending: 1234”
			stars = stars && n == 0 && (field == "IN" || field == "WITH") || named && slices.Contains(endWords, strings.TrimRight(field, ":"))
			n = 0
			continue
		}
		n, stars = n+d, stars || mask
		if stars && field != "" && isDigit(field[len(field)-1]) {
			return n, true
		}
		digits = max(digits, n)
	}
	return digits, false
}

// leastDots is of how many dots a mask is at least that stands right behind one of
// numberWords: as many lead the eye to an amount elsewhere. Behind the card itself two do.
const leastDots = 4

func leastMask(behind string) int {
	if slices.Contains(cardWords, behind) {
		return 2
	}
	return leastDots
}

// numberWords are the words behind which a card's number stands.
var numberWords = []string{"CARD", "ACCT", "ACCOUNT", "NO", "NUMBER", "#"}

// bareNumber reports whether a line that tells a payment by card, or the one below it, has a
// number right behind a word for one, longer than the code of an approval is, and no mask: on
// other receipts the last four digits stand there.
func bareNumber(text, word string) bool {
	words := strings.Fields(strings.ToUpper(text))
	// A word for the kind of card may be glued to it: "CR.CARD".
	at := slices.IndexFunc(words, func(w string) bool { return w == word || strings.HasSuffix(w, "."+word) })
	if word == "NO." && at > 0 {
		return false // of an invoice, a terminal
	}
	if at < 0 || at+1 == len(words) || slices.Contains(words, "GIFT") {
		return false
	}
	number := words[at+1]
	return len(number) > len("123456") && len(number) <= 19 && strings.Trim(number, "0123456789") == ""
}

// cardGroup counts the digits of one group; ok is false for what is none, such
// as an amount.
func cardGroup(field string) (digits int, masked, ok bool) {
	if field == "#" { // it stands before any number
		return 0, false, false
	}
	for i := range len(field) {
		switch ch := field[i]; {
		case isDigit(ch):
			digits++
		case ch == '*', (ch == 'X' || ch == '#') && (len(field) == 1 || strings.Count(field, string(ch)) > 1):
			masked = true
		case ch != '-':
			return 0, false, false
		}
	}
	return digits, masked, digits > 0 || masked
}

// hasExpiry reports whether a text names an expiration date in digits.
func hasExpiry(text string) bool {
	for _, word := range [...]string{"EXP", "VALID THRU"} {
		at := strings.Index(text, word)
		if at < 0 {
			continue
		}
		rest := text[at+len(word):]
		for i := 0; i+5 <= len(rest); i++ {
			if isDigit(rest[i]) && isDigit(rest[i+1]) && (rest[i+2] == '/' || rest[i+2] == '-') && isDigit(rest[i+3]) && isDigit(rest[i+4]) {
				return true
			}
		}
	}
	return false
}

func isDigit(ch byte) bool { return ch >= '0' && ch <= '9' }
