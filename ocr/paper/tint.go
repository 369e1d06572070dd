package paper

import (
	"cmp"
	"image"
	"math"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// What makes a part of a picture one colour, and a sheet of it a paper: how far apart two
// colours are at least (as logarithms of red to green and blue to green), how many of the
// commonest are looked at, how far from one its own pixels are, at least and as a multiple
// of what neighbours differ by, and how clearly a sheet's edges must stand out.
const (
	tintApart  = 0.06
	tintMost   = 5
	tintSpread = 0.02
	tintNoise  = 3
	tintScore  = 0.65
)

// openings are how wide in pixels of the small picture what is taken away is at most,
// halved: specks of another paper's colour, the squares of a checked cloth.
var openings = [...]int{2, 11}

// ByColour finds sheets of one colour in a picture given by its brightness and its two
// differences of colour (as JPEG has them), which may be smaller; the clearest first. Any
// of them may be a part of the table.
func ByColour(y, cb, cr *image.Gray) []Sheet {
	shrink := float64(max(y.Rect.Dx(), y.Rect.Dy())) / longSide
	w, h := int(float64(y.Rect.Dx())/shrink), int(float64(y.Rect.Dy())/shrink)
	if w < 48 || h < 48 || min(cb.Rect.Dx(), cb.Rect.Dy(), cr.Rect.Dx(), cr.Rect.Dy()) < 24 {
		return nil
	}
	t := newTints(raster.Resize(y, w, h), raster.Resize(cb, w, h), raster.Resize(cr, w, h))
	sx, sy := float64(y.Rect.Dx())/float64(w), float64(y.Rect.Dy())/float64(h)
	var all []Sheet
	for _, mode := range t.modes() {
		like := raster.Close(t.like(mode), 2)
		for _, r := range openings {
			part, ok := opened(like, r)
			if !ok {
				continue
			}
			s, found := Find(part, lines.Survey{})
			if !found || s.Score < tintScore {
				continue
			}
			for i := range s.Corners {
				s.Corners[i].X *= sx
				s.Corners[i].Y *= sy
			}
			if !slices.ContainsFunc(all, func(o Sheet) bool { return Near(s, o, 8*max(sx, sy)) }) {
				all = append(all, s)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Sheet) int { return cmp.Compare(b.Score, a.Score) })
	return all
}

// Near reports whether all corners of a lie within r pixels of those of b.
func Near(a, b Sheet, r float64) bool {
	for i, c := range a.Corners {
		if math.Hypot(c.X-b.Corners[i].X, c.Y-b.Corners[i].Y) > r {
			return false
		}
	}
	return true
}

// opened is g without what is bright and narrower than 2r+1 pixels; ok is false where
// next to nothing is left, or next to everything.
func opened(g *image.Gray, r int) (out *image.Gray, ok bool) {
	turned := func(g *image.Gray) *image.Gray {
		out := raster.New(g.Rect.Dx(), g.Rect.Dy())
		for i, v := range g.Pix {
			out.Pix[i] = 255 - v
		}
		return out
	}
	out = turned(raster.Close(turned(g), r))
	n := 0
	for _, v := range out.Pix {
		if v >= 128 {
			n++
		}
	}
	return out, 50*n > len(out.Pix) && 10*n < 9*len(out.Pix)
}

// tints are the colours of a small picture whatever the light on them: the logarithms of
// red to green and blue to green.
type tints struct {
	w, h  int
	a, b  []float64
	noise float64 // what neighbours differ by
}

// dusk is added to each colour, since those of the dark are not known well.
const dusk = 5

func newTints(y, cb, cr *image.Gray) *tints {
	w, h := y.Rect.Dx(), y.Rect.Dy()
	t := &tints{w: w, h: h, a: make([]float64, w*h), b: make([]float64, w*h)}
	for v := range h {
		for u := range w {
			l := float64(y.Pix[v*y.Stride+u])
			db, dr := float64(cb.Pix[v*cb.Stride+u])-128, float64(cr.Pix[v*cr.Stride+u])-128
			// The constants are JFIF's.
			red, green, blue := l+1.402*dr, l-0.344136*db-0.714136*dr, l+1.772*db
			green = math.Log(max(green, 0) + dusk)
			t.a[v*w+u], t.b[v*w+u] = math.Log(max(red, 0)+dusk)-green, math.Log(max(blue, 0)+dusk)-green
		}
	}
	t.a, t.b = evened(t.a, w, h), evened(t.b, w, h)
	var steps []float64
	for i := 0; i+4 < w*h; i += 7 {
		steps = append(steps, math.Hypot(t.a[i]-t.a[i+4], t.b[i]-t.b[i+4]))
	}
	slices.Sort(steps)
	t.noise = steps[len(steps)/2]
	return t
}

// evened is v, w by h, with each value the mean of those around it.
func evened(v []float64, w, h int) []float64 {
	out := make([]float64, len(v))
	for y := range h {
		for x := range w {
			sum, n := 0.0, 0.0
			for q := max(y-1, 0); q <= min(y+1, h-1); q++ {
				for p := max(x-1, 0); p <= min(x+1, w-1); p++ {
					sum, n = sum+v[q*w+p], n+1
				}
			}
			out[y*w+x] = sum / n
		}
	}
	return out
}

// modes are the commonest colours.
func (t *tints) modes() (out [][2]float64) {
	const bin, reach = 0.02, 60
	const side = 2*reach + 1
	var n [side * side]int
	for i := range t.a {
		a, b := int(math.Round(t.a[i]/bin))+reach, int(math.Round(t.b[i]/bin))+reach
		if a > 0 && b > 0 && a < side-1 && b < side-1 {
			n[a*side+b]++
		}
	}
	type cell struct{ a, b, n int }
	var cells []cell
	for a := 1; a < side-1; a++ {
		for b := 1; b < side-1; b++ {
			sum := 0
			for d := -1; d <= 1; d++ {
				sum += n[(a+d)*side+b-1] + n[(a+d)*side+b] + n[(a+d)*side+b+1]
			}
			if 100*sum > len(t.a) {
				cells = append(cells, cell{a, b, sum})
			}
		}
	}
	slices.SortStableFunc(cells, func(c, d cell) int { return cmp.Compare(d.n, c.n) })
	for _, c := range cells {
		m := [2]float64{float64(c.a-reach) * bin, float64(c.b-reach) * bin}
		if !slices.ContainsFunc(out, func(o [2]float64) bool { return math.Hypot(o[0]-m[0], o[1]-m[1]) < tintApart }) {
			out = append(out, m)
		}
		if len(out) == tintMost {
			break
		}
	}
	for i, m := range out {
		out[i] = t.meanNear(m, 1.5*bin)
	}
	return out
}

// meanNear is the mean of the colours no further from m than reach in either difference.
func (t *tints) meanNear(m [2]float64, reach float64) [2]float64 {
	var a, b, n float64
	for i := range t.a {
		if math.Abs(t.a[i]-m[0]) <= reach && math.Abs(t.b[i]-m[1]) <= reach {
			a, b, n = a+t.a[i], b+t.b[i], n+1
		}
	}
	if n == 0 {
		return m
	}
	return [2]float64{a / n, b / n}
}

// like is a picture that is bright where t has the colour m.
func (t *tints) like(m [2]float64) *image.Gray {
	g := raster.New(t.w, t.h)
	spread := max(tintSpread, tintNoise*t.noise/2)
	for i := range g.Pix {
		da, db := t.a[i]-m[0], t.b[i]-m[1]
		g.Pix[i] = uint8(255 * math.Exp(-(da*da+db*db)/(2*spread*spread)))
	}
	return g
}
