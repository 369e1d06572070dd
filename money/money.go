// Package money holds amounts of money and the few sums a till does with them.
//
// Read Amount first. An Amount is a whole number of hundredths, so that adding
// never rounds; what does round (a percentage, a share, a price per pound) says
// in its name or comment how. Nothing here is a binary floating point number.
package money

import (
	"fmt"
	"math/bits"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// Amount is a sum of money in hundredths of the currency's unit. It may be
// negative; the zero value is 0.00. Amounts compare with ==.
type Amount struct{ cents int64 }

// Largest is the largest amount that Parse takes, on either side of zero: far
// above any receipt, and small enough that no product in this package overflows.
const Largest = 9_999_999_99

// FromCents returns the amount of n hundredths.
func FromCents(n int64) Amount { return Amount{n} }

// Cents returns a as a whole number of hundredths.
func (a Amount) Cents() int64 { return a.cents }

// Parse reads an amount such as "12.87", "5", "-1.00" or ".75". More than two
// decimals, signs other than a leading minus, exponents and thousands
// separators are refused: what a plan writes is taken as it stands or not at all.
func Parse(s string) (Amount, error) {
	digits, negative := strings.CutPrefix(s, "-")
	whole, part, dot := strings.Cut(digits, ".")
	if whole+part == "" || len(whole) > 9 || len(part) > 2 || dot && part == "" || !onlyDigits(whole+part) {
		return Amount{}, fmt.Errorf("%q is no amount of money (like 12.87)", s)
	}
	var cents int64
	for _, c := range whole + (part + "00")[:2] {
		cents = cents*10 + int64(c-'0')
	}
	if cents > Largest {
		return Amount{}, fmt.Errorf("%q is above the largest amount, %s", s, Amount{Largest})
	}
	if negative {
		cents = -cents
	}
	return Amount{cents}, nil
}

// Must is Parse for amounts written in the program; it panics on a bad one.
func Must(s string) Amount {
	a, err := Parse(s)
	if err != nil {
		panic(err)
	}
	return a
}

func onlyDigits(s string) bool {
	for _, c := range s {
		if c < '0' || c > '9' {
			return false
		}
	}
	return true
}

// String prints a with two decimals, "-0.75".
func (a Amount) String() string {
	var buf [24]byte
	return string(a.append(buf[:0]))
}

func (a Amount) append(b []byte) []byte {
	c := uint64(a.cents)
	if a.cents < 0 {
		b, c = append(b, '-'), -c
	}
	b = strconv.AppendUint(b, c/100, 10)
	return append(b, '.', byte('0'+c%100/10), byte('0'+c%10))
}

// Signed prints a with its sign in front even where it is positive, "+0.75".
func (a Amount) Signed() string {
	if a.cents > 0 {
		return "+" + a.String()
	}
	return a.String()
}

// MarshalText writes a as String does, so that JSON has it as a string.
func (a Amount) MarshalText() ([]byte, error) { return a.append(nil), nil }

// UnmarshalText reads what MarshalText wrote.
func (a *Amount) UnmarshalText(b []byte) error {
	got, err := Parse(string(b))
	*a = got
	return err
}

// Decimal returns a as a decimal number of units.
func (a Amount) Decimal() decimal.Decimal { return decimal.New(a.cents, -2) }

// Add returns a + b.
func (a Amount) Add(b Amount) Amount { return Amount{a.cents + b.cents} }

// Sub returns a − b.
func (a Amount) Sub(b Amount) Amount { return Amount{a.cents - b.cents} }

// Neg returns −a.
func (a Amount) Neg() Amount { return Amount{-a.cents} }

// Abs returns a without its sign.
func (a Amount) Abs() Amount { return Amount{max(a.cents, -a.cents)} }

// Mul returns n times a.
func (a Amount) Mul(n int) Amount { return Amount{a.cents * int64(n)} }

// Cmp returns -1, 0 or 1 as a is less than, equal to or more than b.
func (a Amount) Cmp(b Amount) int {
	switch {
	case a.cents < b.cents:
		return -1
	case a.cents > b.cents:
		return 1
	}
	return 0
}

// Equal reports whether a and b are the same amount, as == does; it lets a
// comparison of whole results look inside.
func (a Amount) Equal(b Amount) bool { return a == b }

// Sign returns -1, 0 or 1 as a is negative, zero or positive.
func (a Amount) Sign() int { return a.Cmp(Amount{}) }

// IsZero reports whether a is 0.00.
func (a Amount) IsZero() bool { return a.cents == 0 }

// Min returns the smaller of a and b.
func Min(a, b Amount) Amount { return Amount{min(a.cents, b.cents)} }

// Max returns the larger of a and b.
func Max(a, b Amount) Amount { return Amount{max(a.cents, b.cents)} }

// Sum adds amounts up.
func Sum(amounts ...Amount) Amount {
	var total Amount
	for _, a := range amounts {
		total.cents += a.cents
	}
	return total
}

// Times returns a × q rounded to the cent, half up (away from zero for a
// negative product): the price of q pounds, or of q units.
func (a Amount) Times(q decimal.Decimal) Amount { return Round(a.Decimal().Mul(q)) }

// Fraction returns a × num / den rounded to the cent, half up (away from zero
// for a negative product). den must be positive.
func (a Amount) Fraction(num, den int64) Amount { return Amount{mulDivHalfUp(a.cents, num, den)} }

// mulDivHalfUp returns a × b / den rounded, halves away from zero. The product
// has 128 bits, so it is right wherever the result is an amount.
func mulDivHalfUp(a, b, den int64) int64 {
	negative := (a < 0) != (b < 0)
	hi, lo := bits.Mul64(uint64(max(a, -a)), uint64(max(b, -b)))
	q, rest := bits.Div64(hi, lo, uint64(den))
	if rest >= uint64(den)-rest {
		q++
	}
	if negative {
		return -int64(q)
	}
	return int64(q)
}

// Round returns d rounded to the cent, half up (away from zero where negative).
func Round(d decimal.Decimal) Amount { return Amount{d.Shift(2).Round(0).IntPart()} }

// OneDigitOff reports whether a and b as they are printed differ in just one digit, as where
// one of them was misread.
func (a Amount) OneDigitOff(b Amount) bool {
	s, t := a.String(), b.String()
	if len(s) != len(t) {
		return false
	}
	off := 0
	for i := range len(s) {
		if s[i] != t[i] {
			off++
		}
	}
	return off == 1
}
