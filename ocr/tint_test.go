package ocr

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"tillproof/fixtures/wear"
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
