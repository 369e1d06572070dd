package ocr

import (
	"strings"
	"testing"

	"tillproof/ocr/lines"
)

// readAs is a reading of words that were all read with one confidence.
func readAs(text string, confidence float64) Reading {
	r := Reading{Votes: 1}
	for _, w := range strings.Fields(text) {
		r.Words = append(r.Words, Word{Text: w, Confidence: confidence, Votes: 1})
	}
	return r
}

// TestWhole: a reading that gave up after two letters of nine does not outvote the one that
// has them all.
func TestWhole(t *testing.T) {
	for _, c := range []struct {
		texts   []string
		letters int
		want    int
	}{
		{[]string{"TA", "TAX 1 7% 2.11"}, 9, 1},
		{[]string{"TA", "TAX"}, 9, 2}, // none has them all
		{[]string{"TAX 17% 2.11", "TAX 1 7% 2.11"}, 9, 2},
		{[]string{"TAX 2.11", "TAX 1 7% 2.11"}, 9, 2}, // a word missed
	} {
		var all []Reading
		for _, text := range c.texts {
			all = append(all, readAs(text, 0.6))
		}
		if got := whole(all, c.letters); len(got) != c.want {
			t.Errorf("%q of %d letters: %d left, want %d", c.texts, c.letters, len(got), c.want)
		}
	}
}

// TestNoPrintIsLostInSilence: what looks like print, or reads like words, stays as a line that
// could not be read.
func TestNoPrintIsLostInSilence(t *testing.T) {
	line := lines.Strip{X1: 300, Height: 20, Letters: 9, Regular: true}
	broken := lines.Strip{X1: 300, Height: 20, Letters: 3}
	for _, c := range []struct {
		why        string
		strip      lines.Strip
		text       string
		confidence float64
		want       verdict
	}{
		{"nine letters of one size, read as two", line, "TA", 0.48, unread},
		{"a pen's stroke through a line", broken, "mBONUST", 0.34, unread},
		{"letters with no confidence", broken, "mBONUST", 0.1, noPrint},
		{"the grain of a table", broken, "i. -'~.", 0.4, noPrint},
		{"a short stroke", lines.Strip{X1: 60, Height: 20, Letters: 3}, "mBONUST", 0.34, noPrint},
		{"a line read well", line, "TAX 1 7% 2.11", 0.9, isPrint},
	} {
		if got := judge(c.strip, []Reading{readAs(c.text, c.confidence)}); got != c.want {
			t.Errorf("%s: %d, want %d", c.why, got, c.want)
		}
	}
}
