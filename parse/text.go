package parse

import (
	"strings"
	"unicode/utf8"

	"tillproof/ocr"
)

// The places of characters in a text page, so that what aligns in columns on
// the till aligns in a Page too: a character is columnWidth wide.
const (
	columnWidth = 10
	lineHeight  = 20
	tabStop     = 8
	// A till's paper is at most some 60 columns wide and a few hundred lines
	// long; what is beyond these is no receipt and is cut, so that no text
	// takes long.
	longestLine = 240
	mostLines   = 1500
)

// TextPage makes a page of a receipt that is text: an e-mailed receipt, or one
// that was typed. Every word has confidence 1 and no other reading. Empty
// lines are left out, and both ends of the paper are there.
func TextPage(text string) ocr.Page {
	page := ocr.Page{Photo: 1, Text: true, Top: true, Bottom: true}
	n := 0
	for len(text) > 0 && len(page.Lines) < mostLines {
		var line string
		line, text = cutLine(text)
		words, columns := textWords(line, n*lineHeight)
		if len(words) > 0 {
			first := words[0].Box
			page.Lines = append(page.Lines, ocr.Line{
				Box:      ocr.Box{X: first.X, Y: first.Y, W: columns*columnWidth - first.X, H: lineHeight},
				Readings: []ocr.Reading{{Words: words, Votes: 1}},
			})
			page.Width = max(page.Width, columns*columnWidth)
		}
		n++
	}
	page.Height = n * lineHeight
	if len(text) > 0 {
		page.Bottom = false
		page.Advice = []string{"the text has more lines than a receipt can have: only the first were read"}
	}
	return page
}

// cutLine cuts the first line off text, whatever ends it: a line feed, a
// carriage return or both, or a form feed.
func cutLine(text string) (line, rest string) {
	i := strings.IndexAny(text, "\n\r\f")
	if i < 0 {
		return text, ""
	}
	if strings.HasPrefix(text[i:], "\r\n") {
		return text[:i], text[i+2:]
	}
	return text[:i], text[i+1:]
}

// textWords returns the words of a line with their columns, and the column
// after the last.
func textWords(line string, y int) (words []ocr.Word, columns int) {
	column, start, from := 0, -1, 0
	end := func(at int) {
		if start >= 0 {
			box := ocr.Box{X: from * columnWidth, Y: y, W: (column - from) * columnWidth, H: lineHeight}
			words = append(words, ocr.Word{Text: line[start:at], Box: box, Confidence: 1})
			start, columns = -1, column
		}
	}
	for i, r := range line {
		if column >= longestLine {
			line = line[:i]
			break
		}
		if r == ' ' || r == '\t' || r == '\u00a0' || r == utf8.RuneError || r < ' ' || r == '\ufeff' {
			end(i)
			if r == '\t' {
				column += tabStop - column%tabStop - 1
			}
			column++
			continue
		}
		if start < 0 {
			start, from = i, column
		}
		column++
	}
	end(len(line))
	return words, columns
}

// SaysVoid reports whether a line of a text has a word for what is taken back, a store's own
// words among them.
func SaysVoid(text string, words Words) bool {
	said := mark(foldWords(text, nil), newOwnWords(words), nil)
	return said.has(markVoid)
}

// SaysTax reports whether a line of a text has a word for a tax, a store's own words
// among them, or names a rate. One without may still be the tax where the sums leave
// nothing else for it, but nothing is sure that rests on that.
func SaysTax(text string, words Words) bool {
	said := mark(foldWords(text, nil), newOwnWords(words), nil)
	return said.has(markTax|markTaxInfo) || strings.Contains(text, "%")
}
