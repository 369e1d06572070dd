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

// inkRows gives the first and one past the last row of the line in img, the
// whole height where none stands out. Print is where grey changes from pixel
// to pixel, so shadows do not count, and remnants of other lines are left out.
func inkRows(img *image.Gray) (top, bottom int) {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	change := make([]int, h)
	most := 0
	for y := range h {
		row := img.Pix[y*img.Stride : y*img.Stride+w]
		for x := 1; x < w; x++ {
			// Noise is small and everywhere.
			if d := int(row[x]) - int(row[x-1]); d > 12 || d < -12 {
				change[y] += max(d, -d)
			}
		}
		if change[y] > change[most] {
			most = y
		}
	}
	const gap = 3 // rows that may be empty within a line, as under the dot of an i
	top, bottom = most, most+1
	for y, empty := most, 0; y >= 0 && empty <= gap; y-- {
		if empty++; 10*change[y] > change[most] {
			top, empty = y, 0
		}
	}
	for y, empty := most, 0; y < h && empty <= gap; y++ {
		if empty++; 10*change[y] > change[most] {
			bottom, empty = y+1, 0
		}
	}
	if bottom-top < h/4 {
		return 0, h
	}
	return top, bottom
}

// evened lights the paper evenly along the line, as the reader does: each
// stretch of paper becomes white.
func evened(img *image.Gray) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	n := max(1, w/h)
	paper := make([]float64, n)
	for i := range n {
		var count [256]int
		for y := range h {
			for _, v := range img.Pix[y*img.Stride+i*w/n : y*img.Stride+(i+1)*w/n] {
				count[v]++
			}
		}
		paper[i] = max(1, float64(percentile(count, 0.8)))
	}
	out := image.NewGray(image.Rect(0, 0, w, h))
	for x := range w {
		at := max(0, min(float64(n-1), float64(x)*float64(n)/float64(w)-0.5))
		i := min(int(at), max(0, n-2))
		white := paper[i]
		if n > 1 {
			white += (paper[i+1] - paper[i]) * (at - float64(i))
		}
		for y := range h {
			out.Pix[y*out.Stride+x] = uint8(min(255, float64(img.Pix[y*img.Stride+x])*255/white))
		}
	}
	return out
}
