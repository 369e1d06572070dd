package parse

import (
	"testing"

	"tillproof/ocr"
)

// Sums may close although a line was lost between two photos and another
// doubled, so that where they are not joined nothing is firm.
func TestGapIsNotFirm(t *testing.T) {
	pages := func(gap bool) []ocr.Page {
		first := ocr.Page{Photo: 1, Top: true}
		second := ocr.Page{Photo: 2, Bottom: true, Gap: gap}
		for i, text := range []string{"HARBOR LANE MARKET", "OATS 4.29", "JAM 3.45"} {
			first.Lines = append(first.Lines, ocr.Line{Photo: 1, Readings: []ocr.Reading{readingOf(text, 40*i)}})
		}
		for i, text := range []string{"FOIL 5.00", "TOTAL 12.74", "CARD 12.74"} {
			second.Lines = append(second.Lines, ocr.Line{Photo: 2, Readings: []ocr.Reading{readingOf(text, 40*i)}})
		}
		return []ocr.Page{first, second}
	}
	if r := Parse(pages(false), Options{}); !r.FirmBody() {
		t.Errorf("joined photos whose sums close are not firm: %v", r.Warnings)
	}
	if r := Parse(pages(true), Options{}); r.FirmBody() {
		t.Error("photos that were not joined are firm")
	}
}
