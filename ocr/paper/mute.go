package paper

import (
	"cmp"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// What makes an area beside the paper another paper on which no print was seen:
// how much of the first one's size it has at least, how far its brightness may
// be from the first one's (as a logarithm), how clearly its edges must stand
// out, how many of them at least, and how much of it may lie in the first.
const (
	muteSize    = 0.3
	muteTone    = 0.35
	muteScore   = 0.5
	muteSides   = 3
	muteOverlap = 0.05
)

// mute finds the paper of v's print and one beside it on which next to no print
// was seen, since it is too faint for a look at the whole photo: nil where there
// is no such paper. It is of some size and about as bright as the first, its own
// edges are seen all around, and the first has an edge of its own towards it.
// first is what was taken for the first: print outside of it may be the other's.
func (v *view) mute(all []line, first *quad) []quad {
	if in := v.lettersIn(first.corners); 10*len(in) >= 9*len(v.letters) {
		v = v.with(in, nil)
	}
	edges := slices.Clone(all)
	slices.SortStableFunc(edges, func(l, m line) int { return cmp.Compare(m.votes, l.votes) })
	m, ok := v.with(nil, v.letters).bestQuad(edges[:min(len(edges), mostEdges)])
	if !ok || m.score < muteScore || insideOf(v.letters, m.corners) > 0.02 {
		return nil
	}
	seen := 0
	for i, l := range m.sides {
		if !l.border && m.support[i] > 0.5 {
			seen++
		}
	}
	own := v.samples(&m)
	if seen < muteSides {
		return nil
	}
	q, ok := v.with(v.letters, own).paperOf(all)
	if !ok || area(m.corners) < muteSize*area(q.corners) || insideOf(own, q.corners) > muteOverlap ||
		math.Abs(v.middleTone(own)-v.middleTone(v.samples(&q))) > muteTone || v.goesOn(&q, &m) {
		return nil
	}
	return v.inOrder([]quad{q, m})
}

// lettersIn are those of the print that lie within corners.
func (v *view) lettersIn(corners [4]raster.Point) (in []raster.Point) {
	for _, p := range v.letters {
		if insideOf([]raster.Point{p}, corners) > 0 {
			in = append(in, p)
		}
	}
	return in
}

// samples are points spread over q, those within the picture.
func (v *view) samples(q *quad) (out []raster.Point) {
	const n = 12
	for i := range n {
		for k := range n {
			s, t := (float64(i)+0.5)/n, (float64(k)+0.5)/n
			a, b, c, d := q.corners[0], q.corners[1], q.corners[2], q.corners[3]
			p := raster.Point{X: (1-t)*((1-s)*a.X+s*b.X) + t*((1-s)*d.X+s*c.X), Y: (1-t)*((1-s)*a.Y+s*b.Y) + t*((1-s)*d.Y+s*c.Y)}
			if v.in(p.X, p.Y, 0) {
				out = append(out, p)
			}
		}
	}
	return out
}

// middleTone is the tone that half of the points are brighter than.
func (v *view) middleTone(ps []raster.Point) float64 {
	if len(ps) == 0 {
		return 0
	}
	tones := make([]float64, len(ps))
	for i, p := range ps {
		tones[i] = v.toneAt(p.X, p.Y)
	}
	slices.Sort(tones)
	return tones[len(tones)/2]
}
