package ocr

import (
	"math"
	"regexp"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// face is what the digits of one receipt look like, learned from those of its amounts that
// all looks read alike. What an engine cannot tell in small or blurred print, an 8 from a
// nought with a slash, often can be told by what the same till printed above it.
//
// Digits of a till are all as wide; the point may be narrower.
type face struct {
	height       float64 // of capitals, in pixels of the flattened paper
	pitch, point float64 // from a digit to the next sign, and from a point, in steps
	glyphs       map[byte]*glyph
	specimens    []*specimen
}

// glyph is what one sign looks like: the sum of n cells.
type glyph struct {
	sum []float64
	n   int
}

// What is compared is cut out in steps, faceTall to a capital's height, and some rows above and
// below, since baselines are found to a pixel or two.
const (
	faceTall            = 24
	faceOver, faceUnder = 3, 5
	faceRows            = faceTall + faceOver + faceUnder
	faceSlack           = 3 // rows that print may stand higher or lower
	pieceRows           = faceRows + 2*faceSlack
)

// Of a face, the fewest specimens it is learned from, the most that its measures are found
// with, and how alike they have to be to what is made of the others.
const (
	fewSpecimens  = 5
	trySpecimens  = 12
	faceAgreement = 0.7
	leastHeight   = 4    // of capitals, in pixels: smaller print has no digits to tell
	clearlyNarrow = 0.01 // a narrow point has to be liker by so much
)

// piece is print straightened along its line: how dark it is, from paper (0) to ink (1), column
// by column.
type piece struct {
	columns int
	dark    []float64 // pieceRows a column
	middle  float64   // the column where the middle of the amount is taken to be
}

// specimen is an amount that is known, and where it begins.
type specimen struct {
	piece
	line int
	text string
	at   float64
	down int
}

// wholeAmount is an amount in a word.
var wholeAmount = regexp.MustCompile(`\d{1,4}\.\d\d`)

// lastAmount is where in a word its last amount stands.
func lastAmount(text string) (from, to int, ok bool) {
	all := wholeAmount.FindAllStringIndex(text, -1)
	if len(all) == 0 {
		return 0, 0, false
	}
	last := all[len(all)-1]
	return last[0], last[1], true
}

// piece cuts the amount at from to to out of w, a word of line s, with room beside it.
func (f *face) piece(k *kept, s lines.Strip, w Word, from, to int) piece {
	step := f.height / faceTall
	x0, x1 := w.FlatFrom-2*f.height, w.FlatTo+2*f.height
	p := piece{columns: max(int((x1-x0)/step), 1)}
	p.dark = make([]float64, p.columns*pieceRows)
	for c := range p.columns {
		x := x0 + (float64(c)+0.5)*step
		top := s.Base(x) - f.height - (faceOver+faceSlack)*step
		for r := range pieceRows {
			p.dark[c*pieceRows+r] = 255 - float64(raster.At(k.flat, x-0.5, top+(float64(r)+0.5)*step-0.5))
		}
	}
	all := slices.Clone(p.dark)
	slices.Sort(all)
	paper, ink := all[len(all)/2], all[len(all)*98/100]
	for i := range p.dark {
		p.dark[i] = (p.dark[i] - paper) / max(ink-paper, 4)
	}
	each := (w.FlatTo - w.FlatFrom) / float64(len(w.Text))
	p.middle = (w.FlatFrom + each*float64(from+to)/2 - x0) / step
	return p
}

// face is that of the page's own amounts, nil where too few were read alike, or these do not
// look like each other.
func (k *kept) face() *face {
	if k.learned {
		return k.own
	}
	k.learned = true
	var heights []float64
	for _, s := range k.strips {
		heights = append(heights, s.Height)
	}
	slices.Sort(heights)
	f := &face{height: heights[len(heights)/2]}
	if f.height < leastHeight {
		return nil
	}
	var wide []float64
	for i, l := range k.lines {
		if s := k.strips[i]; f.suits(s) && len(l.Readings) > 0 {
			for _, w := range readAlike(l.Readings) {
				from, to, ok := lastAmount(w.Text)
				if ok && to-from == len(w.Text) {
					f.specimens = append(f.specimens, &specimen{piece: f.piece(k, s, w, from, to), line: i, text: w.Text})
					wide = append(wide, (w.FlatTo-w.FlatFrom)/f.height*faceTall/float64(len(w.Text)))
				}
			}
		}
	}
	if len(f.specimens) < fewSpecimens {
		return nil
	}
	slices.Sort(wide)
	f.measure(wide[len(wide)/2])
	if f.learn(f.specimens, 4, 1) >= faceAgreement {
		k.own = f
	}
	return k.own
}

// suits reports whether s is print of the size that f is of.
func (f *face) suits(s lines.Strip) bool {
	return s.Widen < 1.01 && math.Abs(s.Height-f.height) < 0.15*f.height
}

// readAlike are the words that all looks at a line read alike, of two looks at least.
func readAlike(all []Reading) (out []Word) {
	votes := 0
	for _, r := range all {
		votes += max(r.Votes, 1)
	}
	for _, w := range all[0].Words {
		if votes > 1 && w.Votes >= votes && w.FlatTo > w.FlatFrom {
			out = append(out, w)
		}
	}
	return out
}

// measure finds how wide digits and the point are: that at which the specimens look most like
// each other. An engine's boxes are wider than the print in them by up to a third.
func (f *face) measure(wide float64) {
	all := f.specimens[:min(len(f.specimens), trySpecimens)]
	best, pitch, point := -1.0, wide, wide
	try := func(p, q float64) {
		f.pitch, f.point = p, q
		if agree := f.learn(all, 2, 2); agree > best {
			best, pitch, point = agree, p, q
		}
	}
	for m := 0.62; m < 1.2; m += 0.03 {
		try(m*wide, m*wide)
	}
	best += clearlyNarrow
	for m := 0.62; m < 1.2; m += 0.03 {
		try(m*wide, m*0.55*wide) // print whose signs are not all as wide
	}
	if pitch == point {
		best -= clearlyNarrow
	}
	p, q := pitch, point
	for _, m := range [...]float64{0.98, 0.985, 0.99, 0.995, 1.005, 1.01, 1.015, 1.02} {
		try(m*p, m*q)
	}
	if q < p {
		p, q = pitch, point
		for _, m := range [...]float64{0.85, 0.92, 1.08, 1.15, 1.25} {
			try(p, m*q)
		}
	}
	f.pitch, f.point = pitch, point
}

// learn makes the glyphs of the specimens: they are averaged as they stand, and each is moved to
// where it looks most like the mean of the others, so many rounds, by so many columns at a
// time. It returns how alike they are in the end, from -1 to 1.
func (f *face) learn(all []*specimen, rounds, by int) float64 {
	f.glyphs = map[byte]*glyph{}
	for _, s := range all {
		s.at, s.down = s.middle-f.long(s.text)/2, 0
		f.count(s, 1)
	}
	score := 0.0
	for round := range rounds {
		score = 0
		for _, s := range all {
			f.count(s, -1)
			reach := 0.6
			if round > 0 && by == 1 && f.alike(&s.piece, s.text, s.at, s.down, by) < 0.5 {
				reach = 2.5 // an engine's box that is further off
			}
			var fit float64
			s.at, s.down, fit = f.place(&s.piece, s.text, s.at, reach, by)
			f.count(s, 1)
			score += fit
		}
	}
	return score / float64(len(all))
}

// place finds where within reach of column at, in digits' widths, print looks most like text.
func (f *face) place(p *piece, text string, at, reach float64, by int) (best float64, down int, fit float64) {
	best, fit = at, -1
	for dx := -int(reach * f.pitch); dx <= int(reach*f.pitch); dx += by {
		for dy := -faceSlack / by * by; dy <= faceSlack; dy += by {
			if like := f.alike(p, text, at+float64(dx), dy, by); like > fit {
				best, down, fit = at+float64(dx), dy, like
			}
		}
	}
	return best, down, fit
}

// advance is how far the next sign is from c.
func (f *face) advance(c byte) float64 {
	if c == '.' {
		return f.point
	}
	return f.pitch
}

// long is how long text is.
func (f *face) long(text string) (n float64) {
	for i := range len(text) {
		n += f.advance(text[i])
	}
	return n
}

// cell are the column where the cell of sign c begins that is placed at, and its columns; ok is
// false where p does not reach so far.
func (f *face) cell(p *piece, c byte, at float64) (from, wide int, ok bool) {
	from, wide = int(math.Round(at)), int(math.Round(f.advance(c)))
	return from, wide, from >= 0 && from+wide <= p.columns
}

// column is column x of p, taken down rows lower.
func (p *piece) column(x, down int) []float64 {
	return p.dark[x*pieceRows+faceSlack+down:][:faceRows]
}

// count adds the cells of s to the glyphs, or with -1 takes them away.
func (f *face) count(s *specimen, by int) {
	at := s.at
	for i := range len(s.text) {
		c := s.text[i]
		if from, wide, ok := f.cell(&s.piece, c, at); ok {
			g := f.glyphs[c]
			if g == nil {
				g = &glyph{sum: make([]float64, wide*faceRows)}
				f.glyphs[c] = g
			}
			for x := range wide {
				sum := g.sum[x*faceRows:]
				for r, v := range s.column(from+x, s.down) {
					sum[r] += float64(by) * v
				}
			}
			g.n += by
		}
		at += f.advance(c)
	}
}

// alike is how alike the print of p from column at is to text with bare paper beside it, from
// -1 to 1: the correlation of all cells together, but of signs that were never seen. It looks at
// every by-th column.
func (f *face) alike(p *piece, text string, at float64, down, by int) float64 {
	var t tally
	beside := int(f.pitch / 2)
	for i := range beside {
		for _, x := range [...]int{int(math.Round(at)) - beside + i, int(math.Round(at+f.long(text))) + i} {
			if x < 0 || x >= p.columns {
				return -1
			}
			if x%by == 0 {
				t.paper(p.column(x, down))
			}
		}
	}
	for i := range len(text) {
		if !f.compareCell(&t, p, text[i], at, down, by) {
			return -1
		}
		at += f.advance(text[i])
	}
	return t.correlation()
}

// compareCell adds the cell of c at column at of p, beside the glyph, to t; false where p does
// not reach so far.
func (f *face) compareCell(t *tally, p *piece, c byte, at float64, down, by int) bool {
	g := f.glyphs[c]
	if g == nil || g.n == 0 {
		return true
	}
	from, wide, ok := f.cell(p, c, at)
	if !ok {
		return false
	}
	for x := 0; x < wide; x += by {
		t.add(p.column(from+x, down), g.sum[x*faceRows:], 1/float64(g.n))
	}
	return true
}

// tally adds up what the correlation of print with what it may be is made of.
type tally struct{ n, a, b, ab, aa, bb float64 }

// add compares a column of print with what it may be, sum times each.
func (t *tally) add(print, sum []float64, each float64) {
	for r, a := range print {
		b := sum[r] * each
		t.a, t.b, t.ab, t.aa, t.bb = t.a+a, t.b+b, t.ab+a*b, t.aa+a*a, t.bb+b*b
	}
	t.n += faceRows
}

// paper compares a column with bare paper.
func (t *tally) paper(print []float64) {
	for _, a := range print {
		t.a, t.aa = t.a+a, t.aa+a*a
	}
	t.n += faceRows
}

func (t *tally) correlation() float64 {
	if t.n == 0 {
		return 0
	}
	va, vb := t.aa-t.a*t.a/t.n, t.bb-t.b*t.b/t.n
	if va <= 0 || vb <= 0 {
		return 0
	}
	return (t.ab - t.a*t.b/t.n) / math.Sqrt(va*vb)
}
