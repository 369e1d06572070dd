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
		{points, "CLUB POINTS +6000\n", ShortCredit, true},
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

// Of two credits of a kind, told in two lines, that which is just right is its own.
func TestTwoCreditsOfAKind(t *testing.T) {
	p := load(t, "plan: 1\nstore: Harbor Lane Market\ndate: 2026-05-09\ntransactions:\n  - id: t\n    items:\n      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29}\noffers:\n"+
		"  - {id: once, title: 2.00 gift card when you buy enough, applies_to: [oats], spend: 5.00, credit: {kind: gift card, value: 2.00}}\n"+
		"  - {id: each, title: a gift card each time, applies_to: [oats], spend: 6.00, repeats: yes, credit: {kind: gift card, value: 1.70}}\n")
	for _, c := range []struct {
		first, second string
		offer         string // of which the finding is, "" for none
		difference    string
	}{
		{"2.00", "3.40", "", ""},
		{"3.00", "3.40", "once", "1.00"},
		{"3.40", "1.50", "once", "-0.50"},
		{"2.00", "2.90", "each", "-0.50"},
	} {
		res := checkedText(t, p, "HARBOR LANE MARKET\n05/09/2026 10:42\nMILLBROOK ROLLED OATS 1KG  12.87\nTOTAL                      12.87\nCARD                       12.87\nGIFT CARD EARNED: "+c.first+"\nGIFT CARD EARNED: "+c.second+"\n")
		if c.offer == "" {
			if len(res.Findings) > 0 {
				t.Errorf("%s and %s: %+v", c.first, c.second, res.Findings)
			}
			continue
		}
		if len(res.Findings) != 1 || res.Findings[0].Offer != c.offer || res.Findings[0].Difference.String() != c.difference || !res.Findings[0].Certainty.Firm() {
			t.Errorf("%s and %s: want %s %s: %+v", c.first, c.second, c.offer, c.difference, res.Findings)
		}
	}
	// One that is just right by chance leaves the other as far off as both would not be.
	res := checkedText(t, p, "HARBOR LANE MARKET\n05/09/2026 10:42\nMILLBROOK ROLLED OATS 1KG  12.87\nTOTAL                      12.87\nCARD                       12.87\nGIFT CARD EARNED: 3.40\nGIFT CARD EARNED: 4.00\n")
	if got := firm(res); got != "" || len(res.Findings) == 0 {
		t.Errorf("3.40 and 4.00: %q of %d", got, len(res.Findings))
	}
}
