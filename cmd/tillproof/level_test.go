package main

import (
	"image"
	"image/color"
	"math"
	"testing"

	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/week"
)

// aslant is a page whose lines fall by a fifth, 40 pixels apart, each with a word
// at its left and a number at its right end, and its picture, where all print is
// grey.
func aslant(numbers ...string) (*image.Gray, []ocr.Page) {
	const fall, high = 0.2, 20
	img := image.NewGray(image.Rect(0, 0, 700, 500))
	for i := range img.Pix {
		img.Pix[i] = 230
	}
	angle := math.Atan(fall)
	box := func(from, to, y float64) ocr.Box { // along the line that begins at y
		w := (to - from) / math.Cos(angle)
		for u := 0.0; u < w; u += 0.5 {
			for v := -high / 2.0; v <= high/2; v += 0.5 {
				img.SetGray(int(from+u*math.Cos(angle)-v*math.Sin(angle)), int(y+from*fall+u*math.Sin(angle)+v*math.Cos(angle)), color.Gray{Y: 120})
			}
		}
		dx, dy := math.Sin(angle)*high/2, math.Cos(angle)*high/2
		return ocr.Box{X: int(from - dx), Y: int(y + from*fall - dy), W: int(to - from + 2*dx), H: int((to-from)*fall + 2*dy)}
	}
	page := ocr.Page{Photo: 1, Width: 700, Height: 500}
	for i, n := range numbers {
		y := 60 + 40*float64(i)
		words := []ocr.Word{{Text: "MEMBER", Box: box(60, 160, y), Confidence: 1}, {Text: n, Box: box(400, 640, y), Confidence: 1}}
		whole := words[0].Box
		whole.W, whole.H = words[1].Box.X+words[1].Box.W-whole.X, words[1].Box.Y+words[1].Box.H-whole.Y
		page.Lines = append(page.Lines, ocr.Line{Box: whole, Photo: 1, Readings: []ocr.Reading{{Words: words, Votes: 1}}})
	}
	return img, []ocr.Page{page}
}

// On a photo that is aslant, boxes of lines reach into each other. The numbers of
// the neighbours of the line that is asked about are hidden all the same, that
// line is not, and it stands level and alone in its frame.
func TestPictureOfSlantedLine(t *testing.T) {
	img, pages := aslant("60412233445566", "70412233445566", "80412233445566")
	b := pages[0].Lines[1].Box
	out, asked := hidden(img, pages, week.Question{Box: &parse.Box{b.X, b.Y, b.W, b.H}})
	tone := func(x, y int) int {
		r, _, _, _ := out.At(x, y).RGBA()
		return int(r >> 8)
	}
	for i := range 3 {
		for x := 405; x < 550; x += 20 { // the last four digits stay
			y := 60 + 40*i + x/5
			if got, asked := tone(x, y), i == 1; asked != (got == 120) || !asked && got != 0 {
				t.Fatalf("line %d at %d, %d: %d", i, x, y, got)
			}
		}
		if got := tone(100, 60+40*i+20); got != 120 {
			t.Errorf("the word of line %d: %d", i, got)
		}
	}
	crop, line := asked.level(img, 30)
	if math.Abs(float64(line.Dy())-20) > 4 || crop.Bounds().Dx() > pictureWidth {
		t.Errorf("the line's place is %v in %v", line, crop.Bounds())
	}
	dark := func(x, y int) bool { return crop.NRGBAAt(x, y).R < 150 }
	for _, x := range []int{line.Min.X + 15, line.Max.X - 15} {
		if y := (line.Min.Y + line.Max.Y) / 2; !dark(x, y) || dark(x, line.Min.Y-6) || dark(x, line.Max.Y+6) {
			t.Errorf("at %d the line does not stand level in %v", x, line)
		}
	}
}

// Of a line whose end was not read the whole width is shown.
func TestPictureShowsTheWholeLine(t *testing.T) {
	img, pages := aslant("1.00", "2.00", "3.00")
	l := &pages[0].Lines[1]
	whole := l.Box
	l.Readings[0].Words = l.Readings[0].Words[:1]
	l.Box = l.Readings[0].Words[0].Box
	_, asked := hidden(img, pages, week.Question{Box: &parse.Box{l.Box.X, l.Box.Y, l.Box.W, l.Box.H}})
	if u, v := asked.along(float64(whole.X+whole.W)-12, float64(whole.Y+whole.H)-12); u > asked.w/2 || math.Abs(v) > asked.h/2 {
		t.Errorf("its end lies %.0f along and %.0f across %+v", u, v, asked)
	}
}

// A line without words runs as those around it; a slope that does not fit a box
// leaves it as it is.
func TestSlopes(t *testing.T) {
	_, pages := aslant("1.00", "2.00", "3.00")
	lines := pages[0].Lines
	lines[1].Readings = nil
	for i, s := range slopes(lines) {
		if math.Abs(s-0.2) > 0.01 {
			t.Errorf("line %d: %.3f", i, s)
		}
	}
	if s := stripIn(ocr.Box{X: 10, Y: 10, W: 20, H: 40}, 0.5); s.w != 20 || s.h != 40 || s.sin != 0 {
		t.Errorf("%+v", s)
	}
}
