package audit

import "testing"

// TestSameName: names are the same where they, or all their words, were cut elsewhere.
func TestSameName(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"Brac Ligh Baked Beans 400g", "Brackle Light Baked Beans 400g", true},
		{"BRACKLE LIGHT BAKED BE", "BRACKLE LIGHT BAKED BEANS 400G", true},
		{"Brac Baked Beans 400g", "Brackle Light Baked Beans 400g", false},
		{"Brackle Light Baked Beans 400g", "Brackle Light Baked Beans 800g", false},
		{"BR BEANS 4", "BRACKLE BEANS 4", false},                      // two letters may be another maker's
		{"Brackle Ligh Baked Beans", "Brac Light Baked Beans", false}, // each is cut elsewhere
	} {
		if got := sameName(c.a, c.b) || sameWords(c.a, c.b); got != c.want {
			t.Errorf("%q and %q: %v, want %v", c.a, c.b, got, c.want)
		}
	}
}
