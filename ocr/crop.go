package ocr

import (
	"image"
	"math"

	"tillproof/ocr/raster"
)

// strip is one line of a layout with the curve that it follows.
type strip struct {
	x0, x1   float64
	up, down float64 // how far print reaches above and below the baseline
	base     func(x float64) float64
	height   float64
}

// strips makes the lines of l ready for cutting.
func (l *layout) strips() []strip {
	out := make([]strip, 0, len(l.lines))
	for _, c := range l.lines {
		out = append(out, l.strip(c))
	}
	return out
}

// strip follows c: the paper's bend, and on top of it what the line's own
// letters do near each place.
func (l *layout) strip(c *chain) strip {
	type foot struct{ x, off float64 }
	feet := make([]foot, len(c.letters))
	for i, p := range c.letters {
		x, y := float64(p.X0+p.X1)/2, float64(p.Y1)
		feet[i] = foot{x, y - l.bend.at(x, y) - c.level}
	}
	reach := 8 * c.height
	local := func(x float64) float64 {
		// The weight of the bend itself grows where letters are few.
		sum, weight := 0.0, 2.0
		for _, f := range feet {
			d := math.Abs(f.x - x)
			if d > reach || math.Abs(f.off) > 0.35*c.height {
				continue
			}
			w := 1 - d/reach
			sum += w * f.off
			weight += w
		}
		return sum / weight
	}
	const knots = 24
	var curve [knots + 1]float64
	for i := range curve {
		x := c.x0 + (c.x1-c.x0)*float64(i)/knots
		y := c.level + l.bend.at(x, c.level)
		curve[i] = c.level + l.bend.at(x, y) + local(x)
	}
	base := func(x float64) float64 {
		t := (x - c.x0) / max(c.x1-c.x0, 1) * knots
		i := min(max(int(math.Floor(t)), 0), knots-1)
		return curve[i] + (curve[i+1]-curve[i])*(t-float64(i))
	}
	s := strip{x0: c.x0, x1: c.x1, base: base, height: c.height}
	for _, p := range c.letters {
		b := base(float64(p.X0+p.X1) / 2)
		if up := b - float64(p.Y0); up < 1.5*c.height {
			s.up = max(s.up, up)
		}
		if down := float64(p.Y1) - b; down < 0.5*c.height {
			s.down = max(s.down, down)
		}
	}
	s.up = max(s.up, 0.8*c.height)
	return s
}

// frame is the way from the pixels of a cut line back to the flattened paper.
type frame struct {
	strip
	top, scale float64 // top: distance above the baseline of the crop's row 0
	left       float64
	pad        int
}

// padding is the white border in pixels around a line that an engine gets:
// without it the outermost letters are lost.
const padding = 10

// cut takes s out of g, straight and with its print stretched to black on
// white, tall pixels high without the white border.
func (s strip) cut(g *image.Gray, tall int) (*image.Gray, frame) {
	margin := 0.12 * (s.up + s.down)
	f := frame{strip: s, top: s.up + margin, left: s.x0 - 1.5*margin, pad: padding}
	f.scale = (s.up + s.down + 2*margin) / float64(tall)
	wide := max(int((s.x1+1.5*margin-f.left)/f.scale), 1)
	inner := raster.New(wide, tall)
	for x := range wide {
		fx := f.left + (float64(x)+0.5)*f.scale
		top := s.base(fx) - f.top
		for y := range tall {
			fy := top + (float64(y)+0.5)*f.scale
			inner.Pix[y*inner.Stride+x] = sample(g, fx-0.5, fy-0.5, f.scale)
		}
	}
	stretch(inner)
	out := raster.New(wide+2*padding, tall+2*padding)
	raster.Fill(out, 255)
	for y := range tall {
		copy(out.Pix[(y+padding)*out.Stride+padding:], inner.Pix[y*inner.Stride:y*inner.Stride+wide])
	}
	return out, f
}

// sample is the value of g at x, y; where the crop is smaller than the picture
// it is the mean over the square that one pixel of the crop covers.
func sample(g *image.Gray, x, y, scale float64) uint8 {
	if scale <= 1.3 {
		return raster.At(g, x, y)
	}
	n := int(math.Ceil(scale))
	sum := 0
	for i := range n {
		for j := range n {
			dx := ((float64(i)+0.5)/float64(n) - 0.5) * scale
			dy := ((float64(j)+0.5)/float64(n) - 0.5) * scale
			sum += int(raster.At(g, x+dx, y+dy))
		}
	}
	return uint8(sum / (n * n))
}

// stretch makes the paper of a line white and its ink black: an engine that
// gets grey paper inside a white border reads nothing at all.
func stretch(g *image.Gray) {
	hist, n := raster.Histogram(g, g.Rect)
	paper, ink := int(raster.Percentile(&hist, n, 0.85)), int(raster.Percentile(&hist, n, 0.01))
	if paper-ink < 8 {
		raster.Fill(g, 255)
		return
	}
	var table [256]uint8
	for v := range table {
		table[v] = uint8(min(max((v-ink)*255/(paper-ink), 0), 255))
	}
	for i, v := range g.Pix {
		g.Pix[i] = table[v]
	}
}

// toFlat maps a box of the cut line to the flattened paper: the rectangle
// around the piece of the curve that it covers.
func (f frame) toFlat(b Box) (x0, y0, x1, y1 float64) {
	x0 = f.left + float64(b.X-f.pad)*f.scale
	x1 = f.left + float64(b.X+b.W-f.pad)*f.scale
	up := f.top - float64(b.Y-f.pad)*f.scale
	down := f.top - float64(b.Y+b.H-f.pad)*f.scale
	y0, y1 = math.Inf(1), math.Inf(-1)
	for _, x := range []float64{x0, (x0 + x1) / 2, x1} {
		y0, y1 = min(y0, f.base(x)-up), max(y1, f.base(x)-down)
	}
	return x0, y0, x1, y1
}
