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
	d, err := decimal.NewFromString(strings.TrimSpace(number))
	if !percent || err != nil || len(number) > 12 || d.Exponent() < -6 || d.IsNegative() || d.GreaterThan(decimal.New(1000, 0)) {
		return Rate{}, fmt.Errorf("%q is no percentage (like 6.25%%)", s)
	}
	return Rate{d.Shift(6).IntPart()}, nil
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

// Of returns r of a, rounded once to the cent, half up.
func (r Rate) Of(a Amount) Amount { return a.Fraction(r.millionths, 100*perCent) }

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
func (r Rate) String() string { return decimal.New(r.millionths, -6).String() + "%" }

// MarshalText writes r as String does.
func (r Rate) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (r *Rate) UnmarshalText(b []byte) error {
	got, err := ParseRate(string(b))
	*r = got
	return err
}
