package parse

import (
	"strings"
	"testing"
)

// TestUnitPriceMisread: a unit price of which one digit was misread is what makes the amount,
// where no other number of units does.
func TestUnitPriceMisread(t *testing.T) {
	for _, c := range []struct{ line, amount, rest, each string }{
		{"1 @ 6.40", "4.40", "8.19", "4.4"},
		{"3 @ 2.48", "7.47", "11.26", "2.49"},
		{"2 @ 52.20", "4.40", "8.19", "2.2"},  // $2.20
		{"2 @ 42.20", "4.40", "8.19", "42.2"}, // no sign looks like a 4
		{"2 @ 4.40", "4.40", "8.19", "4.4"},   // the units may be wrong: 1 @ 4.40
		{"1 @ 2.20", "4.40", "8.19", "2.2"},   // 2 @ 2.20
		{"1 @ 6.45", "4.40", "8.19", "6.45"},  // two digits
		{"2 @ 2.49", "4.40", "8.19", "2.49"},  // no digit alone
		{"2 @ 2/6.40", "4.40", "8.19", "6.4"}, // a group's price may be another
	} {
		r := parsePhoto("HARBOR LANE\nOATS " + c.amount + "\n" + c.line + "\nJAM 3.79\nTOTAL " + c.rest + "\nCARD " + c.rest)
		l := r.Line(2)
		if l.UnitPrice == nil || l.UnitPrice.String() != c.each || l.Amount == nil || l.Amount.String() != c.amount || !r.Firm {
			t.Errorf("%s %s: want each %s\n%s", c.line, c.amount, c.each, dump(r))
		}
	}
}

// TestUnitPriceMisreadBelow: so it is where the amount stands beside the units, the name above.
func TestUnitPriceMisreadBelow(t *testing.T) {
	r := parsePhoto("HARBOR LANE\nROLLED OATS\n1 @ 6.40 4.40\nPLUM JAM\n1 @ 3.79 3.79\nTOTAL 8.19\nCARD 8.19")
	for _, n := range []int{2, 3} {
		if l := r.Line(n); l.UnitPrice == nil || l.UnitPrice.String() != "4.4" {
			t.Errorf("line %d: want each 4.40\n%s", n, dump(r))
		}
	}
	for _, s := range r.Sums {
		if !s.Holds {
			t.Errorf("%s to line %d does not hold", s.Kind, s.To)
		}
	}
}

// TestLostUnits: units whose number was not seen are what the goods beside them come to, where
// other goods tell it in the same place.
func TestLostUnits(t *testing.T) {
	const others = "HARBOR LANE\n2 PCS @ 3.20\nOATS 6.40\n3 PCS @ 1.10\nJAM 3.30\n"
	for _, c := range []struct {
		lines, units string
	}{
		{others + "PCS @ 2.50\nTEA 10.00\nTOTAL 19.70\nCARD 19.70", "4"},
		{others + "PCS @ 2.40\nTEA 10.00\nTOTAL 19.70\nCARD 19.70", ""},                                      // it does not come to it
		{"HARBOR LANE\nOATS 6.40\nJAM 3.30\nBEANS 1.00\nPCS @ 2.50\nTEA 10.00\nTOTAL 20.70\nCARD 20.70", ""}, // no others
	} {
		r := parsePhoto(c.lines)
		got := ""
		if q := r.Line(6).Quantity; q != nil {
			got = q.String()
		}
		if got != c.units {
			t.Errorf("%q units, want %q\n%s", got, c.units, dump(r))
		}
	}
}

// TestPiecesMisread: what stands between units and "@" is the word for pieces, where they come
// to the amount of the line.
func TestPiecesMisread(t *testing.T) {
	for line, want := range map[string]LineKind{
		"3 EX @ 2.50 7.50":  LineQuantity,
		"3 EX. @ 2.50 7.50": LineQuantity,
		"3 EX @ 2.60 7.50":  LineItem, // they do not
	} {
		r := parsePhoto("HARBOR LANE\nROLLED OATS\n" + line + "\nPLUM JAM\n1 EA @ 3.79 3.79\nTOTAL 11.29\nCARD 11.29")
		if got := r.Line(3).Kind; got != want {
			t.Errorf("%s: %s, want %s\n%s", line, got, want, dump(r))
		}
	}
}

// TestUnitsUnsure: a number that leads goods is told to be unsure where a reading or a runner-up
// has another digit.
func TestUnitsUnsure(t *testing.T) {
	for line, want := range map[string]bool{
		"3{8:0.5} OATS 6.60":              true,
		"3 OATS 6.60 #2 | 8 OATS 6.60 #2": true,
		"3 OATS 6.60":                     false,
	} {
		r := parsePhoto("HARBOR LANE\n2 JAM 3.80\n" + line + "\n2 TEA 4.00\nTOTAL 14.40\nCARD 14.40")
		if l := r.Line(3); l.UnitsUnsure != want || (l.Quantity == nil) != want || r.Line(2).UnitsUnsure {
			t.Errorf("%s: unsure %v, quantity %v\n%s", line, l.UnitsUnsure, l.Quantity, dump(r))
		}
	}
}

