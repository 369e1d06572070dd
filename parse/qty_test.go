package parse

import "testing"

// Quantities of a photo that begin with the word for one, on lines of their own: what was
// misread in them took their price for goods.
func TestQuantityLinesMisread(t *testing.T) {
	for _, c := range []repairCase{
		{"the word before a price of several", `
HARBOR LANE
OATS 9.78
Qty 3, 2 g6r 4.00
JAM 4.75
Qty 1, 2 Tor 9.50
TEA 5.00
TOTAL 19.53
CARD 19.53`,
			map[int]string{3: "<nil> ", 5: "<nil> "}, true},
		{"the price glued to that word", `
HARBOR LANE
OATS 9.78
Qty 2, 4.89 each
JAM 9.90
Qty 2, 4.95 cach
TEA 2.75
Qty 1, 4 Tor(11,00
TOTAL 22.43
CARD 22.43`,
			map[int]string{5: "<nil> ", 7: "<nil> "}, true},
		{"another reading parts the words otherwise", `
HARBOR LANE
OATS 9.78
Qty 2, 4 for 19.50 | Qty 2,.4 for 19.50
TOTAL 9.78
CARD 9.78`,
			map[int]string{3: "<nil> "}, true},
		{"goods that are named", `
HARBOR LANE
OATS 9.78
Qty 2, 4.89 each
JAM 9.90
Qty 2, 4.95 each
QTY 4 TEA 2.00
TOTAL 21.68
CARD 21.68`,
			map[int]string{6: "2.00 proved"}, true},
		{"sign and number between pieces and their price for several", `
HARBOR LANE
OATS 25.74
6 EA 9 T FOR 4.29
JAM 3.00
2 EA 0 l FOR 1.50
TOTAL 28.74
CARD 28.74`,
			map[int]string{3: "<nil> ", 5: "<nil> "}, true},
		{"units to which their sign is glued", `
HARBOR LANE
OATS 14.34
6.@ 2.39 ea
JAM 6.00
4.9 2 for' 3.00
TOTAL 20.34
CARD 20.34`,
			map[int]string{3: "<nil> ", 5: "<nil> "}, true},
		{"units to which their price is glued", `
HARBOR LANE
OATS 42.27
Qty 3,14.09 each
JAM 6.00
TOTAL 48.27
CARD 48.27`,
			map[int]string{2: "42.27 proved", 3: "<nil> "}, true},
		{"goods called GOLD are not taken back", `
HARBOR LANE
OATS 10.00
*GOLD*{*GOLO*:1.0} JAM 5.00
TOTAL 15.00
CARD 15.00`,
			map[int]string{3: "5.00 proved"}, true},
		{"a word for what is taken back", `
HARBOR LANE
OATS 9.78
JAM 4.75
*YOID*{*YOIO*:1.0} JAM 4.75-
TOTAL 9.78
CARD 9.78`,
			map[int]string{4: "-4.75 proved"}, true},
		{"the first word of what is told beneath goods", `
HARBOR LANE
OATS 2 2.99 5.98
Farm card 30% x2 (1.79)
YTou pay 4.19
JAM 4.75
Farm card (0.75)
1OU PAY 4.00
TOTAL 8.19
CARD 8.19`,
			map[int]string{4: "4.19 read", 7: "4.00 read"}, true},
		{"the word before the unit of a weight", `
HARBOR LANE
BANANAS 1.69
3.07 lb at 0.55 p@r lb
TEA 5.00
TOTAL 6.69
CARD 6.69`,
			map[int]string{3: "<nil> "}, true},
		{"a colon for the point before a minus behind", `
HARBOR LANE
OATS 9.78
CPN 04412 1.00-
CPN 89393 4:30-T
TEA 5.00
CPN 1.10-
TOTAL 8.38
CARD 8.38`,
			map[int]string{4: "-4.30 proved"}, true},
	} {
		t.Run(c.why, func(t *testing.T) { c.check(t) })
	}
	if r := parsePhoto("HARBOR LANE\nOATS 9.78\nJAM 4.75\n*YOID*{*YOIO*:1.0} JAM 4.75-\nTOTAL 9.78\nCARD 9.78"); r.Line(4).Kind != LineVoid {
		t.Errorf("taken back: %s, want a void", r.Line(4).Kind)
	}
	if r := parsePhoto("HARBOR LANE\nOATS 15.00\n10 2 for 3.00\nTOTAL 15.00\nCARD 15.00"); r.Line(3).Quantity != nil && r.Line(3).Quantity.IntPart() == 1 {
		t.Error("the last digit of 10 was taken for a sign")
	}
	r := parsePhoto("HARBOR LANE\nBANANAS 1.69\n3.07 lb at 0.55 p@r lb\nTEA 2.75\nQty 3, 2 g6r 4.00\nTOTAL 4.44\nCARD 4.44")
	if q := r.Line(3); q.Kind != LineQuantity || q.Unit != "lb" {
		t.Errorf("a weight: %s of %q", q.Kind, q.Unit)
	}
	if q := r.Line(5); q.Kind != LineQuantity || q.PriceFor != 2 {
		t.Errorf("two for 4.00: %s, price for %d", q.Kind, q.PriceFor)
	}
}

