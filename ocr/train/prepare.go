package main

import (
	"image"
	"image/color"
	"math"

	"golang.org/x/image/draw"
)

// stretch makes paper (the 85th percentile of grey) white and ink (the 1st)
// black, as the reader does with each line before the engine sees it.
func stretch(img *image.Gray) *image.Gray {
	var count [256]int
	w, h := img.Rect.Dx(), img.Rect.Dy()
	for y := range h {
		for _, v := range img.Pix[y*img.Stride : y*img.Stride+w] {
			count[v]++
		}
	}
	ink, paper := percentile(count, 0.01), percentile(count, 0.85)
	if paper-ink < 8 {
		return img // blank: there is nothing to stretch
	}
	var table [256]uint8
	for v := range table {
		table[v] = uint8(max(0, min(255, (v-ink)*255/(paper-ink))))
	}
	return mapped(img, table)
}

// percentile is the grey below which the given share of all pixels lies.
func percentile(count [256]int, share float64) int {
	total := 0
	for _, n := range count {
		total += n
	}
	seen := 0
	for v, n := range count {
		seen += n
		if float64(seen) >= share*float64(total) && seen > 0 {
			return v
		}
	}
	return 255
}

// mapped gives img with every grey replaced by its entry in table.
func mapped(img *image.Gray, table [256]uint8) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		from, to := img.Pix[y*img.Stride:], out.Pix[y*out.Stride:]
		for x := range w {
			to[x] = table[from[x]]
		}
	}
	return out
}

// scaled gives img in another size.
func scaled(img *image.Gray, w, h int) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, max(1, w), max(1, h)))
	draw.CatmullRom.Scale(out, out.Rect, img, img.Rect, draw.Src, nil)
	return out
}

// toHeight scales img to a height and keeps its proportions.
func toHeight(img *image.Gray, h int) *image.Gray {
	return scaled(img, (img.Rect.Dx()*h+img.Rect.Dy()/2)/img.Rect.Dy(), h)
}

// padded puts img on a larger sheet of the given grey.
func padded(img *image.Gray, left, top, right, bottom int, grey uint8) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, left+w+right, top+h+bottom))
	draw.Draw(out, out.Rect, image.NewUniform(color.Gray{Y: grey}), image.Point{}, draw.Src)
	draw.Draw(out, image.Rect(left, top, left+w, top+h), img, img.Rect.Min, draw.Src)
	return out
}

// blurred smooths img with a Gaussian of the given sigma.
func blurred(img *image.Gray, sigma float64) *image.Gray {
	reach := int(math.Ceil(2.5 * sigma))
	kernel := make([]float64, 2*reach+1)
	sum := 0.0
	for i := range kernel {
		d := float64(i-reach) / sigma
		kernel[i] = math.Exp(-d * d / 2)
		sum += kernel[i]
	}
	w, h := img.Rect.Dx(), img.Rect.Dy()
	half := make([]float64, w*h)
	for y := range h {
		for x := range w {
			v := 0.0
			for i, k := range kernel {
				v += k * float64(img.Pix[y*img.Stride+max(0, min(w-1, x+i-reach))])
			}
			half[y*w+x] = v / sum
		}
	}
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := 0.0
			for i, k := range kernel {
				v += k * half[max(0, min(h-1, y+i-reach))*w+x]
			}
			out.Pix[y*out.Stride+x] = uint8(v/sum + 0.5)
		}
	}
	return out
}

// inkRows gives the first and one past the last row that have print on them,
// the whole height where there is none.
func inkRows(img *image.Gray) (top, bottom int) {
	s := stretch(img)
	w, h := s.Rect.Dx(), s.Rect.Dy()
	top, bottom = h, 0
	for y := range h {
		for _, v := range s.Pix[y*s.Stride : y*s.Stride+w] {
			if v < 110 {
				top, bottom = min(top, y), y+1
				break
			}
		}
	}
	if top >= bottom {
		return 0, h
	}
	return top, bottom
}
