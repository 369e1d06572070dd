package parse

import "testing"

// The form of the tables is that of the receipts of the SROIE set (Huang et al.
// 2019, doi 10.1109/ICDAR.2019.00244), the goods and amounts are made up. That a
// net amount and its tax are the amount with tax is common practice, no source.
func TestMendFigures(t *testing.T) {
	const head = "HARBOR LANE\nOATS 4.23\nJAM 3.97\nTOTAL 8.20\nCASH 8.20\nGST SUMMARY AMOUNT TAX\n"
	for _, c := range []struct{ why, photo, line, want string }{
		{"a point that was not seen", head + "SR = GST 6% 774 0.46", "", "SR = GST 6% 7.74 0.46"},
		{"two characters off are too many", head + "SR 6% 7.74 04S 8.20", "", "SR 6% 7.74 04S 8.20"},
		{"the tax of three numbers without its point", head + "SR 6% 7.74 046 8.20", "", "SR 6% 7.74 0.46 8.20"},
		{"a digit read as a letter", head + "Total J.74 0.46", "", "Total 7.74 0.46"},
		{"an end cut off", head + "SR 6% 7.74 0.4 8.20", "", "SR 6% 7.74 0.46 8.20"},
		{"another size had it", head + "SR 6% 7.14 0.46 #2 | SR 6% 7.74 0.46 #1", "", "SR 6% 7.74 0.46"},
		{"a digit like it that no other line bears out", head + "SR 6% 7.74 0.48", "", "SR 6% 7.74 0.48"},
		{"a digit like it that another line bears out", "HARBOR LANE\nOATS 4.23\nJAM 3.97\nTOTAL 8.20\nCASH 8.20\nGST 6% INCLUDED 0.46\nGST SUMMARY\nSR 6% 7.74 0.48", "", "SR 6% 7.74 0.46"},
		{"what fits stays", head + "SR 6% 7.74 0.46 #2 | SR 6% 7.14 0.46 #1", "", "SR 6% 7.74 0.46"},
		{"no table", head + "VISITS 774 0.46", "", "VISITS 774 0.46"},
		{"a unit price in two words", "HARBOR LANE\nOATS 6 17.00 18 02 108.12\nTOTAL 108.12\nCASH 108.12", "OATS", "OATS 6 17.00 18.02 108.12"},
		{"a unit price without its point", "HARBOR LANE\nOATS 6 1802 108.12\nTOTAL 108.12\nCASH 108.12", "OATS", "OATS 6 18.02 108.12"},
		{"a number that is no unit price", "HARBOR LANE\nOATS 6 1803 108.12\nTOTAL 108.12\nCASH 108.12", "OATS", "OATS 6 1803 108.12"},
		{"a rounding of nought", "HARBOR LANE\nOATS 2.20\nJAM 2.00\nTOTAL 4.20\nROUNDING ADJ 9.00\nTOTAL DUE 4.20\nCASH 4.20", "ROUNDING", "ROUNDING ADJ 0.00"},
		{"the last digit of an amount cut off", "HARBOR LANE\nOATS\n2 x 0.20 0.4\nJAM 3.79\nTOTAL 4.19\nCASH 4.19", "2 x", "2 x 0.20 0.40"},
		{"a colon of the time", "HARBOR LANE\n18/06/2026 08:18.00\nOATS 4.20\nTOTAL 4.20\nCASH 4.20", "18/06", "18/06/2026 08:18:00"},
	} {
		r := parsePhoto(c.photo)
		got := r.Lines[len(r.Lines)-1].Text
		for i := range r.Lines {
			if n := len(c.line); n > 0 && len(r.Lines[i].Text) >= n && r.Lines[i].Text[:n] == c.line {
				got = r.Lines[i].Text
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q\n%s", c.why, got, c.want, dump(r))
		}
	}
}

// An amount that the sums repaired stays so where the unit price beside it is mended too.
func TestMendFiguresKeepsRepairs(t *testing.T) {
	r := parsePhoto("HARBOR LANE\nOATS 6 1802 108.72{108.12:0.5}\nJAM 3.00\nTOTAL 111.12\nCASH 111.12")
	if l := r.Line(2); l.Amount == nil || l.Amount.String() != "108.12" || l.Proof != Repaired {
		t.Errorf("%v %s\n%s", l.Amount, l.Proof, dump(r))
	}
}

// A text is what it says, whatever its tables come to.
func TestMendFiguresLeavesTexts(t *testing.T) {
	r := parseText("HARBOR LANE\nOATS 8.20\nTOTAL 8.20\nCASH 8.20\nSR 6% 774 0.46")
	if got := r.Lines[4].Text; got != "SR 6% 774 0.46" {
		t.Errorf("%q", got)
	}
}

// What is handed over may be told before the sum; it is no goods.
func TestCashAmongItems(t *testing.T) {
	r := parsePhoto("PORRIDGE ROOM\nOATS 4.53\nTOAST 5.57\nCASH 20.00\nSUBTOTAL 10.10\nTOTAL 10.10\nPAYMENT 20.00\nCHANGE 9.90")
	if l := r.Line(4); l.Kind != LineOther || !r.FirmBody() {
		t.Errorf("%s, firm %v\n%s", l.Kind, r.FirmBody(), dump(r))
	}
}
