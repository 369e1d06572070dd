package parse

import (
	"strings"
	"testing"

	"tillproof/ocr"
)

// TestMisreadLineEnds: what departs from how the receipt prints its amounts was misread, and
// the sums say how. The forms are common practice, no source.
func TestMisreadLineEnds(t *testing.T) {
	const (
		behind = "TALLOW YARD\nOATS      4.09 E\nCPN OATS 1.00-E\nJAM      3.79 E\nCPN JAM  0.50-E\nTEA      5.49 E\nCPN TEA  0.25-E\n"
		before = "TALLOW YARD\nOATS      T 4.09\nJAM       T 3.79\nTEA       T 5.49\n"
		rounds = "TALLOW YARD\nOATS      4.09\nCPN OATS  (1.00)\nJAM      3.79\nCPN JAM   (0.50)\nTEA      5.49\nCPN TEA  (0.25)\n"
		tiny   = "TALLOW YARD\nOATS      4.09F\nCPN OATS  -.50F\nJAM       3.79F\nCPN JAM   -.25F\n"
	)
	for _, c := range []struct{ head, line, amount, total string }{
		{behind, "CPN TEA 69-E", "-0.69", "10.93"}, // its nought and point were not seen
		{behind, "BEANS -8.94E", "8.94", "20.56"},  // a speck before it
		{behind, "BEANS >447 E", "4.47", "16.09"},  // its point was not seen
		{behind, "BEANS >4 47E", "4.47", "16.09"},
		{behind, "BEANS >4:47E", "4.47", "16.09"},
		{behind, "BEANS 4-041667346940.4.47 E", "", "11.62"},
		{behind, "BEANS 041667346940.4.47 E", "4.47", "16.09"}, // its code stands right before it
		{behind, "BEANS ...:.4.47 E", "4.47", "16.09"},         // dots lead up to it
		{behind, "BEANS .4.47 E", "4.47", "16.09"},
		{behind, "BEANS 500 G.4.47", "4.47", "16.09"},
		{behind, "3 BEANS 1.494.47", "4.47", "16.09"}, // the price for each
		{behind, "BEANS 1.4.47 E", "14.47", "26.09"},  // a point too many
		{behind, "CPN TEA 09.27-E", "-0.27", "11.35"}, // no till prints two digits there
		{before, "BEANS     T 447", "4.47", "17.84"},
		{tiny, "CPN TEA -7OF", "-0.70", "6.43"},
		{tiny, "BEANS 7OF", "0.70", "7.83"},
		{tiny, "CPN TEA -,70F", "-0.70", "6.43"},
		{behind, "CPN TEA 169-E", "-1.69", "9.93"}, // its point was not seen
		{behind, "CPN TEA _169-E", "-1.69", "9.93"},
		{rounds, "CPN TEA (0.69", "-0.69", "10.93"}, // a bracket was not seen
		{rounds, "5.5% TAX1 69", "0.69", "12.31"},
		{behind, "SLS TAX 7% OF 9.85", "0.69", "12.31"}, // what is taxed; its own amount was not seen
		{behind, "SLS TAX 7% OF 9.85", "", "12.41"},
		{behind, "BEANS 415", "", "11.62"}, // part of a name
	} {
		r := Parse([]ocr.Page{columned(photo(c.head + c.line + "\nTOTAL " + c.total + "\nCARD " + c.total + "\n"))}, Options{})
		l := &r.Lines[strings.Count(c.head, "\n")]
		got := ""
		if l.Amount != nil && l.Proof.Firm() {
			got = l.Amount.String()
		}
		if got != c.amount || c.amount != "" && !r.Firm {
			t.Errorf("%q: %q %s, firm %v, want %q\n%s", c.line, got, l.Proof, r.Firm, c.amount, dump(r))
		}
	}
}

// columned moves the words from one that is marked with ">" on to the column of amounts.
func columned(page ocr.Page) ocr.Page {
	for i := range page.Lines {
		words, by := page.Lines[i].Readings[0].Words, 0
		for k := range words {
			if rest, ok := strings.CutPrefix(words[k].Text, ">"); ok {
				words[k].Text, by = rest, 300
			}
			words[k].Box.X += by
		}
	}
	return page
}

