package ocr

import (
	"cmp"
	"slices"
	"strings"
)

// mend joins the halves of amounts that an engine took for two words: wide
// print leaves as much room behind a decimal point as between words. Halves
// that stand further apart than a letter is wide are two columns, and so are those
// on both sides of a gap that was cut down: engines do not place words well there.
func mend(words []Word, gaps []int) []Word {
	wide := letterWidth(words)
	var out []Word
	for _, w := range words {
		if n := len(out) - 1; n >= 0 && halves(out[n].Text, w.Text) {
			gap, own := float64(w.Box.X-out[n].Box.X-out[n].Box.W), float64(w.Box.W)/float64(len(w.Text))
			apart := slices.ContainsFunc(gaps, func(at int) bool {
				near := w.Box.H / 2
				return out[n].Box.X+out[n].Box.W-near <= at && at <= w.Box.X+near
			})
			if !apart && gap < 1.3*max(wide, own) {
				out[n] = merge(out[n], w)
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

// letterWidth is the width that most letters of a line take.
func letterWidth(words []Word) float64 {
	var widths []float64
	for _, w := range words {
		for range len(w.Text) {
			widths = append(widths, float64(w.Box.W)/float64(len(w.Text)))
		}
	}
	if len(widths) == 0 {
		return 0
	}
	slices.Sort(widths)
	return widths[len(widths)/2]
}

// halves reports whether a and b are an amount cut at its point: "1." and
// "99", or "1" and ".99".
func halves(a, b string) bool {
	digit := func(s string, i int) bool { return i >= 0 && i < len(s) && isDigit(s[i]) }
	cents := func(s string) bool { return digit(s, 0) && digit(s, 1) && !digit(s, 2) }
	if strings.HasSuffix(a, ".") || strings.HasSuffix(a, ",") {
		return digit(a, len(a)-2) && cents(b)
	}
	whole := strings.LastIndexAny(a, ".,") < 0
	return whole && digit(a, len(a)-1) && len(b) > 1 && (b[0] == '.' || b[0] == ',') && cents(b[1:])
}

// merge makes one word of two halves.
func merge(a, b Word) Word {
	x1 := max(a.Box.X+a.Box.W, b.Box.X+b.Box.W)
	y0, y1 := min(a.Box.Y, b.Box.Y), max(a.Box.Y+a.Box.H, b.Box.Y+b.Box.H)
	out := Word{
		Text:       a.Text + b.Text,
		Box:        Box{X: a.Box.X, Y: y0, W: x1 - a.Box.X, H: y1 - y0},
		Confidence: min(a.Confidence, b.Confidence),
	}
	for _, alt := range a.Alternatives {
		out.Alternatives = append(out.Alternatives, Alternative{alt.Text + b.Text, alt.Cost})
	}
	for _, alt := range b.Alternatives {
		out.Alternatives = append(out.Alternatives, Alternative{a.Text + alt.Text, alt.Cost})
	}
	slices.SortStableFunc(out.Alternatives, func(a, b Alternative) int { return cmp.Compare(a.Cost, b.Cost) })
	return out
}
