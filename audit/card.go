package audit

import (
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
		if said := tooMuchOfCard(l.Text, card); said != "" {
			g := c.open(ofCard, money.Amount{}, money.Amount{})
			g.lines, g.text = []int{l.N}, said
		}
	}
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
	digits, masked := cardNumber(upper)
	switch {
	case masked && digits > mostCardDigits && (cardPaid || named):
		return "more than the last five digits of the card number"
	case !masked && digits >= 13 && digits <= 19 && named && cardPaid:
		return "the whole card number"
	case (masked || named) && cardPaid && hasExpiry(upper):
		return "the card's expiration date"
	}
	return ""
}

// cardNumber counts the digits of the longest card-like number in a text, and
// says whether part of it is masked.
func cardNumber(text string) (digits int, masked bool) {
	for i := 0; i < len(text); {
		n, stars, j := 0, 0, i
		for ; j < len(text); j++ {
			ch := text[j]
			if ch >= '0' && ch <= '9' {
				n++
			} else if ch == '*' || ch == 'X' && (stars > 0 || strings.HasPrefix(text[j:], "XX")) || ch == '#' && (stars > 0 || strings.HasPrefix(text[j:], "##")) {
				stars++
			} else if (ch == ' ' || ch == '-') && (n > 0 || stars > 0) && j+1 < len(text) && isCardChar(text[j+1]) {
				continue
			} else {
				break
			}
		}
		if stars > 0 {
			return n, true
		}
		if n > digits {
			digits = n
		}
		i = max(j, i) + 1
	}
	return digits, false
}

func isCardChar(ch byte) bool { return ch >= '0' && ch <= '9' || ch == '*' || ch == 'X' || ch == '#' }

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
