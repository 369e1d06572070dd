package parse

import (
	"strings"
	"testing"

	"tillproof/ocr"
)

// ownLook is a second look that has compared the amounts of lines with the receipt's own: for
// the beginning of a line, the amount that it is most like. Other digits cost two each.
func ownLook(like map[string]string) SecondLook {
	return func(l ocr.Line) []ocr.Reading {
		for start, amount := range like {
			if !strings.HasPrefix(l.Text(), start) {
				continue
			}
			r := readingOf(l.Text(), l.Box.Y)
			w := &r.Words[len(r.Words)-1]
			w.Text = amount
			for _, d := range strings.Replace(amount, ".", "", 1) {
				var cost [10]float64
				for k := range cost {
					if cost[k] = 2; k == int(d-'0') {
						cost[k] = 0
					}
				}
				w.Digits = append(w.Digits, cost)
			}
			r.Own = true
			return []ocr.Reading{r}
		}
		return nil
	}
}

// TestOwnPrint: where a sum may be made right in two ways, the digits that are like the
// receipt's own decide; nothing is decided by them against what the sum wants.
func TestOwnPrint(t *testing.T) {
	const text = "HARBOR LANE\nOATS 4.28{4.20:0.3}\nJAM 3.18{3.10:0.3}\nTEA 2.00\nTOTAL 9.38\nCARD 9.38"
	for _, c := range []struct {
		why       string
		like      map[string]string
		firm      bool
		oats, jam string
	}{
		{"nothing told", nil, false, "", ""},
		{"the first has the nought", map[string]string{"OATS": "4.20", "JAM": "3.18"}, true, "4.20", "3.18"},
		{"the second has", map[string]string{"OATS": "4.28", "JAM": "3.10"}, true, "4.28", "3.10"},
		{"what no sum wants", map[string]string{"OATS": "4.20", "JAM": "3.10"}, false, "", ""},
	} {
		r := Parse([]ocr.Page{photo(text)}, Options{Again: ownLook(c.like)})
		if r.Firm != c.firm {
			t.Errorf("%s: firm is %v\n%s", c.why, r.Firm, dump(r))
			continue
		}
		if c.firm && (r.Line(2).Amount.String() != c.oats || r.Line(3).Amount.String() != c.jam) {
			t.Errorf("%s: %s and %s\n%s", c.why, r.Line(2).Amount, r.Line(3).Amount, dump(r))
		}
	}
}

// TestOwnPrintIsNoVote: what is like the receipt's own is kept apart from what engines read,
// so that it counts once and its digits stay known.
func TestOwnPrintIsNoVote(t *testing.T) {
	own := readingOf("OATS 4.20", 0)
	own.Own = true
	all := mergeReadings([]ocr.Reading{readingOf("OATS 4.20", 0)}, []ocr.Reading{own, readingOf("OATS 4.20", 0)})
	if len(all) != 2 || all[0].Own || !all[1].Own || all[0].Votes != 6 || all[1].Votes != 3 {
		t.Errorf("%+v", all)
	}
}

// TestOtherUnits: what another reading of the units makes of the price is as likely as what
// the first does, where it was read as the amount.
func TestOtherUnits(t *testing.T) {
	r := parsePhoto("HARBOR LANE\nEGGS 98.28 #2 | EGGS 22.45 #1\n65 @ 4.49 #2 | 5 @ 4.49 #1\nTEA 2.00\nTOTAL 24.45\nCARD 24.45")
	if l := r.Line(2); l.Amount.String() != "22.45" || !r.Firm {
		t.Errorf("%s, firm %v\n%s", l.Amount, r.Firm, dump(r))
	}
}

// TestLookedAtAnew: what a line shows in a second look may make it another kind, as a tender that
// is told again.
func TestLookedAtAnew(t *testing.T) {
	page := photo("HARBOR LANE\nOATS 40.00\nJAM 13.67\nTOTAL 53.67\nCARD PAYMENT 53.67\nTOTAL PAID $3.67~0.5\nCHANGE 0.00")
	r := Parse([]ocr.Page{page}, Options{Again: func(l ocr.Line) []ocr.Reading {
		if strings.HasPrefix(l.Text(), "TOTAL PAID") {
			return []ocr.Reading{readingOf("TOTAL PAID 53.67 #7", l.Box.Y)}
		}
		return nil
	}})
	if l := r.Line(6); !r.Firm || l.Kind != LineOther || len(r.Tenders) != 1 {
		t.Errorf("firm %v, %s\n%s", r.Firm, l.Kind, dump(r))
	}
}
