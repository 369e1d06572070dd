package audit

import "testing"

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