// TestMisreadQuantities: quantity lines of photos with a sign or a unit misread, told by
// their form, or by what they multiply to.
func TestMisreadQuantities(t *testing.T) {
	for _, c := range []struct{ line, amount, want string }{
		{"5 @ 2.70 EAA", "13.50", "5"},
		{"6 .at 3.89 each", "23.34", "6"},
		{"2 a# 1.89 each", "3.78", "2"},
		{"5 # 2 for 5.00", "12.50", "5"},
		{"4 @ 2 tor 5.00", "10.00", "4"},
		{"2 6? 3.20", "6.40", "2"}, // it multiplies to the amount above
		{"2 6? 3.20", "6.41", ""},
		{"2 6? 3.20", "6.60", "2"}, // or would, but for a digit
		{"2 6? 3.20", "8.60", ""},
		{"2 $3.20 #a", "6.40", "2"},
		{"2.0 3.20", "6.40", "2"}, // its sign is glued to the number
		{"2.@ 3.20", "6.40", "2"},
		{"2.0 3.20", "6.60", ""},
		{"0.54 kg @ 1.75 perkg", "0.95", "0.54"},
		{"1.08 LB @ 0.69 ALB", "0.75", "1.08"},
		{"0.371 kq x 10.20", "3.78", "0.371"},
		{"0.48 b at 1.89b", "0.91", "0.48"},
		{"0.48 lb at 1.89b", "0.91", "0.48"},
		{"2.59 kg @ 9.99KG", "25.87", "2.59"},
	} {
		r := parsePhoto("HARBOR LANE\nJAM 3.79\nOATS " + c.amount + "\n" + c.line + "\nTEA 5.49\nTOTAL 99.99\nCARD 99.99")
		if got := oatsOf(r); got != c.want {
			t.Errorf("%q: quantity %q, want %q\n%s", c.line, got, c.want, dump(r))
		}
	}
	if r := parsePhoto("HARBOR LANE\nTEA 5.49\nOATS 392/3.00 4.50\nJAM 3.79\nTOTAL 13.78\nCARD 13.78"); oatsOf(r) != "3" || !r.Firm {
		t.Errorf("an @ before a price of several read as a digit\n%s", dump(r))
	}
	for _, joined := range []string{"602.85", "642.85"} {
		r := parsePhoto("HARBOR LANE\nTEA 5.49\nOATS " + joined + " 17.10\nJAM 3.79\nTOTAL 26.38\nCARD 26.38")
		if got := oatsOf(r); got != "6" || !r.Firm {
			t.Errorf("an @ read as a digit: quantity %q, firm %v\n%s", got, r.Firm, dump(r))
		}
	}
	r := parsePhoto("HARBOR LANE\n5 * Tarnwick crisps 15.95\nJAM 3.79\nTOTAL 19.74\nCARD 19.74")
	if q := r.Lines[1].Quantity; q == nil || q.String() != "5" {
		t.Errorf("a star for the times sign: %s", dump(r))
	}
}

// TestMisreadSums: the lines of the sums on a photo of which a sign or a word was misread.
func TestMisreadSums(t *testing.T) {
	for _, c := range []struct {
		why, text string
		line      int
		want      LineKind
		amount    string
	}{
		{"a speck before a subtotal", "OATS 4.00\nTEA 6.00\nSUBTOTAL -10.00\nTOTAL 10.00\nCARD 10.00\n", 2, LineSubtotal, "10.00"},
		{"what was given back, its word misread", "OATS 4.00\nTEA 6.00\nTOTAL 10.00\nCASH 20.00\nYour chamge 10.00\n", 4, LineChange, "10.00"},
		{"the same, as another word", "OATS 4.00\nTEA 6.00\nTOTAL 10.00\nCASH 20.00\nChance 10.00\n", 4, LineChange, "10.00"},
		{"not what was given back", "OATS 4.00\nTEA 6.00\nTOTAL 10.00\nCASH 20.00\nYour chamge 9.00\n", 4, LineOther, ""},
		{"a subtotal, its word misread", "OATS 4.00\nTEA 6.00\nJAM 2.00\nSun afitens 12.00\nTOTAL 12.00\nCARD 12.00\n", 3, LineSubtotal, "12.00"},
		{"goods as dear as all above", "OATS 4.00 F\nTEA 6.00 F\nJAM 2.00 F\nHAM 12.00 F\nTOTAL 24.00\nCARD 24.00\n", 3, LineItem, "12.00"},
		{"its point not seen", "OATS 4.00\nTEA 6.00\nTOTAL 1000\nCARD 10.00\n", 2, LineTotal, "10.00"},
		{"the last digit of what was paid cut off", "OATS 4.00\nTEA 6.05\nTOTAL 10.05\nCARD 10.0\n", 3, LineTender, "10.05"},
		{"what is left to pay for some goods", "OATS 4.00\nCPN 1.00-\nCPN 0.50-\nYou pay 2.50\nTEA 6.00\nYou pay 6.00\nTOTAL 8.50\nCARD 8.50\n", 3, LineOther, "2.50"},
		{"the first digit of what was paid not seen", "OATS 4.00\nTEA 8.35\nTOTAL 12.35\nCARD 2.35~0.5\nCHANGE 0.00\n", 3, LineTender, "12.35"},
		{"what goods come to with the coupon above", "OATS 4.00\nTEA 6.00\nSUBTOTAL 10.00\nCPN OATS -1.00\n510620952868 FOR 3.00~0.6\nTOTAL 9.00\nCARD 9.00\n", 4, LineOther, ""},
		{"a currency sign read as a nought", "OATS $4.00\nTEA $6.00\nJAM 02.00\nTOTAL $12.00\nCARD $12.00\n", 2, LineItem, "2.00"},
		{"told when all is paid", "OATS 4.00\nTEA 6.00\nTOTAL 10.00\nCARD 10.00\nPaid this trip below regular price 8.40\n", 4, LineOther, ""},
		{"a currency sign read as another", "OATS $4.00\nTEA $6.00\nJAM $2.00\nTOTAL #12.00\nCARD $12.00\n", 3, LineTotal, "12.00"},
		{"a currency sign read as 4", "OATS $4.00\nTEA $6.00\nJAM 42.00\nTOTAL $12.00\nCARD $12.00\n", 2, LineItem, "2.00"},
	} {
		r := parsePhoto(c.text)
		l := &r.Lines[c.line]
		if l.Kind != c.want || c.amount != "" && (l.Amount == nil || l.Amount.String() != c.amount) {
			t.Errorf("%s: %s %v\n%s", c.why, l.Kind, l.Amount, dump(r))
		}
	}
}

