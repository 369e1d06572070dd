package audit

import (
	"strings"
	"testing"

	"tillproof/ocr"
)

// TestDearerUnitStays: a third unit that cost more was read well, and is not mended to what the
// others cost so that a misread line beside it comes out.
func TestDearerUnitStays(t *testing.T) {
	p := load(t, "plan: 1\nstore: Harbor Lane Market\ntransactions:\n  - id: a\n    pay_with: [card]\n    items:\n      - {id: soup, name: Saltrow lentil soup 400 g, quantity: 3, shelf: 1.39}\n"+
		"      - {id: loaf, name: Brackle wholemeal loaf, shelf: 2.49}\n      - {id: tea, name: Wexcombe black tea 80ct, shelf: 10.00}\n")
	text := "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW LENTIL SOUP 400G  1.39\nSALTROW LENTIL SOUP 400G  1.39\nSALTROW LENTIL SOUP 400G  1.89\nBRACKLE WHOLEMEAL LOAF  2.99\nWEXCOMBE BLACK TEA 80CT  10.00\nTOTAL  17.16\nCARD  17.16\nTHANK YOU\n"
	page := photoPage(text)
	runnerUp(&page, 4, "1.39", 4)
	page.Lines[5].Readings[0].Words[3].Confidence = 0.7
	runnerUp(&page, 5, "2.49", 1)
	res, err := Check(Input{Plan: p, Receipt: parsePage(page)})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range res.Findings {
		if f.Certainty.Firm() && f.Items[0] == "loaf" {
			t.Errorf("%+v", f)
		}
	}
}

// TestCreditsWithTheCard: a credit that was given is one, whatever the card or a question is doing
// in its line.
func TestCreditsWithTheCard(t *testing.T) {
	plan := "plan: 1\nstore: Harbor Lane Market\ntransactions:\n  - id: a\n    pay_with: [card]\n    items:\n      - {id: tea, name: Wexcombe black tea 80ct, quantity: 3, shelf: 10.00}\n" +
		"offers:\n  - {id: o, title: 5.00 store credit for 25.00, applies_to: [tea], spend: 25.00, credit: {kind: store credit, value: 5.00}}\n"
	for _, line := range []string{"5.00 EARNED WITH YOUR CARD", "EARNED WITH CARD 5.00", "5.00 BACK EARNED WITH YOUR CARD TODAY", "GUESS WHAT? YOU EARNED 5.00 BACK"} {
		res := checkedText(t, load(t, plan), "HARBOR LANE MARKET\n05/09/2026 10:42\nWEXCOMBE BLACK TEA 80CT 3 @ 10.00  30.00\nTOTAL  30.00\nCARD  30.00\n"+line+"\n")
		if got := firm(res); got != "" {
			t.Errorf("%s: %s", line, got)
		}
	}
}

// TestTotalIsBelow: goods that come to what is left above them are no total where the receipt says
// its total further down.
func TestTotalIsBelow(t *testing.T) {
	plan := "plan: 1\nstore: Harbor Lane Market\ntransactions:\n  - id: a\n    pay_with: [card]\n    items:\n      - {id: tea, name: Wexcombe black tea 80ct, quantity: 2, shelf: 5.00}\n" +
		"      - {id: loaf, name: Brackle wholemeal loaf, quantity: 2, shelf: 4.00}\n      - {id: jam, name: Tolland plum jam, shelf: 3.00}\noffers:\n  - {id: o, title: 1.00 off black tea, funded_by: maker, carried_as: paper, applies_to: [tea], deduct: 1.00}\n"
	for _, text := range []string{
		"WEXCOMBE BLACK TEA 80CT  5.00\nMFR COUPON  1.00-\nBRACKLE WHOLEMEAL LOAF  4.00\nWEXCOMBE BLACK TEA 80CT  5.00\nMFR COUPON  1.00-\nBRACKLE WHOLEMEAL LOAF  4.00\nTOLLAND PLUM JAM  3.00\n",
		"TOLLAND PLUM JAM  3.00\nWEXCOMBE BLACK TEA 80CT  5.00\nMFR COUPON  1.00-\nBRACKLE WHOLEMEAL LOAF  4.00\nWEXCOMBE BLACK TEA 80CT  5.00\nMFR COUPON  1.00-\nBRACKLE WHOLEMEAL LOAF  4.00\n",
	} {
		res := checkedText(t, load(t, plan), "HARBOR LANE MARKET\n05/09/2026 10:42\n"+text+"TOTAL  19.00\nCARD  19.00\n")
		if got := firm(res); got != "" {
			t.Errorf("%s: %s", strings.SplitN(text, "\n", 2)[0], got)
		}
	}
}

// runnerUp gives the last word of a line a runner-up.
func runnerUp(page *ocr.Page, line int, text string, cost float64) {
	words := page.Lines[line].Readings[0].Words
	words[len(words)-1].Alternatives = append(words[len(words)-1].Alternatives, ocr.Alternative{Text: text, Cost: cost})
}
