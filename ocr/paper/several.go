package paper

import (
	"cmp"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// Where papers are told apart: the fewest letters that a paper has, and how
// many seams and edges are tried.
const (
	fewestLetters = 30
	mostSeams     = 4
	mostEdges     = 26 // the clearest edges around one paper's print
)

// apart finds the papers in v where there are several, in the order in which
// they are read; nil where there is no seam between two. A seam is two edges
// back to back, dark between them, with print on the bright side of each and
// none between; and each lot of print must have a paper of its own around it.
func (v *view) apart(outer, inner []line) []quad {
	if len(v.letters) < 2*fewestLetters || len(inner) < 2 {
		return nil
	}
	all := append(slices.Clone(outer), inner...)
	return v.inOrder(v.divide(all, 2))
}

// inOrder puts papers in the order in which they are read.
func (v *view) inOrder(quads []quad) []quad {
	sin, cos := math.Sincos(v.angle)
	slices.SortStableFunc(quads, func(p, q quad) int {
		return cmp.Compare(p.place(sin, cos), q.place(sin, cos))
	})
	return quads
}

// place is how far to the lower right a quad lies, in lines that run as sin and
// cos say.
func (q *quad) place(sin, cos float64) float64 {
	x, y := 0.0, 0.0
	for _, c := range q.corners {
		x, y = x+c.X, y+c.Y
	}
	return x*cos + y*sin + y*cos - x*sin
}

// divide finds the papers of v's print: the two lots at the best seam, each of
// them divided again, at most so many times. It returns nil where no seam holds.
func (v *view) divide(all []line, times int) []quad {
	if times == 0 {
		return nil
	}
	for _, s := range v.seams(all) {
		upper, lower := v.with(s.a, s.b), v.with(s.b, s.a)
		p, ok := upper.paperOf(all)
		if !ok {
			continue
		}
		q, ok := lower.paperOf(all)
		if !ok || v.goesOn(&p, &q) {
			continue
		}
		var out []quad
		for _, part := range []struct {
			v *view
			q quad
		}{{upper, p}, {lower, q}} {
			if more := part.v.divide(all, times-1); more != nil {
				out = append(out, more...)
			} else {
				out = append(out, part.q)
			}
		}
		return out
	}
	return nil
}

// What tells that paper goes on between two that were told apart: how far from each end of the
// gap it is looked for, as shares of its length, how near its tone must come to that of the papers
// beside it, and how much darker it must be in its midst (as logarithms), how wide the gap must be
// in pixels to show anything, and how far one paper's sides may be off the other's, as a share of
// the gap's length.
const (
	gapFrom, gapTo = 0.02, 0.1
	gapTone        = 0.16
	gapCode        = 0.03
	gapWidth       = 4
	gapAside       = 0.12
)

// goesOn reports whether p and q are one paper, with a bar code across it: its edges look like a
// gap between two, but beside it the paper goes on.
func (v *view) goesOn(p, q *quad) bool {
	a, b, near := 0, 0, math.Inf(1)
	for i := range 4 {
		for j := range 4 {
			m, n := p.along(i, 0.5), q.along(j, 0.5)
			if d := math.Hypot(m.X-n.X, m.Y-n.Y); d < near {
				a, b, near = i, j, d
			}
		}
	}
	if near < gapWidth || !inLine(p, q, a, b) {
		return false
	}
	ends := math.Inf(1)
	for _, end := range [2]float64{gapFrom, 1 - gapTo} {
		var gap, paper []raster.Point
		for k := range 9 {
			t := end + (gapTo-gapFrom)*float64(k)/8
			up, low := p.along(a, t), q.along(b, 1-t)
			if m := between(up, low, 0.5); v.in(m.X, m.Y, 0) {
				gap = append(gap, m)
			}
			paper = append(paper, between(up, p.along(a+2, 1-t), gapTo), between(low, q.along(b+2, t), gapTo))
		}
		if len(gap) == 0 || math.Abs(v.middleTone(gap)-v.middleTone(paper)) > gapTone {
			return false
		}
		ends = min(ends, v.middleTone(gap))
	}
	var code []raster.Point
	for k := range 9 {
		t := 0.3 + 0.05*float64(k)
		code = append(code, between(p.along(a, t), q.along(b, 1-t), 0.5))
	}
	return v.middleTone(code) < ends-gapCode
}

// inLine reports whether the sides of p and q that meet side a of p and b of q run on from each
// other: papers that lie beside each other hardly ever do.
func inLine(p, q *quad, a, b int) bool {
	from, to := p.along(a, 0), p.along(a, 1)
	long := math.Hypot(to.X-from.X, to.Y-from.Y)
	off := func(at, far, near raster.Point) float64 { // of near, from the line through far and at
		dx, dy := at.X-far.X, at.Y-far.Y
		return math.Abs(dx*(near.Y-far.Y)-dy*(near.X-far.X)) / max(math.Hypot(dx, dy), 1)
	}
	return off(from, p.along(a+3, 0), q.along(b, 1)) < gapAside*long && off(to, p.along(a+2, 0), q.along(b, 0)) < gapAside*long
}

// along is the point on side i of q at t of the way from its first corner.
func (q *quad) along(i int, t float64) raster.Point {
	return between(q.corners[i%4], q.corners[(i+1)%4], t)
}

// between is the point from a to b at t of the way.
func between(a, b raster.Point, t float64) raster.Point {
	return raster.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)}
}

