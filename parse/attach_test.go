package parse

import (
	"testing"

	"tillproof/ocr"
)

// TestQuantityBelowFreeUnit: where quantities stand above their goods, one is theirs although the
// free unit above it cost as much.
func TestQuantityBelowFreeUnit(t *testing.T) {
	r := Parse([]ocr.Page{TextPage(`HARBOR LANE
  3 @ 6.60
CLEAR HONEY 340G     19.80
  4 @ 4.25
BLACK TEA 40CT       17.00
BONUS BUY FREE x2    -8.50
  5 @ 1.70
SIEVED TOMATOES       8.50
TOTAL                36.80
CASH                 36.80
`)}, Options{})
	if q := r.Line(8).Quantity; q == nil || q.String() != "5" || r.Line(7).Of != 8 {
		t.Errorf("the tomatoes have quantity %v\n%s", q, dump(r))
	}
	if q := r.Line(6).Quantity; q != nil && q.String() == "5" {
		t.Errorf("the free units have the tomatoes' quantity\n%s", dump(r))
	}
}
