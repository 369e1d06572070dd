package parse

import "testing"

// TestSurePhotos has receipts of which a line has a name that nobody knows. What its
// amount says is believed on a photo only where no digit it rests on is in doubt.
func TestSurePhotos(t *testing.T) {
	tests := []struct {
		name, lines string
		kinds       map[int]LineKind // by line
		firm        bool
	}{
		{"a sum told in words of the till's own, all beyond doubt", `
SEEDED CRACKERS 3.90
WHOLE MILK 2L 5.18
Subtotal 9.08
MC 51619 CRACKERS -1.25
Comes down to 7.83
Sales tax 0.47
TOTAL 8.30
CARD 8.30`, map[int]LineKind{5: LineSubtotal}, true},
		{"the same, but a digit of that sum may be another", `
SEEDED CRACKERS 3.90
WHOLE MILK 2L 5.18
Subtotal 9.08
MC 51619 CRACKERS -1.25
Comes down to 7.83{7.88:1.2}
MC 51620 MILK -0.50
TOTAL 7.33
CARD 7.33`, nil, false},
		{"the same, but half of the looks saw another amount", `
SEEDED CRACKERS 3.90
WHOLE MILK 2L 5.18
Subtotal 9.08
MC 51619 CRACKERS -1.25
Comes down to 7.83 #2 | Comes down to 7.88 #2
MC 51620 MILK -0.50
TOTAL 7.33
CARD 7.33`, nil, false},
		{"a digit may be another, and with the tax it is the total", `
SEEDED CRACKERS 3.90
WHOLE MILK 2L 5.18
Subtotal 9.08
MC 51619 CRACKERS -1.25
Comes down to 7.83{7.88:1.2}
Sales tax 0.47
TOTAL 8.30
CARD 8.30`, map[int]LineKind{5: LineSubtotal}, true},
		{"the same, and a line was not read", `
SEEDED CRACKERS 3.90
WHOLE MILK 2L 5.18
?
Subtotal 9.08
MC 51619 CRACKERS -1.25
Comes down to 7.83
Sales tax 0.47
TOTAL 8.30
CARD 8.30`, nil, false},
		{"a brand that reads like a tax's name is no tax", `
OST BIN BAG 20CT 14.97 T
MILD SHAMPOO 250ML 13.58 T
Subtotal 28.55
Sales tax 1.71
TOTAL 30.26
CARD 30.26`, map[int]LineKind{1: LineItem}, true},
		{"a brand two letters from welcome, read for sure", `
(2) 047064237645 WEXCOMBE MILK
2 @ 2.99 5.98
Subtotal 5.98
TOTAL 5.98
CARD 5.98`, map[int]LineKind{1: LineItem}, true},
		{"1.5l, seen as such by a reader, left of the amounts", `
Oat Juice 1.51{1.5l:1.2}
1.24 lb @ 2.19 /lb 2.72
Merchandise of the day 2.72
Amount due of the day 2.72
CARD 2.72`, map[int]LineKind{1: LineItem}, true},
		{"a size glued to a name, left of the amounts", `
Oats Smooth Brand 500 grams 3.29
Soft Rolls 00.50 G
4 @ 3.49 EACH                       13.96
Subtotal of the whole da 17.25
Amount due of the day in 17.25
CARD of a bank in townxx 17.25`, map[int]LineKind{2: LineItem, 3: LineQuantity}, true},
		{"a flag like a unit on several, one left of the rest", `
OATS BRAND       3.29 G
JAM 4.10 G
TEA BRAND OTHER  5.00 G
TOTAL            12.39
CARD             12.39`, map[int]LineKind{2: LineItem}, true},
		{"a flag like a unit, beneath the amounts", `
Oats Brand 3.29 G
Butt Br 10.50 G
Subtotal 13.79
CARD TO 13.79`, map[int]LineKind{2: LineItem}, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := parsePhoto(tt.lines)
			for n, kind := range tt.kinds {
				if got := r.Lines[n-1].Kind; got != kind {
					t.Errorf("line %d, %q, is %s, want %s", n, r.Lines[n-1].Text, got, kind)
				}
			}
			if r.Firm != tt.firm {
				t.Errorf("firm is %v, want %v: %v", r.Firm, tt.firm, r.Warnings)
				for _, l := range r.Lines {
					t.Log(l.N, l.Kind, l.Amount, l.Proof, l.Text)
				}
			}
		})
	}
}
