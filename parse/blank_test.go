package parse

import (
	"strings"
	"testing"

	"tillproof/ocr"
)

// TestAmountsNotSeen: a line without an amount is looked at once more beside a sum that stays
// open, where its words or its end say that it has one, and what the second look shows is
// taken as if it had been seen at first.
func TestAmountsNotSeen(t *testing.T) {
	const receipt = "HARBOR LANE\nTHE HOUSE OF OATS\nOATS 4.29\nJAM 3.79\nMFR COUPON OATS\nSUBTOTAL 7.08\nTAX 0.50\nTOTAL 7.58\nCARD 7.58\n"
	for _, c := range []struct {
		why, text, line, again, asked string
		firm                          bool
	}{
		{"a coupon", receipt, "MFR COUPON", "MFR COUPON OATS -1.00", "MFR COUPON OATS", true},
		{"its amount has a letter for a digit", receipt, "MFR COUPON", "MFR COUPON OATS -1.O0", "MFR COUPON OATS", true},
		{"nothing new", receipt, "MFR COUPON", "MFR COUPON OATS", "MFR COUPON OATS", false},
		{"an amount that does not fit", receipt, "MFR COUPON", "MFR COUPON OATS -9.00", "MFR COUPON OATS", false},
		{"sums that close", strings.Replace(receipt, "MFR COUPON OATS\n", "MFR COUPON OATS -1.00\nOATS OF THE YEAR\n", 1), "OATS OF", "OATS OF THE YEAR 1.00", "", true},
		{"what was paid", strings.Replace(strings.Replace(receipt, "CARD 7.58", "CARD", 1), "MFR COUPON OATS", "MFR COUPON OATS -1.00", 1), "CARD", "CARD 7.58", "CARD", true},
	} {
		page := photo(c.text)
		var asked []string
		again := func(l ocr.Line) []ocr.Reading {
			if strings.HasSuffix(l.Text(), "0") || strings.HasSuffix(l.Text(), "9") || strings.HasSuffix(l.Text(), "8") {
				return nil // what shows an amount is asked about for other reasons
			}
			asked = append(asked, l.Text())
			if !strings.HasPrefix(l.Text(), c.line) {
				return nil
			}
			return []ocr.Reading{readingOf(c.again+" #2", l.Box.Y)}
		}
		r := Parse([]ocr.Page{page}, Options{Again: again})
		if got := strings.Join(asked, "; "); got != c.asked || r.Firm != c.firm {
			t.Errorf("%s: asked about %q, want %q; firm %v, want %v\n%s", c.why, got, c.asked, r.Firm, c.firm, dump(r))
		}
		// A page that is kept with what the second look showed makes the same receipt.
		for i := range page.Lines {
			if l := &page.Lines[i]; strings.HasPrefix(l.Text(), c.line) && c.asked != "" {
				l.Readings = append(l.Readings, readingOf(c.again+" #2", l.Box.Y))
			}
		}
		if kept := Parse([]ocr.Page{page}, Options{}); kept.Firm != r.Firm || dump(kept) != dump(r) {
			t.Errorf("%s, kept:\n%s\nseen:\n%s", c.why, dump(kept), dump(r))
		}
	}
}

// TestBlankQuantities: where quantities have their amount on the same line, one without an
// amount has what units and price make, if the sums want it.
func TestBlankQuantities(t *testing.T) {
	const receipt = "HARBOR LANE\nOATS\n2 @ 2.10 4.20\nJAM\n3 @ 1.30 3.90\nAPPLES\n0.39 lb @ 2.49/lb\nSUBTOTAL 9.07\nTAX 0.50\nTOTAL 9.57\nCARD 9.57\n"
	for _, c := range []struct {
		why, text string
		firm      bool
		amount    string
	}{
		{"a weight", receipt, true, "0.97"},
		{"the sums want another", strings.NewReplacer("9.07", "9.17", "9.57", "9.67").Replace(receipt), false, ""},
		{"the others have none beside them either", strings.NewReplacer("OATS\n2 @ 2.10 4.20", "OATS 4.20\n2 @ 2.10", "JAM\n3 @ 1.30 3.90", "JAM 3.90\n3 @ 1.30").Replace(receipt), false, ""},
	} {
		r := Parse([]ocr.Page{photo(c.text)}, Options{})
		l := &r.Lines[6]
		got := ""
		if l.Amount != nil && l.Proof.Firm() {
			got = l.Amount.String()
		}
		if r.Firm != c.firm || got != c.amount {
			t.Errorf("%s: firm %v, amount %q, want %v, %q\n%s", c.why, r.Firm, got, c.firm, c.amount, dump(r))
		}
	}
}

