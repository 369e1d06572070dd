package money_test

import (
	"encoding/json"
	"slices"
	"testing"

	"tillproof/money"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	for text, want := range map[string]int64{
		"12.87": 1287, "5": 500, "-1.00": -100, ".75": 75, "0.5": 50, "-.05": -5,
		"0": 0, "9999999.99": 999_999_999, "-9999999.99": -999_999_999, "000000001": 100,
	} {
		if got, err := money.Parse(text); err != nil || got.Cents() != want {
			t.Errorf("Parse(%q) = %v, %v; want %d cents", text, got, err, want)
		}
	}
	for _, text := range []string{
		"", "-", ".", "1.", "1.234", "1,00", "$1", "+1", "1e3", "0x1", "--1", "1.-5", " 1", "1 ", "1_000",
		"10000000.00", "12345678901", "١.٠٠", "NaN", "1.0.0",
	} {
		if got, err := money.Parse(text); err == nil {
			t.Errorf("Parse(%q) = %v, want an error", text, got)
		}
	}
}

func TestOneDigitOff(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{{"4.39", "4.29", true}, {"4.39", "9.39", true}, {"4.39", "4.39", false}, {"4.39", "4.93", false}, {"4.39", "14.39", false}, {"-4.39", "4.39", false}, {"0.50", "0.60", true}} {
		if got := money.Must(c.a).OneDigitOff(money.Must(c.b)); got != c.want {
			t.Errorf("%s and %s: %v", c.a, c.b, got)
		}
	}
}

func TestParseRate(t *testing.T) {
	for text, want := range map[string]string{
		"40%": "40%", "6.625%": "6.625%", "0%": "0%", "1000%": "1000%", "12.50%": "12.5%", "7 %": "7%", "0.000001%": "0.000001%",
	} {
		if got, err := money.ParseRate(text); err != nil || got.String() != want {
			t.Errorf("ParseRate(%q) = %v, %v; want %s", text, got, err, want)
		}
	}
	for _, text := range []string{"", "%", "40", "0.4", "-1%", "1e1%", "+5%", "1000.01%", "1.%", ".5%", "0.0000001%", "5%%", "5 percent"} {
		if got, err := money.ParseRate(text); err == nil {
			t.Errorf("ParseRate(%q) = %v, want an error", text, got)
		}
	}
}

// FuzzMoney holds reading and writing together: what is read and written again
// reads as the same amount, and what is written is written the same again.
func FuzzMoney(f *testing.F) {
	for _, seed := range []string{"12.87", "-0.75", ".5", "5", "9999999.99", "1.234", "", "-", "0007.10", "40%", "6.625%"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if a, err := money.Parse(s); err == nil {
			b, err := money.Parse(a.String())
			if err != nil || a != b || a.String() != b.String() {
				t.Errorf("%q reads as %v, that as %v, %v", s, a, b, err)
			}
			if a.Abs().Cents() > money.Largest {
				t.Errorf("%q reads as %v, above the largest", s, a)
			}
			text, err := json.Marshal(a)
			var c money.Amount
			if err != nil || json.Unmarshal(text, &c) != nil || c != a {
				t.Errorf("%v goes through JSON as %v", a, c)
			}
		}
		if r, err := money.ParseRate(s); err == nil {
			if again, err := money.ParseRate(r.String()); err != nil || again != r {
				t.Errorf("%q reads as %v, that as %v, %v", s, r, again, err)
			}
		}
	})
}

// TestTaxOn has the rounding of section 324 of the Streamlined Sales and Use Tax
// Agreement (R.I. Gen. Laws 44-18.1-25; K.S.A. 79-3676): to the third decimal,
// then up when that is above four. The amounts are worked out from the rule.
func TestTaxOn(t *testing.T) {
	for _, c := range []struct{ base, rate, tax string }{
		{"1.00", "6.5%", "0.07"},
		{"3.07", "6.5%", "0.20"},
		{"9.99", "6.25%", "0.62"},
		{"19.99", "7.25%", "1.45"},
		{"0.07", "6.5%", "0.00"},
		{"0.69", "6.5%", "0.04"}, // rounding 0.04485 twice would give 0.05
		{"2.97", "6.5%", "0.19"},
		{"0.99", "6.5%", "0.06"},
		{"0.10", "6.5%", "0.01"},
		{"1.25", "6%", "0.08"},
		{"5.00", "6%", "0.30"},
		{"-1.00", "6.5%", "-0.07"},
	} {
		if got := money.MustRate(c.rate).TaxOn(money.Must(c.base)); got != money.Must(c.tax) {
			t.Errorf("%s of %s = %s, want %s", c.rate, c.base, got, c.tax)
		}
	}
}

// TestTimes has weighed goods: price x weight to the nearest cent, half up. The
// rule is that of NIST Handbook 44 (from memory) and, with the words "a fraction
// of $0.005 or over goes up", of Quebec D-8.1, r. 1, s. 15; the amounts are
// worked out from it. In binary floating point 1.005 x 3.00 would come to 3.01.
func TestTimes(t *testing.T) {
	for _, c := range []struct{ price, weight, want string }{
		{"3.49", "1.27", "4.43"},
		{"2.99", "0.85", "2.54"},
		{"1.99", "2.13", "4.24"},
		{"4.99", "0.50", "2.50"},
		{"3.00", "1.005", "3.02"},
		{"7.90", "0.455", "3.59"},
	} {
		if got := money.Must(c.price).Times(decimal.RequireFromString(c.weight)); got != money.Must(c.want) {
			t.Errorf("%s x %s = %s, want %s", c.price, c.weight, got, c.want)
		}
	}
}

