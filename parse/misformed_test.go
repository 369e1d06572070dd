package parse

import (
	"slices"
	"testing"
)

// misformedCases are photos with amounts in forms that no till prints.
var misformedCases = []repairCase{
	{"the point read before the digits", `
HARBOR LANE
OATS 24.29
JAM 3.79
*** BALANCE .2808
CASH 28.08
CHANGE 0.00`,
		map[int]string{2: "24.29 proved", 4: "28.08 proved", 5: "28.08 proved"}, true},
	{"a number that is not printed whole", `
HARBOR LANE
ustomer: Neighbor Rewards .8900
OATS 4.29
JAM 3.79
TOTAL 8.08
CARD 8.08`,
		map[int]string{2: "<nil> ", 5: "8.08 proved"}, true},
	{"a minus read as other strokes, where it stands before amounts", `
HARBOR LANE
OATS 4.29
CPN 4711 -1.00
JAM 3.79
CPN 4712 -0.50
CPN 4713 _=2.70
TOTAL 3.88
CARD 3.88`,
		map[int]string{6: "-2.70 proved", 7: "3.88 proved"}, true},
	{"a tax below one unit whose point was not seen, behind its rate", `
HARBOR LANE
OATS 12.69
TAX T 6% 2 #1 | TAX T 6% 12 #1 | TAX 6555.52~0.1 #1
TOTAL 12.81
CARD 12.81`,
		map[int]string{3: "0.12 proved", 4: "12.81 proved"}, true},
	{"an equals sign before what goods come to", `
HARBOR LANE
OATS 4.29
CPN 4711 -1.00
TEA 2 @ 1.35 =2.70
CPN 4712 -0.50
TOTAL 5.49
CARD 5.49`,
		map[int]string{4: "2.70 proved", 6: "5.49 proved"}, true},
	{"where minuses stand behind, such strokes are none", `
HARBOR LANE
OATS 4.29
CPN 4711 1.00-
JAM 3.79
CPN 4712 0.50-
TEA =2.70
TOTAL 9.28
CARD 9.28`,
		map[int]string{6: "2.70 proved", 7: "9.28 proved"}, true},
	{"a digit read twice", `
HARBOR LANE
OATS 4.29
JAM 3.79
TOTAL 8.08
CREDIT 8.088`,
		map[int]string{4: "8.08 proved", 5: "8.08 proved"}, true},
	{"minus and flag read as digits", `
HARBOR LANE
OATS 4.29 B
JAM 3.79 B
MFR COUPON 2.2248
TOTAL 5.86
CARD 5.86`,
		map[int]string{4: "-2.22 proved", 5: "5.86 proved"}, true},
	{"of three places the sum says which two", `
HARBOR LANE
OATS 4.29
JAM 3.759
TOTAL 8.08
CARD 8.08`,
		map[int]string{3: "3.79 repaired", 4: "8.08 proved"}, true},
	{"none of the three ways fits: nothing is made up", `
HARBOR LANE
OATS 4.29
JAM 3.759
TOTAL 9.08
CARD 9.08`,
		map[int]string{2: "4.29 doubtful", 4: "9.08 proved"}, false},
	{"the sign read as a digit, where only sums have one", `
HARBOR LANE
OATS 4.29
JAM 7.69
SUBTOTAL $11.98
TOTAL 1911.98
CASH 115.00
CHANGE $3.02`,
		map[int]string{4: "11.98 proved", 5: "11.98 repaired", 6: "15.00 repaired", 7: "3.02 proved"}, true},
	{"a digit read as the sign, where nothing has one", `
HARBOR LANE
OATS 44.29
JAM 10.73
TOTAL 55.02
CASH $6.00
CHANGE 0.98`,
		map[int]string{4: "55.02 proved", 5: "56.00 repaired", 6: "0.98 proved"}, true},
	{"a letter for the digit of a price for several, a sign for a letter of TOTAL", `
HARBOR LANE
OATS 13.20
2 EA @ l FOR 6.60
JAM 3.79
MFR COUPON 1.00-
COUPON TO[AL 1.00-
TOTAL 15.99
CARD 15.99`,
		map[int]string{2: "13.20 proved", 5: "-1.00 proved", 7: "15.99 proved"}, true},
	{"the minus of one of several lines was not seen", `
HARBOR LANE
OATS 4.29
INST SAVINGS /788 1.00-
JAM 3.79
INST SAVINGS /642 0.70
TOTAL 6.38
CARD 6.38`,
		map[int]string{3: "-1.00 proved", 5: "-0.70 proved", 6: "6.38 proved"}, true},
	{"the sum says that it was told", `
HARBOR LANE
OATS 4.29
INST SAVINGS /788 1.00-
JAM 3.79
INST SAVINGS /642 0.70
TOTAL 7.08
CARD 7.08`,
		map[int]string{5: "0.70 read", 6: "7.08 proved"}, true},
	{"what the coupons leave, a digit of it read as the sign", `
HARBOR LANE
OATS 44.29
JAM 13.79
SUBTOTAL 58.08
STORE COUPON -1.00
MFR COUPON -0.60
LESS COUPONS $6.48
TAX 1.00
TOTAL 57.48
CARD 57.48`,
		map[int]string{4: "58.08 proved", 7: "56.48 repaired", 9: "57.48 proved"}, true},
	{"a repair in another sum, a heading with its dashes and the card's slip cannot have lost what a repair makes up for", `
HARBOR LANE
OATS 4.29
JAM 3.79
--- INSTANT SAVINGS / COUPONS ---
BLUE OFFER 1.00-
SUBTOTAL 7.08
TAX 0.50
TOTAL 7.88 #2 | TOTAL 7.58 #1
CHIP READ
RESP: APPROVED
AMOUNT DUE 7.58
CARD 7.58`,
		map[int]string{5: "-1.00 proved", 8: "7.58 repaired", 11: "7.58 proved"}, true},
	{"dashes behind a name may be what is left of its amount", `
HARBOR LANE
OATS 4.29
MATURE CHEDDAR ---
JAM 3.79
TOTAL 8.88 #2 | TOTAL 8.08 #1
CARD 8.08`,
		map[int]string{5: "8.08 repaired"}, false},
	{"X is no word of a slip among goods", `
HARBOR LANE
OATS 4.29
MATURE CHEDDAR X
JAM 3.79
TOTAL 8.88 #2 | TOTAL 8.08 #1
CARD 8.08`,
		map[int]string{5: "8.08 repaired"}, false},
	{"what is taken back lost no minus", `
HARBOR LANE
OATS 4.29
MFG COUPON 03747 OATS -0.43
JAM 3.79
MFG COUPON 03748 JAM -0.50
** VOIDED ENTRY **
MFG COUPON 03748 JAM 0.50
TOTAL 7.65
CARD 7.65`,
		map[int]string{3: "-0.43 proved", 5: "-0.50 proved", 7: "0.50 proved", 8: "7.65 proved"}, true},
	{"a code and the amount without units behind it", `
HARBOR LANE
OATS 4.29
MFR 59680.25-
MFR 59681 .39-
JAM .79
TOTAL 4.44
CARD 4.44`,
		map[int]string{3: "-0.25 proved", 4: "-0.39 proved", 5: "0.79 proved"}, true},
	{"the point of amounts without units was not seen", `
HARBOR LANE
OATS 6@3 59 21.54
JAM .79
MFR 59681 .39-
25% GRAPES 71-
E-OFFER 20% OATS 88-
TOTAL 20.35
CARD 20.35`,
		map[int]string{2: "21.54 proved", 5: "-0.71 proved", 6: "-0.88 proved", 7: "20.35 proved"}, true},
	{"a deduction whose last digit was cut off, and which names what it takes off", `
HARBOR LANE
OATS 4.29
JAM 3.79
DEAL 3.80 OFF -3.8
TOTAL 4.28
CARD 4.28`,
		map[int]string{4: "-3.80 proved", 5: "4.28 proved"}, true},
}

// What has the form of a weight, a price by weight, a year or a telephone is no amount.
func TestMisformed(t *testing.T) {
	for text, want := range map[string][]string{
		"JAM .2762":            {"27.62"},
		"JAM .276 T":           {"2.76"},
		"JAM 58.899":           {"58.89", "58.99"},
		"COUPON 2.2248":        {"2.22"},
		"COUPON -3.759-F":      {"-3.75-F", "-3.59-F", "-3.79-F"},
		"JAM 0.549":            nil,
		"GRAPES 1.549 KG":      nil,
		"GRAPES 1.549kg":       nil,
		"2 @ 3.399":            nil,
		"TEL 555.0123":         nil,
		"04.2026":              nil,
		"JAM 3.79":             nil,
		"1.549 GREEN SEEDLESS": nil,
		"RATE 6.625%":          nil,
		"":                     nil,
	} {
		if _, got := misformed(words(text)); !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
