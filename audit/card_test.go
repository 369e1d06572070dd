package audit

import "testing"

// What a receipt may show of a card: 15 U.S.C. 1681c(g), the last five digits
// and no expiration date. "ACCT: *12345" and "EXP: ****" are the Federal Trade
// Commission's own samples; the others follow from the rule.
func TestCardDigits(t *testing.T) {
	for _, c := range []struct {
		text string
		bad  bool
	}{
		{"************1234", false},
		{"ACCT: *12345", false},
		{"***********123456", true},
		{"XXXX1234 EXP 09/27", true},
		{"EXP: ****", false},
		{"CARD 4111 1111 1111 1111", true},
		{"VISIT US AT 1234567890123", false},
		{"CARD NO XXXXXXXXXXXX1234", false},
		{"4111 11** **** 1234", true}, // first six and last four: more than the last five
		{"AUTH 123456 CARD ****9876", false},
		{"OFFER EXP 09/27", false},
		{"Card ending 43219876", true}, // the words stand for the mask
		{"Card ending in 9876", false},
		{"CARD ENDING: 876543", true},
		{"REF # 7192777 CARD ****9876", false},
		{"LAST 4: 9876 AUTH 123456", false},
		{"SALE ENDING 05092026", false},
		{"CARD ****9876 VALID THRU 09/27", true},
		{"card ending 15382841, inserted", true},
		{"card ending 7059, inserted", false},
		{"Card no. ...........68209203", true}, // dots for the mask
		{"Card no. ...........0267", false},
		{"Card ..14706527 read by chip, approval 147035,", true},
		{"Bank card ..1470", false},
		{"CREDIT AUTH NO ..004512", false},
		{"Card points ...........68209203", false}, // dots that lead to a figure
	} {
		if got := tooMuchOfCard(c.text, true); (got != "") != c.bad {
			t.Errorf("tooMuchOfCard(%q) = %q, want too much: %v", c.text, got, c.bad)
		}
	}
	if got := tooMuchOfCard("MEMBER ***********123456", false); got != "" {
		t.Errorf("a number on a receipt that no card paid: %q", got)
	}
}

// A payment's line with a number right behind the word card: of the last digits or of more.
func TestBareCardNumber(t *testing.T) {
	for _, c := range []struct {
		text string
		bad  bool
	}{
		{"Paid by bank card 32118378", true},
		{"Paid by bank card 2118", false},
		{"CARD 153893", false}, // as long as the code of an approval
		{"Gift card 32118378", false},
		{"CARD TEND", false},
		{"AUTH 32118378 CARD", false},
		{"CARD SALE  12.87\n  NO. 32118378  OK 321183  TAPPED\nTHANKS", true}, // on the line below
		{"CARD SALE  12.87\n  NO. 3211  OK 321183  TAPPED\nTHANKS", false},
		{"CARD SALE  12.87\nINVOICE NO. 20260509001\nTHANKS", false},
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\nMILLBROOK ROLLED OATS 1KG  12.87\nTOTAL 12.87\n" + c.text + "  12.87\n"
		p := load(t, "plan: 1\nstore: Harbor Lane Market\ntransactions:\n  - id: a\n    items:\n      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29}\n")
		res := checkedText(t, p, text)
		told := false
		for _, f := range res.Findings {
			told = told || f.Kind == CardDigits
		}
		if told != c.bad {
			t.Errorf("%q: told %v, want %v", c.text, told, c.bad)
		}
	}
}
