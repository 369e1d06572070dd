package audit

import (
	"strings"
	"testing"

	"tillproof/ocr"
)

// TestNothingFirmOfMisreadPieces: what is left of a quantity with its price names no goods.
func TestNothingFirmOfMisreadPieces(t *testing.T) {
	text := "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS 4CT  3.70\nBRACKLE LAUNDRY LIQUID 1.5L  16.30\nJAXC N*RS 339224575286\nIT4 LR @ 9.40  9.40\nTOTAL  29.40\nCARD  29.40\nTHANK YOU\n"
	res, err := Check(Input{Plan: load(t, pantryGoods), Receipt: photographed(text)})
	if err != nil {
		t.Fatal(err)
	}
	if got := firm(res); got != "" {
		t.Errorf("%q: %+v", got, res.Findings)
	}
}

// TestVagueUnits: units that were made of the price, since their number was not read for sure,
// make no firm quantity, unless the receipt counts them.
func TestVagueUnits(t *testing.T) {
	for _, c := range []struct{ foot, want string }{
		{"THANK YOU\n", ""},
		{"6 ITEMS\n", "quantity likely"},
		{"5 ITEMS\n", ""},
	} {
		p := load(t, strings.Replace(pantryGoods, "shelf: 3.70}", "quantity: 2, shelf: 2.00}", 1))
		page := photoPage("HARBOR LANE MARKET\n05/09/2026 10:42\n2 SALTROW BAKED BEANS 4C  6.00\n1 BRACKLE LAUNDRY LIQUID 1.5L  16.30\n2 WEXCOMBE BLACK TEA 80  20.00\nTOTAL  42.30\nCARD  42.30\n" + c.foot)
		page.Lines[2].Readings[0].Words[0].Alternatives = []ocr.Alternative{{Text: "3", Cost: 0.3}}
		p.Transactions[0].Items[2].Quantity = 2
		res, err := Check(Input{Plan: p, Receipt: parsePage(page)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%s: %q, want %q: %+v", c.foot, got, c.want, res.Findings)
		}
	}
}
