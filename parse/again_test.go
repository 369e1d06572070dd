package parse

import (
	"strings"
	"testing"
)

// TestCouponsToldAgain: a line that says what the coupons above it come to takes nothing off, though
// its amount is one digit, where the receipt works out without it and a coupon of a name does.
func TestCouponsToldAgain(t *testing.T) {
	const goods = "HARBOR LANE\nOATS 5.29\nPRICE DROP WAS 5.29 -1.00\nJAM 3.79\nTEA 2.00\n** COUPONS **\n"
	for _, c := range []struct {
		lines string
		kind  LineKind
		firm  bool
	}{
		{goods + "MFG COUPON OATS -0.40\nCOUPON SAVINGS -0.40\nSUBTOTAL 9.68\nTAX 0.32\nTOTAL 10.00\nCARD 10.00", LineMessage, true},
		{goods + "MFG COUPON OATS -0.40\nCOUPON SAVINGS -0.40\nSUBTOTAL 9.28\nTAX 0.32\nTOTAL 9.60\nCARD 9.60", LineDeduction, true},                                                 // it was taken off
		{strings.Replace(goods, "5.29", "5.29{5.69:1.5}", 1) + "MFG COUPON OATS -0.40\nCOUPON SAVINGS -0.40\nSUBTOTAL 9.68\nTAX 0.32\nTOTAL 10.00\nCARD 10.00", LineDeduction, true}, // the oats may be dearer
		{goods + "STORE COUPONS -0.40\nCOUPON SAVINGS -0.40\nSUBTOTAL 9.68\nTAX 0.32\nTOTAL 10.00\nCARD 10.00", LineDeduction, false},                                                // of like words
		{goods + "MFG COUPON OATS -0.40\nCOUPON JAM -0.40\nSUBTOTAL 9.68\nTAX 0.32\nTOTAL 10.00\nCARD 10.00", LineDeduction, false},
	} {
		r := parsePhoto(c.lines)
		if l := r.Line(8); l.Kind != c.kind || r.Firm != c.firm {
			t.Errorf("%q: %s, firm %v; want %s, %v\n%s", c.lines, l.Kind, r.Firm, c.kind, c.firm, dump(r))
		}
	}
}

// TestTaxOfItsRate: a tax that says its rate and what it is of is what these give, where the sums
// want just that. 5.5% of 74.40 is 4.092.
func TestTaxOfItsRate(t *testing.T) {
	const top = "HARBOR LANE\nOATS 74.40\nJAM 32.01\nSUBTOTAL 106.41\n"
	for _, c := range []struct {
		tax, total, want string
	}{
		{"Tax 1 - 5.5% x $74.40 $4.00 #1 | Tax 1 - 5.5% x $74.40 $4.08 #1", "110.50", "4.09 repaired"},
		{"Tax 1 - 5.5% x $74.40 $4.00", "110.50", "4.00 doubtful"}, // all looks agree: somebody changed it
		{"Tax 1 - 5.5% x $74.40 $4.09", "110.50", "4.09 proved"},
		{"Tax 1 - 5.5% x $74.40 $1.00", "110.51", "1.00 doubtful"}, // the rate gives another
		{"Tax 1 $1.00", "110.50", "1.00 doubtful"},                 // nothing else says 4.09
	} {
		r := parsePhoto(top + c.tax + "\nTOTAL " + c.total + "\nCARD " + c.total)
		l := r.Line(5)
		if got := l.Amount.String() + " " + string(l.Proof); l.Kind != LineTax || got != c.want {
			t.Errorf("%s: %s %s, want %s\n%s", c.tax, l.Kind, got, c.want, dump(r))
		}
	}
}

// TestManyMendedProveNothing: where three amounts of one sum would have to be other than they were
// read, some of their readings make it work out by chance.
func TestManyMendedProveNothing(t *testing.T) {
	r := parsePhoto("HARBOR LANE\nOATS 4.23 #2 | OATS 4.29 #1\nJAM 3.70 #2 | JAM 3.79 #1\nTEA 2.01 #2 | TEA 2.07 #1\nSUBTOTAL 10.15\nTAX 0.85\nTOTAL 11.00\nCARD 11.00")
	for n := 2; n <= 4; n++ {
		if l := r.Line(n); l.Proof.Firm() {
			t.Errorf("line %d: %s %s\n%s", n, l.Amount, l.Proof, dump(r))
		}
	}
	if r.Line(7).Proof != Proved {
		t.Errorf("the total was paid: %s", r.Line(7).Proof)
	}
	two := parsePhoto("HARBOR LANE\nOATS 4.23 #2 | OATS 4.29 #1\nJAM 3.70 #2 | JAM 3.79 #1\nTEA 2.07\nSUBTOTAL 10.15\nTAX 0.85\nTOTAL 11.00\nCARD 11.00")
	if two.Line(2).Proof != Repaired || two.Line(3).Proof != Repaired {
		t.Errorf("two prove each other still\n%s", dump(two))
	}
}

// TestUsesOfCouponLostTheirSign: "0.45 OFF x2" is 0.90, with its sign or without.
func TestUsesOfCouponLostTheirSign(t *testing.T) {
	for line, want := range map[string]string{
		"CLUB 0.45 OFF x2 -0.90": "-0.9", "CLUB 0.45 OFF 2 -0.90": "-0.9",
	} {
		r := parsePhoto("HARBOR LANE\nOATS 5.78{5.98:1.5}\n" + line + "{-0.70:1.0}\nTOTAL 4.88{5.08:9}\nCARD 4.88{5.08:9}")
		if l := r.Line(3); l.Amount.Decimal().String() != want || !l.Proof.Firm() {
			t.Errorf("%s: %s %s\n%s", line, l.Amount, l.Proof, dump(r))
		}
	}
}

// TestNoPrices: the time beside a terminal's number is no price, nor is a reward below all that was
// paid a tender, where a digit too many was read of that.
func TestNoPrices(t *testing.T) {
	r := parsePhoto("HARBOR LANE\nTERMINAL 05 5.17\nOATS 4.29\nJAM 3.79\nTOTAL 8.08\nCARD 8.08")
	if l := r.Line(2); l.Kind != LineOther || !r.Firm {
		t.Errorf("%s, firm %v\n%s", l.Kind, r.Firm, dump(r))
	}
	r = parsePhoto("HARBOR LANE\nOATS 4.29\nJAM 3.79\nTOTAL 8.08\nHANK~0.4 CARD AMIZ~0.4 48.08 #2 | HANK CARD AMIZ 8.08 #1\nZAKNED~0.5 JODAY:~0.5 GIET~0.5 CARD $7.00~0.5")
	if l := r.Line(6); l.Kind == LineTender {
		t.Errorf("%s\n%s", l.Kind, dump(r))
	}
}

// TestConditions: what a line says could be had, or for what, is no amount that was given.
func TestConditions(t *testing.T) {
	for line, want := range map[string]bool{
		"YOUR NEXT PURCHASE OF 20.00 OR MORE": true, "STORE CREDIT 5.00": false, "MORE SAVED 2.00": false,
	} {
		r := parsePhoto("HARBOR LANE\nOATS 4.29\nTOTAL 4.29\nCARD 4.29\n" + line)
		if l := r.Line(5); l.Conditional != want {
			t.Errorf("%s: conditional %v, want %v", line, l.Conditional, want)
		}
	}
}
