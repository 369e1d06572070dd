package parse

import (
	"strings"
	"testing"
)

// TestWhatSumsImply has photos on which the sums, or the line itself, say what a line is whose
// amount, sign or word was misread. The forms are common practice, no source.
func TestWhatSumsImply(t *testing.T) {
	for _, c := range []repairCase{
		{"a total that no look saw, which both sums want", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 8.08
TAX 0.50
BALANCE 00.30 #2 | BALANCE 00.20 #2
CASH 10.00
CHANGE 1.42`,
			map[int]string{6: "8.58 repaired", 7: "10.00 proved"}, true},
		{"the same, but all looks agree on it", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 8.08
TAX 0.50
BALANCE 6.31 #9
CASH 10.00
CHANGE 1.42`,
			map[int]string{6: "6.31 doubtful"}, false},
		{"a total of which the word and the units were read", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 8.08
CPN OATS -1.00
TOTAL 7
PAYMENT 7.08`,
			map[int]string{6: "7.08 repaired", 7: "7.08 proved"}, true},
		{"the same, but the units are others", `
HARBOR LANE
OATS 4.29
JAM 3.79
SUBTOTAL 8.08
CPN OATS -1.00
TOTAL 9
PAYMENT 7.08`,
			map[int]string{6: "<nil> "}, false},
		{"a colon for a point, where no time is told", `
HARBOR LANE
OATS 4.29
JAM 3.79
TOTAL 8.08
CASH 100:00
CHANGE 91.92`,
			map[int]string{5: "100.00 proved", 6: "91.92 proved"}, true},
		{"what was paid is told again, a digit misread", `
HARBOR LANE
OATS 24.29
JAM 3.79
TOTAL 28.08
CARD 28.05{28.08:1.0}
TOTAL PAID 28.08
CHANGE 0.00`,
			map[int]string{5: "28.08 repaired"}, true},
		{"two cards pay half each", `
HARBOR LANE
OATS 24.21
JAM 3.79
TOTAL 28.00
CARD 14.00
CARD 14.00`,
			map[int]string{5: "14.00 proved", 6: "14.00 proved"}, true},
		{"what is left of the total below it was paid", `
HARBOR LANE
OATS 24.29
JAM 3.79
TOTAL 28.08
CS08,08~0.5`,
			map[int]string{5: "28.08 repaired"}, true},
		{"the line says itself what is off", `
HARBOR LANE
OATS 4.29
JAM 9.79
CPN OATS 0.40 OFF -6.40 #2 | CPN OATS 0.40 OFF -0.40 #2
DEAL JAM -7.30 #2 | DEAL JAM -1.30 #2
TOTAL 6.38
CARD 6.38`,
			map[int]string{4: "-0.40 repaired", 5: "-7.30 proved"}, true},
		{"a minus before goods that were weighed is dirt", `
HARBOR LANE
RED APPLES -2.91
1.82 LB AT 1.60 PER LB
JAM 9.79
TOTAL 12.70
CARD 12.70`,
			map[int]string{2: "2.91 repaired"}, true},
		{"an amount cut off, which units and price below it have", `
HARBOR LANE
OATS $22.1
6 @ $3.69 ea
JAM 9.79
TOTAL 31.93
CARD 31.93`,
			map[int]string{2: "22.14 proved"}, true},
		{"the same, but they have others", `
HARBOR LANE
OATS $22.1
6 @ $3.89 ea
JAM 9.79
TOTAL 31.93
CARD 31.93`,
			map[int]string{2: "<nil> ", 4: "9.79 doubtful"}, false},
		{"a total told twice above coupons was not paid", `
HARBOR LANE
OATS 5.00
JAM 10.00
DEAL JAM 1.00-
Total 14.00
al 14.00
re coupon Oats 1.90-
r. coupon Jam 2.90-
lance owing 9.20
bit 9.20`,
			map[int]string{5: "14.00 proved", 7: "-1.90 proved", 8: "-2.90 proved", 9: "9.20 proved", 10: "9.20 proved"}, true},
		{"nor surely one above an amount taken off in words that nobody knows", `
HARBOR LANE
OATS 5.00
JAM 10.00
DEAL JAM 1.00-
Total 14.00
al 14.00
store 1.90-
lance owing 12.50
hange 0.00
THANK YOU`,
			map[int]string{5: "14.00 proved"}, false},
		{"the number of a tax read into its amount", `
HARBOR LANE
OATS 5.00
BEANS .80
JAM 3.00
SUBTOTAL 8.80
6.25% TAX 1.31
TOTAL 9.11
CASH 9.11
CHANGE .00`,
			map[int]string{6: "0.31 repaired"}, true},
		{"the same, where nothing is printed without units", `
HARBOR LANE
OATS 5.00
BEANS 0.80
JAM 3.00
SUBTOTAL 8.80
6.25% TAX 1.31
TOTAL 9.11
CASH 9.11`,
			map[int]string{6: "1.31 doubtful"}, false},
		{"minus and point of what is off are one dash", `
HARBOR LANE
OATS 5.00
JAM 10.00
0.95 OFF x2 1-90
TOTAL 13.10
CARD 13.10`,
			map[int]string{4: "-1.90 proved"}, true},
		{"a bracket read as a nought", `
HARBOR LANE
OATS 5.00
JAM 10.00
Sale discount (1.00)
BEANS 2.00
Sale discount (0.30)
BUTTER 2.00
Sale discount (0.40)
SUBTOTAL 17.30
Mfr coupon no. 13399
  fot Jam 00.20)
for Jam - temoved 0.20
TOTAL 17.30
CARD 17.30`,
			map[int]string{11: "-0.20 proved", 12: "0.20 proved"}, true},
		{"brackets of which the first is read as a digit, with a flag behind them", `
HARBOR LANE
OATS 5.00 T
Discount 1.50 OFF 61.50)T
You pay3.50
JAM 10.00 T
Sale discount 00.30)T
BUTTER 2.00 T
Sale discount (0.40)T
BEANS 2.00 T
Sale discount (10.20)T
SUBTOTAL 16.60
Mfr coupon no. 13399
  for Jam (0.20)T
