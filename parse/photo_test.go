package parse

import (
	"strconv"
	"strings"

	"tillproof/ocr"
)

// photo makes a page as a reader gives it, from a line of notation each. A
// line's readings are divided by " | " and end in their votes ("#2", default
// 3); a word may carry runners-up with their costs ("4.29{4.23:1.1}") and a
// confidence ("~0.5", default 0.95). "?" alone is a line that was not read.
func photo(notation string) ocr.Page {
	page := ocr.Page{Photo: 1, Width: 1000, Height: 2000, Top: true, Bottom: true}
	for i, text := range strings.Split(strings.Trim(notation, "\n"), "\n") {
		line := ocr.Line{Photo: 1, Box: ocr.Box{X: 20, Y: 40 * i, W: 900, H: 30}}
		if strings.TrimSpace(text) != "?" {
			for _, reading := range strings.Split(text, " | ") {
				line.Readings = append(line.Readings, readingOf(reading, 40*i))
			}
		}
		page.Lines = append(page.Lines, line)
	}
	return page
}

func readingOf(text string, y int) ocr.Reading {
	r := ocr.Reading{Votes: 3}
	x := 20
	for _, field := range strings.Fields(text) {
		if votes, ok := strings.CutPrefix(field, "#"); ok && votes != "" {
			if n, err := strconv.Atoi(votes); err == nil && n < 10 {
				r.Votes = n
				continue
			}
		}
		w := ocr.Word{Confidence: 0.95}
		field, alternatives, _ := strings.Cut(strings.TrimSuffix(field, "}"), "{")
		w.Text = field
		if t, c, ok := strings.Cut(field, "~"); ok {
			w.Text = t
			w.Confidence, _ = strconv.ParseFloat(c, 64)
		}
		for _, a := range strings.Split(alternatives, ",") {
			if t, c, ok := strings.Cut(a, ":"); ok {
				cost, _ := strconv.ParseFloat(c, 64)
				w.Alternatives = append(w.Alternatives, ocr.Alternative{Text: t, Cost: cost})
			}
		}
		w.Box = ocr.Box{X: x, Y: y, W: 18 * len(w.Text), H: 30}
		x += 18 * (len(w.Text) + 1)
		r.Words = append(r.Words, w)
	}
	return r
}

func parsePhoto(notation string) *Receipt { return Parse([]ocr.Page{photo(notation)}, Options{}) }
