package ocr

import (
	"context"
	"image"
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

// TestJudgedByOtherLines: a line read with no confidence is print where it says what another
// says; what cannot be read is none where it lies beside all print. A heading in letters of
// several sizes is print.
func TestJudgedByOtherLines(t *testing.T) {
	at := func(x0, x1 float64, regular bool) lines.Strip {
		return lines.Strip{X0: x0, X1: x1, Height: 20, Letters: 9, Regular: regular}
	}
	for _, c := range []struct {
		why        string
		strip      lines.Strip
		text       string
		confidence float64
		others     int
		want       verdict
	}{
		{"what another line says", at(100, 400, true), "Manufagturer coupons:", 0.13, 12, isPrint},
		{"other words", at(100, 400, true), "Manchester station", 0.13, 12, unread},
		{"beside all print", at(10, 80, true), "", 0, 12, noPrint},
		{"beside all print, but few", at(10, 80, true), "", 0, 8, unread},
		{"beneath print", at(60, 180, true), "", 0, 12, unread},
		{"beside all print, read in part", at(10, 80, true), "3ox8 2e", 0.4, 12, isPrint},
		{"a heading", at(120, 260, false), "Verroy Bay arket", 0.26, 12, isPrint},
		{"a short one", at(120, 180, false), "Verroy Bay arket", 0.26, 12, noPrint},
	} {
		strips, readings := []lines.Strip{c.strip}, [][]Reading{nil}
		if c.text != "" {
			readings[0] = []Reading{readAs(c.text, c.confidence)}
		}
		for range c.others {
			strips = append(strips, at(100, 420, true))
			readings = append(readings, []Reading{readAs("Manufacturer coupon:", 0.9)})
		}
		if got := judgeAll(strips, readings)[0]; got != c.want {
			t.Errorf("%s: %d, want %d", c.why, got, c.want)
		}
	}
}

// turnedEngine reads every line with one confidence.
type turnedEngine float64

func (e turnedEngine) ReadLines(_ context.Context, crops []*image.Gray) ([][]Word, error) {
	out := make([][]Word, len(crops))
	for i := range out {
		out[i] = readAs("TOTAL 12.50", float64(e)).Words
	}
	return out, nil
}

// TestUpsideDown: print that reads badly is turned where it reads better so, by a tenth or, where
// it can hardly be read at all, by half.
func TestUpsideDown(t *testing.T) {
	strip := lines.Strip{X0: 10, X1: 90, Up: 16, Down: 4, Height: 16, Letters: 9, Widen: 1, Base: func(float64) float64 { return 30 }}
	for _, c := range []struct {
		was, turned float64
		want        bool
	}{
		{0.8, 0.95, false}, // it reads well
		{0.5, 0.55, false},
		{0.5, 0.65, true},
		{0.09, 0.145, true},
		{0.09, 0.12, false},
		{0.02, 0.06, false}, // no print at all
	} {
		r := reader{engine: turnedEngine(c.turned), flat: image.NewGray(image.Rect(0, 0, 100, 60)), strips: []lines.Strip{strip}, readings: [][]Reading{{readAs("EEZ TELOT", c.was)}}}
		got, err := r.overhead(context.Background())
		if err != nil || got != c.want {
			t.Errorf("%.2f, turned %.2f: %v, want %v (%v)", c.was, c.turned, got, c.want, err)
		}
	}
	// Rules of stars read alike either way up, and are not asked.
	r := reader{engine: turnedEngine(0.65), flat: image.NewGray(image.Rect(0, 0, 100, 60)), strips: []lines.Strip{strip}, readings: [][]Reading{{readAs("EEZ TELOT", 0.35)}}}
	rule := strip
	rule.Letters = 30
	for range 8 {
		r.strips, r.readings = append(r.strips, rule), append(r.readings, []Reading{readAs("********", 0.6)})
	}
	if got, err := r.overhead(context.Background()); err != nil || !got {
		t.Errorf("rules beside one line that reads better upside down: %v (%v)", got, err)
	}
}
