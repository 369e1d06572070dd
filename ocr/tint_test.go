package ocr

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"tillproof/fixtures/wear"
	"tillproof/ocr/raster"
)

// TestTintsLieAsThePhoto: the colours of a photo are turned as its brightness is, whatever
// its file says of which side is up, and a grey file has none.
func TestTintsLieAsThePhoto(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 160, 96))
	for y := range 96 {
		for x := range 160 {
			c := color.RGBA{60, 60, 200, 255}
			if x < 80 && y < 48 {
				c = color.RGBA{220, 60, 40, 255} // red is one corner
			}
			img.SetRGBA(x, y, c)
		}
	}
	for _, orientation := range []int{1, 3, 6, 8} {
		file, err := wear.EncodeJPEG(img, 95, orientation)
		if err != nil {
			t.Fatal(err)
		}
		p, err := load(1, file, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		y, cb, cr, ok := p.tints()
		if !ok {
			t.Fatalf("orientation %d: no colours", orientation)
		}
		if y.Rect != p.grey.Rect {
			t.Fatalf("orientation %d: colours of %v for a photo of %v", orientation, y.Rect, p.grey.Rect)
		}
		w, h := cr.Rect.Dx(), cr.Rect.Dy()
		for _, at := range []image.Point{{w / 4, h / 4}, {3 * w / 4, h / 4}, {w / 4, 3 * h / 4}, {3 * w / 4, 3 * h / 4}} {
			red := cr.GrayAt(at.X, at.Y).Y > cb.GrayAt(at.X, at.Y).Y
			// Red is brighter than that blue, too.
			bright := p.grey.GrayAt(at.X*p.grey.Rect.Dx()/w, at.Y*p.grey.Rect.Dy()/h).Y > 90
			if red != bright {
				t.Errorf("orientation %d: red is %v at %v, where the photo is bright: %v", orientation, red, at, bright)
			}
		}
	}
	grey := image.NewGray(image.Rect(0, 0, 64, 64))
	var asPNG, asJPEG bytes.Buffer
	if err := png.Encode(&asPNG, grey); err != nil {
		t.Fatal(err)
	}
	if err := jpeg.Encode(&asJPEG, grey, nil); err != nil {
		t.Fatal(err)
	}
	for _, file := range [][]byte{asPNG.Bytes(), asJPEG.Bytes(), EncodeGrey(grey, "")} {
		p, err := load(1, file, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, _, ok := p.tints(); ok {
			t.Errorf("a grey file has colours: %.8q", file)
		}
	}
}

// The outline of a paper is the paper's, not that of a bar code or of a cloth's weave that
// stands out more.
func TestOutline(t *testing.T) {
	for _, name := range []string{"breakfast", "supper"} {
		data, err := os.ReadFile("../fixtures/demo/" + name + ".jpg")
		if err != nil {
			t.Fatal(err)
		}
		truth, err := os.ReadFile("../fixtures/demo/" + name + ".truth.json")
		if err != nil {
			t.Fatal(err)
		}
		var want struct {
			Photo struct{ Corners [4][2]float64 }
		}
		if err := json.Unmarshal(truth, &want); err != nil {
			t.Fatal(err)
		}
		p, err := load(1, data, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		again := func(shrink int) (*photo, error) { return load(1, data, shrink, nil) }
		seen := lookAt(p, hands[0], nil)
		f, err := lieAs(seen, p, hands[0], again)
		if err != nil {
			t.Fatal(err)
		}
		if other, ok := seen.byColour(p, hands[0], f); ok {
			seen = other
		}
		got := scaled(seen.sheet, seen.factor*float64(p.shrink)).Corners
		width := math.Hypot(got[1].X-got[0].X, got[1].Y-got[0].Y)
		for i, c := range want.Photo.Corners {
			if off := math.Hypot(got[i].X-c[0], got[i].Y-c[1]) / width; !seen.found || off > 0.08 {
				t.Errorf("%s: corner %d is off by %.0f%% of the paper's width", name, i, 100*off)
			}
		}
	}
}

// A side by colour is the paper's end only where its edge was seen otherwise too.
func TestEndsAs(t *testing.T) {
	paper := func(y0, y1 float64) Sheet {
		return Sheet{Corners: [4]raster.Point{{X: 10, Y: y0}, {X: 110, Y: y0}, {X: 110, Y: y1}, {X: 10, Y: y1}}, Seen: [4]bool{true, true, true, true}}
	}
	s := sight{sheet: paper(20, 300), found: true}
	if got := s.endsAs(paper(21, 340)); got[0] || !got[2] {
		t.Errorf("the same upper and another lower end: beyond %v", got)
	}
	s.beyond[0] = true
	if got := s.endsAs(paper(21, 340)); !got[0] {
		t.Error("print was seen beyond the upper end")
	}
	if got := (sight{}).endsAs(paper(20, 300)); got != [4]bool{true, true, true, true} {
		t.Errorf("no edge was seen: beyond %v", got)
	}
}

// onStone is a photo of a receipt of small print, with or without a tint of its own, on a
// stone as bright as it is.
func onStone(t *testing.T, tint uint8) *photo {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 1500, 2000))
	rng := rand.New(rand.NewPCG(7, 7))
	put := func(x, y int, v uint8, blue uint8) { img.SetRGBA(x, y, color.RGBA{v, v, v + blue, 255}) }
	for y := range 2000 {
		for x := range 1500 {
			switch grain := uint8(rng.IntN(5)); {
			case stonePaper.At(x, y) == color.Opaque:
				put(x, y, 150+grain, tint)
			default:
				put(x, y, 150+grain, 0)
			}
		}
	}
	for line := range 40 { // letters of 7 by 12 pixels, words of six, a column of amounts
		for letter := range 36 {
			x, y := stonePaper.Min.X+20+10*letter, stonePaper.Min.Y+30+19*line
			if letter%7 == 6 || letter > 20 && letter < 30 {
				continue
			}
			for v := range 12 {
				for u := range 7 {
					if u < 2 || v < 2 || v > 9 || (u+v+letter)%5 == 0 {
						put(x+u, y+v, 40, tint)
					}
				}
			}
		}
	}
	file, err := wear.EncodeJPEG(img, 95, 1)
	if err != nil {
		t.Fatal(err)
	}
	p, err := load(1, file, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// stonePaper is where the paper of onStone lies.
var stonePaper = image.Rect(480, 500, 880, 1320)

// TestSmallPrintOnStone: where no edge shows a paper and its print is small, its colour does.
func TestSmallPrintOnStone(t *testing.T) {
	for tint, want := range map[uint8]bool{0: false, 40: true} {
		p := onStone(t, tint)
		seen := lookAt(p, hands[0], nil)
		f, err := lieAs(seen, p, hands[0], func(int) (*photo, error) { return p, nil })
		if err != nil {
			t.Fatal(err)
		}
		if seen.found || !f.reads() {
			t.Fatalf("tint %d: a paper was found by its edges: %v, its print reads: %v", tint, seen.found, f.reads())
		}
		other, ok := seen.byColour(p, hands[0], f)
		if ok != want {
			t.Errorf("tint %d: found by its colour: %v, want %v", tint, ok, want)
			continue
		}
		if !ok {
			continue
		}
		got := scaled(other.sheet, other.factor*float64(p.shrink)).Corners
		for i, c := range [4]image.Point{stonePaper.Min, {X: stonePaper.Max.X, Y: stonePaper.Min.Y}, stonePaper.Max, {X: stonePaper.Min.X, Y: stonePaper.Max.Y}} {
			if math.Hypot(got[i].X-float64(c.X), got[i].Y-float64(c.Y)) > 20 {
				t.Errorf("corner %d is found at %.0f, %.0f and is at %v", i, got[i].X, got[i].Y, c)
			}
		}
	}
}
