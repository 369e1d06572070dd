// Package coupon decodes the data of coupon symbols: what the bars of a coupon
// say of its value, of what must be bought and of its dates.
//
// Parse is the function to read first. The layout of AI (8110) and AI (8112) is
// that of the North American Coupon Application Guideline Using GS1 DataBar
// Expanded Symbols, R2.0 (13 Feb 2015), with the ranges of the GS1 Barcode Syntax
// Dictionary. What the digits of a code mean is partly from memory; such places
// say so, and nothing firm may rest on them.
package coupon

import (
	"fmt"
	"strings"
	"time"

	"tillproof/money"
)

// Kind says which symbol the data is of.
type Kind string

// The kinds of symbol.
const (
	DataBar    Kind = "8110"  // the offer is in the symbol
	Paperless  Kind = "8112"  // the symbol names an offer in a file
	OldSymbol  Kind = "UPC-A" // number system 5
	maxData         = 70
	shortWidth      = 6 // digits that a prefix or serial has at least
)

// Symbol is what a coupon's symbol says.
type Symbol struct {
	Kind Kind
	// Funder is the company prefix of who pays for it, Offer its number there.
	Funder, Offer string
	// Save is the value as it is coded: cents, or a count or a percentage where
	// SaveCode says so.
	Save     int
	SaveCode SaveCode
	// AppliesTo says which requirement's goods are reduced: 0 the first.
	AppliesTo int
	// Buy are one to three requirements, Rule how they go together.
	Buy  []Requirement
	Rule Rule
	// Starts and Expires are ISO 8601 dates, "" where not coded.
	Starts, Expires  string
	Serial, Retailer string
	// StoreCoupon is the digit of that flag; DontMultiply: not to be doubled.
	StoreCoupon  int
	DontMultiply bool
}

// Requirement is what must be bought.
type Requirement struct {
	Amount int
	Code   RequirementCode
	// Family are the three digits of the goods' family, Prefix whose goods: the
	// funder's where "".
	Family, Prefix string
}

// RequirementCode says what a requirement's amount counts. The assignment is
// from memory (that units, dollars, pounds and kilograms are covered is not).
type RequirementCode int

// The requirement codes, from memory.
const (
	Units       RequirementCode = 0
	Cents       RequirementCode = 1 // value of the qualifying goods
	BasketCents RequirementCode = 2 // value of the transaction
	Pounds      RequirementCode = 3 // two implied decimals
	Kilograms   RequirementCode = 4 // three implied decimals
	NotCoded    RequirementCode = 9 // from memory, low confidence
)

// SaveCode says what the save value is, from memory.
type SaveCode int

// The save value codes, from memory.
const (
	CentsOff  SaveCode = 0
	FreeItem  SaveCode = 1
	FreeItems SaveCode = 2 // as many as the save value says
	Percent   SaveCode = 5
	BasketOff SaveCode = 6 // cents off the transaction
)

// Rule says how several requirements go together, from memory: 0 either, 1 all,
// 2 the first and one of the others, 3 any mix.
type Rule int

// Parse decodes the data of a coupon symbol, with or without "(8110)" or
// "(8112)" in front; without, it is taken for AI (8110), or for the old symbol
// where it has 12 digits beginning with 5.
func Parse(s string) (Symbol, error) {
	plain := strings.NewReplacer("(", "", ")", "", " ", "").Replace(s)
	for i := range len(plain) {
		if plain[i] < '0' || plain[i] > '9' {
			return Symbol{}, fmt.Errorf("%q is no coupon code: it has other characters than digits", s)
		}
	}
	switch {
	case strings.HasPrefix(strings.TrimLeft(s, " "), "("+string(DataBar)+")"):
		return parseDataBar(plain[4:])
	case strings.HasPrefix(strings.TrimLeft(s, " "), "("+string(Paperless)+")"):
		return parsePaperless(plain[4:])
	case len(plain) == 12 && plain[0] == '5':
		return parseOld(plain)
	}
	if c, err := parseDataBar(plain); err == nil {
		return c, nil
	}
	if strings.HasPrefix(plain, string(Paperless)) {
		return parsePaperless(plain[4:])
	}
	return parseDataBar(strings.TrimPrefix(plain, string(DataBar)))
}

// digits reads a symbol's data from left to right; the first fault stays.
type digits struct {
	rest string
	err  error
}

func (d *digits) fail(format string, args ...any) {
	if d.err == nil {
		d.err = fmt.Errorf(format, args...)
	}
}

// take takes n digits.
func (d *digits) take(n int, what string) string {
	if len(d.rest) < n {
		d.fail("the code ends within %s", what)
		d.rest = ""
		return strings.Repeat("0", n)
	}
	s := d.rest[:n]
	d.rest = d.rest[n:]
	return s
}

// number takes n digits as a number; few enough to fit.
func (d *digits) number(n int, what string) int {
	v := 0
	for _, c := range d.take(n, what) {
		v = 10*v + int(c-'0')
	}
	return v
}

// length takes a digit that says how long the next field is.
func (d *digits) length(from, to int, what string) int {
	n := d.number(1, what)
	if n < from || n > to {
		d.fail("the length of %s is %d, and only %d to %d are allowed", what, n, from, to)
	}
	return n
}

