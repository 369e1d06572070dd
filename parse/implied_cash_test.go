package parse

import (
	"testing"

	"tillproof/ocr"
)

// TestImplyCash: of cash and change, one that was read in part is what the total and the other
// leave it, where that is what people hand over; common practice, no source.
func TestImplyCash(t *testing.T) {
	const goods = "HARBOR LANE\nOATS 44.29\nJAM 40.44\nSUBTOTAL 84.73\nTOTAL 84.73\n"
	for _, c := range []struct {
		why, foot string
		firm      bool
	}{
		{"the amount of the cash was not read", "CASH\nCHANGE 15.27", true},
		{"no note: a digit of the change was misread", "CASH\nCHANGE 15.21", false},
		{"nobody hands over 101.00: a coupon of a dollar was not seen", "CASH\nCHANGE 16.27", false},
		{"nor 105.00", "CASH\nCHANGE 20.27", false},
		{"a coupon stands between", "MFR CPN -1.00\nCASH\nCHANGE 16.27", false},
		{"the change is cut off", "CASH 100.00\nANGE $15.2", true},
		{"it is cut off and begins otherwise", "CASH 100.00\nANGE $16.2", false},
		{"too little of it is left", "CASH 100.00\nANGE $1", false},
		{"all of it is gone", "CASH 100.00\nCHANGE", false},
	} {
		if r := parsePhoto(goods + c.foot); r.Firm != c.firm {
			t.Errorf("%s: firm is %v\n%s", c.why, r.Firm, dump(r))
		}
	}
	// Of another total, which the goods do not come to, nothing follows.
	if r := parsePhoto("HARBOR LANE\nOATS 44.29\nJAM 30.44\nTOTAL 84.73\nCASH\nCHANGE 15.27"); r.Firm {
		t.Errorf("firm\n%s", dump(r))
	}
	// In a text what is not there was not printed.
	r := Parse([]ocr.Page{TextPage(goods + "CASH\nCHANGE 15.27")}, Options{})
	if len(r.Tenders) > 0 {
		t.Errorf("tenders %v", r.Tenders)
	}
}
