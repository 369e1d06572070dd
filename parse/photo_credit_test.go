package parse

import "testing"

// TestCreditBelowItsHeading: where a line tells that a gift card was earned and the next
// has its value before the words, as tills print (common practice, no source), the value is
// the credit's, on a photo too where it was read for sure.
func TestCreditBelowItsHeading(t *testing.T) {
	for _, c := range []struct {
		line string
		want LineKind
	}{
		{"5.50 GIFT CARD, CARD NO. ENDS 3529", LineCredit},
		{"GIEFT~0.6 CARD/CARTE-CADEAU 5.50", LineCredit},
		{"GIEST~0.6 CARD/CARTE-CADEAU 5.50", LineOther},
		{"5.50{6.50:0.4} GIFT CARD, CARD NO. ENDS 3529", LineOther}, // it may be 6.50
		{"5.50~0.5 GIFT CARD, CARD NO. ENDS 3529", LineOther},
	} {
		r := parsePhoto("TALLOW YARD\nOATS 4.00\nTEA 6.00\nSUBTOTAL 10.00\nTOTAL 10.00\nCARD 10.00\nCHANGE 0.00\n** YOU EARNED A GIFT CARD **\n" + c.line + "\n")
		if got := r.Lines[8]; got.Kind != c.want || c.want == LineCredit && (got.Amount == nil || got.Amount.String() != "5.50") {
			t.Errorf("%s: %s %v, want %s", c.line, got.Kind, got.Amount, c.want)
		}
	}
}

// TestCreditInThreeLines: between what was earned and its value the card's number may stand.
func TestCreditInThreeLines(t *testing.T) {
	r := parsePhoto("TALLOW YARD\nOATS 4.00\nTOTAL 4.00\nCARD 4.00\nCHANGE 0.00\nEARNED ON THIS TRIP\nGift card ...3118\nVALUE 1.50\n")
	if l := r.Line(8); l.Kind != LineCredit || l.Amount.String() != "1.50" {
		t.Errorf("%s\n%s", l.Kind, dump(r))
	}
}

// TestPlainWords: the words of a photo's line whose letters are beyond doubt are named.
func TestPlainWords(t *testing.T) {
	r := parsePhoto("SALTROW LIGHT~0.6 BAKED{BAKEO:0.5} BEANS{BFANS:8} 3.70\nTOTAL 3.70\n")
	if got := r.Lines[0].Plain; len(got) != 3 || got[0] != "SALTROW" || got[1] != "BEANS" {
		t.Errorf("%q", got)
	}
	if got := parseText("SALTROW LIGHT 3.70\nTOTAL 3.70\n").Lines[0].Plain; got != nil {
		t.Errorf("of a text: %q", got)
	}
}

// TestClearBesideNumber: whatever a card's number is, what was put on the card is clear.
func TestClearBesideNumber(t *testing.T) {
	const head = "TALLOW YARD\nOATS 4.00\nTOTAL 4.00\nCARD 4.00\nCHANGE 0.00\nGIFT CARD ISSUED\n"
	for line, want := range map[string]Proof{
		"NO. 3741{3747:0.5} AMOUNT 2.00":           Read,
		"NO. 3741 AMOUNT 2.00{3.00:0.5}":           Doubtful,
		"NO. 3741{3747:0.5} AMOUNT 2.00{3.00:0.5}": Doubtful,
	} {
		if l := parsePhoto(head + line + "\n").Lines[6]; l.Proof != want {
			t.Errorf("%s: %s %s, want %s", line, l.Kind, l.Proof, want)
		}
	}
}
