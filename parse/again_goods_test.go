package parse

import "testing"

// TestGoodsAgain: goods of which there is a line for each unit cost the same in each, and what was
// read otherwise in some is mended by the others together with the sum.
func TestGoodsAgain(t *testing.T) {
	r := parsePhoto("HARBOR LANE\nWEX OATS 1KG 3.29\nWEX OATS 1KG 3.29\nWEX OATS 1KC 3.23 #2 | WEX OATS 1KG 3.29 #1\nWEX OAIS 1KG 5.29~0.3\nWEX OATS 1KG 3.20 #2 | WEX OATS 1KG 3.29 #1\nTEA 2.07\nTOTAL 18.52\nCARD 18.52")
	for n := 2; n <= 6; n++ {
		if l := r.Line(n); l.Amount.String() != "3.29" || !l.Proof.Firm() {
			t.Errorf("line %d: %s %s\n%s", n, l.Amount, l.Proof, dump(r))
		}
	}
	if !r.Firm {
		t.Errorf("not firm\n%s", dump(r))
	}
}

// TestGoodsAgainNeedTheirName: other goods, or another size, bear nothing out.
func TestGoodsAgainNeedTheirName(t *testing.T) {
	for _, names := range [][2]string{{"WEX OATS 1KG", "DAPPLE JAM 1KG"}, {"WEX OATS 1KG", "WEX OATS 5KG"}, {"OATS", "OATS"}} {
		a, b := names[0]+" ", names[1]+" "
		r := parsePhoto("HARBOR LANE\n" + a + "3.29\n" + a + "3.29\n" + b + "3.23 #2 | " + b + "3.29 #1\n" + b + "5.29~0.3\n" + b + "3.20 #2 | " + b + "3.29 #1\nTEA 2.07\nTOTAL 18.52\nCARD 18.52")
		if r.Firm {
			t.Errorf("%s and %s: firm\n%s", a, b, dump(r))
		}
	}
}