TOTAL 16.40
CARD 16.40`,
			map[int]string{3: "-1.50 proved", 4: "3.50 doubtful", 6: "-0.30 proved", 10: "-0.20 repaired", 13: "-0.20 proved"}, true},
		{"a first bracket that was not seen at all", `
HARBOR LANE
OATS 25.00
Sale discount 12.50)
JAM 10.00
Sale discount (0.30)
BUTTER 2.00
Sale discount (0.40)
TOTAL 23.80
CARD 23.80`,
			map[int]string{3: "-12.50 repaired"}, true},
		{"dirt between minus and currency sign", `
HARBOR LANE
OATS $25.00
DEAL 25% -6$1.04
JAM
2 @ 5.00 $10.00
SOFT ROLLS
TOTAL $33.96
CARD $33.96`,
			map[int]string{3: "-1.04 proved"}, true},
		{"a line that says what others say, letters misread", `
HARBOR LANE
OATS 21.88
MARKED DOWN FROM 23.25
JAM 6.44
MARXKED: OOWN FROM 8.59
TOTAL 28.32
CARD 28.32`,
			map[int]string{5: "8.59 read"}, true},
		{"the middle of FOR misread, and a point read as two", `
HARBOR LANE
OATS 9.78
3 AT 1 FDR 3.26
JAM 4.:25
TOTAL 14.03
CARD 14.03`,
			map[int]string{3: "<nil> ", 4: "4.25 proved"}, true},
		{"a digit at the front seen twice", `
