package blackout

import (
	"fmt"
	"strings"
	"testing"
	"unicode"

	"tillproof/ocr"
	"tillproof/parse"

	"pgregory.net/rapid"
)

func TestText(t *testing.T) {
	for _, c := range []struct {
		in, want string
		keep     []string
	}{
		// The form of a receipt in the Federal Trade Commission's business alert of
		// May 2007 on 15 U.S.C. 1681c(g): the last digits may stay.
		{in: "ACCT: *12345", want: "ACCT: ██2345"},
		// Test numbers that pass the check of ISO/IEC 7812-1 Annex B.
		{in: "CARD 4111111111111111 EXP 09/27", want: "CARD ████████████1111 EXP 09/27"},
		{in: "4012 8888 8888 1881", want: "████ ████ ████ 1881"},
		{in: "3782-822463-10005", want: "█████████████0005"},
		{in: "ACCT ************7092", want: "ACCT ████████████7092"},
		{in: "VISIBLE 4111XXXXXXXXXXXX", want: "VISIBLE ████████████████"},
		{in: "MEMBER 60123", want: "MEMBER █0123"},
		{in: "LOYALTY No 4O1288888l881", want: "LOYALTY No █████████████"}, // misread digits: nothing certain stays
		{in: "CARD 30.89", want: "CARD 30.89"},
		{in: "CARD ****1234 30.89", want: "CARD ████1234 30.89"},
		{in: "TEL 555-0132", want: "TEL ████████"},
		{in: "Tel: (555) 010-0132", want: "Tel: █████ ████████"},
		{in: "555 010 0132", want: "███ ███ ████"},
		{in: "555-0132", want: "████████"},
		{in: "(555-0132)", want: "██████████"},
		{in: "STORE 6532 REG 04 CASHIER Tilda", want: "STORE 6532 REG 04 CASHIER Tilda"},
		{in: "06/13/26 10:20 TRANS 4850", want: "06/13/26 10:20 TRANS 4850"},
		{in: "13.06.2026 10:20:37", want: "13.06.2026 10:20:37"},
		{in: "receipt of 2026-06-13, 10:18, transaction 3731", want: "receipt of 2026-06-13, 10:18, transaction 3731"},
		{in: "ACCT smcic*7092", want: "ACCT ██████7092"}, // masks that were read as letters
		{in: "ACCT smcic*17092", want: "ACCT ███████7092"},
		{in: "2 @ 6.49 12.98 F", want: "2 @ 6.49 12.98 F"},
		{in: "TRANS 20260613017", want: "TRANS 20260613017", keep: []string{"20260613017"}},
		{in: "OATS 0812345001235 4.29", want: "OATS 0812345001235 4.29", keep: []string{"0812345001235"}},
		{in: "OATS 0812345001235 4.29", want: "OATS █████████1235 4.29"},
		{in: "APP 20% QUARROW PENN 0.72-F", want: "APP 20% QUARROW PENN 0.72-F"},
	} {
		if got := Text(c.in, c.keep...); got != c.want {
			t.Errorf("%q: %q, want %q", c.in, got, c.want)
		}
	}
}

// Whatever stands around it, of a card number no more than four digits stay.
func TestNoLongNumberStays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := ""
		for i := range rapid.IntRange(3, 5).Draw(t, "groups") { // cards are printed in groups of three to six
			if i > 0 {
				number += rapid.SampledFrom([]string{"", " ", "-", "."}).Draw(t, "by")
			}
			for range rapid.IntRange(3, 6).Draw(t, "digits") {
				number += string(rune('0' + rapid.IntRange(0, 9).Draw(t, "digit")))
			}
		}
		before := rapid.SampledFrom([]string{"", "CARD ", "ACCT:", "PURCHASE ", "AUTH OK ", "#"}).Draw(t, "before")
		after := rapid.SampledFrom([]string{"", " APPROVED", "  12.98", " EXP"}).Draw(t, "after")
		got := Text(before + number + after)
		left := 0
		for _, c := range strings.TrimSuffix(got, after) {
			if unicode.IsDigit(c) {
				left++
			}
		}
		if left > 4 {
			t.Fatalf("%q became %q", before+number+after, got)
		}
	})
}

