package plan

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tillproof/money"

	"github.com/shopspring/decimal"
)

// text parses a text of at most limit characters on one line.
func text(limit int) func(s string) (string, error) {
	return func(s string) (string, error) {
		if !utf8.ValidString(s) || strings.IndexFunc(s, unicode.IsControl) >= 0 {
			return "", wrong{"there is a line break or control character in it", "write it on one line"}
		}
		if n := utf8.RuneCountInString(s); n > limit {
			return "", wrong{fmt.Sprintf("it has %d characters", n), fmt.Sprintf("at most %d are taken", limit)}
		}
		return s, nil
	}
}

var (
	parseID    = text(80)
	parseName  = text(300)
	parseTerms = func(s string) (string, error) { return text(5000)(strings.Join(strings.Fields(s), " ")) }
)

// anyAmount parses an amount of either sign.
func anyAmount(s string) (money.Amount, error) {
	a, err := money.Parse(s)
	if err == nil {
		return a, nil
	}
	hint := "write it like 4.29: digits, a point and two decimals, without sign or currency"
	plain := strings.ReplaceAll(strings.Trim(s, "$€£ "), ",", ".")
	if _, err := money.Parse(plain); err == nil {
		hint = "write " + plain
	}
	return a, wrong{quote(s) + " is no amount of money", hint}
}

// amount parses an amount from 0.00 up.
func amount(s string) (money.Amount, error) {
	a, err := anyAmount(s)
	if err == nil && a.Sign() < 0 {
		err = wrong{s + " is below 0.00", "write it without a minus"}
	}
	return a, err
}

// positive parses an amount above 0.00.
func positive(s string) (money.Amount, error) {
	a, err := amount(s)
	if err == nil && a.IsZero() {
		err = wrong{"it is 0.00", "write an amount above 0.00"}
	}
	return a, err
}

// percent parses a percentage above 0% and up to 100%.
func percent(s string) (money.Rate, error) {
	r, err := taxRate(s)
	if err == nil && r.IsZero() {
		err = wrong{"it is 0%", "write a percentage above 0%"}
	}
	return r, err
}

// taxRate parses a percentage from 0% to 100%.
func taxRate(s string) (money.Rate, error) {
	r, err := money.ParseRate(s)
	if err != nil {
		return r, wrong{quote(s) + " is no percentage", "write it like 6.25%, with the percent sign"}
	}
	if r.Cmp(money.MustRate("100%")) > 0 {
		return r, wrong{s + " is above 100%", "check the number"}
	}
	return r, nil
}

// whole parses a whole number from low to high.
func whole(low, high int) func(s string) (int, error) {
	return func(s string) (int, error) {
		n, err := strconv.Atoi(s)
		if err != nil || s[0] == '+' {
			return 0, wrong{quote(s) + " is no whole number", fmt.Sprintf("write a number from %d to %d", low, high)}
		}
		if n < low || n > high {
			return 0, wrong{s + " is out of range", fmt.Sprintf("write a number from %d to %d", low, high)}
		}
		return n, nil
	}
}

// yesNo parses yes or no; true and false do as well.
func yesNo(s string) (bool, error) {
	switch s {
	case "yes", "true":
		return true, nil
	case "no", "false":
		return false, nil
	}
	return false, wrong{"it cannot be " + quote(s), "write yes or no"}
}

// not parses yes or no, and returns the opposite.
func not(s string) (bool, error) {
	b, err := yesNo(s)
	return !b, err
}

// date parses an ISO 8601 date.
func date(s string) (Date, error) {
	d, err := ParseDate(s)
	if err != nil {
		return d, wrong{quote(s) + " is no date", "write it as year-month-day, like 2026-05-09"}
	}
	return d, nil
}

// days parses a number of days, "60 days".
func days(s string) (int, error) {
	number, unit, _ := strings.Cut(s, " ")
	n, err := strconv.Atoi(number)
	if unit = strings.TrimSpace(unit); err != nil || number[0] == '+' || unit != "days" && unit != "day" {
		return 0, wrong{quote(s) + " is no number of days", "write it like 60 days"}
	}
	if n < 1 || n > 3660 {
		return 0, wrong{s + " is out of range", "write from 1 to 3660 days"}
	}
	return n, nil
}

// deduct parses what is taken off: 1.00, 50%, free or "to 3.00".
func deduct(s string) (Deduct, error) {
	const forms = "write an amount like 1.00, a percentage like 50%, free, or to 3.00"
	to, isTo := strings.CutPrefix(s, "to ")
	switch {
	case s == "free":
		return Deduct{Free: true}, nil
	case isTo:
		a, err := amount(strings.TrimSpace(to))
		return Deduct{To: &a}, err
	case strings.HasSuffix(s, "%"):
		r, err := percent(s)
		return Deduct{Percent: &r}, err
	}
	a, err := positive(s)
	if err != nil && !strings.ContainsAny(s, "0123456789") {
		err = wrong{"it cannot be " + quote(s), forms}
	}
	return Deduct{Amount: &a}, err
}

// sale parses this week's price: "2.09", "2 for 5.00", "4 for 12.00 must buy 4".
func sale(s string) (Sale, error) {
	words := strings.Fields(s)
	const forms = "write it like 2.09, or 2 for 5.00, or 4 for 12.00 must buy 4"
	if len(words) == 1 && !strings.Contains(s, "/") {
		price, err := amount(words[0])
		return Sale{Price: price, For: 1}, err
	}
	if len(words) > 1 && words[1] == "must" {
		return Sale{}, wrong{"must buy needs a price for several", fmt.Sprintf("write it like 4 for 12.00 must buy 4, not %s", quote(s))}
	}
	shape := len(words) == 3 || len(words) == 6 && words[3] == "must" && words[4] == "buy"
	if !shape || words[1] != "for" {
		return Sale{}, wrong{quote(s) + " is no price", forms}
	}
	n, err := whole(1, maxQuantity)(words[0])
	if err != nil {
		return Sale{}, err
	}
	price, err := amount(words[2])
	if err != nil || len(words) == 3 {
		return Sale{Price: price, For: n}, err
	}
	must, err := whole(2, maxQuantity)(words[5])
	return Sale{Price: price, For: n, MustBuy: must}, err
}

// weighed is a weight and its unit.
type weighed struct {
	weight decimal.Decimal
	unit   string
}

var weightUnits = []string{"lb", "oz", "kg", "g"}

// weight parses "1.24 lb".
func weight(s string) (weighed, error) {
	const form = "write it like 1.24 lb; the units are lb, oz, kg and g"
	number, unit, _ := strings.Cut(s, " ")
	whole, part, dot := strings.Cut(number, ".")
	if !digits(whole+part) || len(whole) > 6 || len(part) > 4 || dot && part == "" {
		return weighed{}, wrong{quote(s) + " is no weight", form}
	}
	unit, err := oneOf(weightUnits...)(strings.TrimSpace(unit))
	if err != nil {
		return weighed{}, wrong{quote(s) + " has no unit of weight", form}
	}
	d, err := decimal.NewFromString("0" + number)
	if err != nil || !d.IsPositive() {
		return weighed{}, wrong{quote(s) + " is no weight above 0", form}
	}
	return weighed{d, unit}, nil
}

func digits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}
