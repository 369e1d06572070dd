package parse

import (
	"strings"
	"testing"
)

// What goods are called is not taken for a misread word of the till's, and a
// misread word of the till's still is (what goods are called: common practice, no source).
func TestNearestWord(t *testing.T) {
	for _, w := range strings.Fields(goodsWords) {
		if got := nearestWord(fold(w)); got != "" {
			t.Errorf("%q is taken for %q", w, got)
		}
	}
	for misread, want := range map[string]string{"subtatal": "subtotal", "tendar": "tender", "coupan": "coupon", "chang3": "change", "tota": "total", "roundang": "rounding"} {
		if got := nearestWord(fold(misread)); got != fold(want) {
			t.Errorf("%q is taken for %q, want %q", misread, got, fold(want))
		}
	}
}
