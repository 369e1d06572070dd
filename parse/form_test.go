package parse

import (
	"fmt"
	"strings"
	"testing"

	"tillproof/ocr"
)

// TestForm reads small receipts in words of no till. What their lines are is told by form,
// place and sums. A line that starts with a kind and a bar is looked at: "void| …".
func TestForm(t *testing.T) {
	for name, receipt := range map[string]string{
		"dots before a flag": `
OATS MILBROOK ............ TX   4.29
item|JAM PLUM .................... TX   3.00
deduction|  LESS SPECIAL .............. TX  -0.50
SUBTOTAL .....................   6.79
TOTAL ........................   6.79
CASH .........................   6.79`,
		"weighed goods rung twice, the second taken back": `
4142 PLMS                      0.97
  1.29 lb @ 0.75 /lb
4142 PLMS                      0.97
  1.29 lb @ 0.75 /lb
Taken off the slip
void|PLMS                          (0.97)
OATS MILBROOK                  4.29
SUBTOTAL                       5.26
TOTAL                          5.26
CASH                           5.26`,
		"a coupon given back in one word, its name cut": `
OATS MILBROOK                  4.29
JAM PLUM                       3.00
SUBTOTAL                       7.29
deduction|Lantern savings Mil Oats x4   -2.40
void|EC Lantern savings Mil Oats    2.40
TOTAL                          7.29
CASH                           7.29`,
		"a rate on goods": `
OATS MILBROOK                  4.00
JAM PLUM                       3.00
SUBTOTAL                       7.00
tax|5% ON MARKED GOODS             0.35
TOTAL                          7.35
CASH                           7.35`,
		"notes apart from the column": `
OATS MILBROOK                  4.00
other|  Ends soon. Reg. 4.80
JAM PLUM                       3.00
other|  Moonday price 3.90
FOIL TERN                      2.00
subtotal|Hoard                          9.00
TOTAL                          9.00
CASH                           9.00`,
		"two coupons told again, others above": `
OATS MILBROOK                  8.00
  Markdown                    -0.95
JAM PLUM                       3.00
  Markdown                    -0.35
SC OATS                       -1.00
SC JAM                        -0.20
message|TOTAL SAVINGS                 -1.20
subtotal|Hoard                          8.50
TOTAL                          8.50
CASH                           8.50`,
		"what is to be paid after coupons below the total": `
OATS MILBROOK                  8.00
JAM PLUM                       3.00
total|TOTAL                         11.00
VENDOR CPN OATS               -0.76
total|YOU PAY                       10.24
CARD                          10.24`,
		"one coupon told again": `
OATS MILBROOK                  8.00
  Markdown                    -0.95
JAM PLUM                       3.00
** COUPONS **
SC OATS                       -1.00
message|COUPON SAVINGS                -1.00
subtotal|Hoard                          9.05
TOTAL                          9.05
CASH                           9.05`,
		"goods that cost what all above come to": `
OATS MILBROOK                 17.87
JAM PLUM                      10.69
subtotal|Value of hoard                28.56
SC OATS                       -2.00
SC JAM                       -15.87
message|Deductions                   -17.87
subtotal|Coupons taken off             10.69
TOTAL                         10.69
CASH                          10.69`,
		"goods that cost what all above come to, and sums in no known words": `
OATS MILBROOK                  4.00
JAM PLUM                       3.00
item|BIG BOX                        7.00
total|What it comes to              14.00
tender|Silver given                  20.00
CHANGE                         6.00`,
		"cash by its change": `
OATS MILBROOK                  4.00
JAM PLUM                       3.00
SUBTOTAL                       7.00
TOTAL                          7.00
tender|Silver and paper              10.00
change|Yours again                    3.00
message|Gift cards sold here from 50.00`,
		"weights and units in columns": `
OATS MILBROOK   2    2.00     4.00
JAM PLUM        3    1.00     3.00
item|PLUMS        1.50    2.10     3.15
item|FOIL TERN 9     2             5.00
SUBTOTAL                     15.15
TOTAL                        15.15
CASH                         15.15`,
		"numbered goods": `
item|01 OATS MILBROOK               4.00
item|02 JAM PLUM                    3.00
item|03 FOIL TERN                   5.00
SUBTOTAL                      12.00
TOTAL                         12.00
CASH                          12.00`,
		"a minus behind a number of uses that was cut off": `
OATS MILBROOK                  4.00
JAM PLUM                       3.00
SUBTOTAL                       7.00
TOTAL                          7.00
deduction|MC MIL OATS 700g x             0.70-
deduction|Paid by them who make it        0.30-
BALANCE                        6.00
CASH                           6.00`,
		"a coupon taken back, its number of uses cut off": `
OATS MILBROOK                  4.29
item|SPRKL WTR 1L                  10.14 B
deduction|STR CPN SPRKL WTR 1 x6          3.78-B
void|VOID STR CPN SPRKL WTR 1 x      3.78 B
SUBTOTAL                      14.43
TOTAL                         14.43
CASH                          14.43`,
	} {
		t.Run(name, func(t *testing.T) { checkForm(t, receipt) })
	}
}

