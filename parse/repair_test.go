package parse

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"tillproof/ocr"
)

// repairCase is a photo; want lists amount and proof by line, from 1.
type repairCase struct {
	why, photo string
	want       map[int]string
	firm       bool
}

var repairCases = []repairCase{
	{"another reading makes the sum work out", `
HARBOR LANE
OATS 4.23 #2 | OATS 4.29 #1
JAM 3.79
TOTAL 8.08
CARD 8.08`,
		map[int]string{2: "4.29 repaired", 3: "3.79 proved", 4: "8.08 proved", 5: "8.08 proved"}, true},
	{"a runner-up of one word does", `
HARBOR LANE
OATS 4.23{4.28:0.8,4.29:1.5}
JAM 3.79
TOTAL 8.08
CARD 8.08`,
		map[int]string{2: "4.29 repaired", 3: "3.79 proved"}, true},
	{"two amounts could be it, as likely: neither is believed", `
HARBOR LANE
OATS 4.23{4.29:1.0}
JAM 3.73{3.79:1.2}
TEA 2.00
TOTAL 10.02
CARD 10.02`,
		map[int]string{2: "4.29 doubtful", 3: "3.73 doubtful", 4: "2.00 proved", 5: "10.02 proved"}, false},
	{"one of two is far likelier", `
HARBOR LANE
OATS 4.23{4.29:1.0}
JAM 3.73{3.79:6.0}
TOTAL 8.02
CARD 8.02`,
		map[int]string{2: "4.29 repaired", 3: "3.73 proved"}, true},
	{"nothing but a look-alike would do: a lost line is as likely", `
HARBOR LANE
OATS 4.29
JAM 3.79
TEA 1.99
TOTAL 11.07
CARD 11.07`,
		map[int]string{2: "4.29 doubtful", 3: "3.79 doubtful", 4: "1.99 doubtful", 5: "11.07 proved"}, false},
	{"a look-alike of a statement, which the sums on both sides want", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 3.08~0.6
TAX 0.50
TOTAL 8.58
CARD 8.58`,
		map[int]string{2: "4.29 proved", 4: "8.08 repaired", 5: "0.50 proved"}, true},
	{"beside a repair, a line whose own amount may be lost keeps all open", `
HARBOR LANE
OATS 4.29
JAM 3.79
MATURE CHEDDAR
SUBTOTAL 3.08~0.6
TAX 0.50
TOTAL 8.58
CARD 8.58`,
		map[int]string{2: "4.29 proved", 5: "8.08 repaired", 6: "0.50 proved"}, false},
	{"a subtotal that no reading fits is left out, where the sum across it works out", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 77.41~0.6
TAX 0.50
TOTAL 8.58
CARD 8.58`,
		map[int]string{2: "4.29 proved", 4: "77.41 doubtful", 5: "0.50 proved", 6: "8.58 proved"}, true},
	{"quantity times unit price and the sum agree on what was not read", `
HARBOR LANE
OATS 12.81~0.6
3 @ 4.29
JAM 3.79
TOTAL 16.66
CARD 16.66`,
		map[int]string{2: "12.87 repaired", 4: "3.79 proved"}, true},
	{"an amount that all read alike and none otherwise was changed, not misread: its quantity", `
HARBOR LANE
OATS 12.81 #9
3 @ 4.29
JAM 3.79
TOTAL 16.66
CARD 16.66`,
		map[int]string{2: "12.81 doubtful", 5: "16.66 proved"}, false},
	{"the same of a subtotal, for which the sums on both sides want another", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 3.08 #9
TAX 0.50
TOTAL 8.58
CARD 8.58`,
		map[int]string{4: "3.08 doubtful", 6: "8.58 proved"}, false},
	{"the same of a subtotal that no reading fits", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 77.41 #9
TAX 0.50
TOTAL 8.58
CARD 8.58`,
		map[int]string{4: "77.41 doubtful", 6: "8.58 proved"}, false},
	{"where one in ten thousand speaks for it, it is changed all the same", `
HARBOR LANE
OATS 4.23{4.29:9.2} #9
JAM 3.79
TOTAL 8.08
CARD 8.08`,
		map[int]string{2: "4.23 doubtful", 4: "8.08 proved"}, false},
	{"a void that is only taken off below: such a subtotal is left out", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 8.08
VOID JAM -3.79
TAX 0.50
SUB W TAX 8.58 #9
TOTAL 4.79
CARD 4.79`,
		map[int]string{2: "4.29 proved", 5: "-3.79 proved", 7: "8.58 doubtful", 8: "4.79 proved"}, true},
	{"amounts with a space, a letter, a sign for a digit, two points", `
HARBOR LANE
OATS 12 .87
JAM 1O.99
TEA S2.49
SOUP $3. 00
SOAP 4..00
TOTAL 33.35
CARD 33.35`,
		map[int]string{2: "12.87 proved", 3: "10.99 proved", 4: "2.49 proved", 5: "3.00 proved", 6: "4.00 proved"}, true},
	{"the currency sign read as a digit, where amounts have one", `
HARBOR LANE
OATS $12.87
JAM $3.79
TEA 52.49
TOTAL $19.15
CARD $19.15`,
		map[int]string{4: "2.49 repaired", 5: "19.15 proved"}, true},
	{"the minus was lost in most readings", `
HARBOR LANE
OATS 4.29
BLUE OFFER X 1.00 #2 | BLUE OFFER X 1.00- #1
TOTAL 3.29
CARD 3.29`,
		map[int]string{3: "-1.00 repaired", 4: "3.29 proved"}, true},
	{"a line among the items was not read: not firm, although the sum works out", `
HARBOR LANE
OATS 4.29
?
JAM 3.79
TOTAL 8.08
CARD 8.08`,
		map[int]string{2: "4.29 proved", 4: "3.79 proved"}, false},
	{"readings that cancel out are rivals of what was read", `
HARBOR LANE
OATS 4.23 #2 | OATS 4.29 #1
JAM 3.79 #2 | JAM 3.73 #1
TOTAL 8.02
CARD 8.02`,
		map[int]string{2: "4.23 doubtful", 3: "3.79 doubtful", 4: "8.02 proved"}, false},
	{"a bill that ends with its total", `
The Lantern Room
1 Fish Soup 9.50
2 Lemonade 7.00
Subtotal 16.50
Tax 1.49
Total 17.99
Suggested Tip 18% 3.24
Thank you`,
		map[int]string{2: "9.50 proved", 6: "17.99 proved"}, true},
	{"below the total something was not read: coupons may stand there", `
The Lantern Room
1 Fish Soup 9.50
2 Lemonade 7.00
Total 16.50
?
Thank you`,
		map[int]string{2: "9.50 proved"}, false},
}

func (c *repairCase) check(t *testing.T) {
	r := parsePhoto(c.photo)
	for n, want := range c.want {
		if got := fmt.Sprint(r.Line(n).Amount, " ", r.Line(n).Proof); got != want {
			t.Errorf("line %d %q: %s, want %s", n, r.Line(n).Text, got, want)
		}
	}
	if r.FirmBody() != c.firm {
		t.Errorf("firm %v, want %v", r.FirmBody(), c.firm)
	}
	if t.Failed() {
		t.Log(dump(r))
	}
}

// TestRepair: what the sums make of misread amounts.
func TestRepair(t *testing.T) {
	for _, c := range slices.Concat(repairCases, misformedCases) {
		t.Run(c.why, func(t *testing.T) { c.check(t) })
	}
}

// A reward is in no sum: it is read only where nothing comes near.
func TestRewardsOnPhotos(t *testing.T) {
	const paid = `
HARBOR LANE
OATS 4.29
TOTAL 4.29
CARD 4.29
CHANGE 0.00
`
	for _, c := range []struct {
		line string
		want Proof
	}{
		{"GIFT CARD EARNED 4.00{9.00:5.1}", Read},
		{"GIFT CARD EARNED 4.00{9.00:1.1}", Doubtful},
		{"GIFT CARD EARNED 4.00~0.5", Doubtful},
		{"GIFT CARD EARNED 4.00 #2 | GIFT CARD EARNED 9.00 #1", Doubtful},
		{"YOU EARNED 3000{8000:0.7} POINTS", Doubtful},
	} {
		r := parsePhoto(paid + c.line)
		l := r.Line(len(r.Lines))
		if l.Kind != LineCredit || l.Proof != c.want {
			t.Errorf("%q: %s %s, want credit %s", c.line, l.Kind, l.Proof, c.want)
		}
	}
}

// The second look is asked for where a sum is open, and only there; what it
// sees counts as a reading.
func TestSecondLook(t *testing.T) {
	page := photo(`
HARBOR LANE
OATS 4.23
JAM 3.79
SUBTOTAL 8.08
TAX 0.50
TOTAL 8.58
CARD 8.58`)
	var asked []string
	r := Parse([]ocr.Page{page}, Options{Again: func(l ocr.Line) []ocr.Reading {
		asked = append(asked, l.Text())
		if strings.HasPrefix(l.Text(), "OATS") {
			return []ocr.Reading{readingOf("OATS 4.29 #2", l.Box.Y)}
		}
		return nil
	}})
	if l := r.Line(2); l.Proof != Repaired || l.Amount.String() != "4.29" || !r.FirmBody() {
		t.Errorf("%v %s, firm %v", l.Amount, l.Proof, r.FirmBody())
	}
	if got := strings.Join(asked, "; "); got != "OATS 4.23; JAM 3.79; SUBTOTAL 8.08" {
		t.Errorf("asked about %s", got)
	}
}

// However many readings there are, the search ends soon, and says where it was
// cut short.
func TestSearchIsBounded(t *testing.T) {
	var b strings.Builder
	b.WriteString("HARBOR LANE\n")
	for i := range 900 {
		fmt.Fprintf(&b, "THING %c %d.%02d{%d.%02d:0.2,%d.%02d:0.3,%d.%02d:0.4,%d.%02d:0.5}~0.4\n", 'A'+i%26, i%9, i%100, i%8, i%100, i%9, (i+31)%100, i%7, (i+7)%100, i%5, (i+3)%100)
	}
	b.WriteString("TOTAL 97531.86\nCARD 97531.86")
	page := photo(b.String())
	start := time.Now()
	r := Parse([]ocr.Page{page}, Options{})
	if took := time.Since(start); took > 10*time.Second { // unbounded it takes days
		t.Errorf("took %v", took)
	}
	if r.FirmBody() {
		t.Error("firm")
	}
	if !strings.Contains(strings.Join(r.Warnings, "\n"), "cut short") {
		t.Errorf("no warning: %q", r.Warnings)
	}
}

// TestCutCoupon: a coupon below the subtotal of which the first words and the minus were not
// seen is a deduction where the sums take it off, and no charge.
func TestCutCoupon(t *testing.T) {
	r := parsePhoto(`
HARBOR LANE
OATS 4.29 F
JAM 3.79 F
TEA 5.49 F
SUBTOTAL 13.57
MFR CPN 29557 OATS 1.15-F
STORE CPN 72987 JAM 0.45-F
PN 72987 JAM 0.45 T #2 | TN 72987 JAM 0.45-F #1
STORE CPN 72987 JAM 0.45-F
TOTAL 11.07
CARD 11.07
`)
	for n, kind := range map[int]LineKind{6: LineDeduction, 8: LineDeduction} {
		if l := r.Line(n); l.Kind != kind || l.Amount == nil || l.Amount.Sign() > 0 || !l.Proof.Firm() {
			t.Errorf("line %d is %s, want %s taken off\n%s", n, l.Kind, kind, dump(r))
		}
	}
}

// TestCreditLikeTotal: a credit for the next trip whose amount ends as the total does was not
// paid with, where what was paid was not seen.
func TestCreditLikeTotal(t *testing.T) {
	page := TextPage("Osterley Ford Stores\nTicket 2787 Sep 20, 2026\n--------------------\nWICK CORN FLAK 500 G          4.00 Nt\nPELL TUNA IN BRIN 160 G      30.31 Nt\n--------------------\nMerchandise                 $34.31\n" +
		"Amount due                  $34.31\n--------------------\nChip read  Auth 004421\nTotal units sold: 2\nToday you kept in your pocket: 12.22\n--------------------\nOn your next visit:\n   store credit               4.31\n--------------------\nThanks for shopping\n")
	page.Text = false
	r := Parse([]ocr.Page{page}, Options{})
	for i := range r.Lines {
		if l := &r.Lines[i]; l.Kind == LineTender && l.Proof.Firm() {
			t.Errorf("paid with %s\n%s", l.Text, dump(r))
		}
	}
}

// TestSecondLookAtRewards: what a reward is worth is in no sum, and a second look that is sure of
// it makes it read; one that sees another amount does not.
func TestSecondLookAtRewards(t *testing.T) {
	for _, c := range []struct {
		again string
		want  Proof
	}{
		{"GIFT CARD EARNED 2.00 #1", Read},
		{"GIFT CARD EARNED 2.00{2.60:0.7} #1", Doubtful},
		{"GIFT CARD EARNED 2.60 #1", Doubtful},
		{"", Doubtful},
	} {
		page := photo("HARBOR LANE\nOATS 4.23\nTOTAL 4.23\nCARD 4.23\nGIFT CARD EARNED 2.00{2.60:0.7}\nTHANK YOU")
		r := Parse([]ocr.Page{page}, Options{Again: func(l ocr.Line) []ocr.Reading {
			if c.again == "" || !strings.HasPrefix(l.Text(), "GIFT") {
				return nil
			}
			return []ocr.Reading{readingOf(c.again, l.Box.Y)}
		}})
		if l := r.Line(5); l.Kind != LineCredit || l.Proof != c.want || l.Amount.String() != "2.00" {
			t.Errorf("%q: %s %v %s, want 2.00 %s", c.again, l.Kind, l.Amount, l.Proof, c.want)
		}
	}
}
