package plan

import (
	"fmt"
	"time"
)

// Date is a day without a time of day or zone. The zero value is no date.
// Dates compare with ==.
type Date struct{ days int } // days since 1969-12-31, so that the zero value is no date

// ParseDate reads an ISO 8601 calendar date, "2026-05-09".
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil || t.Year() < 1970 {
		return Date{}, fmt.Errorf("%q is no date (like 2026-05-09)", s)
	}
	return Date{int(t.Unix()/86400) + 1}, nil
}

// IsZero reports whether d is no date.
func (d Date) IsZero() bool { return d.days == 0 }

// Before reports whether d is an earlier day than e.
func (d Date) Before(e Date) bool { return d.days < e.days }

// Equal reports whether d and e are the same day, as == does.
func (d Date) Equal(e Date) bool { return d == e }

// AddDays returns the day n days after d.
func (d Date) AddDays(n int) Date { return Date{d.days + n} }

// String prints d as ISO 8601, "" for no date.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return time.Unix(int64(d.days-1)*86400, 0).UTC().Format(time.DateOnly)
}

// MarshalText writes d as String does.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (d *Date) UnmarshalText(b []byte) (err error) {
	*d = Date{}
	if len(b) > 0 {
		*d, err = ParseDate(string(b))
	}
	return err
}
