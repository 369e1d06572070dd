package money

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"
)

// Rate is a percentage as an exact number of millionths of a percent, so
// that 6.625% of an amount is worked out in whole numbers. Rates compare with ==.
type Rate struct{ millionths int64 }

const perCent = 1_000_000

// ParseRate reads a percentage such as "40%" or "6.625%", from 0% to 1000%,
// with at most six decimals. The percent sign is required: 0.4 would be taken
// for forty percent by one reader and for less than one by the next.
func ParseRate(s string) (Rate, error) {
	number, percent := strings.CutSuffix(s, "%")
	whole, part, dot := strings.Cut(strings.TrimRight(number, " "), ".")
	if !percent || whole == "" || len(whole) > 4 || len(part) > 6 || dot && part == "" || !onlyDigits(whole+part) {
		return Rate{}, fmt.Errorf("%q is no percentage (like 6.25%%)", s)
	}
	var millionths int64
	for _, c := range whole + (part + "000000")[:6] {
		millionths = millionths*10 + int64(c-'0')
	}
	if millionths > 1000*perCent {
		return Rate{}, fmt.Errorf("%q is above 1000%%", s)
	}
	return Rate{millionths}, nil
}

// MustRate is ParseRate for rates written in the program; it panics on a bad one.
func MustRate(s string) Rate {
	r, err := ParseRate(s)
	if err != nil {
		panic(err)
	}
	return r
}

// IsZero reports whether r is 0%.
func (r Rate) IsZero() bool { return r.millionths == 0 }

// Cmp returns -1, 0 or 1 as r is less than, equal to or more than s.
func (r Rate) Cmp(s Rate) int { return Amount{r.millionths}.Cmp(Amount{s.millionths}) }

// Equal reports whether r and s are the same rate, as == does.
func (r Rate) Equal(s Rate) bool { return r == s }

// Of returns r of a, rounded once to the cent, half up.
func (r Rate) Of(a Amount) Amount { return a.Fraction(r.millionths, 100*perCent) }

// OfFraction returns r of num/den cents, rounded once to the cent, half up: for a
// unit's part of a price, which need not be whole cents. den must be positive
// and at most 90 billion.
func (r Rate) OfFraction(num, den int64) Amount {
	return Amount{mulDivHalfUp(num, r.millionths, den*100*perCent)}
}

// Decimal returns r as a decimal number of percent.
func (r Rate) Decimal() decimal.Decimal { return decimal.New(r.millionths, -6) }

// TaxOn returns the tax at rate r on base as section 324 of the Streamlined
// Sales and Use Tax Agreement computes it: carried to the third decimal place
// and cut there, then rounded to the cent, up when the third decimal is above
// four. Cutting first means that nothing is rounded twice.
func (r Rate) TaxOn(base Amount) Amount {
	mills := base.cents * r.millionths / (10 * perCent)
	if mills < 0 {
		return Amount{-((-mills + 5) / 10)}
	}
	return Amount{(mills + 5) / 10}
}

// String prints r as a plan writes it, "6.25%".
func (r Rate) String() string { return r.Decimal().String() + "%" }

// MarshalText writes r as String does.
func (r Rate) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (r *Rate) UnmarshalText(b []byte) error {
	got, err := ParseRate(string(b))
	*r = got
	return err
}
