package audit

import (
	"strings"
	"testing"

	"tillproof/ocr"
	"tillproof/parse"
)

// TestWhyOpen: where all sums of a photo work out and it is open all the same, what a person is
// told to look at is what keeps it open, and no doubtful amount of the foot.
func TestWhyOpen(t *testing.T) {
	page := photoPage("HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS  8.70\nCORN FLAKES 500 G\nBRACKLE LAUNDRY LIQUID  16.30\nWEXCOMBE BLACK TEA 80  10.00\n" +
		"SUBTOTAL  30.00\nTOTAL  30.00\nCARD  30.00\nSAVED TODAY 1.45\nTHANK YOU\n")
	words := page.Lines[2].Readings[0].Words
	words[len(words)-1].Alternatives = []ocr.Alternative{{Text: "3.70", Cost: 0.8}}
	foot := page.Lines[9].Readings[0].Words
	foot[len(foot)-1].Confidence = 0.4
	r := parsePage(page)
	if l := r.Line(10); l.Proof != parse.Doubtful || r.Line(3).Proof != parse.Repaired {
		t.Fatalf("line 10 is %s, line 3 %s", l.Proof, r.Line(3).Proof)
	}
	res, err := Check(Input{Plan: load(t, pantryGoods), Receipt: r})
	if err != nil {
		t.Fatal(err)
	}
	if res.Verdict != Undecided || len(res.Undecided) != 1 || !strings.Contains(res.Undecided[0], "line 3 ") {
		t.Errorf("%s: %q", res.Verdict, res.Undecided)
	}
}
