package parse

import "testing"

// TestLostAmounts: a repair that a reading bears out, or both sums of a statement, proves
// nothing where a line beside it may have lost just the amount that it makes up for.
func TestLostAmounts(t *testing.T) {
	for _, c := range []struct {
		why, goods, foot string
		firm             bool
	}{
		{"a digit of the cents: no goods cost that", "OATS 4.23 #3 | OATS 4.29 #3\nFROZEN PEAS\nJAM 3.79\n", "SUBTOTAL 8.08\nTOTAL 8.08\nCARD 8.08", true},
		{"whole dollars, as the goods may have cost", "OATS 4.29 #3 | OATS 6.29 #3\nFROZEN PEAS\nJAM 3.79\n", "SUBTOTAL 10.08\nTOTAL 10.08\nCARD 10.08", false},
		{"a deposit of ten cents", "OATS 4.29\nBTL DEP\nJAM 3.79 #3 | JAM 3.89 #3\n", "SUBTOTAL 8.18\nTOTAL 8.18\nCARD 8.18", false},
		{"a deposit of five cents", "OATS 4.29\nBTL DEP\nJAM 3.79 #3 | JAM 3.84 #3\n", "SUBTOTAL 8.13\nTOTAL 8.13\nCARD 8.13", false},
		{"a coupon of a dollar", "OATS 4.29\nMFR CPN\nJAM 3.79 #3 | JAM 2.79 #3\n", "SUBTOTAL 7.08\nTOTAL 7.08\nCARD 7.08", false},
		{"a coupon, on a deduction", "OATS 4.29\nMFR CPN\nSALE -0.60 #3 | SALE -0.80 #3\n", "SUBTOTAL 3.49\nTOTAL 3.49\nCARD 3.49", false},
		{"goods and what came off them", "OATS 4.29\nFROZEN PEAS\nMFR CPN PEAS\nJAM 3.79 #3 | JAM 3.76 #3\n", "SUBTOTAL 8.05\nTOTAL 8.05\nCARD 8.05", false},
		{"goods above a total, and their coupon below it", "OATS 4.29\nFROZEN PEAS\nJAM 3.79\n", "TOTAL 10.08{8.08:0.8}\nMFR CPN PEAS\nCPN -0.50\nBALANCE 7.58\nCARD 7.58", false},
		{"goods above a total alone", "OATS 4.29\nFROZEN PEAS\nJAM 3.79\n", "TOTAL 10.08{8.08:0.8}\nCPN -0.50\nBALANCE 7.58\nCARD 7.58", true},
	} {
		if r := parsePhoto("HARBOR LANE\n" + c.goods + c.foot); r.Firm != c.firm {
			t.Errorf("%s: firm is %v, want %v\n%s", c.why, r.Firm, c.firm, dump(r))
		}
	}
}

// TestSpeckIsNoRefund: a speck behind a subtotal of a photo looks like a minus; what came off is
// then no goods brought back, as it is where most totals and goods have one.
func TestSpeckIsNoRefund(t *testing.T) {
	for _, c := range []struct {
		why, text string
		line      int
		kind      LineKind
	}{
		{"a speck", "HARBOR LANE\nOATS 5.00\nQUANTITY DISC 0.55 OFF -0.55\nJAM 3.00\nSUB-TOTAL 7.45-\nLOYALTY OATS -0.40\nTAX 0.00\nTOTAL 7.05\nCARD 7.05", 3, LineDeduction},
		{"below it", "HARBOR LANE\nOATS 5.00\nQUANTITY DISC 0.55 OFF -0.55\nJAM 3.00\nSUB-TOTAL 7.45-\nLOYALTY OATS -0.40\nTAX 0.00\nTOTAL 7.05\nCARD 7.05", 6, LineDeduction},
		{"the only total", "HARBOR LANE\nOATS 5.00\nJAM 3.00\nQUANTITY DISC 0.55 OFF -0.55\nTOTAL 7.45-\nCARD 7.45", 4, LineDeduction},
		{"goods brought back", "HARBOR LANE\nOATS 5.00-\nJAM 3.00-\nSUBTOTAL 8.00-\nTAX 0.40-\nTOTAL 8.40-\nCARD 8.40-", 2, LineItem},
	} {
		if r := parsePhoto(c.text); r.Line(c.line).Kind != c.kind {
			t.Errorf("%s: %s, want %s\n%s", c.why, r.Line(c.line).Kind, c.kind, dump(r))
		}
	}
}

// TestNumbersAndScrapsAbove: the number of a member above the first goods is no goods that lost
// their amount, and two letters torn off a name beside it are no name.
func TestNumbersAndScrapsAbove(t *testing.T) {
	const rest = "OATS 4.29{4.23:1} #2 | OATS 4.23 #1\nJAM 3.79\nSUBTOTAL 8.02\nTOTAL 8.02\nCARD 8.02"
	for first, want := range map[string]bool{"MEMBER 8800558709": true, "CARD NO. 8800 5587": true, "RICE 8800558709": false, "CLUB SODA 1L 8800558709": false} {
		if r := parsePhoto("HARBOR LANE\n" + first + "\n" + rest); r.Firm != want {
			t.Errorf("%s: firm %v\n%s", first, r.Firm, dump(r))
		}
	}
	r := parsePhoto("HARBOR LANE\neyling Mill breakfast tea 80ct\nQr\n2 x $4.90 9.80\nMoorbeck salted butter\n2 x 3.10 6.20\nTOTAL 16.00\nCARD 16.00")
	if l := r.Line(2); l.Kind != LineItem {
		t.Errorf("%s\n%s", l.Kind, dump(r))
	}
}

// TestSignsOfSumsAlone: where the sums alone have a currency sign the first digit of goods is none,
// and what comes off by a code may be more than the goods of that code cost.
func TestSignsOfSumsAlone(t *testing.T) {
	r := parsePhoto("HARBOR LANE\n5 8949480 EGGS 19.50\n3 8959613 CRACKERS 9.87\n3 3998436 OLIVE SOAP 13.35\n1 8949480 EGGS 3.90\n8959613 COUPON 29557 15.54-\nSUBTOTAL $31.08\nTAX 1 $0.79\nTOTAL $31.87\nCARD $31.87\nCHANGE $0.00")
	for _, n := range []int{2, 6} {
		if l := r.Line(n); l.Proof != Proved || n == 2 && l.Amount.String() != "19.50" {
			t.Errorf("line %d: %s %s\n%s", n, l.Amount, l.Proof, dump(r))
		}
	}
}