func checkForm(t *testing.T, receipt string) {
	t.Helper()
	var text strings.Builder
	want := map[int]string{}
	for i, line := range strings.Split(strings.TrimPrefix(receipt, "\n"), "\n") {
		if kind, rest, ok := strings.Cut(line, "|"); ok {
			want[i+1], line = kind, rest
		}
		text.WriteString(line + "\n")
	}
	r := Parse([]ocr.Page{TextPage("Weir Street Grocer\n" + text.String())}, Options{})
	if !r.FirmBody() {
		t.Errorf("the sums do not close: %+v", r.Sums)
	}
	for n, kind := range want {
		if l := r.Line(n + 1); string(l.Kind) != kind {
			t.Errorf("%q is %s, want %s", l.Text, l.Kind, kind)
		}
	}
	for i := range r.Lines {
		if l := &r.Lines[i]; l.Kind == LineItem && (strings.Contains(l.Name, "..") || strings.HasPrefix(l.Name, "0")) {
			t.Errorf("the name is %q", l.Name)
		}
	}
}

// TestUnitsInColumns looks at the quantities of goods in columns.
func TestUnitsInColumns(t *testing.T) {
	r := Parse([]ocr.Page{TextPage(`Weir Street Grocer
OATS MILBROOK   2    2.00     4.00
JAM PLUM        3    1.00     3.00
PLUMS        1.50    2.10     3.15
FOIL TERN 9     2             5.00
SUBTOTAL                     15.15
TOTAL                        15.15
CASH                         15.15`)}, Options{})
	for n, want := range map[int]string{2: "2", 3: "3", 4: "1.5", 5: "2"} {
		if q := r.Line(n).Quantity; q == nil || q.String() != want {
			t.Errorf("%q: quantity %v, want %s", r.Line(n).Text, q, want)
		}
	}
}

// TestUnitsBySigns looks at units before a star and in brackets.
func TestUnitsBySigns(t *testing.T) {
	for _, lead := range []string{"%d * ", "(%d) "} {
		text := "Weir Street Grocer\n"
		for n := 2; n < 5; n++ {
			text += fmt.Sprintf(lead+"LANTERN PLUMS            %d.00\n", n, n)
		}
		r := Parse([]ocr.Page{TextPage(text + "SUBTOTAL                   9.00\nTOTAL                      9.00\nCASH                       9.00\n")}, Options{})
		for n := 2; n < 5; n++ {
			if l := r.Line(n); l.Quantity == nil || l.Quantity.IntPart() != int64(n) || l.Name != "LANTERN PLUMS" {
				t.Errorf("%q: %v of %q", l.Text, l.Quantity, l.Name)
			}
		}
	}
}

// TestDateBehindNumber reads a date behind the number of a register.
func TestDateBehindNumber(t *testing.T) {
	r := Parse([]ocr.Page{TextPage("Weir Street Grocer\nStore 12 Reg 07      May 31, 2026\nOATS 4.00\nTOTAL 4.00\nCASH 4.00")}, Options{})
	if r.Date != "2026-05-31" {
		t.Errorf("the date is %s", r.Date)
	}
}