// TestColumnNotSeen: goods that end in units and price, left of where the others have their
// amount, have that amount: as a second look shows it, or what units and price make.
func TestColumnNotSeen(t *testing.T) {
	const receipt = "HARBOR LANE\nOATS 2 2.10 4.20\nJAM 3 1.30 3.90\nAPPLES 4 1.25\nSUBTOTAL 13.10\nTAX 0.50\nTOTAL 13.60\nCARD 13.60\n"
	for _, c := range []struct {
		why, text, again string
		amount           string
		proof            Proof
		firm             bool
	}{
		{"not seen again", receipt, "", "5.00", Repaired, true},
		{"seen at the second look", receipt, "APPLES 4 1.25 5.00 #3", "5.00", Proved, true},
		{"the sums want another", strings.NewReplacer("13.10", "13.40", "13.60", "13.90").Replace(receipt), "", "1.25", Doubtful, false},
		{"it stands where the others do", receipt + "\x00", "", "1.25", Doubtful, false},
	} {
		page := photo(strings.TrimSuffix(c.text, "\x00"))
		if !strings.HasSuffix(c.text, "\x00") {
			page.Lines[3].Box.W /= 2
		}
		r := Parse([]ocr.Page{page}, Options{Again: func(l ocr.Line) []ocr.Reading {
			if c.again == "" || !strings.HasPrefix(l.Text(), "APPLES") {
				return nil
			}
			return []ocr.Reading{readingOf(c.again, l.Box.Y)}
		}})
		if l := r.Line(4); l.Amount == nil || l.Amount.String() != c.amount || l.Proof != c.proof || r.Firm != c.firm {
			t.Errorf("%s: want %s %s, firm %v\n%s", c.why, c.amount, c.proof, c.firm, dump(r))
		}
	}
}

// TestSumOfNothing: a subtotal above which no amount of goods stands proves nothing.
func TestSumOfNothing(t *testing.T) {
	const foot = "TAX 0.47\nTOTAL 55.68\nCPN MFR/BON FAB -2.21\nTO PAY 53.47\nCARD 53.47\n"
	for goods, firm := range map[string]bool{"(6)351507640991 DAPPLEMERE CORN FL\nSUBTOTAL/SOUS-TOTAL 55.21\n": false, "DAPPLEMERE CORN FLAKES 55.21\nSUBTOTAL/SOUS-TOTAL 55.21\n": true} {
		if r := Parse([]ocr.Page{TextPage("WESTROW FRESH\n" + goods + foot)}, Options{}); r.FirmBody() != firm {
			t.Errorf("%q: firm %v\n%s", goods, !firm, dump(r))
		}
	}
}

// TestAmountOfNextLine: what a look at the whole height of a heading sees of the next line is no
// amount of its own, nor is a half bracket's amount paid, nor a sum with a sign behind it unread.
func TestAmountOfNextLine(t *testing.T) {
	r := parsePhoto("HARBOR LANE\nHOME & BEAUTY #4 | LHOME & BEAUTY 924.25~0.6 #1\nSHAMPOO 24.25\nCoupon for shampoo 2.00)\nSUBTOTAL $22.25%\nTOTAL 22.25\nCARD 22.25")
	if l := r.Line(2); l.Amount != nil {
		t.Errorf("%s\n%s", l.Amount, dump(r))
	}
	if l := r.Line(4); l.Amount.String() != "-2.00" || !l.Proof.Firm() {
		t.Errorf("%s %s\n%s", l.Amount, l.Proof, dump(r))
	}
	if l := r.Line(5); l.Amount == nil || l.Proof != Proved {
		t.Errorf("%s\n%s", l.Proof, dump(r))
	}
	if !r.Firm {
		t.Error("not firm")
	}
}