// TestMostLooks: an amount that most looks have seen, the second ones counted, counts as
// read, and what stands beside it without an amount leaves nothing open.
func TestMostLooks(t *testing.T) {
	const text = "OATS 4.00\nfor oats of the week\nTEA %s\nTOTAL 10.00\nCARD 10.00\n"
	for _, c := range []struct {
		first string
		again string
		want  Proof
	}{
		{"16.00 #2 | 6.00 #1", "6.00 #4", Proved},
		{"16.00 #3 | 6.00 #1", "16.00 #3", Repaired},
	} {
		page := photo(strings.Replace(text, "%s", c.first, 1))
		r := Parse([]ocr.Page{page}, Options{Again: func(l ocr.Line) []ocr.Reading {
			if !strings.HasPrefix(l.Text(), "TEA") {
				return nil
			}
			return []ocr.Reading{readingOf("TEA "+c.again, l.Box.Y)}
		}})
		if got := r.Lines[2]; got.Proof != c.want || got.Amount == nil || got.Amount.String() != "6.00" {
			t.Errorf("%s, then %s: %v %s, want %s\n%s", c.first, c.again, got.Amount, got.Proof, c.want, dump(r))
		}
		// A page that is kept with what the second look showed makes the same receipt.
		tea := &page.Lines[2]
		tea.Readings = append(tea.Readings, readingOf("TEA "+c.again, tea.Box.Y))
		if kept := Parse([]ocr.Page{page}, Options{}); kept.Firm != r.Firm || dump(kept) != dump(r) {
			t.Errorf("kept:\n%s\nseen:\n%s", dump(kept), dump(r))
		}
	}
}

// TestRepairsThatMakeUpForLostGoods: a repair counts for nothing where the first goods lost
// their amount above it, nor do three in one sum.
func TestRepairsThatMakeUpForLostGoods(t *testing.T) {
	for _, c := range []struct {
		why, text string
		firm      bool
	}{
		{"one", "TALLOW YARD\nOATS 3.00 #2 | OATS 9.70 #1\nTEA 5.00\nTOTAL 14.70\nCARD 14.70\n", true},
		{"one beneath lost goods", "TALLOW YARD\nWATER 042992255730\n2 EA @ 3.35 6.7e M\nOATS 3.00 #2 | OATS 9.70 #1\nTEA 5.00\nTOTAL 14.70\nCARD 14.70\n", false},
		{"two", "TALLOW YARD\nOATS 3.00 #2 | OATS 3.10 #1\nTEA 5.00 #2 | TEA 5.20 #1\nJAM 2.00\nTOTAL 10.30\nCARD 10.30\n", true},
		{"three", "TALLOW YARD\nOATS 3.00 #2 | OATS 3.10 #1\nTEA 5.00 #2 | TEA 5.20 #1\nJAM 2.00 #2 | JAM 2.40 #1\nTOTAL 10.70\nCARD 10.70\n", false},
	} {
		if r := parsePhoto(c.text); r.Firm != c.firm {
			t.Errorf("%s: firm %v, want %v\n%s", c.why, r.Firm, c.firm, dump(r))
		}
	}
}

// TestUnitsOfDirt: where no nought is printed, units that each reading has otherwise may be dirt.
func TestUnitsOfDirt(t *testing.T) {
	for _, c := range []struct {
		line, want string
		firm       bool
	}{
		{"CPN TEA 4*1.33- | CPN TEA 31.33- | CPN TEA 331.33-", "-0.33", true},
		{"CPN TEA 1.33- | CPN TEA 1.33-", "-1.33", false},
	} {
		r := parsePhoto("TALLOW YARD\nOATS 4.00\nCPN OATS .50-\nTEA 3.00\nCPN JAM .25-\n" + c.line + "\nTOTAL 5.92\nCARD 5.92\n")
		if l := &r.Lines[5]; l.Amount == nil || l.Amount.String() != c.want || r.Firm != c.firm {
			t.Errorf("%s: %v %s, firm %v\n%s", c.line, l.Amount, l.Proof, r.Firm, dump(r))
		}
	}
}