// TestPriceOfCoupon: what a coupon makes goods cost, and how often, is no quantity of its own.
func TestPriceOfCoupon(t *testing.T) {
	for _, price := range [...]string{"0.93", "$0.93"} {
		r := parseText("HARBOR LANE\nJAM 4.96\nDigital coupon FOR " + price + " x2 -3.10\nTOTAL 1.86\nCARD 1.86\n")
		for _, s := range r.Sums {
			if s.Kind == sumExtension {
				t.Errorf("%s: the coupon's line multiplies to %s, has %s", price, s.Got, s.Want)
			}
		}
	}
}

// TestLostColumnUnits: units that were not seen in their column are what price and amount say,
// where other lines show the columns and none shows another there.
func TestLostColumnUnits(t *testing.T) {
	const others = "HARBOR LANE\nBAKED BEANS 4CT 4 1.90 7.60\nPLUM JAM 1 3.30 3.30\n"
	for _, c := range []struct{ lines, units string }{
		{others + "OATS 400G 1.85 5.55\nTOTAL 16.45\nCARD 16.45", "3"},
		{others + "OATS 400G 1.85 5.45\nTOTAL 16.35\nCARD 16.35", ""},
		{"HARBOR LANE\nBAKED BEANS 4CT 4 1.90 7.60\nPLUM JAM 3.30 3.30\nOATS 400G 1.85 5.55\nTOTAL 16.45\nCARD 16.45", ""},
		{others + "OATS 400G 1.85 5.55\nTEA 3.00 2.50\nTOTAL 18.95\nCARD 18.95", ""}, // regular and paid
	} {
		r := parsePhoto(c.lines)
		got := ""
		if q := r.Line(4).Quantity; q != nil {
			got = q.String()
		}
		if got != c.units {
			t.Errorf("%q units, want %q\n%s", got, c.units, dump(r))
		}
	}
}

// TestNumberedLines: the numbers by which a till counts its lines are no units, on a photo that
// misread one of them too; 1 and 2 without a nought may be units.
func TestNumberedLines(t *testing.T) {
	r := parsePhoto("HARBOR LANE\n01 OATS 4.00\n02 PLUM JAM 5.00\n0@3 TEA 6.00\n04 CARROTS 5.31\nTOTAL 20.31\nCARD 20.31")
	for _, n := range []int{2, 3, 4, 5} {
		if l := r.Line(n); l.Quantity != nil || strings.ContainsAny(l.Name, "0124") {
			t.Errorf("line %d: %q %v\n%s", n, l.Name, l.Quantity, dump(r))
		}
	}
	r = parsePhoto("HARBOR LANE\n1 OATS 4.00\n2 PLUM JAM 5.00\nTOTAL 9.00\nCARD 9.00")
	if l := r.Line(3); l.Quantity == nil {
		t.Errorf("%q\n%s", l.Name, dump(r))
	}
}

// TestUnitsReadAsLetter: a letter before the sign and the price is the number that makes the amount.
func TestUnitsReadAsLetter(t *testing.T) {
	for line, want := range map[string]string{
		"APPLE JUICE (S @ 2.61) 13.05": "5", "APPLE JUICE (B @ 2.61) 13.05": "5", "APPLE JUICE (S @ 2.61) 13.15": "",
	} {
		r := parsePhoto("HARBOR LANE\n" + line + "\nTEA 5.00\nTOTAL " + map[string]string{"5": "18.05", "": "18.15"}[want] + "\nCARD " + map[string]string{"5": "18.05", "": "18.15"}[want])
		got := ""
		if q := r.Line(2).Quantity; q != nil {
			got = q.String()
		}
		if got != want {
			t.Errorf("%s: %q, want %q\n%s", line, got, want, dump(r))
		}
	}
}

// TestBareWeights: a weight and a price that make the amount of goods beside them say what those
// weigh, and are no goods.
func TestBareWeights(t *testing.T) {
	for line, want := range map[string]LineKind{"MAN WT 1.27 LB 2.89": LineQuantity, "MAN WT 1.27 LB 2.80": LineItem} {
		r := parsePhoto("HARBOR LANE\nOATS 4.00\n" + line + "\nGREEN GRAPES 3.67\nTOTAL 7.67\nCARD 7.67")
		if l := r.Line(3); l.Kind != want || r.Firm != (want == LineQuantity) {
			t.Errorf("%s: %s, firm %v\n%s", line, l.Kind, r.Firm, dump(r))
		}
	}
}
