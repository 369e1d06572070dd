package parse

import (
	"testing"

	"tillproof/ocr"
)

func words(text string) []ocr.Word {
	page := TextPage(text)
	if len(page.Lines) == 0 {
		return nil
	}
	return page.Lines[0].Readings[0].Words
}

func TestTail(t *testing.T) {
	for _, c := range []struct {
		text  string
		ok    bool
		cents int64
		flags string
	}{
		{"OATS 12.87", true, 1287, ""},
		{"OATS 12.87 T", true, 1287, "T"},
		{"OATS 12.87T", true, 1287, "T"},
		{"OATS 12.87 T1", true, 1287, "T1"},
		{"OATS $1,234.56", true, 123456, ""},
		{"OATS 1.234,56", true, 123456, ""},
		{"OATS 12,87", true, 1287, ""},
		{"OATS .87", true, 87, ""},
		{"OATS RM12.60 SR", true, 1260, "SR"},
		{"TISSUE 9CT 3.80X2 X 7.60", true, 760, ""}, // a flag
		{"TISSUE 9CT 3.80X2 X 7.70", false, 0, ""},
		{"CPN -1.00", true, -100, ""},
		{"CPN 1.00-", true, -100, ""},
		{"CPN 1.00-T", true, -100, "T"},
		{"CPN (1.00)", true, -100, ""},
		{"CPN - 1.00", true, -100, ""},
		{"CPN --1.00", true, -100, ""},
		{"NET --- 1.00", true, 100, ""},
		{"CPN -$1.00", true, -100, ""},
		{"CPN $-1.00", true, -100, ""},
		{"CPN −1.00", true, -100, ""},
		{"CPN 1.00 CR", true, -100, ""},
		{"PRE-OATS 1.00", true, 100, ""},
		{"2 @ 3.79", false, 0, ""},
		{"2 @ 2/5.00", false, 0, ""},
		{"SALE 2 FOR 5.00", false, 0, ""},
		{"3 X 1.29", false, 0, ""},
		{"1.24 lb @ 0.59 /lb", false, 0, ""},
		{"SAVE 5.00 ON YOUR NEXT TRIP", false, 0, ""},
		{"TAX 6.25%", false, 0, ""},
		{"SALES TAX 1 @ 4.24", true, 424, ""},
		{"OATS 1 @ 4.24", false, 0, ""},
		{"3 TAX 1 @ 4.24", false, 0, ""},
		{"09.05.2026", false, 0, ""},
		{"OATS 12.8", false, 0, ""},
		{"OATS 99999999999.99", false, 0, ""},
	} {
		got := findTail(lexWords(words(c.text), nil), false)
		if got.ok != c.ok || c.ok && (got.signed() != c.cents || got.flags != c.flags) {
			t.Errorf("%q: %v %d %q, want %v %d %q", c.text, got.ok, got.signed(), got.flags, c.ok, c.cents, c.flags)
		}
	}
}

func TestQuantity(t *testing.T) {
	for _, c := range []struct {
		text               string
		units, price, unit string
		per                int
		extension          int64
	}{
		{"3 @ 4.29", "3", "4.29", "", 1, 1287},
		{"2 @ 2/5.00", "2", "5", "", 2, 500},
		{"3 @ 2 FOR 5.00", "3", "5", "", 2, 750},
		{"4 @ 3/$5.00", "4", "5", "", 3, 667},
		{"3 X 1.29", "3", "1.29", "", 1, 387},
		{"3X1.29", "3", "1.29", "", 1, 387},
		{"1.29 x 3", "3", "1.29", "", 1, 387},
		{"1.24 lb @ 0.59 /lb", "1.24", "0.59", "lb", 1, 73},
		{"1.24 lb @ 1 lb /0.59", "1.24", "0.59", "lb", 1, 73},
		{"0.455 kg @ 7.90/kg", "0.455", "7.9", "kg", 1, 359},
		{"0.505 kg @ 0.99/kg", "0.505", "0.99", "kg", 1, 50},
		{"2 EA @ 3.79 EA", "2", "3.79", "", 1, 758},
		{"QTY 3", "3", "", "", 1, 0},
		{"qty 6 3/5.00", "6", "5", "", 3, 1000},
		{"11.99 PER KG X 1.28 KG", "1.28", "11.99", "kg", 1, 1535},
		{"@ 1.69/LB X 2.15 LB", "2.15", "1.69", "lb", 1, 363},
		{"on our scale: 2.71 kg, 1 kg = 1.95", "2.71", "1.95", "kg", 1, 528},
		{"2.54 lb at 2.09 a lb", "2.54", "2.09", "lb", 1, 531},
		{"SOAP QTY: 2 @ 1.50", "2", "1.5", "", 1, 300},
		{"FOIL X2", "2", "", "", 1, 0},
		{"OATS 340G", "", "", "", 0, 0},
		{"BATTERY 2X AA", "", "", "", 0, 0},
	} {
		lx := lexWords(words(c.text), nil)
		q := findQuantity(lx, len(lx))
		units, price := "", ""
		if d := q.amount(); d != nil {
			units = d.String()
		}
		if d := q.unitPrice(); d != nil {
			price = d.String()
		}
		cents, _ := q.extension()
		if units != c.units || price != c.price || q.unit != c.unit || q.per != c.per || cents != c.extension {
			t.Errorf("%q: %s %s @ %s for %d = %d", c.text, units, q.unit, price, q.per, cents)
		}
	}
}

// Words that were misread in one letter, or two in a long one, still say what
// they say; others do not become them.
func TestMisreadWords(t *testing.T) {
	for _, c := range []struct {
		text string
		want marks
	}{
		{"SUBT0TAL", markSubtotal},
		{"SUBTOTAI", markSubtotal},
		{"5UBTOTAL", markSubtotal},
		{"UBTOTAL", markSubtotal},
		{"T0TAL", markTotal},
		{"TOTAI", markTotal},
		{"OTAL", markTotal},
		{"TOT AL", markTotal},
		{"T O T A L", markTotal},
		{"BALANCE DUF", markTotal},
		{"C0UPON", markCoupon},
		{"GIFT CARD EARNEO", markEarned},
		{"OATS", 0},
		{"TOAST", 0},
		{"COFFEE", 0},
	} {
		if m := mark(foldWords(c.text, nil), nil, func(string) bool { return true }); m.marks&c.want != c.want || c.want == 0 && m.marks != 0 {
			t.Errorf("%q: marks %b", c.text, m.marks)
		}
	}
	if m := mark(foldWords("SUBTOTAX", nil), nil, nil); m.marks != 0 {
		t.Error("a text has no misread words")
	}
}
