package parse

import (
	"strings"
	"testing"

	"tillproof/ocr"
)

// TestColumnsHeld: numbers in the columns in which units and prices of other lines stand are
// such, although they do not come to the amount, and no part of a name. Where too few lines have
// such columns, or they stand elsewhere, they may be.
func TestColumnsHeld(t *testing.T) {
	const goods = "SALTROW BAKED BEANS     2    1.50     3.00\n" +
		"BRACKLE LAUNDRY LIQ     1    6.30     6.30\n" +
		"WEXCOMBE BLACK TEA      3    2.00     6.00\n"
	for _, c := range []struct {
		goods, line string
		units       string // "" for none
		holds       bool
	}{
		{goods, "WICKERSEA WHOLE MILK    2    2.90     5.80", "2", true},
		{goods, "WICKERSEA WHOLE MILK    2    0.90     5.80", "2", false},
		{goods, "WICKERSEA WHOLE MILK    7    2.90     5.80", "7", false},
		{goods, "WICKERSEA MILK    2    0.90           5.80", "", false},
		{goods[:strings.LastIndex(goods, "WEXCOMBE")] + "WEXCOMBE BLACK TEA                    6.00\n", "WICKERSEA WHOLE MILK    2    0.90     5.80", "", false},
	} {
		r := Parse([]ocr.Page{TextPage("HARBOR LANE\n" + c.goods + c.line + "\nTOTAL                                21.10\nCASH                                 21.10\n")}, Options{})
		l := r.Lines[4]
		got := ""
		if l.Quantity != nil {
			got = l.Quantity.String()
		}
		if got != c.units || c.units != "" && strings.ContainsAny(l.Name, "0123456789") {
			t.Errorf("%q: %q units of %q, want %q", c.line, got, l.Name, c.units)
		}
		held := false
		for _, s := range r.Sums {
			if s.Kind == sumExtension && s.To == l.N {
				held = s.Holds
			}
		}
		if held != c.holds {
			t.Errorf("%q: holds %v, want %v", c.line, held, c.holds)
		}
	}
}
