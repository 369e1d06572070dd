package parse

import "testing"

// TestNetsTold: lines that say what is left of the goods above them, in words nobody knows, are no
// goods, on a photo as in a text; a word of its own beneath one coupon is.
func TestNetsTold(t *testing.T) {
	const body = "HARBOR LANE\nOATS 4.00\nOUR CPN 1.00 OFF -1.00\nLEAVES YOU WITH 3.00\nJAM 6.30\nTEA 5.20\nOUR CPN 2.00 OFF -2.00\nLEAVES Y0U WITH 3.20\nSUBTOTAL 12.50\nTOTAL 12.50\nCARD 12.50"
	for _, r := range []*Receipt{parsePhoto(body), parseText(body)} {
		for _, n := range []int{4, 8} {
			if l := r.Line(n); l.Kind == LineItem || !r.Firm {
				t.Errorf("line %d: %s, firm %v\n%s", n, l.Kind, r.Firm, dump(r))
			}
		}
	}
	r := parsePhoto("HARBOR LANE\nOATS 4.00\nOUR CPN 1.00 OFF -1.00\nLEMON CURD 3.00\nJAM 6.30\nTEA 5.20\nOUR CPN 2.00 OFF -2.00\nSUBTOTAL 15.50\nTOTAL 15.50\nCARD 15.50")
	if l := r.Line(4); l.Kind != LineItem || !r.Firm {
		t.Errorf("%s, firm %v\n%s", l.Kind, r.Firm, dump(r))
	}
}

// TestCouponWithoutItsAmount: where a photo shows what a coupon takes off and not that it did, the
// sums may close by chance; the amount may stand in the line below.
func TestCouponWithoutItsAmount(t *testing.T) {
	for coupon, want := range map[string]bool{
		"MFR CPN 1.85 OFF\n": false, "MFR CPN 20%\n": false,
		"MFR CPN 1.85 OFF\nON YOUR TEA -1.85\n": true, "COUPONS\n": true, "MFR CPN 1.85 OFF -1.85\n": true,
	} {
		r := parsePhoto("HARBOR LANE\nOATS 4.00\nTEA 5.00\n" + coupon + map[bool]string{true: "JAM 7.85\n", false: "JAM 6.00\n"}[want && coupon != "COUPONS\n"] + "SUBTOTAL 15.00\nTOTAL 15.00\nCARD 15.00")
		if r.Firm != want {
			t.Errorf("%q: firm %v\n%s", coupon, r.Firm, dump(r))
		}
	}
}

// TestSumsOfOldTills: "ST" and "Before coupons" alone before an amount are what goods come to, on
// a photo too.
func TestSumsOfOldTills(t *testing.T) {
	for _, words := range [][2]string{{"Before coupons", "After coupons"}, {"MDSE ST", "ST"}, {"MOSE ST", "ST"}} {
		r := parsePhoto("HARBOR LANE\nOATS 4.00\nTEA 5.00\n" + words[0] + " $9.00\nMFR CPN 1.00-\n" + words[1] + " $8.00\nTAX 0.43\nTotal 8.43\nCard 8.43")
		for _, n := range []int{4, 6} {
			if l := r.Line(n); l.Kind != LineSubtotal || l.Proof != Proved {
				t.Errorf("%s: %s %s\n%s", l.Text, l.Kind, l.Proof, dump(r))
			}
		}
		if !r.Firm {
			t.Errorf("not firm\n%s", dump(r))
		}
	}
}

// TestTaxOfTwoLetters: "ST" below a subtotal and far less than that is a tax.
func TestTaxOfTwoLetters(t *testing.T) {
	r := parseText("HARBOR LANE\nOATS 7.00\nTEA 5.00\nSUBTOTAL 12.00\nST 0.54\nTOTAL 12.54\nCARD 12.54")
	if l := r.Line(5); l.Kind == LineSubtotal || !r.Firm {
		t.Errorf("%s, firm %v\n%s", l.Kind, r.Firm, dump(r))
	}
}
