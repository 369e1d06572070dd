package match

import (
	"testing"

	"tillproof/parse"
)

// TestReads: what a plan says that the till prints is found with a letter misread on a photo,
// and only as it is in a text, where a short word more is another variety.
func TestReads(t *testing.T) {
	prints := newName("BRAC GROU COFF 227 G")
	for _, c := range []struct {
		printed string
		photo   int
		want    bool
	}{
		{"BRAC GROU COFF 227 G", 0, true},
		{"BRAC GROU COFF", 0, true}, // cut short
		{"BRAC CLA GROU COFF 227G", 0, false},
		{"BRAC GROU CDFF 227G", 1, true},
		{"BRAC GROU CDFF 227G", 0, false},
	} {
		n := newName(c.printed)
		n.trust(&parse.Line{Photo: c.photo})
		if got := n.reads(&prints); got != c.want {
			t.Errorf("%q of photo %d: %v", c.printed, c.photo, got)
		}
	}
}
