package match

import (
	"strings"

	"tillproof/plan"
)

// sameCode reports whether printed, the digits a till prints beside an item,
// is the planned GTIN (14 digits): whole, without leading zeros, without its
// check digit, or with a price or weight embedded. Fewer than six digits are a
// shop's own number and say nothing.
func sameCode(printed, planned string) bool {
	p, g := strings.TrimLeft(printed, "0"), strings.TrimLeft(planned, "0")
	if len(p) < 6 || len(g) < 6 {
		return false
	}
	return p == g || p == g[:len(g)-1] || sameReference(p, g)
}

// sameReference compares codes whose last digits are a price: GS1 gives
// numbers that begin with 2 (with 02 or 20-29 in 13 digits) to the shop, and
// the usual North American layout is 2, five digits for the item, a verifier,
// four for the price, a check digit. (Layouts are national: GS1 General
// Specifications 2.1.14.2; that this one is the usual is from memory.)
// The other layouts are believed only where the verifier digits of both are right.
func sameReference(p, g string) bool {
	if len(p) == 12 && len(g) == 12 && p[0] == '2' && g[0] == '2' && p[:6] == g[:6] {
		return true
	}
	a, errA := plan.ParsePriceEmbedded(p)
	b, errB := plan.ParsePriceEmbedded(g)
	return errA == nil && errB == nil && len(p) == len(g) && a.Item == b.Item
}

// otherCode reports whether both are whole GTINs and not the same: then they
// are different products however alike their names are.
func otherCode(printed, planned string) bool {
	return len(printed) >= 12 && planned != "" && checkDigitFits(printed) && !sameCode(printed, planned)
}

// checkDigitFits reports whether the last digit is the GS1 check digit of the
// others: weights 3, 1, 3, … from the right.
func checkDigitFits(code string) bool {
	sum, weight := 0, 1
	for i := len(code) - 1; i >= 0; i-- {
		sum += int(code[i]-'0') * weight
		weight = 4 - weight
	}
	return sum%10 == 0
}
