package tesseract

import (
	"cmp"
	"html"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tillproof/ocr"
)

// maxAlternatives is how many other readings of one word are kept.
const maxAlternatives = 12

// choice is one reading of one character, with the engine's confidence in
// percent.
type choice struct {
	text string
	conf float64
}

// parseHOCR reads the words out of the hOCR text of one line. Tesseract writes
// it itself, in one fixed form, so that the tags are looked for directly: an
// XML parser takes longer than the reading.
func parseHOCR(s string) []ocr.Word {
	var words []ocr.Word
	for {
		_, rest, ok := strings.Cut(s, "class='ocrx_word'")
		if !ok {
			return apart(words)
		}
		part := rest
		if i := strings.Index(rest, "class='ocrx_word'"); i >= 0 {
			part = rest[:i]
		}
		s = rest
		if w, ok := parseWord(part); ok {
			words = append(words, w)
		}
	}
}

// apart are the words of a line with boxes that end before the next begins: the engine gives a
// word whose last letter it cannot place the line's end.
func apart(words []ocr.Word) []ocr.Word {
	for i := range words[:max(0, len(words)-1)] {
		if room := words[i+1].Box.X - words[i].Box.X; room > 0 {
			words[i].Box.W = min(words[i].Box.W, room)
		}
	}
	return words
}

// parseWord reads one word from after its class to the next word.
func parseWord(s string) (w ocr.Word, ok bool) {
	_, title, ok := strings.Cut(s, "bbox ")
	if !ok {
		return w, false
	}
	title, body, ok := strings.Cut(title, "'>")
	if !ok {
		return w, false
	}
	box, conf, _ := strings.Cut(title, "; x_wconf ")
	corners := strings.Fields(box)
	if len(corners) < 4 {
		return w, false
	}
	var n [4]int
	for i := range n {
		v, err := strconv.ParseInt(corners[i], 10, 32)
		if err != nil {
			return w, false
		}
		n[i] = int(v)
	}
	w.Box = ocr.Box{X: n[0], Y: n[1], W: n[2] - n[0], H: n[3] - n[1]}
	percent, _ := number(conf)
	w.Confidence = min(max(percent/100, 0), 1)
	text, _, _ := strings.Cut(body, "<")
	w.Text = strings.TrimSpace(html.UnescapeString(text))
	if w.Text == "" || w.Box.W <= 0 || w.Box.H <= 0 {
		return w, false
	}
	if w.Confidence == 0 && !strings.ContainsFunc(w.Text, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
		return w, false // a guess at bare paper
	}
	w.Alternatives = alternatives(w.Text, parseChoices(body))
	return w, true
}

// number reads a confidence; what is written like a number and is none, such as
// NaN, would make every comparison with it false.
func number(s string) (float64, bool) {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

// parseChoices reads the runners-up of each character of a word.
func parseChoices(body string) [][]choice {
	var out [][]choice
	for _, group := range strings.Split(body, "id='lstm_choices_")[1:] {
		var choices []choice
		for _, c := range strings.Split(group, "title='x_confs ")[1:] {
			conf, rest, ok := strings.Cut(c, "'>")
			if !ok {
				continue
			}
			text, _, _ := strings.Cut(rest, "<")
			if v, ok := number(conf); ok {
				choices = append(choices, choice{html.UnescapeString(text), v})
			}
		}
		out = append(out, choices)
	}
	return out
}

// alternatives makes other readings of a word by putting a runner-up in the
// place of one character, or of two, cheapest first. Tesseract counts the
// space before a word as a character of it; groups that stand for nothing in
// the text are skipped.
func alternatives(text string, groups [][]choice) []ocr.Alternative {
	runes := []rune(text)
	type swap struct {
		at   int
		text string
		cost float64
	}
	var swaps []swap
	at := 0
	for _, g := range groups {
		if len(g) == 0 || g[0].text == " " || at >= len(runes) {
			continue
		}
		if g[0].text != string(runes[at]) {
			// The best choice is not what was printed in the word: the beam took
			// another path here. Look whether the groups fit again further on.
			if !contains(g, string(runes[at])) {
				continue
			}
		}
		won := confidenceOf(g, string(runes[at]))
		for _, c := range g {
			if c.text == string(runes[at]) {
				continue
			}
			t := strings.TrimSpace(c.text)
			swaps = append(swaps, swap{at, t, math.Log(max(won, 0.01)) - math.Log(max(c.conf, 0.01))})
		}
		at++
	}
	for i := range swaps {
		swaps[i].cost = max(swaps[i].cost, 0)
	}
	slices.SortStableFunc(swaps, func(a, b swap) int { return cmp.Compare(a.cost, b.cost) })
	replace := func(s ...swap) string {
		parts := make([]string, len(runes))
		for i, r := range runes {
			parts[i] = string(r)
		}
		for _, x := range s {
			parts[x.at] = x.text
		}
		return strings.Join(parts, "")
	}
	var out []ocr.Alternative
	for i, a := range swaps {
		if len(out) >= 2*maxAlternatives {
			break
		}
		out = append(out, ocr.Alternative{Text: replace(a), Cost: a.cost})
		for _, b := range swaps[:i] {
			if b.at != a.at && len(out) < 2*maxAlternatives && a.cost+b.cost < 9 {
				out = append(out, ocr.Alternative{Text: replace(a, b), Cost: a.cost + b.cost})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b ocr.Alternative) int { return cmp.Compare(a.Cost, b.Cost) })
	out = slices.DeleteFunc(out, func(a ocr.Alternative) bool { return a.Text == "" || a.Text == text })
	return out[:min(len(out), maxAlternatives)]
}

func contains(g []choice, text string) bool {
	return slices.ContainsFunc(g, func(c choice) bool { return c.text == text })
}

func confidenceOf(g []choice, text string) float64 {
	for _, c := range g {
		if c.text == text {
			return c.conf
		}
	}
	return 0
}