func parseDataBar(s string) (Symbol, error) {
	c := Symbol{Kind: DataBar}
	d := &digits{rest: s}
	if len(s) > maxData {
		d.fail("the code has %d digits, and at most %d are allowed", len(s), maxData)
	}
	c.Funder = d.take(d.length(0, 6, "the funder's prefix")+shortWidth, "the funder's prefix")
	c.Offer = d.take(6, "the offer code")
	c.Save = d.number(d.length(1, 5, "the save value"), "the save value")
	c.Buy = append(c.Buy, d.requirement(true))
	last := 0
	for d.err == nil && d.rest != "" {
		field := d.number(1, "an optional field")
		if field <= last {
			d.fail("field %d stands behind field %d: there are digits too many", field, last)
		}
		last = field
		c.optional(d, field)
	}
	if d.err == nil && c.Starts != "" && c.Expires != "" && c.Starts > c.Expires {
		d.fail("it starts on %s, after it expires on %s", c.Starts, c.Expires)
	}
	return c, d.err
}

// requirement takes one purchase requirement; the first has no prefix of its own.
func (d *digits) requirement(first bool) (r Requirement) {
	const what = "a purchase requirement"
	r.Amount = d.number(d.length(1, 5, what), what)
	r.Code = RequirementCode(d.number(1, what))
	if r.Code > Kilograms && r.Code != NotCoded {
		d.fail("there is no requirement code %d", r.Code)
	}
	r.Family = d.take(3, "a family code")
	if first {
		return r
	}
	n := d.number(1, "the prefix of a requirement")
	switch {
	case n == 9: // the funder's own
	case n > 6:
		d.fail("the length of the prefix of a requirement is %d, and only 0 to 6 or 9 are allowed", n)
	default:
		r.Prefix = d.take(n+shortWidth, "the prefix of a requirement")
	}
	return r
}

func (c *Symbol) optional(d *digits, field int) {
	switch field {
	case 1:
		c.Rule = Rule(d.number(1, "the purchase rule"))
		if c.Rule > 3 {
			d.fail("there is no purchase rule %d", c.Rule)
		}
		c.Buy = append(c.Buy, d.requirement(false))
	case 2:
		c.Buy = append(c.Buy, d.requirement(false))
	case 3:
		c.Expires = d.date("the expiration date")
	case 4:
		c.Starts = d.date("the start date")
	case 5:
		c.Serial = d.take(d.length(0, 9, "the serial number")+shortWidth, "the serial number")
	case 6:
		c.Retailer = d.take(d.length(1, 7, "the retailer's number")+shortWidth, "the retailer's number")
	case 9:
		c.SaveCode = SaveCode(d.number(1, "the save value code"))
		if c.SaveCode > FreeItems && c.SaveCode != Percent && c.SaveCode != BasketOff {
			d.fail("there is no save value code %d", c.SaveCode)
		}
		if c.AppliesTo = d.number(1, "what it applies to"); c.AppliesTo > 2 {
			d.fail("it applies to requirement %d, and there are at most three, 0 to 2", c.AppliesTo)
		}
		c.StoreCoupon = d.number(1, "the store coupon flag")
		flag := d.number(1, "the flag against doubling")
		if flag > 1 {
			d.fail("the flag against doubling is %d, and only 0 and 1 are allowed", flag)
		}
		c.DontMultiply = flag == 1
	default:
		d.fail("there is no field %d", field)
	}
}

// date takes YYMMDD. The century is this one: coupons in use are younger.
func (d *digits) date(what string) string {
	s := d.take(6, what)
	t, err := time.Parse("20060102", "20"+s)
	if err != nil {
		d.fail("%s, %s, is no date", what, s)
		return ""
	}
	return t.Format(time.DateOnly)
}

func parsePaperless(s string) (Symbol, error) {
	c := Symbol{Kind: Paperless}
	d := &digits{rest: s}
	if format := d.number(1, "the format"); format > 1 {
		d.fail("there is no format %d", format)
	}
	c.Funder = d.take(d.length(0, 6, "the funder's number")+shortWidth, "the funder's number")
	c.Offer = d.take(6, "the offer code")
	c.Serial = d.take(d.length(0, 9, "the serial number")+shortWidth, "the serial number")
	if d.rest != "" {
		d.fail("there are %d digits too many", len(d.rest))
	}
	return c, d.err
}

// Worth is what a symbol takes off, as far as it says so.
type Worth struct {
	Amount  *money.Amount
	Percent int
	Free    int // units
	// Basket: it comes off the transaction.
	Basket bool
}

// Worth says what c takes off; ok is false where it does not say: the offer is
// in a file, or the cashier handles it.
func (c *Symbol) Worth() (w Worth, ok bool) {
	cents := money.FromCents(int64(c.Save))
	switch {
	case c.Kind == Paperless:
		return w, false
	case c.SaveCode == FreeItem:
		return Worth{Free: 1}, true
	case c.SaveCode == FreeItems:
		return Worth{Free: c.Save}, c.Save > 0
	case c.SaveCode == Percent:
		return Worth{Percent: c.Save}, c.Save > 0 && c.Save <= 100
	}
	return Worth{Amount: &cents, Basket: c.SaveCode == BasketOff}, c.Save > 0
}

// Remembered reports whether what c is worth, or asks for, hangs on codes whose meaning is
// from memory. Cents off so many units is not: the guideline's own figure 3 says that.
func (c *Symbol) Remembered() bool {
	if c.Kind == OldSymbol || c.SaveCode != CentsOff || c.AppliesTo != 0 || len(c.Buy) > 1 {
		return true
	}
	return len(c.Buy) == 1 && c.Buy[0].Code != Units
}