// TestOneAfterAnother has percent on percent with the published amounts of a
// business-maths text (60 less 10%, 30%, 60%: 54.00, 37.80, 15.12) and the
// Centennial College guide (25%, 15%, 10% are 42.625%, not 50%).
func TestOneAfterAnother(t *testing.T) {
	left := money.Must("60.00")
	for i, rate := range []string{"10%", "30%", "60%"} {
		left = left.Sub(money.MustRate(rate).Of(left))
		if want := []string{"54.00", "37.80", "15.12"}[i]; left != money.Must(want) {
			t.Errorf("after %s %s is left, want %s", rate, left, want)
		}
	}
	for _, c := range []struct {
		rates     []string
		equal     string // in percent
		published string
	}{
		{[]string{"25%", "15%", "10%"}, "42.625%", "Centennial College learning guide"},
		{[]string{"40%", "15%", "5%"}, "51.55%", "a guide that prints the factor 0.4845"},
		{[]string{"25%", "16%"}, "37%", "business-maths exercises"},
		{[]string{"30%", "20%", "5%"}, "46.8%", "business-maths exercises"},
		{[]string{"60%", "10%", "5%"}, "65.8%", "business-maths exercises"},
		{[]string{"40%", "20%", "12.5%", "4%"}, "59.68%", "business-maths exercises"},
	} {
		base := money.Must("100000.00")
		left := base
		for _, rate := range c.rates {
			left = left.Sub(money.MustRate(rate).Of(left))
		}
		if got := base.Sub(left); got != money.MustRate(c.equal).Of(base) {
			t.Errorf("%v take %s of %s, %s says %s", c.rates, got, base, c.published, c.equal)
		}
	}
	// 20,192.00 less 40%, 15%, 5% is 9,783.02, printed beside the factor.
	net := money.Must("20192.00")
	for _, rate := range []string{"40%", "15%", "5%"} {
		net = net.Sub(money.MustRate(rate).Of(net))
	}
	if net != money.Must("9783.02") {
		t.Errorf("net %s", net)
	}
}

// TestHalfUp compares with exact decimals, whose rounding is another's work.
func TestHalfUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := money.FromCents(rapid.Int64Range(-money.Largest, money.Largest).Draw(t, "a"))
		num := rapid.Int64Range(0, 1_000_000).Draw(t, "num")
		den := rapid.Int64Range(1, 1_000_000).Draw(t, "den")
		want := a.Decimal().Mul(decimal.New(num, 0)).DivRound(decimal.New(den, 0), 30).Round(2)
		if got := a.Fraction(num, den); !got.Decimal().Equal(want) {
			t.Fatalf("%s x %d / %d = %s, want %s", a, num, den, got, want)
		}
		r := money.MustRate(decimal.New(rapid.Int64Range(0, 1_000_000_000).Draw(t, "rate"), -6).String() + "%")
		want = a.Decimal().Mul(r.Decimal()).Shift(-2).Round(2)
		if got := r.Of(a); !got.Decimal().Equal(want) {
			t.Fatalf("%s of %s = %s, want %s", r, a, got, want)
		}
		if got := r.OfFraction(a.Cents()*7, 7); got != r.Of(a) {
			t.Fatalf("%s of %s in sevenths = %s, want %s", r, a, got, r.Of(a))
		}
		if got := r.TaxOn(a); !got.Decimal().Equal(a.Decimal().Mul(r.Decimal()).Shift(-2).Truncate(3).Round(2)) {
			t.Fatalf("tax of %s on %s = %s", r, a, got)
		}
	})
}

func TestShare(t *testing.T) {
	for _, c := range []struct {
		why     string
		total   string
		weights []string
		want    []string
	}{
		{"even", "1.00", []string{"5.00", "5.00"}, []string{"0.50", "0.50"}},
		{"the largest remainder has the cent", "1.00", []string{"3.33", "3.33", "3.34"}, []string{"0.33", "0.33", "0.34"}},
		{"ties go to the earlier", "1.00", []string{"1.00", "1.00", "1.00"}, []string{"0.34", "0.33", "0.33"}},
		{"nothing for nothing", "1.00", []string{"0.00", "2.00"}, []string{"0.00", "1.00"}},
		{"no weights, no shares", "1.00", []string{"0.00", "0.00"}, []string{"0.00", "0.00"}},
		{"a negative total mirrors", "-1.00", []string{"1.00", "1.00", "1.00"}, []string{"-0.34", "-0.33", "-0.33"}},
	} {
		var weights []money.Amount
		for _, w := range c.weights {
			weights = append(weights, money.Must(w))
		}
		for i, got := range money.Share(money.Must(c.total), weights) {
			if got != money.Must(c.want[i]) {
				t.Errorf("%s: share %d is %s, want %s", c.why, i, got, c.want[i])
			}
		}
	}
}

func TestSharesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := money.FromCents(rapid.Int64Range(-money.Largest, money.Largest).Draw(t, "total"))
		cents := rapid.SliceOfN(rapid.Int64Range(0, 1_000_000), 1, 50).Filter(func(all []int64) bool {
			return slices.ContainsFunc(all, func(c int64) bool { return c > 0 }) // else there is nothing to share by
		}).Draw(t, "weights")
		var weights []money.Amount
		for _, c := range cents {
			weights = append(weights, money.FromCents(c))
		}
		all := money.Sum(weights...)
		shares := money.Share(total, weights)
		if got := money.Sum(shares...); got != total {
			t.Fatalf("shares of %s add up to %s", total, got)
		}
		for i, s := range shares {
			exact := total.Decimal().Mul(weights[i].Decimal()).DivRound(all.Decimal(), 20)
			if off := s.Decimal().Sub(exact).Abs(); off.GreaterThanOrEqual(decimal.New(1, -2)) {
				t.Fatalf("share %d is %s, a cent or more off %s", i, s, exact)
			}
		}
	})
}