func TestReceiptKeepsWhatProves(t *testing.T) {
	r := &parse.Receipt{Transaction: "77310045", Lines: []parse.Line{
		{N: 1, Kind: parse.LineOther, Text: "TRANS 77310045 TEL 555-0132"},
		{N: 2, Kind: parse.LineItem, Text: "0812345001235 OATS 4.29", Name: "OATS", Code: "0812345001235"},
		{N: 3, Kind: parse.LineTender, Text: "CARD 4111111111111111 4.29", Code: "4111111111111111"},
	}, Messages: []string{"MEMBER 123456789 THANK YOU"}}
	got := Receipt(r)
	want := []string{"TRANS 77310045 TEL ████████", "0812345001235 OATS 4.29", "CARD ████████████1111 4.29"}
	for i, w := range want {
		if got.Lines[i].Text != w {
			t.Errorf("line %d: %q, want %q", i+1, got.Lines[i].Text, w)
		}
	}
	if got.Lines[1].Code == "" || got.Lines[2].Code != "" || got.Messages[0] != "MEMBER █████6789 THANK YOU" {
		t.Errorf("%+v", got)
	}
	if r.Lines[2].Text != "CARD 4111111111111111 4.29" {
		t.Error("the receipt itself was changed")
	}
}

func TestBoxesHideAllButTheLastFour(t *testing.T) {
	line := ocr.Line{Box: ocr.Box{X: 0, Y: 0, W: 400, H: 20}, Readings: []ocr.Reading{{Words: []ocr.Word{
		{Text: "CARD", Box: ocr.Box{X: 0, Y: 0, W: 80, H: 20}},
		{Text: "4111111111111111", Box: ocr.Box{X: 100, Y: 0, W: 160, H: 20}},
	}}}}
	unread := ocr.Line{Box: ocr.Box{X: 0, Y: 40, W: 400, H: 20}}
	got := Boxes(&parse.Receipt{}, 1, []ocr.Line{line, unread})
	// Twelve of sixteen characters of 10 pixels, and a third of one more at each end.
	want := []ocr.Box{{X: 97, Y: -2, W: 127, H: 25}, {X: 0, Y: 40, W: 400, H: 20}}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("%v, want %v", got, want)
	}
	// Of sixteen characters ten were read, so that each seems wider: what is
	// shown is no wider than four characters of the word beside it.
	short := line
	short.Readings = []ocr.Reading{{Words: []ocr.Word{
		{Text: "CARD", Box: ocr.Box{X: 0, Y: 0, W: 40, H: 20}}, {Text: "ACCOUNT", Box: ocr.Box{X: 50, Y: 0, W: 70, H: 20}},
		{Text: "4111111111", Box: ocr.Box{X: 130, Y: 0, W: 160, H: 20}},
	}}}
	if got := Boxes(&parse.Receipt{}, 1, []ocr.Line{short}); len(got) != 1 || got[0].X+got[0].W < 130+160-40 {
		t.Errorf("%v shows more than 40 pixels of a word that ends at 290", got)
	}
	// Read once and not another time: what was read decides.
	again := line
	again.Readings = nil
	if got := Boxes(&parse.Receipt{}, 1, []ocr.Line{line, again}); len(got) != 1 {
		t.Errorf("%v", got)
	}
}

// On paper that lies aslant the box of a line reaches over its neighbours: each
// line's own product code stays all the same.
func TestCodesStayOnSlantingPaper(t *testing.T) {
	var r parse.Receipt
	var lines []ocr.Line
	for i, code := range []string{"0384975156376", "0044360890758", "0048771523670"} {
		box := parse.Box{10, 35 * i, 600, 147}
		r.Lines = append(r.Lines, parse.Line{N: i + 1, Photo: 1, Kind: parse.LineItem, Code: code, Box: &box})
		lines = append(lines, ocr.Line{Box: ocr.Box{X: box[0], Y: box[1], W: box[2], H: box[3]}, Readings: []ocr.Reading{{Words: []ocr.Word{{Text: code, Box: ocr.Box{X: 300, Y: 35 * i, W: 200, H: 40}}}}}})
	}
	if got := Boxes(&r, 1, lines); len(got) != 0 {
		t.Errorf("%v hides product codes", got)
	}
	lines[1].Readings[0].Words[0].Text = "4111111111111111"
	if got := Boxes(&r, 1, lines); len(got) != 1 {
		t.Errorf("%v for the number of a card", got)
	}
}
