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
