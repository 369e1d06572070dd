package plan

import (
	"fmt"
	"strconv"
	"strings"

	"tillproof/money"
)

// The numbers under the bars of a package, as the GS1 General Specifications
// define them; the sections are named in the tests beside the published examples.

func validLength(n int) bool { return n == 8 || n == 12 || n == 13 || n == 14 }

// CheckDigit returns the check digit that follows the given digits, which may
// be as many as a GTIN of any length or an SSCC has: weights 3, 1, 3, 1 … from
// the right, and what is missing to the next ten. body must hold digits only.
func CheckDigit(body string) byte {
	sum := 0
	for i := range len(body) {
		d := int(body[len(body)-1-i] - '0')
		if i%2 == 0 {
			d *= 3
		}
		sum += d
	}
	return byte('0' + (10-sum%10)%10)
}

// ParseGTIN checks the length and the check digit of a GTIN-8, -12, -13 or -14
// and returns it as 14 digits, so that codes of the same package are equal.
func ParseGTIN(s string) (string, error) {
	if !digits(s) || !validLength(len(s)) {
		return "", fmt.Errorf("%s is no GTIN: it has %d characters", quote(s), len(s))
	}
	if CheckDigit(s[:len(s)-1]) != s[len(s)-1] {
		return "", fmt.Errorf("%s has a wrong check digit", quote(s))
	}
	return strings.Repeat("0", 14-len(s)) + s, nil
}

// ExpandUPCE writes a UPC-E code of 8 digits (number system 0 or 1, six digits,
// check digit) out as the UPC-A code of 12 that it stands for.
func ExpandUPCE(s string) (string, error) {
	bad := fmt.Errorf("%s is no UPC-E code", quote(s))
	if !digits(s) || len(s) != 8 || s[0] > '1' {
		return "", bad
	}
	x := s[1:7]
	var body string
	switch x[5] {
	case '0', '1', '2':
		body = x[:2] + x[5:] + "0000" + x[2:5]
	case '3':
		if x[2] <= '2' {
			return "", bad
		}
		body = x[:3] + "00000" + x[3:5]
	case '4':
		if x[3] == '0' {
			return "", bad
		}
		body = x[:4] + "00000" + x[4:5]
	default:
		if x[4] == '0' {
			return "", bad
		}
		body = x[:5] + "0000" + x[5:]
	}
	body = s[:1] + body
	if CheckDigit(body) != s[7] {
		return "", fmt.Errorf("%s has a wrong check digit", quote(s))
	}
	return body + s[7:], nil
}

// Weighting tables of the price verifier digit: what each digit 0 to 9 counts.
const (
	twoMinus  = "0246891357"
	three     = "0369258147"
	fivePlus  = "0516273849"
	fiveMinus = "0594837261"
)

func weighted(table string, digit byte) int { return int(table[digit-'0'] - '0') }

// PriceVerifier returns the verifier digit of a price of four or five digits in
// a price-embedded code.
func PriceVerifier(price string) (byte, error) {
	if !digits(price) {
		return 0, fmt.Errorf("%s is no price of four or five digits", quote(price))
	}
	switch len(price) {
	case 4:
		sum := weighted(twoMinus, price[0]) + weighted(twoMinus, price[1]) + weighted(three, price[2]) + weighted(fiveMinus, price[3])
		return byte('0' + 3*sum%10), nil
	case 5:
		sum := weighted(fivePlus, price[0]) + weighted(twoMinus, price[1]) + weighted(fiveMinus, price[2]) +
			weighted(fivePlus, price[3]) + weighted(twoMinus, price[4])
		return byte('0' + strings.IndexByte(fiveMinus, byte('0'+(10-sum%10)%10))), nil
	}
	return 0, fmt.Errorf("%s is no price of four or five digits", quote(price))
}

// PriceEmbedded is what a code printed by a store's own scale says.
type PriceEmbedded struct {
	Item  string // the store's number of the goods
	Price money.Amount
}

// Layouts of price-embedded codes, which are national: I a digit of the item,
// P of the price, V the verifier, C the check digit, any other digit itself.
// The first is the usual one in the United States (from memory).
var priceLayouts = []string{"2IIIIIVPPPPC", "2IIIIPPPPPVC", "20IIIIIVPPPPC"}

// ParsePriceEmbedded reads a restricted circulation number with a price in it:
// 12 digits that begin with 2, the same with a 0 in front, or 13 that begin with
// 20. A price is believed only where its verifier digit is right.
func ParsePriceEmbedded(s string) (PriceEmbedded, error) {
	if len(s) == 13 && s[0] == '0' {
		s = s[1:]
	}
	if !digits(s) || len(s) != 12 && len(s) != 13 || s[0] != '2' {
		return PriceEmbedded{}, fmt.Errorf("%s is no code with a price in it", quote(s))
	}
	if last := len(s) - 1; CheckDigit(s[:last]) != s[last] {
		return PriceEmbedded{}, fmt.Errorf("%s has a wrong check digit", quote(s))
	}
	for _, layout := range priceLayouts {
		if head, _, _ := strings.Cut(layout, "I"); len(layout) != len(s) || !strings.HasPrefix(s, head) {
			continue
		}
		pick := func(kind string) string {
			return s[strings.Index(layout, kind) : strings.LastIndex(layout, kind)+1]
		}
		price := pick("P")
		if v, err := PriceVerifier(price); err == nil && v == pick("V")[0] {
			n, _ := strconv.ParseInt(price, 10, 64) // digits, and few
			return PriceEmbedded{Item: pick("I"), Price: money.FromCents(n)}, nil
		}
	}
	return PriceEmbedded{}, fmt.Errorf("%s has a wrong price verifier digit", quote(s))
}
