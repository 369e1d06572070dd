package ocr

import (
	"image"
	"testing"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// What lies beside a paper on a page of print is the page's; bold print within the paper
// is its own, and so is all of it where no page was seen.
func TestPageBesideThePaper(t *testing.T) {
	s := sight{found: true, print: lines.Survey{Height: 10}}
	s.sheet.Corners = [4]raster.Point{{X: 100, Y: 100}, {X: 500, Y: 100}, {X: 500, Y: 900}, {X: 100, Y: 900}}
	for range pageLetters {
		s.print.Others = append(s.print.Others, raster.Point{X: 300, Y: 500})
	}
	out := []raster.Point{{X: 50, Y: 500}, {X: 108, Y: 500}, {X: 600, Y: 40}, {X: 300, Y: 892}}
	if got := s.page(); len(got) != 0 {
		t.Errorf("%d letters within the paper are the page's", len(got))
	}
	s.print.Others = append(s.print.Others, out...)
	if got := s.page(); len(got) != len(out) {
		t.Errorf("%d letters are the page's, not %v", len(got), out)
	}
	s.print.Others = out
	if got := s.page(); got != nil {
		t.Errorf("a page of %d letters", len(got))
	}
}

// A page's letters are taken away, one by one and also where they were seen in a larger
// picture; a piece too large for a letter, which may be the paper's own, stays.
func TestWipePage(t *testing.T) {
	ink := raster.New(200, 200)
	letter, own, large := image.Rect(10, 10, 18, 20), image.Rect(40, 10, 48, 20), image.Rect(10, 60, 150, 120)
	for i, r := range []image.Rectangle{letter, own, large} {
		for y := r.Min.Y; y < r.Max.Y; y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				ink.Pix[y*ink.Stride+x] = raster.Weak + uint8(i%2)
			}
		}
	}
	f := &flattened{pageHeight: 20, page: onFlat([]raster.Point{{X: 7, Y: 8}, {X: 30, Y: 45}, {X: -9, Y: 5}, {X: 900, Y: 900}}, 4, raster.Identity)}
	f.wipe(ink, 2)
	for _, c := range []struct {
		why  string
		at   image.Rectangle
		gone bool
	}{{"the page's letter", letter, true}, {"the paper's letter", own, false}, {"what is large", large, false}} {
		for y := c.at.Min.Y; y < c.at.Max.Y; y++ {
			for x := c.at.Min.X; x < c.at.Max.X; x++ {
				if gone := ink.Pix[y*ink.Stride+x] == 0; gone != c.gone {
					t.Fatalf("%s at %d, %d: gone is %v", c.why, x, y, gone)
				}
			}
		}
	}
}
