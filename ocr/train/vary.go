package main

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"math/rand/v2"
)

// vary gives a picture of a line as another scanner, camera or line finder
// might have delivered it: other size, margins, sharpness and contrast.
func vary(img *image.Gray, rng *rand.Rand) *image.Gray {
	return framed(degraded(resized(trimmed(img, rng), rng), rng), rng)
}

// cutAnew is vary for a line that was worn before: what was hard to read must
// not become a guess.
func cutAnew(img *image.Gray, rng *rand.Rand) *image.Gray {
	return framed(resized(trimmed(img, rng), rng), rng)
}

// touched gives a picture that the reader cut out of a photo as it is in half
// the cases, else as another height, blur or weight of print would have it: the
// second look has some of these, and a line is the same line in all of them.
func touched(img *image.Gray, rng *rand.Rand) *image.Gray {
	if rng.IntN(2) == 0 {
		return img
	}
	tall := 0.85 + 0.45*rng.Float64()
	wide := tall * (0.93 + 0.14*rng.Float64())
	img = scaled(img, int(wide*float64(img.Rect.Dx())+0.5), int(tall*float64(img.Rect.Dy())+0.5))
	if rng.IntN(3) == 0 {
		img = blurred(img, 0.3+0.6*rng.Float64())
	}
	if rng.IntN(3) == 0 {
		img = weighed(img, 0.7+0.7*rng.Float64())
	}
	return img
}

// weighed makes all ink so many times as dark.
func weighed(img *image.Gray, ink float64) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			out.Pix[y*out.Stride+x] = uint8(max(0, 255-ink*float64(255-img.Pix[y*img.Stride+x])))
		}
	}
	return out
}

// framed lights most lines evenly, stretches all of them to black on white, and
// puts them on a sheet.
func framed(img *image.Gray, rng *rand.Rand) *image.Gray {
	if rng.IntN(10) < 8 {
		img = evened(img)
	}
	side, above := func() int { return 4 + rng.IntN(12) }, func() int { return 3 + rng.IntN(7) }
	return padded(stretch(img), side(), above(), side(), above(), 255)
}

// paperOf is the grey of most of the paper.
func paperOf(img *image.Gray) uint8 {
	var count [256]int
	for y := range img.Rect.Dy() {
		for _, v := range img.Pix[y*img.Stride : y*img.Stride+img.Rect.Dx()] {
			count[v]++
		}
	}
	return uint8(percentile(count, 0.85))
}

// trimmed cuts img to the print, with the reader's margin of an eighth of its
// height or a little more or less: line finders differ in how tight they are.
func trimmed(img *image.Gray, rng *rand.Rand) *image.Gray {
	top, bottom := inkRows(img)
	margin := func() int { return int((0.04+0.16*rng.Float64())*float64(bottom-top) + 0.5) }
	top -= margin()
	bottom += margin()
	r := image.Rect(0, max(0, top), img.Rect.Dx(), min(img.Rect.Dy(), bottom))
	out := image.NewGray(image.Rect(0, 0, r.Dx(), r.Dy()))
	draw.Draw(out, out.Rect, img, img.Rect.Min.Add(r.Min), draw.Src)
	return out
}

// resized brings img near the heights the reader uses and changes the
// proportions a little; some lines lose detail on the way.
func resized(img *image.Gray, rng *rand.Rand) *image.Gray {
	h := []int{32, 40, 48}[rng.IntN(3)]
	w := int(float64(h*img.Rect.Dx())/float64(img.Rect.Dy())*(0.88+0.26*rng.Float64()) + 0.5)
	if rng.Float64() < 0.2 {
		s := 0.4 + 0.4*rng.Float64()
		img = scaled(img, int(s*float64(w)), int(s*float64(h)))
	}
	return scaled(img, w, h)
}

// degraded blurs, fades, thickens, sprinkles and compresses img, each in some
// of the cases.
func degraded(img *image.Gray, rng *rand.Rand) *image.Gray {
	if rng.Float64() < 0.12 {
		img = thickened(img)
	}
	if rng.Float64() < 0.35 {
		img = blurred(img, 0.4+0.8*rng.Float64())
	}
	if rng.Float64() < 0.4 {
		img = faded(img, rng)
	}
	if rng.Float64() < 0.3 {
		img = sprinkled(img, 2+10*rng.Float64(), rng)
	}
	if rng.Float64() < 0.3 {
		img = compressed(img, 25+rng.IntN(60))
	}
	return img
}

// thickened spreads ink one pixel to the right, as hot print heads do.
func thickened(img *image.Gray) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		from, to := img.Pix[y*img.Stride:], out.Pix[y*out.Stride:]
		to[0] = from[0]
		for x := 1; x < w; x++ {
			to[x] = min(from[x], from[x-1])
		}
	}
	return out
}

// faded makes ink lighter and paper darker, more at one end of the line.
func faded(img *image.Gray, rng *rand.Rand) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, w, h))
	ink, tilt := 110*rng.Float64(), 60*(rng.Float64()-0.5)
	paper := 255 - 70*rng.Float64()
	for x := range w {
		shift := tilt * (float64(x)/float64(w) - 0.5)
		for y := range h {
			v := ink + (paper-ink)*float64(img.Pix[y*img.Stride+x])/255 + shift
			out.Pix[y*out.Stride+x] = uint8(max(0, min(255, v)))
		}
	}
	return out
}

// sprinkled adds the noise of a sensor.
func sprinkled(img *image.Gray, sigma float64, rng *rand.Rand) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := float64(img.Pix[y*img.Stride+x]) + sigma*rng.NormFloat64()
			out.Pix[y*out.Stride+x] = uint8(max(0, min(255, v)))
		}
	}
	return out
}

// compressed saves img as a JPEG and opens it again.
func compressed(img *image.Gray, quality int) *image.Gray {
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: quality}); err != nil {
		return img // only pictures beyond 65,535 pixels are refused
	}
	back, err := jpeg.Decode(&buf)
	if err != nil {
		return img
	}
	if gray, ok := back.(*image.Gray); ok {
		return gray
	}
	return img
}
