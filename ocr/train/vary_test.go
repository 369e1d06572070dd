package main

import (
	"image"
	"math/rand/v2"
	"testing"
)

// TestTouched: a picture of a line is as it was in about half the cases, else a little
// larger or smaller, with ink in it still; half the ink is half as dark.
func TestTouched(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 200, 40))
	for i := range img.Pix {
		img.Pix[i] = 255
		if i/img.Stride > 10 && i/img.Stride < 30 && i%img.Stride%20 < 8 {
			img.Pix[i] = 55
		}
	}
	if got := weighed(img, 0.5); got.Pix[20*got.Stride] != 155 || got.Pix[0] != 255 {
		t.Errorf("half of the ink leaves %d on %d, want 155 on 255", got.Pix[20*got.Stride], got.Pix[0])
	}
	rng, same := rand.New(rand.NewPCG(1, 1)), 0
	for range 100 {
		got := touched(img, rng)
		if got == img {
			same++
			continue
		}
		h, darkest := got.Rect.Dy(), uint8(255)
		for _, v := range got.Pix {
			darkest = min(darkest, v)
		}
		if h < 33 || h > 53 || darkest > 190 {
			t.Errorf("%v with ink of %d at most, want 34 to 52 high and ink that shows", got.Rect, darkest)
		}
	}
	if same < 35 || same > 65 {
		t.Errorf("%d of 100 were left as they are, want about half", same)
	}
}
