// Package paper finds the sheet of a receipt on whatever it lies on.
//
// Find gives a Sheet: the four corners of the paper in the picture, and which
// of its edges were seen; Look gives every sheet where there are several. They
// look for four long edges behind which the picture turns bright, not for bright
// pixels: paper in a shadow is darker than the table beside it in the sun.
package paper

import (
	"cmp"
	"image"
	"math"
	"slices"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// The sides of a sheet, by index.
const (
	Top = iota
	Right
	Bottom
	Left
)

// Sheet is a paper in a picture.
type Sheet struct {
	// Corners are the top left, top right, bottom right and bottom left one, in
	// pixels of the picture; they may lie outside it.
	Corners [4]raster.Point
	// Seen says of each side whether the paper's edge is in the picture.
	Seen [4]bool
	// Score tells how clearly the edges stand out, from 0 to 1.
	Score float64
}

// longSide is the length in pixels of the small picture in which the paper is
// looked for: print is then gone and a paper's edge still within 0.2%.
const longSide = 480

// Find looks for a paper in g; ok is false where none stands out against a
// background: a scan, or a photo of nothing but paper. The print that was seen
// in g tells which edges can be the paper's: those it lies within, and which
// side is the top.
func Find(g *image.Gray, print lines.Survey) (s Sheet, ok bool) {
	s, ok, _ = Look(g, print)
	return s, ok
}

// Look is Find, and returns the papers as well where several lie in g, each by
// itself; what Find returns is then one of them, or some area that most of the
// print lies in.
func Look(g *image.Gray, print lines.Survey) (s Sheet, ok bool, several []Sheet) {
	shrink := float64(max(g.Rect.Dx(), g.Rect.Dy())) / longSide
	w, h := int(float64(g.Rect.Dx())/shrink), int(float64(g.Rect.Dy())/shrink)
	if w < 48 || h < 48 {
		return s, false, nil
	}
	sx, sy := float64(g.Rect.Dx())/float64(w), float64(g.Rect.Dy())/float64(h)
	v := newView(raster.Resize(g, w, h))
	v.angle = print.Angle
	for _, p := range print.Letters {
		v.letters = append(v.letters, raster.Point{X: p.X / sx, Y: p.Y / sy})
	}
	outer, inner, away := v.peaks()
	quads := v.apart(outer, inner)
	if len(quads) < 2 {
		// What a printed table has is no other paper's.
		for _, p := range print.Others {
			v.others = append(v.others, raster.Point{X: p.X / sx, Y: p.Y / sy})
		}
	}
	best, found := v.bestQuad(outer)
	if len(quads) < 2 && len(v.letters) >= fewestLetters {
		quads = v.mute(slices.Concat(outer, inner, away), &best)
	}
	if len(quads) > 1 {
		for _, q := range quads {
			several = append(several, q.sheet(sx, sy))
		}
	}
	if !found {
		return s, false, several
	}
	return best.sheet(sx, sy), true, several
}

// sheet is q in a picture that is larger by sx and sy.
func (q *quad) sheet(sx, sy float64) (s Sheet) {
	s.Score = q.score
	for i, c := range q.corners {
		s.Corners[i] = raster.Point{X: c.X * sx, Y: c.Y * sy}
		s.Seen[i] = !q.sides[i].border && q.support[i] > 0.5
	}
	return s
}

// view is the small picture in which the paper is looked for.
type view struct {
	w, h int
	// tone is the logarithm of the brightness without print: a shadow then
	// changes it by the same everywhere.
	tone []float32
	// gx and gy are the slopes of tone.
	gx, gy []float32
	// letters are where print was seen, angle is how its lines run.
	letters []raster.Point
	angle   float64
	// others are where print of other papers was seen, nil where none is known.
	others []raster.Point
}

func newView(g *image.Gray) *view {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	v := &view{w: w, h: h, tone: make([]float32, w*h), gx: make([]float32, w*h), gy: make([]float32, w*h)}
	closed := raster.Blur(raster.Close(g, 3), 1)
	for y := range h {
		for x := range w {
			v.tone[y*w+x] = float32(math.Log(float64(closed.Pix[y*closed.Stride+x]) + 12))
		}
	}
	for y := 1; y < h-1; y++ {
		for x := 1; x < w-1; x++ {
			i := y*w + x
			v.gx[i] = (v.tone[i+1] - v.tone[i-1]) / 2
			v.gy[i] = (v.tone[i+w] - v.tone[i-w]) / 2
		}
	}
	return v
}

// line is a straight edge: the points p with p·n = rho, where n points to the
// bright side. Angles are in steps of two degrees.
type line struct {
	nx, ny, rho float64
	votes       float64
	border      bool // the picture's own border
}

func (l line) meet(m line) (raster.Point, bool) {
	d := l.nx*m.ny - l.ny*m.nx
	if math.Abs(d) < 0.3 {
		return raster.Point{}, false
	}
	return raster.Point{X: (l.rho*m.ny - m.rho*l.ny) / d, Y: (l.nx*m.rho - m.nx*l.rho) / d}, true
}

// The table of votes: directions in steps of degrees, distances in pixels.
const (
	step    = 2
	turns   = 360 / step
	weakest = 0.012 // slope of tone below which nothing is an edge
	strong  = 0.08  // slope from which an edge is as good as any
	maxPeak = 44
)

// peaks are the straight lines along which most pixels turn bright to the same
// side: outer have the print on that side, inner have print on both, and away
// have all of it behind them.
func (v *view) peaks() (outer, inner, away []line) {
	reach := int(math.Hypot(float64(v.w), float64(v.h))) + 2
	width := 2*reach + 1
	votes := make([]float32, turns*width)
	var cos, sin [turns]float64
	for a := range turns {
		sin[a], cos[a] = math.Sincos(float64(a*step) * math.Pi / 180)
	}
	for y := 2; y < v.h-2; y++ {
		for x := 2; x < v.w-2; x++ {
			i := y*v.w + x
			slope := math.Hypot(float64(v.gx[i]), float64(v.gy[i]))
			if slope < weakest {
				continue
			}
			weight := float32(min(slope/strong, 1))
			to := int(math.Round(math.Atan2(float64(v.gy[i]), float64(v.gx[i])) * 180 / math.Pi / step))
			for a := to - 3; a <= to+3; a++ {
				k := ((a % turns) + turns) % turns
				rho := int(math.Round(float64(x)*cos[k]+float64(y)*sin[k])) + reach
				votes[k*width+rho] += weight
			}
		}
	}
	return v.pickPeaks(votes, width, reach, cos, sin)
}

// pickPeaks takes the strongest lines, each well apart from a stronger one, and
// tells those with the print on the bright side from others: a table has many
// lines of its own.
func (v *view) pickPeaks(votes []float32, width, reach int, cos, sin [turns]float64) (outer, inner, away []line) {
	type cell struct {
		a, r int
		v    float32
	}
	var cells []cell
	for a := range turns {
		for r := 1; r < width-1; r++ {
			sum := votes[a*width+r-1] + votes[a*width+r] + votes[a*width+r+1]
			if sum > 20 {
				cells = append(cells, cell{a, r, sum})
			}
		}
	}
	slices.SortFunc(cells, func(a, b cell) int {
		return cmp.Or(cmp.Compare(b.v, a.v), cmp.Compare(a.a, b.a), cmp.Compare(a.r, b.r))
	})
	var chosen []cell
	for _, c := range cells {
		near := func(d cell) bool {
			da := (c.a - d.a + turns) % turns
			return min(da, turns-da) <= 3 && max(c.r-d.r, d.r-c.r) <= 7
		}
		if slices.ContainsFunc(chosen, near) {
			continue
		}
		chosen = append(chosen, c)
		l := line{cos[c.a], sin[c.a], float64(c.r - reach), float64(c.v), false}
		switch dark := v.beyond(l); {
		case 4*dark <= 1:
			outer = append(outer, l)
		case dark <= 0.92 && len(inner) < maxPeak:
			inner = append(inner, l)
		case dark > 0.92 && len(away) < maxPeak:
			away = append(away, l)
		}
		if len(outer) == maxPeak {
			break
		}
	}
	return outer, inner, away
}

// beyond is the share of the print that lies on the dark side of l.
func (v *view) beyond(l line) float64 {
	const most = 200 // letters that are asked
	step := max(len(v.letters)/most, 1)
	n, out := 0, 0
	for i := 0; i < len(v.letters); i += step {
		n++
		if p := v.letters[i]; p.X*l.nx+p.Y*l.ny < l.rho-2 {
			out++
		}
	}
	return float64(out) / float64(max(n, 1))
}
