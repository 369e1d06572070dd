package lines

import (
	"image"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// Strip is one line of print with the curve that it follows.
type Strip struct {
	// X0 and X1 are its ends.
	X0, X1 float64
	// Up and Down are how far print reaches above and below the baseline.
	Up, Down float64
	// Base is the height of the baseline at x.
	Base func(x float64) float64
	// Height is that of the line's capitals.
	Height float64
	// Letters is how many pieces of print it was made of.
	Letters int
	// Regular says that they look like print: of one size, on one curve.
	Regular bool
	// Widen is how much wider its print is shown to an engine than it is: print of
	// double height and single width comes out half as wide as other print.
	Widen float64
	// blanks are the wide gaps between its letters, left to right.
	blanks []span
}

// span is a stretch from a to b.
type span struct{ a, b float64 }

// Strips are the lines of l, top to bottom.
func (l *Layout) Strips() []Strip {
	out := make([]Strip, 0, len(l.lines))
	usual, height := l.usualPrint()
	for _, c := range l.lines {
		out = append(out, l.strip(c, c.widen(usual, height)))
	}
	return out
}

// strip follows c: the paper's bend, and on top of it what the line's own
// letters do near each place.
func (l *Layout) strip(c *chain, widen float64) Strip {
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
	s := Strip{X0: c.x0, X1: c.x1, Base: base, Height: c.height, Letters: len(c.letters), Widen: widen, blanks: c.blanks(c.height / widen)}
	off, spread, size := 0.0, 0.0, c.middleHeight()
	for _, p := range c.letters {
		b := base(float64(p.X0+p.X1) / 2)
		off += math.Abs(float64(p.Y1) - b)
		spread += math.Abs(float64(p.H()) - size)
		if up := b - float64(p.Y0); up < 1.5*c.height {
			s.Up = max(s.Up, up)
		}
		if down := float64(p.Y1) - b; down < 0.5*c.height {
			s.Down = max(s.Down, down)
		}
	}
	s.Up = max(s.Up, 0.8*c.height)
	n := float64(len(c.letters))
	s.Regular = n >= 4 && off < 0.2*size*n && spread < 0.3*size*n
	return s
}

// Whole is s from left to right, where that is more, with what lies in its gaps.
func (s Strip) Whole(left, right float64) Strip {
	s.X0, s.X1, s.blanks = min(s.X0, left), max(s.X1, right), nil
	return s
}

// Frame is the way from the pixels of a cut line back to the flattened paper.
type Frame struct {
	Strip
	top, scale float64 // top: distance above the baseline of the crop's row 0
	parts      []part
	wide, tall int     // of the line itself, without the white border
	across     float64 // scale from left to right
}

// part is a stretch of the line that the crop shows without leaving out: from
// column at on, the paper from x on.
type part struct {
	at int
	x  float64
}

// padding is the white border in pixels around a line that an engine gets:
// without it the outermost letters are lost.
// Above and below it takes height from the letters, since engines bring every
// line to one height. The model is trained for these borders.
const padding, above = 10, 6

// Frame says what of the paper a crop that is tall pixels high shows.
func (s Strip) Frame(tall int) Frame {
	margin := 0.12 * (s.Up + s.Down)
	f := Frame{Strip: s, top: s.Up + margin, tall: tall}
	f.scale = (s.Up + s.Down + 2*margin) / float64(tall)
	f.across = f.scale / max(s.Widen, 1)
	beside := 1.5 * margin / max(s.Widen, 1)
	x, right := s.X0-beside, s.X1+beside
	half := wideBlank / 2 * s.Height / max(s.Widen, 1)
	for _, b := range s.blanks {
		f.parts = append(f.parts, part{f.wide, x})
		f.wide += int((b.a + half - x) / f.across)
		x = b.b - half
	}
	f.parts = append(f.parts, part{f.wide, x})
	f.wide = max(f.wide+int((right-x)/f.across), 1)
	return f
}

// x is the place on the paper of the crop's column, without the border.
func (f Frame) x(column float64) float64 {
	p := f.parts[0]
	for _, q := range f.parts[1:] {
		if float64(q.at) > column {
			break
		}
		p = q
	}
	return p.x + (column-float64(p.at))*f.across
}

// X is the place on the paper of a column of the crop.
func (f Frame) X(column float64) float64 { return f.x(column - padding) }

// Gaps are the columns of the crop at which a wide gap of the line was cut down:
// what stands left and right of one are two columns of the paper.
func (f Frame) Gaps() []int {
	var at []int
	for _, p := range f.parts[1:] {
		at = append(at, padding+p.at)
	}
	return at
}

// Inner is the rectangle of the line itself in the crop, without the border.
func (f Frame) Inner() image.Rectangle {
	return image.Rect(padding, above, padding+f.wide, above+f.tall)
}

// Cut takes s out of g, straight and with its print stretched to black on
// white, tall pixels high without the white border.
func (s Strip) Cut(g *image.Gray, tall int) (*image.Gray, Frame) {
	f := s.Frame(tall)
	inner := raster.New(f.wide, tall)
	for column := range f.wide {
		x := f.x(float64(column) + 0.5)
		top := s.Base(x) - f.top
		for row := range tall {
			y := top + (float64(row)+0.5)*f.scale
			inner.Pix[row*inner.Stride+column] = sample(g, x-0.5, y-0.5, f.across, f.scale)
		}
	}
	stretch(inner)
	out := raster.New(f.wide+2*padding, tall+2*above)
	raster.Fill(out, 255)
	for row := range tall {
		copy(out.Pix[(row+above)*out.Stride+padding:], inner.Pix[row*inner.Stride:row*inner.Stride+f.wide])
	}
	return out, f
}

// Bars reports whether s is a row of upright bars and no print: what stands in
// one row of it stands in all.
func (s Strip) Bars(g *image.Gray) bool {
	const tall, least = 20, 16
	crop, f := s.Cut(g, tall)
	r := f.Inner()
	same, changes, was := 0, 0, false
	for x := r.Min.X; x < r.Max.X; x++ {
		dark := func(part int) bool { return crop.GrayAt(x, r.Min.Y+part*tall/8).Y < 128 }
		if dark(3) == dark(4) && dark(4) == dark(5) {
			same++
		}
		if dark(4) != was {
			was = !was
			changes++
		}
	}
	return changes >= least && 100*same >= 92*r.Dx() || s.partOfBars(g)
}

// repeating is how well the columns of a rule of signs follow each other: dashes, stars and
// the like, which repeat along the whole line as no words do, and unlike is what they are to
// themselves half a sign further.
const repeating, unlike = 0.65, 0.2

// Repeats reports whether s is one sign again and again, and no print to read.
func (s Strip) Repeats(g *image.Gray) bool { return s.rhythm(g) >= repeating }

// rhythm is how alike s is to itself moved by some letter's width, at best, from 0 to 1; 0 for
// a line too short to tell.
func (s Strip) rhythm(g *image.Gray) (best float64) {
	const tall, least = 24, 12
	crop, f := s.Cut(g, tall)
	r := f.Inner()
	if 2*r.Dx() < least*tall {
		return 0
	}
	dark, thin := darkness(crop, r)
	if r.Dx() < least*tall && !thin {
		return 0 // only dashes are told from so little
	}
	apart := 1.0
	for by := 1; by <= 3*tall/2; by++ {
		like := correlation(dark[:len(dark)-by], dark[by:])
		if apart = min(apart, like); apart < unlike {
			best = max(best, like) // what is broad and dark is like itself nearby, and grows no liker
		}
	}
	return best
}

// darkness is how dark each column of r is in the rows that hold most of its print, beside what
// the columns near by are on the whole: the grain of the paper above a rule, and a shadow
// across it, say nothing of it. It is thin where these rows are few, as of dashes.
func darkness(g *image.Gray, r image.Rectangle) (out []float64, thin bool) {
	rows := make([]float64, r.Dy())
	for y := range rows {
		for x := r.Min.X; x < r.Max.X; x++ {
			rows[y] += 255 - float64(g.GrayAt(x, r.Min.Y+y).Y)
		}
	}
	least, most, dense := quantile(rows, 0.5), slices.Max(rows), 0
	for _, row := range rows {
		if row > (least+most)/2 {
			dense++
		}
	}
	dark := make([]float64, r.Dx()+1) // the sum of all before
	for x := range r.Dx() {
		dark[x+1] = dark[x]
		for y, row := range rows {
			if row > least {
				dark[x+1] += (row - least) * (255 - float64(g.GrayAt(r.Min.X+x, r.Min.Y+y).Y))
			}
		}
	}
	out = make([]float64, r.Dx())
	for x := range out {
		from, to := max(x-r.Dy(), 0), min(x+r.Dy()+1, len(out))
		out[x] = dark[x+1] - dark[x] - (dark[to]-dark[from])/float64(to-from)
	}
	return out, 4*dense <= len(rows)
}

// correlation is that of two rows of as many values, 0 where one of them is all alike.
func correlation(a, b []float64) float64 {
	var ma, mb, ab, aa, bb float64
	for i := range a {
		ma, mb = ma+a[i], mb+b[i]
	}
	n := float64(len(a))
	ma, mb = ma/n, mb/n
	for i := range a {
		x, y := a[i]-ma, b[i]-mb
		ab, aa, bb = ab+x*y, aa+x*x, bb+y*y
	}
	if aa <= 0 || bb <= 0 {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}

// partOfBars reports whether s is the end of a few bars that go on as far above it, or
// below it, as no letter does.
func (s Strip) partOfBars(g *image.Gray) bool {
	// Bars lean by what the paper's bend leaves: slack pixels to either side.
	const least, slack = 4, 2
	box := image.Rect(int(s.X0), int(s.Base(s.X0)-s.Up), int(s.X1), int(s.Base(s.X0)+s.Down)).Intersect(g.Rect)
	hist, n := raster.Histogram(g, box)
	if n == 0 {
		return false
	}
	limit := (float64(raster.Percentile(&hist, n, 0.9)) + float64(raster.Percentile(&hist, n, 0.1))) / 2
	for _, way := range [...]float64{-1, 1} {
		same, bars, changes, was := 0, 0, 0, false
		for x := math.Ceil(s.X0); x < s.X1; x++ {
			middle := s.Base(x) - s.Height/2
			dark := func(off float64) bool {
				y := middle + off*way*s.Height
				return float64(raster.At(g, x, y)) < limit || off > 0 && (float64(raster.At(g, x-slack, y)) < limit || float64(raster.At(g, x+slack, y)) < limit)
			}
			if dark(0) {
				if bars++; dark(0.8) && dark(1.6) {
					same++
				}
			}
			if dark(0) != was {
				was = !was
				changes++
			}
		}
		if changes >= least && 100*same >= 85*bars {
			return true
		}
	}
	return false
}

// sample is the value of g at x, y; where the crop is smaller than the picture
// it is the mean over what one pixel of the crop covers, across by down.
func sample(g *image.Gray, x, y, across, down float64) uint8 {
	if down <= 1.3 {
		return raster.At(g, x, y)
	}
	n := int(math.Ceil(down))
	sum := 0
	for i := range n {
		for j := range n {
			dx := ((float64(i)+0.5)/float64(n) - 0.5) * across
			dy := ((float64(j)+0.5)/float64(n) - 0.5) * down
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

// Flat maps a rectangle of the crop to the flattened paper: the outline of the
// piece of the curve that it covers.
func (f Frame) Flat(r image.Rectangle) []raster.Point {
	x0, x1 := f.x(float64(r.Min.X-padding)), f.x(float64(r.Max.X-padding))
	up := f.top - float64(r.Min.Y-above)*f.scale
	down := f.top - float64(r.Max.Y-above)*f.scale
	out := make([]raster.Point, 0, 6)
	for _, x := range []float64{x0, (x0 + x1) / 2, x1} {
		out = append(out, raster.Point{X: x, Y: f.Base(x) - up}, raster.Point{X: x, Y: f.Base(x) - down})
	}
	return out
}
