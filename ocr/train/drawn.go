package main

import (
	"image"
	"math"
	"math/rand/v2"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
)

// fontRoot is where Debian puts its fonts.
const fontRoot = "/usr/share/fonts"

// printer draws invented lines with all fonts there are.
type printer struct{ fonts []*draw.Font }

// newPrinter takes the fonts of the program and those of the listed packages
// that are installed; the names of the packages that are not are returned.
func newPrinter() (p printer, missing []string) {
	installed, missing := draw.Installed(fontRoot)
	return printer{append(draw.Embedded(), installed...)}, missing
}

// drawnJobs are n invented lines.
func (p printer) drawnJobs(n int) []job {
	jobs := make([]job, n)
	for i := range jobs {
		jobs[i] = p.line
	}
	return jobs
}

// line invents a line, prints it in a random style and wears it, a third of
// them only little.
func (p printer) line(rng *rand.Rand) sample {
	text := invented(rng)
	style := draw.RandomStyle(p.fonts, 0, rng)
	img := closed(draw.TextLine(text, style, rng), rng)
	if rng.IntN(3) > 0 {
		worn := wear.Line(img, worst*math.Pow(rng.Float64(), 1.5), rng)
		return sample{cutAnew(toHeight(worn, 40), rng), squeezed(text)}
	}
	return sample{vary(toHeight(img, 40), rng), squeezed(text)}
}

// worst is the strength of the worst wear that is learnt from. Beyond it a
// person guesses too, and what learns from guesses reads clear print worse.
const worst = 0.65

// closed cuts wide gaps down, as the reader does: between the name and the
// amount an engine sees two or three letters' height of paper.
func closed(img *image.Gray, rng *rand.Rand) *image.Gray {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	top, bottom := inkRows(img)
	limit := int((2.2 + 0.6*rng.Float64()) * 0.8 * float64(bottom-top))
	dark := int(paperOf(img)) - 40
	out := image.NewGray(image.Rect(0, 0, w, h))
	blank, at := 0, 0
	for x := range w {
		ink := false
		for y := range h {
			ink = ink || int(img.Pix[y*img.Stride+x]) < dark
		}
		if ink {
			// Of a gap that is too wide the middle goes.
			if blank > limit*14/10 {
				at -= blank - limit
			}
			blank = 0
		} else {
			blank++
		}
		for y := range h {
			out.Pix[y*out.Stride+at] = img.Pix[y*img.Stride+x]
		}
		at++
	}
	// A copy, so that its rows lie close: those who wear it count on that.
	return padded(out.SubImage(image.Rect(0, 0, at, h)).(*image.Gray), 0, 0, 0, 0, 255)
}

// check is n invented lines to judge a model by, prepared as the reader does.
func (p printer) check(n int, seed uint64) check {
	c := check{name: "invented lines"}
	for i := range n {
		s := p.line(rand.New(rand.NewPCG(^seed, uint64(i))))
		c.add(stretch(s.img), s.text)
	}
	return c
}
