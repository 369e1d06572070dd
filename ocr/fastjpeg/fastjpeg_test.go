package fastjpeg_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"testing"

	"tillproof/ocr"
	"tillproof/ocr/fastjpeg"
)

// photo is a picture with slopes, edges and, where coloured, hues.
func photo(t testing.TB, w, h int, coloured bool) []byte {
	t.Helper()
	var img image.Image
	if coloured {
		c := image.NewRGBA(image.Rect(0, 0, w, h))
		for y := range h {
			for x := range w {
				c.Set(x, y, color.RGBA{uint8(x * 255 / w), uint8(y * 255 / h), uint8((x / 16 % 2) * 200), 255})
			}
		}
		img = c
	} else {
		g := image.NewGray(image.Rect(0, 0, w, h))
		for y := range h {
			for x := range w {
				g.SetGray(x, y, color.Gray{Y: uint8(60 + 150*((x/11+y/7)%2))})
			}
		}
		img = g
	}
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// TestDecode compares with image/jpeg of the standard library, which is another
// implementation of the same standard (ITU-T T.81).
func TestDecode(t *testing.T) {
	for _, size := range []image.Point{{160, 96}, {161, 97}, {47, 203}} {
		for _, coloured := range []bool{false, true} {
			for _, shrink := range []int{1, 2, 4, 8} {
				t.Run(fmt.Sprint(size, coloured, shrink), func(t *testing.T) {
					data := photo(t, size.X, size.Y, coloured)
					got, err := fastjpeg.Decode(data, shrink)
					if err != nil {
						t.Fatal(err)
					}
					want, err := ocr.DecodeJPEG(data, shrink)
					if err != nil {
						t.Fatal(err)
					}
					if got.Rect != want.Rect {
						t.Fatalf("size %v, want %v", got.Rect, want.Rect)
					}
					off := 0.0
					for i, v := range got.Pix {
						off += math.Abs(float64(v) - float64(want.Pix[i]))
					}
					if mean := off / float64(len(got.Pix)); mean > 4 {
						t.Errorf("pixels differ by %.1f on average", mean)
					}
				})
			}
		}
	}
}

func TestDecodeRefuses(t *testing.T) {
	whole := photo(t, 160, 96, true)
	for name, data := range map[string][]byte{"nothing": nil, "no JPEG": []byte("\xff\xd8 receipt"), "cut short": whole[:len(whole)/2]} {
		if img, err := fastjpeg.Decode(data, 1); err == nil {
			t.Errorf("%s: decoded to %v", name, img.Rect)
		}
	}
}

func FuzzDecode(f *testing.F) {
	f.Add(photo(f, 33, 17, true), uint8(0))
	f.Add(photo(f, 64, 64, false), uint8(3))
	f.Fuzz(func(t *testing.T, data []byte, by uint8) {
		if c, err := jpeg.DecodeConfig(bytes.NewReader(data)); err != nil || c.Width > 4096 || c.Height > 4096 {
			return // the caller has looked at the head
		}
		img, err := fastjpeg.Decode(data, 1<<(by%4))
		if err == nil && len(img.Pix) != img.Rect.Dx()*img.Rect.Dy() {
			t.Errorf("%d pixels in %v", len(img.Pix), img.Rect)
		}
	})
}

func BenchmarkDecode(b *testing.B) {
	data := photo(b, 4032, 3024, true)
	for _, shrink := range []int{1, 2} {
		b.Run(fmt.Sprint("libjpeg ", shrink), func(b *testing.B) {
			for b.Loop() {
				fastjpeg.Decode(data, shrink)
			}
		})
		b.Run(fmt.Sprint("image/jpeg ", shrink), func(b *testing.B) {
			for b.Loop() {
				ocr.DecodeJPEG(data, shrink)
			}
		})
	}
}