HARBOR LANE
OATS 14.29
JAM 99.79
TOTAL 24.08
CARD 24.08`,
			map[int]string{3: "9.79 repaired"}, true},
	} {
		t.Run(c.why, func(t *testing.T) { c.check(t) })
	}
}

// TestNoGoodsLost: beside one repaired amount a line without an amount keeps a photo open, for
// it may be goods whose amount was not read; not where its words say that it is none, or where
// a reading shows the repaired amount as it is.
func TestNoGoodsLost(t *testing.T) {
	const goods, foot = "HARBOR LANE\nOATS 4.23{4.29:0.8}\n", "JAM 3.79\nSUBTOTAL 8.08\nTOTAL 8.08\nCARD 8.08"
	for line, firm := range map[string]bool{
		"FROZEN PEAS":           false,
		"PRODUCE/DELI":          true,
		"Dairy & Frozen":        true,
		"UPC 046670862814":      true,
		"PEAS 046670862814":     false,
		"SUBTOTAL":              true,
		"DELI SALAD":            false,
		"PRODUCE\nPRODUCE 0.00": false, // the till rings goods by department
	} {
		if r := parsePhoto(goods + line + "\n" + foot); r.Firm != firm {
			t.Errorf("%q: firm is %v, want %v\n%s", line, r.Firm, firm, dump(r))
		}
	}
	if r := parsePhoto("HARBOR LANE\nOATS 4.23 #3 | OATS 4.29 #3\nFROZEN PEAS\n" + foot); !r.Firm {
		t.Errorf("seen by a reading: not firm\n%s", dump(r))
	}
	for row, firm := range map[string]bool{
		"OATS TWO KINDS\n2 @ 1.20 2.40": true, // the quantity below it has its amount
		"OATS TWO KINDS\nTEA 2.40":      false,
		"CPN -0.60\non Bananas":         true,
		"TEA 2.40\non Bananas":          false,
		"Coupons applied:\nCPN -0.60":   true,
		"Coupons applied:\nTEA 2.40":    false, // the coupon beneath it may be lost
	} {
		total := "10.48"
		if strings.Contains(row, "-0.60") {
			total = "7.48"
		}
		r := parsePhoto("HARBOR LANE\nOATS 4.23{4.29:0.8}\nJAM 3.79\n" + row + "\nTOTAL " + total + "\nCARD " + total)
		if r.Firm != firm {
			t.Errorf("%q: firm is %v, want %v\n%s", row, r.Firm, firm, dump(r))
		}
	}
	for foot, firm := range map[string]bool{
		"SUBTOTAL 8.03{8.08:0.8}\nTAX 0.50\nTOTAL 8.58\nCARD 8.58":           true, // both sums want it so
		"SUBTOTAL 8.03{8.08:0.8}\nTAX 0.53{0.50:0.8}\nTOTAL 8.58\nCARD 8.58": false,
	} {
		if r := parsePhoto("HARBOR LANE\nOATS 4.29\nFROZEN PEAS\nJAM 3.79\n" + foot); r.Firm != firm {
			t.Errorf("%q: firm is %v, want %v\n%s", foot, r.Firm, firm, dump(r))
		}
	}
	const coupons = "Mfr coupon no. 88817\nfor OATS 250g -0.35\nMfr coupon no. 28831\nfor JAM 1kg -0.60\n"
	if r := parsePhoto("HARBOR LANE\nOATS 4.29\nJAM 3.79\nSubtotal 8.08\n" + coupons + "TOTAL 7.13{7.18:1.0}\nCARD 7.13"); !r.Firm {
		t.Errorf("coupons in two lines: not firm\n%s", dump(r))
	}
	if r := parsePhoto("HARBOR LANE\nOATS 4.23{4.29:0.8}\nJAM 3.79\nMfr coupon no. 88817\nfor OATS 250g -0.35\nMfr coupon no. 28831\nfor JAM 1kg -0.60\nTOTAL 7.13\nCARD 7.13"); !r.Firm {
		t.Errorf("coupons in two lines among the goods: not firm\n%s", dump(r))
	}
}

// TestTaxByItsShare: a line of the sums of a photo that is just the share of an amount that it
// names is the tax, although letters of its words were misread.
func TestTaxByItsShare(t *testing.T) {
	for line, want := range map[string]LineKind{"T Tqx 5.5% on 58.08 3.19": LineTax, "T Tqx 5.5% on 58.08 3.89": LineFee} {
		total := "61.27"
		if want == LineFee {
			total = "61.97"
		}
		r := parsePhoto("HARBOR LANE\nOATS 48.29\nJAM 9.79\nSUBTOTAL 58.08\n" + line + "{3.80:1.0}\nTOTAL " + total + "\nCARD " + total)
		if got := r.Line(5).Kind; got != want {
			t.Errorf("%q: %s, want %s\n%s", line, got, want, dump(r))
		}
	}
}