// What a coupon is worth and for, in a line of its own below it, is no goods whose amount was
// not read, nor is a heading above coupons or a department with letters misread.
func TestLinesOfCouponsLoseNothing(t *testing.T) {
	const goods, foot = "HARBOR LANE\nOATS 14.23{14.29:0.8}\n", "\nTOTAL 11.29\nCARD 11.29"
	for rows, firm := range map[string]bool{
		"CPN 17604 2.00-\n0.55 OFF OATS 75ML\nCPN 89393 1.00-\n2.15 OFF JAM":                              true,
		"CPN 17604 1.50-\n0.55 OFF OATS 75ML\nCPN 89393 0.50-\n5% ON 31\nCPN 4444 1.00-\nFREE JAM 250ML":  true,
		"CPN 17604 1.50-\n0.55 OFF OATS 75ML\nCPN 89393 0.50-\n5% ON 31\nCPN 4444 1.00-\nFREE RANGE EGGS": false, // goods
		"CPN 17604 2.00-\nFREE OATS\nCPN 89393 1.00-\nFREE JAM":                                           false, // of nothing else
		"CPN 17604 2.00-\n0.55 OFF OATS 75ML\nCPN 89393 1.00-\nJAM 250ML":                                 false,
		"CPN 17604 2.00-\n0.55 OFF OATS 75ML\nCPN 89393 1.00-":                                            false, // only once
		"0.55 OFF OATS 2.00-\n0.55 OFF OATS 75ML\nCPN 89393 1.00-\n2.15 OFF JAM":                          false, // told with its amount too
		"COUPONS TENDERED\nCPN 17604 2.00-\nCPN 89393 1.00-":                                              true,
		"COUPON TENDERED\nCPN 17604 2.00-\nCPN 89393 1.00-":                                               false,
		"Manufacturer coupont~0.6\n2.00 OFF #17604 2.00-\nStore coupon\n40% #30446 1.00-":                 true,  // headings whose colon was misread
		"Manufacturer coupon\n2.00 OFF #17604 2.00-\nStore coupon jam\n40% #30446 1.00-":                  false, // jam may have lost its amount
		"Store coupon\n2.00 OFF OATS 2.00-\nCPN 4711 1.00-":                                               false,
		"Manufacturer coupon 4711\n2.00 OFF #17604 2.00-\nStore coupon\n40% #30446 1.00-":                 false,
		"CPN 17604 2.00-\nCPN 89393 1.00-\nGEN MOSE":                                                      true,
		"CPN 17604 2.00-\nCPN 89393 1.00-\nGEN PETS PEAS":                                                 false,
		"CPN 17604 2.00-\nCPN 89393 1.00-\nCPN 4444 5.00-\nVoided\nCPN 4444 5.00":                         true,
	} {
		if r := parsePhoto(goods + rows + foot); r.Firm != firm {
			t.Errorf("%q: firm is %v, want %v\n%s", rows, r.Firm, firm, dump(r))
		}
	}
}

// TestFirstGoodsAreTheirQuantitys: the goods above the first amount are not lost where that is theirs.
func TestFirstGoodsAreTheirQuantitys(t *testing.T) {
	for head, firm := range map[string]bool{
		"5705318 OATS\n2 EA @ 5.39 10.78 Nt":              true,
		"4711999 TEA\n5705318 OATS\n2 EA @ 5.39 10.78 Nt": false, // those above are
	} {
		if r := parsePhoto("HARBOR LANE\n" + head + "\nJAM 3.49{3.79:0.8}\nTOTAL 14.57\nCARD 14.57"); r.Firm != firm {
			t.Errorf("%q: firm is %v, want %v\n%s", head, r.Firm, firm, dump(r))
		}
	}
}

// TestUnitsLikeLetter: that the number before the goods may be a letter too makes it no other number.
func TestUnitsLikeLetter(t *testing.T) {
	for lead, want := range map[string]string{"5{S:1.3}": "5", "5{3:1.3}": ""} {
		r := parsePhoto("HARBOR LANE\n" + lead + " OATS 21.45\n1 JAM 3.79\n2 TEA 4.00\nTOTAL 29.24\nCARD 29.24")
		if got := oatsOf(r); got != want {
			t.Errorf("%s: quantity %q, want %q\n%s", lead, got, want, dump(r))
		}
	}
}

// TestWeightInColumns: on a photo the blank between a weight and its price may be narrow.
func TestWeightInColumns(t *testing.T) {
	r := parsePhoto("HARBOR LANE\n380733 OATS 1.46 1.49 2.18\n1 JAM 3.79\nTOTAL 5.97\nCARD 5.97")
	if got := oatsOf(r); got != "1.46" {
		t.Errorf("quantity %q\n%s", got, dump(r))
	}
}
