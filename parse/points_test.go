package parse

import (
	"testing"

	"tillproof/ocr"
)

// The end of a number that is covered up is no number of points.
func TestPointsOfCoveredNumber(t *testing.T) {
	for text, want := range map[string]int{
		"POINTS CARD/CARTE ********2322": 0,
		"POINTS CARD XXXXXXXX4321":       0,
		"POINTS CARD ****2322 500 PTS":   500,
		"***500 POINTS***":               500,
		"POINTS EARNED: 120":             120,
	} {
		r := Parse([]ocr.Page{TextPage("HARBOR LANE MARKET\nTEA 4.00\nTOTAL 4.00\nCARD 4.00\n" + text + "\n")}, Options{})
		if got := r.Lines[len(r.Lines)-1].Points; got != want {
			t.Errorf("%q: %d points, want %d", text, got, want)
		}
	}
}
