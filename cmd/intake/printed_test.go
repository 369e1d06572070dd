package intake

import "testing"

// The forms of head and foot are those of browsers in several locales (common
// practice, no source).
func TestWithoutPrintMarks(t *testing.T) {
	const bill = "HARBOR LANE\n06/13/26 10:11\nTOTAL   8.08\n"
	foot := "https://shop.example/receipt?id=7          1/1\n"
	for _, c := range []struct{ why, text, want string }{
		{"month first, twelve hours", "11/25/26, 1:27 PM      Your receipt\n\n" + bill + "\n" + foot, bill},
		{"day first, 24 hours", "25.11.2026, 13:27      Your receipt\n" + bill + foot, bill},
		{"a date alone may be the receipt's own", "11/25/26, 1:27 PM\n" + bill, "11/25/26, 1:27 PM\n" + bill},
		{"an address alone may be the shop's", bill + foot, bill + foot},
		{"nothing but marks", "11/25/26, 1:27 PM\n" + foot, "\n"},
		{"a plain bill", bill, bill},
	} {
		if got := withoutPrintMarks(c.text); got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
}
