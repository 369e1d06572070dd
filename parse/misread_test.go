package parse

import "testing"

// TestMisreadLabels has receipts of which one word or sign that says what a line
// is was misread, while all amounts but at most one are right.
func TestMisreadLabels(t *testing.T) {
	tests := []struct {
		name, lines string
		want        map[int]LineKind // by line
		open        bool             // not firm: no line says total
	}{
		{"the times sign of a quantity line is lost: its price is of no item, but what the one below costs", `
1 PCS X 2.50
BRAC SIEV TOMA 500G 2.50 Y
3 PCS 1.43
BIR HIL SEA SAL CRI 2 4.29 Y
SUBTTL 6.79
SLS TAX 1 0.00
AMOUNT DUE 6.79
BANK CARD PAYMENT 6.79`,
			map[int]LineKind{2: LineItem, 3: LineQuantity, 4: LineItem, 8: LineTender}, false},
		{"the word card is misread: points given below are no tender", `
ROAD ATLAS LARK T 11.00
RED APPLES T 7.36
Merchandise $18.36
Before tax $18.36
State/local tax 6.25% $1.15
Total to pay $19.51
Cord ending 9678 $19.51
Pieces bought: 2
Points worth of 3.00
is waiting for your next visit`,
			map[int]LineKind{6: LineTotal, 7: LineTender, 9: LineCredit}, false},
		{"the words of the total are misread, coupons stand above it", `
NIB OAT SIEV TOMA 7 8.00 N
DAPPL BIN BAGS 20CT 23.56 N
SUBTTL 31.56
SLS TAX 1 0.00
VENDOR CPN EDD CRU MUE 3.05-N
VENDOR CPN EDD CRU MUE 3.05-N
AMLNT IE 25.46
BANK CARD PAYMENT 25.46
CHG DUE 0.00`,
			map[int]LineKind{5: LineDeduction, 7: LineTotal, 8: LineTender}, false},
		{"a brand that reads like GST, in an offer with a percentage", `
OSTR SEED CRAC 16.45
TOLL PENNE RIGATE 2.00
Sum of items $18.45
Rewards 30% Ost See Cra -$4.94
Sales tax 1 $0.00
TOTAL $13.51
CASH $13.51`,
			map[int]LineKind{4: LineDeduction, 5: LineTax, 6: LineTotal}, false},
		{"the word of the tax is misread, and the sum above it lost its amount", `
SUNN CORN FLAK 500 G 12.30 N
BRIN BAGS 20CT 46.76 T
SUBTOTAL 59.0
TOEOX 1 @ 5.5% 2.57
TICKET TOTAL 61.63
BANK CARD 61.63`,
			map[int]LineKind{4: LineTax, 5: LineTotal, 6: LineTender}, false},
		{"milk of two percent right above the total is no tax", `
SUNN CORN FLAK 500 G 12.30 N
OSTR MLK 2% 3.10
TICKET TOTAL 15.40
BANK CARD 15.40`,
			map[int]LineKind{2: LineItem, 3: LineTotal, 4: LineTender}, false},
		{"1.5l read as an amount, with quantity and amount below", `
04777362912 Tolla Laund Liquid 1.51
6 @ $7.49 ea $44.94 P
04291503521 Eddles Corn Flakes 500g $3.80
Sum of items $48.74
Sales tax 1 $0.00
TOTAL $48.74
CASH $48.74`,
			map[int]LineKind{1: LineItem, 2: LineQuantity, 3: LineItem}, false},
		{"a weight line whose sign was misread, below a heading", `
SALT LONG GRAI RICE 26.45 F
FRESH FRUIT/VEG/DELI
2.22 lb 0 1 1b /1.25
WT CRTS LSE 2.78 F
SUB-TTL 29.23
SALES TAX 0.00
ORDER TTL 29.23
CASH PD 29.23`,
			map[int]LineKind{1: LineItem, 2: LineOther, 4: LineItem}, false},
		{"a charge without a known word stays one", `
NIB OAT SIEV TOMA 7 8.00 N
DAPPL BIN BAGS 20CT 23.56 N
SUBTTL 31.56
COLD BOX LOAN 0.50
BANK CARD PAYMENT 32.06
CHG DUE 0.00`,
			map[int]LineKind{4: LineFee, 5: LineTender}, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := parsePhoto(tt.lines)
			for n, kind := range tt.want {
				if got := r.Lines[n-1].Kind; got != kind {
					t.Errorf("line %d, %q, is %s, want %s", n, r.Lines[n-1].Text, got, kind)
				}
			}
			if r.Firm == tt.open {
				t.Errorf("firm is %v", r.Firm)
			}
		})
	}
}
