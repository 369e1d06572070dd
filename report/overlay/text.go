package overlay

import (
	"image"
	"image/draw"
	"unicode/utf8"

	"golang.org/x/image/font/gofont/gomono"
)

// TextSheet draws lines of text as a plain page, for a receipt that never was
// on paper. Line i counts as line numbers[i].
func TextSheet(lines []string, numbers []int) Sheet {
	const size, pitch, margin = 22, 30, 40
	const wide = 13.2 // of a character at that size
	longest := 40
	for _, l := range lines {
		longest = max(longest, min(utf8.RuneCountInString(l), 120))
	}
	img := image.NewRGBA(image.Rect(0, 0, int(wide*float64(longest))+2*margin, pitch*len(lines)+2*margin))
	draw.Draw(img, img.Rect, image.NewUniform(white), image.Point{}, draw.Src)
	c := &canvas{img: img, unit: 2}
	mono := face(gomono.TTF, size)
	s := Sheet{Image: img, Lines: map[int]image.Rectangle{}}
	for i, l := range lines {
		top := margin + i*pitch
		c.write(image.Pt(margin, top+pitch-8), l, mono)
		s.Lines[numbers[i]] = image.Rect(margin, top+2, img.Rect.Max.X-margin, top+pitch-2)
	}
	return s
}
