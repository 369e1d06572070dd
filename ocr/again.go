package ocr

import (
	"context"
	"image"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// DigitEngine is an Engine that can be held to the characters of amounts.
type DigitEngine interface {
	Engine
	// ReadDigits reads each crop as one line that holds nothing but an amount.
	ReadDigits(ctx context.Context, crops []*image.Gray) ([][]Word, error)
}

// kept is what a second look at the lines of a page needs.
type kept struct {
	flat    *image.Gray
	lines   []Line
	strips  []lines.Strip // one a line, as they were read
	toPhoto mapping
	own     *face // of the page's amounts, nil where there is none, or before it is learned
	learned bool
}

// second are the ways in which a line is prepared for a second look: other
// heights than the first look has, lighter and heavier print.
var second = []struct {
	tall  int
	blur  float64
	heavy float64 // how much of the way to black grey becomes
}{{56, 0, 0}, {36, 0, 0}, {40, 0.8, 0}, {44, 0, 0.35}}

// Again reads a line of p once more: larger and smaller than before, blurred
// and with heavier print, and its amount by itself as digits only. The line is
// told by its box; nothing comes back for one that is not of p, or once p has
// forgotten its picture.
func (p *Page) Again(ctx context.Context, engine DigitEngine, l Line) ([]Reading, error) {
	k := p.kept
	if k == nil {
		return nil, nil
	}
	at := -1
	for i := range k.lines {
		if k.lines[i].Box == l.Box {
			at = i
		}
	}
	if at < 0 {
		return nil, nil
	}
	crops, frames := k.prepare(at, l)
	words, err := engine.ReadLines(ctx, crops)
	if err != nil {
		return nil, err
	}
	readings, amounts, places := gather(crops, words)
	digits, err := engine.ReadDigits(ctx, amounts)
	if err != nil {
		return nil, err
	}
	for i, d := range digits {
		if len(d) != 1 || !hasAmount(Reading{Words: d}) {
			continue
		}
		of, w := places[i][0], places[i][1]
		other := append([]Word(nil), words[of]...)
		d[0].Box = other[w].Box
		other[w] = d[0]
		readings = append(readings, preparedLine{of, other})
	}
	var out []Reading
	for _, r := range readings {
		line := mend(r.words, frames[r.of].Gaps())
		for n := range line {
			k.toPhoto.place(frames[r.of], &line[n])
			line[n].Votes = 1
		}
		out = vote(out, line)
	}
	if own, ok := k.asOwn(at, slices.Concat(l.Readings, out)); ok {
		out = append(out, own)
	}
	return out, nil
}

// prepare cuts strip at, of line l, out in all ways of a second look.
func (k *kept) prepare(at int, l Line) (crops []*image.Gray, frames []lines.Frame) {
	cut := func(s lines.Strip, tall int) {
		crop, frame := s.Cut(k.flat, tall)
		crops, frames = append(crops, crop), append(frames, frame)
	}
	strip := k.strips[at]
	for i, way := range second {
		cut(strip, way.tall)
		if way.blur > 0 {
			crops[i] = raster.Blur(crops[i], way.blur)
		}
		darken(crops[i], way.heavy)
	}
	// The amount may stand where nothing was seen: in a gap, or beyond the line's ends, where
	// a stroke of a pen runs through it.
	if whole := k.whole(at); !slices.ContainsFunc(l.Readings, hasAmount) || whole.X1 > strip.X1+2*strip.Height {
		for _, tall := range tallies {
			cut(whole, tall)
		}
	}
	return crops, frames
}

// whole is strip at without the gaps being left out, as far as the lines near by go.
func (k *kept) whole(at int) lines.Strip {
	const near = 4
	s := k.strips[at]
	left, right := s.X0, s.X1
	for i := max(0, at-near); i <= min(at+near, len(k.strips)-1); i++ {
		if o := k.strips[i]; o.Regular {
			left, right = min(left, o.X0), max(right, o.X1)
		}
	}
	return s.Whole(left, right)
}

// preparedLine are the words read in preparation of of a line.
type preparedLine struct {
	of    int
	words []Word
}

// gather makes a reading of each preparation, and cuts the last amount out of
// each; places say of which preparation and which word that is.
func gather(crops []*image.Gray, words [][]Word) (all []preparedLine, amounts []*image.Gray, places [][2]int) {
	for i, line := range words {
		if len(line) == 0 {
			continue
		}
		all = append(all, preparedLine{i, line})
		for w := len(line) - 1; w >= 0; w-- {
			if !hasAmount(Reading{Words: line[w : w+1]}) {
				continue
			}
			b, whole := line[w].Box, crops[i].Rect
			r := image.Rect(b.X-4, whole.Min.Y, b.X+b.W+4, whole.Max.Y).Intersect(whole)
			amounts = append(amounts, crops[i].SubImage(r).(*image.Gray))
			places = append(places, [2]int{i, w})
			break
		}
	}
	return all, amounts, places
}

// darken brings every grey nearer to black by the share heavy, but white.
func darken(g *image.Gray, heavy float64) {
	if heavy == 0 {
		return
	}
	var table [256]uint8
	for v := range table {
		ink := float64(255 - v)
		table[v] = uint8(255 - min(ink*(1+heavy), 255))
	}
	for i, v := range g.Pix {
		g.Pix[i] = table[v]
	}
}

// Forget drops the picture that a second look needs: a page of 12 megapixels
// holds some.
func (p *Page) Forget() { p.kept = nil }
