package audit

import "testing"

// TestReadings: where a line may be the savings on a price as well as a coupon, and
// either way one thing is wrong, nothing is firm; where one way leaves less to explain,
// that is how it was.
func TestReadings(t *testing.T) {
	const head = "plan: 1\ndate: 2026-05-09\ntransactions:\n  - id: trip\n    items:\n      - {id: peas, name: Millbrook garden peas 450 g, shelf: 3.19}\n"
	for _, c := range []struct {
		why, plan, receipt string
		firm               bool
		kind               Kind
		difference         string
	}{
		{"48 cents are what the sale saves and 20% of the shelf price too",
			head + "      - {id: paste, name: Tarnwick mint toothpaste 75 ml, shelf: 2.39, sale: 1.91}\noffers:\n" +
				"  - {id: fifth, title: 20% off mint toothpaste, carried_as: shelf, applies_to: [paste], deduct: 20%}\n",
			"HARBOR LANE MARKET\nMILLBROOK GARDEN PEAS 450 G   3.19\nTARNWICK MINT TOOTHPASTE      2.39\n  STORE SPECIAL               0.48-\nSUBTOTAL                      5.10\nTOTAL                         5.10\nCASH                          5.10\n",
			false, MissingDeduction, "-0.38"},
		{"35 cents are 10% of what was charged, and no price that was planned",
			head + "      - {id: tea, name: Nib & Oat breakfast tea 40 ct, shelf: 2.99, sale: 2.17, price_from: advert}\noffers:\n" +
				"  - {id: tenth, title: 10% off breakfast tea, carried_as: shelf, applies_to: [tea], deduct: 10%}\n",
			"HARBOR LANE MARKET\nMILLBROOK GARDEN PEAS 450 G   3.19\nNIB & OAT BREAKFAST TEA 40 CT 3.49\n  MULTI-BUY SAVING            0.35-\nSUBTOTAL                      6.33\nTOTAL                         6.33\nCASH                          6.33\n",
			true, Overcharge, "-1.32"},
	} {
		p := load(t, c.plan)
		res, err := Check(Input{Plan: p, Receipt: parsed(c.receipt, nil)})
		if err != nil {
			t.Fatal(err)
		}
		if len(res.Findings) != 1 {
			t.Errorf("%s: %d findings, want one: %+v", c.why, len(res.Findings), res.Findings)
			continue
		}
		f := &res.Findings[0]
		if f.Kind != c.kind || f.Difference.String() != c.difference || f.Certainty.Firm() != c.firm {
			t.Errorf("%s: %s of %s, %s; want %s of %s, firm: %v", c.why, f.Kind, f.Difference, f.Certainty, c.kind, c.difference, c.firm)
		}
		if !c.firm && res.Verdict != Undecided {
			t.Errorf("%s: %s, want undecided", c.why, res.Verdict)
		}
	}
}
