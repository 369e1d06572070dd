package audit

import "testing"

// What a receipt says of credits: balances and offers of more leave what is missing firm,
// points are told by their word or by what they are worth, and what may be the credit in
// other words leaves a doubt.
func TestWhatTellsOfCredits(t *testing.T) {
	const goods = "HARBOR LANE MARKET\n05/09/2026 10:42\nMILLBROOK ROLLED OATS 1KG  12.87\nTOTAL                      12.87\nCARD                       12.87\n"
	points := "credit: {kind: points, value: 7.00, points: 7000}"
	worth := "credit: {kind: points, value: 7.00}"
	credit := "credit: {kind: store credit, value: 3.50}"
	for _, c := range []struct {
		credit, foot string
		want         Kind // "" for none
		firm         bool
	}{
		{points, "REWARD POINTS TO DATE 140\n", MissingCredit, true},
		{points, "REWARDS POINTS AS OF YESTERDAY: 2668\n", MissingCredit, true},
		{worth, "SUMMIT CARD ENDING 2163 HAS 1454 POINTS\n", MissingCredit, true},
		{points, "YOU HAVE EARNED 7000 POINTS\n", "", false},
		{points, "YOU EARNED\n8000 PTS\n", ExtraCredit, true},
		{points, "MEMBER POINTS THIS TRIP: 6000\nVALUE: 6.00\n", ShortCredit, true},
		{points, "MEMBER POINTS THIS TRIP: 600\nVALUE: 0.60\n", ShortCredit, false}, // what every trip earns
		{credit, "SAVE $4.00\nON YOUR NEXT $40.00\n", MissingCredit, true},
		{credit, "SAVE $3.50\nON YOUR NEXT $40.00\n", MissingCredit, false},
	} {
		p := load(t, "plan: 1\nstore: Harbor Lane Market\ndate: 2026-05-09\ntransactions:\n  - id: t\n    items:\n      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29}\noffers:\n  - {id: o, title: something back when you buy enough, applies_to: [oats], spend: 5.00, "+c.credit+"}\n")
		res := checkedText(t, p, goods+c.foot)
		var got Kind
		firm := false
		for _, f := range res.Findings {
			got, firm = f.Kind, f.Certainty.Firm()
		}
		if got != c.want || firm != c.firm || len(res.Findings) > 1 {
			t.Errorf("%q for %s: %q firm %v, want %q firm %v: %+v", c.foot, c.credit, got, firm, c.want, c.firm, res.Findings)
		}
	}
}
