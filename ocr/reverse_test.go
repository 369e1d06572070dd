package ocr

import (
	"image"
	"testing"

	"tillproof/ocr/raster"
)

// sheetWith is a light sheet with rows of dark letters, 20 pixels high, and what
// paint adds to it.
func sheetWith(paint func(set func(r image.Rectangle, v uint8))) *image.Gray {
	g := raster.New(700, 500)
	raster.Fill(g, 225)
	set := func(r image.Rectangle, v uint8) {
		for y := r.Min.Y; y < r.Max.Y; y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				g.Pix[y*g.Stride+x] = v
			}
		}
	}
	for row := range 3 {
		for i := range 24 {
			set(image.Rect(60+24*i, 40+40*row, 60+24*i+5, 60+40*row), 50)
		}
	}
	paint(set)
	return g
}

// TestTurnedBars: a dark bar with light letters in it is turned round, and nothing
// else that is dark is.
func TestTurnedBars(t *testing.T) {
	bar := image.Rect(50, 300, 640, 340)
	letters := func(set func(image.Rectangle, uint8), v uint8) {
		for i := range 6 {
			set(image.Rect(70+30*i, 306, 80+30*i, 334), v)
			set(image.Rect(450+30*i, 306, 460+30*i, 334), v)
		}
	}
	for _, c := range []struct {
		name   string
		paint  func(set func(image.Rectangle, uint8))
		turned bool
	}{
		{"light on black", func(set func(image.Rectangle, uint8)) { set(bar, 45); letters(set, 215) }, true},
		{"a black bar", func(set func(image.Rectangle, uint8)) { set(bar, 45) }, false},
		{"print in a shadow", func(set func(image.Rectangle, uint8)) { set(bar, 110); letters(set, 30) }, false},
		{"bold print in a shadow, where paper is in the light near by", func(set func(image.Rectangle, uint8)) {
			for x := 54; x < 640; x += 4 {
				set(image.Rect(x, 304, x+4, 336), uint8(60+60*(x/4%3)/2+30*(x/40%2)))
			}
			for x := 90; x < 640; x += 60 {
				set(image.Rect(x, 310, x+6, 330), 150)
			}
		}, false},
		{"a bar code", func(set func(image.Rectangle, uint8)) {
			for x := 50; x < 640; x += 10 {
				set(image.Rect(x, 300, x+6, 340), 45)
			}
		}, false},
		{"a dark table beside the paper", func(set func(image.Rectangle, uint8)) { set(image.Rect(0, 280, 700, 500), 45) }, false},
		{"a thick rule", func(set func(image.Rectangle, uint8)) { set(image.Rect(50, 300, 640, 308), 45) }, false},
	} {
		g := sheetWith(c.paint)
		before := append([]uint8(nil), g.Pix...)
		out := turnedBars(g, 20)
		if (out != g) != c.turned {
			t.Errorf("%s: turned round %v, want %v", c.name, out != g, c.turned)
		}
		if string(before) != string(g.Pix) {
			t.Errorf("%s: the picture itself was changed", c.name)
		}
		if !c.turned || out == g {
			continue
		}
		if letter, ground := out.GrayAt(75, 320).Y, out.GrayAt(330, 320).Y; letter > 80 || ground < 200 {
			t.Errorf("%s: a letter is %d and the ground %d, want dark on light", c.name, letter, ground)
		}
		if out.GrayAt(62, 50) != g.GrayAt(62, 50) {
			t.Errorf("%s: other print was changed", c.name)
		}
	}
}
