package main

import (
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
	img := draw.TextLine(text, style, rng)
	if rng.IntN(3) > 0 {
		worn := wear.Line(img, 0.85*math.Pow(rng.Float64(), 1.5), rng)
		return sample{cutAnew(toHeight(worn, 40), rng), squeezed(text)}
	}
	return sample{vary(toHeight(img, 40), rng), squeezed(text)}
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
