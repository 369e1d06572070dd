package report

import (
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"tillproof/money"

	"pgregory.net/rapid"
)

// checkPage holds a page to what any terminal, pipe or printer can show: no line
// is wider than 80 columns, none ends in blanks, and nothing in it, a colour for
// one, is anything but text.
func checkPage(t *testing.T, page string) {
	t.Helper()
	if !strings.HasSuffix(page, "\n") {
		t.Error("the last line does not end")
	}
	for _, line := range strings.Split(page, "\n") {
		if n := utf8.RuneCountInString(line); n > 80 {
			t.Errorf("%d columns: %q", n, line)
		}
		if strings.TrimRight(line, " ") != line {
			t.Errorf("blanks at the end: %q", line)
		}
		if strings.ContainsFunc(line, unicode.IsControl) {
			t.Errorf("more than text: %q", line)
		}
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"", 10, []string{""}},
		{"  oats \t jam\n", 10, []string{"oats jam"}},
		{"oats jam foil", 8, []string{"oats jam", "foil"}}, // just fits
		{"oats jam foil", 7, []string{"oats", "jam", "foil"}},
		{"a marmalade b", 4, []string{"a", "marmalade", "b"}}, // longer than a line
		{"müsli älter", 11, []string{"müsli älter"}},          // characters count, not bytes
	} {
		if got := Wrap(c.text, c.width); !slices.Equal(got, c.want) {
			t.Errorf("%q in %d: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

// Any text keeps its words in their order, in lines that could not take the
// next line's first word too.
func TestWrapAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, width := rapid.String().Draw(t, "text"), rapid.IntRange(1, 90).Draw(t, "width")
		lines := Wrap(text, width)
		if got, want := strings.Join(lines, " "), strings.Join(strings.Fields(text), " "); got != want {
			t.Fatalf("%q, want %q", got, want)
		}
		for i, line := range lines {
			if n := utf8.RuneCountInString(line); n > width && strings.Contains(line, " ") {
				t.Fatalf("%d of %d: %q", n, width, line)
			}
			if i == 0 {
				continue
			}
			first, _, _ := strings.Cut(line, " ")
			if n := utf8.RuneCountInString(lines[i-1] + " " + first); n <= width {
				t.Fatalf("%q would fit behind %q", first, lines[i-1])
			}
		}
	})
}

// Amounts stand below each other, their last digits in column 80, behind the
// last line of what they are for.
func TestAmounts(t *testing.T) {
	var pg page
	pg.amount(0, "Prices", money.Must("24.77"))
	pg.amount(2, "Deductions", money.Must("-1234.56"))
	pg.amount(6, strings.Repeat("a long name ", 8)+"ends", money.Must("0.05"))
	pg.row(3, "Größe", "+5.15")
	want := "Prices" + strings.Repeat(" ", 80-6-5) + "24.77\n" +
		"  Deductions" + strings.Repeat(" ", 80-12-8) + "-1234.56\n" +
		"      a long name a long name a long name a long name a long name a\n" +
		"      long name a long name a long name ends" + strings.Repeat(" ", 80-44-4) + "0.05\n" +
		"   Größe" + strings.Repeat(" ", 80-8-5) + "+5.15\n"
	if pg.String() != want {
		t.Errorf("got\n%swant\n%s", pg.String(), want)
	}
	checkPage(t, pg.String())
}

// A word that fills its line pushes the amount out, and does not touch it.
func TestAmountBehindALongWord(t *testing.T) {
	var pg page
	pg.amount(0, strings.Repeat("x", 90), money.Must("1.00"))
	if want := strings.Repeat("x", 90) + " 1.00\n"; pg.String() != want {
		t.Errorf("%q", pg.String())
	}
}

// What is wrapped behind a mark hangs below its first word.
func TestItem(t *testing.T) {
	var pg page
	pg.item(2, "why:", strings.Repeat("because ", 12))
	want := "  why: because because because because because because because because because\n" +
		"       because because because\n"
	if pg.String() != want {
		t.Errorf("%q", pg.String())
	}
	checkPage(t, pg.String())
}

func TestCountAndLines(t *testing.T) {
	for n, want := range map[int]string{0: "0 units", 1: "1 unit", 7: "7 units"} {
		if got := count(n, "unit", "units"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for want, lines := range map[string][]int{
		"no line":           nil,
		"line 4":            {4},
		"lines 4-5":         {4, 5},
		"lines 4, 6-9":      {4, 6, 7, 8, 9},
		"lines 1-2, 4, 7-8": {1, 2, 4, 7, 8},
		"lines 9, 3, 3-5":   {9, 3, 3, 4, 5},
	} {
		if got := lineList(lines); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestCut(t *testing.T) {
	for text, want := range map[string]string{"": "", "ten chars!": "ten chars!", "eleven char": "eleven ...", "ünï çödé größer": "ünï çöd..."} {
		if got := cut(text, 10); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