// with is v with only some of its print, and others' beside it.
func (v *view) with(letters, others []raster.Point) *view {
	w := *v
	w.letters, w.others = letters, append(slices.Clone(v.others), others...)
	return &w
}

// paperOf is the paper around v's print; ok is false where there is none that
// stands out, or where a side of it that was seen does not keep the print of
// others away.
func (v *view) paperOf(all []line) (quad, bool) {
	var own []line
	for _, l := range all {
		if 4*v.beyond(l) <= 1 {
			own = append(own, l)
		}
	}
	slices.SortStableFunc(own, func(l, m line) int { return cmp.Compare(m.votes, l.votes) })
	own = own[:min(len(own), mostEdges)]
	q, ok := v.bestQuad(own)
	if !ok || v.inside(q.corners) < 0.9 || insideOf(v.others, q.corners) > 0.03 {
		return q, false
	}
	// Every letter of others is behind a side that was seen.
	kept := 0
	for _, p := range v.others {
		for i, l := range q.sides {
			if !l.border && q.support[i] > 0.5 && p.X*l.nx+p.Y*l.ny < l.rho {
				kept++
				break
			}
		}
	}
	return q, 10*kept >= 9*len(v.others)
}

// seam is a pair of edges back to back, with the print beside each.
type seam struct {
	a, b  []raster.Point
	votes float64
}

// seams are the seams in v's print, those along the clearest edges first.
func (v *view) seams(all []line) (found []seam) {
	for i, l := range all {
		for _, m := range all[i+1:] {
			if l.nx*m.nx+l.ny*m.ny > -0.9 {
				continue
			}
			s, ok := v.seam(l, m)
			if !ok {
				continue
			}
			// Edges beside each other divide the print alike.
			if k := slices.IndexFunc(found, s.like); k >= 0 {
				found[k].votes = max(found[k].votes, s.votes)
				continue
			}
			found = append(found, s)
		}
	}
	slices.SortStableFunc(found, func(s, t seam) int { return cmp.Compare(t.votes, s.votes) })
	return found[:min(len(found), mostSeams)]
}

// like reports whether s divides the print as t does, give or take a few letters.
func (s seam) like(t seam) bool {
	a, b := min(len(s.a), len(s.b)), min(len(t.a), len(t.b))
	return max(a-b, b-a) <= 3
}

// seam divides the print into that beside l and that beside m. Hardly any may
// lie between the two, beside both, or be left over as too little for a paper.
func (v *view) seam(l, m line) (s seam, ok bool) {
	lost, most := 0, len(v.letters)/30
	for _, p := range v.letters {
		byL, byM := p.X*l.nx+p.Y*l.ny >= l.rho-1, p.X*m.nx+p.Y*m.ny >= m.rho-1
		switch {
		case byL == byM:
			if lost++; lost > most {
				return s, false
			}
		case byL:
			s.a = append(s.a, p)
		default:
			s.b = append(s.b, p)
		}
	}
	s.votes = min(l.votes, m.votes)
	return s, min(len(s.a), len(s.b)) >= fewestLetters
}
