package match

import "testing"

// TestSameWords: numbers and the letter of a tax say nothing of what a line is.
func TestSameWords(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"SPECIAL/RABAIS", "SPECIAL/RABAIS H", true},
		{"AD PRICE 4.29 SAVINGS", "AD PRICE SAVINGS", true},
		{"SPECIAL/RABAIS", "SPECIAL", false},
		{"SPECIAL/RABAIS", "SPECIAL/RABAIS OATS", false},
		{"CARD SAVINGS", "SAVINGS CARD", false},
	} {
		a, b := newName(c.a), newName(c.b)
		if a.sameWords(&b) != c.want || b.sameWords(&a) != c.want {
			t.Errorf("%q and %q: want %v", c.a, c.b, c.want)
		}
	}
}
