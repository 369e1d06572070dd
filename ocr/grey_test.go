package ocr

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"testing"
)

func TestGreyPictureGoesThere(t *testing.T) {
	// A picture whose corner is not 0 0, and whose rows have more in memory.
	whole := image.NewGray(image.Rect(0, 0, 90, 70))
	for i := range whole.Pix {
		whole.Pix[i] = uint8(i * 7)
	}
	img := whole.SubImage(image.Rect(5, 6, 75, 66))
	for _, taken := range []string{"2026:05:09 10:11:12", ""} {
		p, err := load(1, EncodeGrey(img, taken), 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		if p.width != 70 || p.height != 60 || p.shrink != 1 || p.exif.taken != taken {
			t.Errorf("got %d by %d, shrunk by %d, taken %q", p.width, p.height, p.shrink, p.exif.taken)
		}
		for y := range 60 {
			for x := range 70 {
				if got, want := p.grey.GrayAt(x, y), img.At(x+5, y+6).(color.Gray); got != want {
					t.Fatalf("at %d, %d: %v, not %v", x, y, got, want)
				}
			}
		}
		half, err := load(1, EncodeGrey(img, taken), 2, nil)
		if err != nil || half.grey.Rect.Dx() != 35 || half.width != 70 {
			t.Errorf("shrunk: %v", err)
		}
	}
	// Colours become as bright as they look (Rec. 601, as in a JPEG).
	red := image.NewNRGBA(image.Rect(0, 0, 50, 50))
	for i := 0; i < len(red.Pix); i += 4 {
		red.Pix[i], red.Pix[i+3] = 255, 255
	}
	if p, err := load(1, EncodeGrey(red, ""), 1, nil); err != nil || p.grey.GrayAt(9, 9).Y != 76 {
		t.Errorf("red: %v", err)
	}
}

func TestGreyPictureRefused(t *testing.T) {
	good := EncodeGrey(image.NewGray(image.Rect(0, 0, 60, 50)), "")
	// Notes that are no time would break the head.
	if bytes.Contains(EncodeGrey(image.NewGray(image.Rect(0, 0, 1, 1)), "9\n9 9\n255\n999999999"), []byte("taken")) {
		t.Error("anything is taken for a time")
	}
	for _, data := range [][]byte{
		good[:3], good[:8], good[:len(good)-1], []byte("P5\n60 50\n15\n"), []byte("P5\n-60 -50\n255\n"), []byte("P5\n0 50\n255\n"),
		[]byte("P5\n4000000000 4000000000\n255\n"), []byte("P5\n60\n255\n"), []byte("P5\n# taken 1\n# taken 2\n60 50\n255\n"),
	} {
		_, err := load(3, data, 0, nil)
		var file *FileError
		if !errors.As(err, &file) || file.Photo != 3 {
			t.Errorf("%.30q: got %v", data, err)
		}
	}
}
