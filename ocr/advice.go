package ocr

import (
	"fmt"
	"image"
	"math"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// What a part of a photo must have to be read well.
const (
	// smallPrint is the height of capitals, in pixels of the photo, below which
	// letters fall apart.
	smallPrint = 11
	// dark is the brightness of paper below which grain is as strong as print.
	dark = 50
	// soft is the share of a letter's height over which its edges go from paper
	// to ink in a blurred picture; a sharp one needs about 0.1.
	soft = 0.3
	// steep is the slope of a line, in heights a height, of paper that is bent.
	steep = 0.12
	// trusted is the confidence from which a line was read well.
	trusted = 0.75
)

// thirds name the parts of a receipt that advice is about, top to bottom.
var thirds = [3]string{"the upper third", "the middle", "the lower third"}

// faults counts in one part what may be why its lines read badly.
type faults struct {
	lines, bad                 int
	small, dark, blurred, bent int
}

// advise says of each part of the paper that was read badly what to do about
// it, after what its lines measure. A part that was read well needs no advice,
// whatever it measures. perPixel is how many pixels of the photo one of the
// flat paper is.
func advise(f *flattened, strips []lines.Strip, read []Line, perPixel float64) []string {
	if len(strips) == 0 {
		return []string{"no print was found: photograph the receipt alone, from straight above, so that it fills the picture"}
	}
	var parts [3]faults
	top, bottom := strips[0].Base(strips[0].X0), strips[len(strips)-1].Base(strips[len(strips)-1].X0)
	for i, s := range strips {
		k := 0
		if bottom > top {
			k = min(max(int(3*(s.Base(s.X0)-top)/(bottom-top)), 0), 2)
		}
		parts[k].measure(f, s, read[i], perPixel)
	}
	var out []string
	for k, p := range parts {
		if p.lines < 2 || 3*p.bad < p.lines {
			continue
		}
		if remedy := p.remedy(); remedy != "" {
			out = append(out, fmt.Sprintf("%s of the receipt cannot be read well: %s", thirds[k], remedy))
		}
	}
	return out
}

// measure adds one line.
func (p *faults) measure(f *flattened, s lines.Strip, l Line, perPixel float64) {
	p.lines++
	if len(l.Readings) > 0 && l.Readings[0].confidence() >= trusted {
		return
	}
	p.bad++
	if s.Height*perPixel < smallPrint {
		p.small++
	}
	y := int(s.Base((s.X0+s.X1)/2) - s.Height/2)
	r := image.Rect(int(s.X0), y-int(s.Height), int(s.X1), y+int(s.Height)).Intersect(f.grey.Rect)
	if hist, n := raster.Histogram(f.grey, r); n > 0 && raster.Percentile(&hist, n, 0.85) < dark {
		p.dark++
	}
	if edgeWidth(f.even, r) > soft*s.Height {
		p.blurred++
	}
	rise := 0.0
	for i := range 8 {
		x := s.X0 + (s.X1-s.X0)*float64(i)/8
		step := (s.X1 - s.X0) / 8
		rise = max(rise, math.Abs(s.Base(x+step)-s.Base(x))/max(step, 1))
	}
	if rise > steep {
		p.bent++
	}
}

// remedy names the fault that most of the bad lines have; where they have none,
// that a closer photo shows more.
func (p faults) remedy() string {
	switch most := max(p.small, p.dark, p.blurred, p.bent); {
	case 2*most < p.bad:
		return "photograph it closer, in parts that overlap, in even light"
	case most == p.dark:
		return "it lies in the dark: take it again with more light"
	case most == p.small:
		return "its print is too small: hold the camera closer, or photograph it in parts that overlap by five lines"
	case most == p.blurred:
		return "it is blurred: hold the camera still, and tap on the print so that it is sharp"
	}
	return "the paper is bent there: lay it flat"
}

// edgeWidth is over how many pixels print in r mostly goes from paper to ink:
// the contrast by the steepest slope of each row's edges.
func edgeWidth(g *image.Gray, r image.Rectangle) float64 {
	hist, n := raster.Histogram(g, r)
	if n == 0 {
		return 0
	}
	contrast := float64(raster.Percentile(&hist, n, 0.85)) - float64(raster.Percentile(&hist, n, 0.03))
	if contrast < 20 {
		return 0 // too faint to tell
	}
	var slopes [256]int
	edges := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		row := g.Pix[y*g.Stride : y*g.Stride+g.Rect.Max.X]
		for x := r.Min.X + 1; x < r.Max.X-1; x++ {
			d := int(row[x+1]) - int(row[x-1])
			if d = max(d, -d); float64(d) > 0.15*contrast {
				slopes[min(d, 255)]++
				edges++
			}
		}
	}
	if edges == 0 {
		return 0
	}
	left := edges / 10
	for v := 255; v > 0; v-- {
		if left -= slopes[v]; left < 0 {
			return 2 * contrast / float64(v)
		}
	}
	return 0
}

// scaleOf is how many pixels of the photo one in the middle of f is.
func scaleOf(f *flattened) float64 {
	x, y := float64(f.grey.Rect.Dx())/2, float64(f.grey.Rect.Dy())/2
	a, b := f.toPhoto.Map(raster.Point{X: x, Y: y - 8}), f.toPhoto.Map(raster.Point{X: x, Y: y + 8})
	return math.Hypot(b.X-a.X, b.Y-a.Y) / 16
}
