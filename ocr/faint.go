package ocr

import (
	"image"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// faintBlur is the blur in pixels that joins the dots of small faint print, and
// faintPrint how much darker than paper it then is at least.
const faintBlur, faintPrint = 1, 10

// preparation is a way to prepare a picture for faint or broken print to be found.
type preparation struct {
	coarse  int // the picture is smaller by so much
	blur    float64
	weakest float32 // print is so much darker than paper at least
}

// preparations are the ways that are tried, for small print first.
var preparations = [...]preparation{{1, faintBlur, faintPrint}, {1, 1.5, 14}, {2, 1.5, 6}, {2, 1.5, 14}, {2, 2, 8}}

// markAs marks the print of f so prepared.
func (f *flattened) markAs(w preparation) (ink *image.Gray) {
	g := f.dark
	for at := 1; at < w.coarse; at *= 2 {
		g = raster.Halve(g)
	}
	ink = raster.Faint(raster.Blur(g, w.blur), f.hand.follow, w.weakest)
	f.wipe(ink, w.coarse)
	return ink
}

// What makes the print of a paper doubtful: the share of letters in lines that look like
// print, and that of weak print beside firm, which is small only where most is too weak.
const (
	mostlyInLines = 0.92
	leastWeak     = 0.07
	// clearer is how much better a preparation must be to be taken, slightly how much
	// better than one for smaller print.
	clearer  = 1.2
	slightly = 1.1
)

// markFaint looks for the print in other preparations where little of it stands in lines
// as it is, and keeps the one in which most does.
func (f *flattened) markFaint() {
	best, share := worthOf(f.lines())
	if share >= mostlyInLines && weakShare(f.ink) >= leastWeak {
		return
	}
	best *= clearer
	for _, way := range preparations {
		ink := f.markAs(way)
		l := lines.Find(ink, way.coarse)
		// Lines that grow together are few large letters, and less of them lies in rows.
		if worth, in := worthOf(l); worth > best && in >= 0.95*share {
			best = slightly * worth
			f.faint, f.ink, f.coarse, f.layout = &way, ink, way.coarse, l
		}
	}
}

// worthOf is how much print l shows in lines that look like print, and the share that
// these have of its letters. What fell apart is small and much, so letters count by the
// square of their height.
func worthOf(l *lines.Layout) (worth, share float64) {
	all, in := 0, inLines(l)
	for _, s := range l.Strips() {
		all += s.Letters
	}
	if all == 0 {
		return 0, 0
	}
	share = float64(in) / float64(all)
	return float64(in) * l.Height * l.Height * share * share, share
}

// weakShare is how much weak print ink marks for each pixel of firm print.
func weakShare(ink *image.Gray) float64 {
	var n [256]int
	for _, v := range ink.Pix {
		n[v]++
	}
	return float64(n[raster.Weak]) / float64(max(n[raster.Ink], 1))
}
