package main

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"

	"tillproof/ocr"

	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/math/f64"
)

// strip is a rectangle that lies along a line of print, which may run aslant over
// the photo: boxes stand upright, and of such a line reach into its neighbours.
type strip struct{ x, y, w, h, sin, cos float64 }

// steepest is the slope of print up to which a box says how wide and high what
// is in it is.
const steepest = 0.6

// stripIn is the strip of that slope whose box is b: the box itself where the slope
// does not fit it.
func stripIn(b ocr.Box, slope float64) strip {
	w, h := float64(b.W), float64(b.H)
	s := strip{x: float64(b.X) + w/2, y: float64(b.Y) + h/2, w: w, h: h, cos: 1}
	if math.Abs(slope) > steepest {
		return s
	}
	sin, cos := math.Sincos(math.Atan(slope))
	across := math.Abs(sin)
	long, high := (w*cos-h*across)/(cos*cos-across*across), (h*cos-w*across)/(cos*cos-across*across)
	if high < 0.2*h && high < 6 || long < high/2 {
		return s
	}
	s.w, s.h, s.sin, s.cos = long, high, sin, cos
	return s
}

// along is how far a point lies from s's middle, along and across its print.
func (s strip) along(x, y float64) (u, v float64) {
	dx, dy := x-s.x, y-s.y
	return dx*s.cos + dy*s.sin, dy*s.cos - dx*s.sin
}

// asWide is s as wide as the lines around it: what stands at the end of its own may
// be what was not read.
func (s strip) asWide(lines []ocr.Line, run []float64) strip {
	const around = 8 // heights
	from, to := -s.w/2, s.w/2
	for i := range lines {
		o := stripIn(lines[i].Box, run[i])
		u, v := s.along(o.x, o.y)
		// Another paper's lines lie beside s, and not over or under it.
		if math.Abs(v) <= around*s.h && max(u-o.w/2, -s.w/2) < min(u+o.w/2, s.w/2) {
			from, to = min(from, u-o.w/2), max(to, u+o.w/2)
		}
	}
	mid := (from + to) / 2
	s.x, s.y, s.w = s.x+mid*s.cos, s.y+mid*s.sin, to-from
	return s
}

// blacken makes what lies in s black.
func (s strip) blacken(img draw.Image) {
	reach := int(math.Hypot(s.w, s.h)/2) + 1
	at := image.Rect(int(s.x)-reach, int(s.y)-reach, int(s.x)+reach+1, int(s.y)+reach+1).Intersect(img.Bounds())
	for y := at.Min.Y; y < at.Max.Y; y++ {
		for x := at.Min.X; x < at.Max.X; x++ {
			if u, v := s.along(float64(x), float64(y)); math.Abs(u) <= s.w/2+1 && math.Abs(v) <= s.h/2+1 {
				img.Set(x, y, color.Black)
			}
		}
	}
}

// level is img around s, turned so that its print stands level, with so much
// around it, and with s's own place in it.
func (s strip) level(img image.Image, around float64) (*image.NRGBA, image.Rectangle) {
	zoom := 1.0
	switch wide := s.w + 2*around; {
	case wide > pictureWidth:
		zoom = pictureWidth / wide
	case 2*wide <= pictureWidth:
		zoom = 2
	}
	w, h := int((s.w+2*around)*zoom), int((s.h+2*around)*zoom)
	out := image.NewNRGBA(image.Rect(0, 0, w, h))
	draw.Draw(out, out.Rect, image.NewUniform(color.Gray{Y: 128}), image.Point{}, draw.Src)
	c, n := s.cos*zoom, s.sin*zoom
	xdraw.BiLinear.Transform(out, f64.Aff3{c, n, float64(w)/2 - c*s.x - n*s.y, -n, c, float64(h)/2 + n*s.x - c*s.y}, img, img.Bounds(), draw.Over, nil)
	rim := int(around * zoom)
	return out, image.Rect(rim, rim, w-rim, h-rim)
}

// slopes are how lines of print run over the photo: each as its words stand, a
// short one or one that was not read as those around it.
func slopes(lines []ocr.Line) []float64 {
	own := make([]float64, len(lines))
	widest := 0
	for _, l := range lines {
		widest = max(widest, l.Box.W)
	}
	for i := range lines {
		own[i] = slopeOf(&lines[i], widest)
	}
	out := slices.Clone(own)
	const reach = 4
	for i := range lines {
		if !math.IsNaN(own[i]) {
			continue
		}
		var near []float64
		for k := max(0, i-reach); k < min(len(lines), i+reach+1); k++ {
			if !math.IsNaN(own[k]) {
				near = append(near, own[k])
			}
		}
		if out[i] = 0; len(near) > 0 {
			slices.Sort(near)
			out[i] = near[len(near)/2]
		}
	}
	return out
}

// slopeOf is the slope of the line through the middles of l's words, NaN where they
// do not reach over a third of the widest line.
func slopeOf(l *ocr.Line, widest int) float64 {
	if len(l.Readings) == 0 {
		return math.NaN()
	}
	words := l.Readings[0].Words
	var mx, my, xx, xy float64
	from, to := math.Inf(1), math.Inf(-1)
	for _, w := range words {
		x, y := float64(w.Box.X)+float64(w.Box.W)/2, float64(w.Box.Y)+float64(w.Box.H)/2
		mx, my, from, to = mx+x, my+y, min(from, x), max(to, x)
	}
	if len(words) < 2 || 3*(to-from) < float64(widest) {
		return math.NaN()
	}
	mx, my = mx/float64(len(words)), my/float64(len(words))
	for _, w := range words {
		x, y := float64(w.Box.X)+float64(w.Box.W)/2-mx, float64(w.Box.Y)+float64(w.Box.H)/2-my
		xx, xy = xx+x*x, xy+x*y
	}
	return xy / xx
}
