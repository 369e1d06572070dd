package raster

import (
	"image"
	"math"
)

// Point is a place in a picture.
type Point struct{ X, Y float64 }

// Plane maps points of one flat picture to another as a camera does that sees
// a plane aslant: a homography, row by row.
type Plane [9]float64

// Identity maps every point to itself.
var Identity = Plane{1, 0, 0, 0, 1, 0, 0, 0, 1}

// PlaneBetween is the plane that maps each from point to its to point; ok is
// false where three of them lie on one line.
func PlaneBetween(from, to [4]Point) (p Plane, ok bool) {
	a, b := make([][]float64, 8), make([]float64, 8)
	for i := range 4 {
		x, y, u, v := from[i].X, from[i].Y, to[i].X, to[i].Y
		a[2*i] = []float64{x, y, 1, 0, 0, 0, -x * u, -y * u}
		a[2*i+1] = []float64{0, 0, 0, x, y, 1, -x * v, -y * v}
		b[2*i], b[2*i+1] = u, v
	}
	x, ok := Solve(a, b)
	if !ok {
		return Identity, false
	}
	copy(p[:], x)
	p[8] = 1
	return p, true
}

// Scaled is p with its results multiplied by f.
func (p Plane) Scaled(f float64) Plane {
	for i := range 6 {
		p[i] *= f
	}
	return p
}

// Map is where q comes to lie.
func (p Plane) Map(q Point) Point {
	w := p[6]*q.X + p[7]*q.Y + p[8]
	if math.Abs(w) < 1e-12 {
		w = 1e-12
	}
	return Point{(p[0]*q.X + p[1]*q.Y + p[2]) / w, (p[3]*q.X + p[4]*q.Y + p[5]) / w}
}

// Inverse is the way back.
func (p Plane) Inverse() Plane {
	inv := Plane{
		p[4]*p[8] - p[5]*p[7], p[2]*p[7] - p[1]*p[8], p[1]*p[5] - p[2]*p[4],
		p[5]*p[6] - p[3]*p[8], p[0]*p[8] - p[2]*p[6], p[2]*p[3] - p[0]*p[5],
		p[3]*p[7] - p[4]*p[6], p[1]*p[6] - p[0]*p[7], p[0]*p[4] - p[1]*p[3],
	}
	if math.Abs(inv[8]) > 1e-12 {
		for i := range 8 {
			inv[i] /= inv[8]
		}
		inv[8] = 1
	}
	return inv
}

// Warp draws a picture of w by h pixels whose pixel q shows what lies at
// toSource.Map(q) in g; beyond g's edge it shows the edge.
func Warp(g *image.Gray, w, h int, toSource Plane) *image.Gray {
	if toSource == Identity && w == g.Rect.Dx() && h == g.Rect.Dy() { // nothing to draw
		return g
	}
	out := New(w, h)
	p := toSource
	Parallel(h, func(from, to int) {
		for y := from; y < to; y++ {
			row := out.Pix[y*out.Stride : y*out.Stride+w]
			fy := float64(y) + 0.5
			u, v, d := p[0]*0.5+p[1]*fy+p[2], p[3]*0.5+p[4]*fy+p[5], p[6]*0.5+p[7]*fy+p[8]
			for x := range row {
				row[x] = At(g, u/d-0.5, v/d-0.5)
				u += p[0]
				v += p[3]
				d += p[6]
			}
		}
	})
	return out
}

// After is the plane that maps first by q and then by p.
func (p Plane) After(q Plane) (out Plane) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[3*i+j] += p[3*i+k] * q[3*k+j]
			}
		}
	}
	return out
}
