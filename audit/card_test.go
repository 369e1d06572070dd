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
	} {
		if got := tooMuchOfCard(c.text, true); (got != "") != c.bad {
			t.Errorf("tooMuchOfCard(%q) = %q, want too much: %v", c.text, got, c.bad)
		}
	}
	if got := tooMuchOfCard("MEMBER ***********123456", false); got != "" {
		t.Errorf("a number on a receipt that no card paid: %q", got)
	}
}
