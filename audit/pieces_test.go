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

// TestPriceThatMultiplies: a price that a quantity comes to was not misread together with what an
// offer takes off to its own price, and is firm on a photo; without a quantity it is not.
func TestPriceThatMultiplies(t *testing.T) {
	plan := "plan: 1\nstore: Harbor Lane Market\ndate: 2026-05-09\ncurrency: USD\ntransactions:\n  - id: main\n    pay_with: [card]\n    items:\n" +
		"      - {id: beans, name: Saltrow baked beans 4ct, quantity: 2, shelf: 2.29}\n      - {id: tea, name: Wexcombe black tea 80ct, shelf: 5.20}\n" +
		"offers:\n  - {id: o, title: for 1.58 baked beans, funded_by: store, carried_as: shelf, applies_to: [beans], deduct: to 1.58, limit: {per_transaction: 2}}\n"
	for quantity, want := range map[string]string{"2 EA @ 1 FOR 2.19\n": "undercharge proved", "": ""} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS 4CT  4.38\n" + quantity + "MULTI SAVE FOR 1.58 x2  -1.22\nWEXCOMBE BLACK TEA 80CT  5.20\nTOTAL  8.36\nCARD  8.36\nTHANK YOU\n"
		res, err := Check(Input{Plan: load(t, plan), Receipt: photographed(text)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != want {
			t.Errorf("%q: %q, want %q: %+v", quantity, got, want, res.Findings)
		}
	}
}

// TestMissingGoodsStandBare: goods whose name stands on a photo without an amount are not firmly
// missing, though the sums close without them; other words are no such name.
func TestMissingGoodsStandBare(t *testing.T) {
	for line, want := range map[string]string{
		"SALTROW BAKED BEANS 4CT": "", "SALTROW BAKED BEA": "",
		"CANNED GOODS": "missing-item proved", "WEXCOMBE RICE": "missing-item proved",
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\nBRACKLE LAUNDRY LIQUID 1.5L  16.30\n" + line + "\nWEXCOMBE BLACK TEA 80CT  10.00\nTOTAL  26.30\nCARD  26.30\nTHANK YOU\n"
		res, err := Check(Input{Plan: load(t, pantryGoods), Receipt: photographed(text)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != want {
			t.Errorf("%s: %q, want %q", line, got, want)
		}
	}
}
