package audit

import "testing"

// TestDepositOfDoubtfulGoods: a deposit beneath goods that were laid to planned ones by their
// price is as doubtful as they are; beneath goods of that name it was not planned.
func TestDepositOfDoubtfulGoods(t *testing.T) {
	p := load(t, `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: drinks
    items:
      - {id: soap, name: Fernhollow dish soap lemon 750 ml, quantity: 5, shelf: 2.09}
      - {id: lemonade, name: Tarnwick cloudy lemonade 750 ml, quantity: 4, shelf: 2.09, fee: 0.15}
      - {id: peas, name: Brackle garden peas 450 g, shelf: 3.59}
`)
	for goods, want := range map[string]bool{
		"Tar Ligh Clou Lemo 750ml": false,
		"Fer Dish Soap Lemo 750ml": true,
	} {
		res := checkedText(t, p, "HARBOR LANE MARKET\n05/09/2026 10:42\nFer Dish Soap Lemo 750ml  10.45\n  5 @ 2.09\nBrackle Garden Peas 450g  3.59\n"+goods+"  8.36\n  4 @ 2.09\n  Container deposit 4 @ 0.15  0.60\nTOTAL  23.00\nCASH  23.00\n")
		found := false
		for _, f := range res.Findings {
			if f.Kind == UnplannedItem {
				found = true
				if f.Certainty.Firm() != want {
					t.Errorf("%s: %v is %s", goods, f.Items, f.Certainty)
				}
			}
		}
		if !found {
			t.Errorf("%s: the deposit is not told: %v", goods, firm(res))
		}
	}
}
