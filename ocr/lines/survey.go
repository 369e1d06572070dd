package lines

import (
	"cmp"
	"image"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// Survey is a first look at a picture that may be turned by any angle and show
// more than the paper: where something stands that looks like lines of print.
type Survey struct {
	// Letters are the middles of letters that stand in regular lines.
	Letters []raster.Point
	// Height is what most letters measure, in pixels, 0 where there are none.
	Height float64
	// Angle is the direction in which lines run, in radians clockwise from the
	// picture's rows, from -π/2 to π/2: whether they run there or back is left
	// open.
	Angle float64
}

// Few is how many letters are less than a receipt has, and tell nothing of where it
// lies or how its lines run.
const Few = 40

// Look surveys a mask of ink. Where what is large is few, such as the squares
// of a checked table, it looks among what is smaller too.
func Look(mask *image.Gray) Survey {
	pieces := raster.Pieces(mask, raster.Ink)
	s, size := look(pieces)
	if len(s.Letters) >= Few || size == 0 {
		return s
	}
	var rest []raster.Piece
	for _, p := range pieces {
		if float64(max(p.W(), p.H())) < 0.55*size {
			rest = append(rest, p)
		}
	}
	if other, _ := look(rest); len(other.Letters) > 2*len(s.Letters) && len(other.Letters) >= Few {
		return other
	}
	return s
}

// look surveys pieces of ink; size is the size that most of them have.
func look(pieces []raster.Piece) (s Survey, size float64) {
	letters, size := lettersOfAnySlant(pieces)
	if len(letters) < 8 {
		return s, size
	}
	angle := direction(letters, size)
	s = Survey{Angle: angle, Height: size}
	sin, cos := math.Sincos(-angle)
	turned := make([]raster.Piece, len(letters))
	for i, p := range letters {
		x, y := middle(p)
		tx, ty := x*cos-y*sin, x*sin+y*cos
		// What a turned letter measures is not known; it is about as wide as high.
		half := math.Sqrt(float64(p.W()*p.H())) / 2
		turned[i] = raster.Piece{X0: int(tx - half), X1: int(tx + half + 1), Y0: int(ty - half), Y1: int(ty + half + 1), Area: p.Area}
	}
	back := func(p raster.Piece) raster.Point {
		x, y := middle(p)
		return raster.Point{X: x*cos + y*sin, Y: -x*sin + y*cos}
	}
	for _, c := range chainLetters(turned) {
		if !c.regular() {
			continue
		}
		for _, p := range c.letters {
			s.Letters = append(s.Letters, back(p))
		}
	}
	return s, size
}

func middle(p raster.Piece) (x, y float64) {
	return float64(p.X0+p.X1) / 2, float64(p.Y0+p.Y1) / 2
}

// lettersOfAnySlant picks the pieces that are about as large as most.
func lettersOfAnySlant(pieces []raster.Piece) (letters []raster.Piece, size float64) {
	var sizes []float64
	for _, p := range pieces {
		if s := max(p.W(), p.H()); s >= 5 && p.Area*20 > p.W()*p.H() {
			sizes = append(sizes, float64(s))
		}
	}
	if len(sizes) < 8 {
		return nil, 0
	}
	size = commonHeight(sizes)
	for _, p := range pieces {
		s := float64(max(p.W(), p.H()))
		if s >= 0.55*size && s <= 2*size && p.Area*20 > p.W()*p.H() {
			letters = append(letters, p)
		}
	}
	return letters, size
}

// direction finds how lines run: letters stand closer to their neighbours in
// the line than to those above and below.
func direction(letters []raster.Piece, size float64) float64 {
	const bins = 180
	var hist [bins]float64
	slices.SortFunc(letters, func(a, b raster.Piece) int { return cmp.Compare(a.X0, b.X0) })
	for i, a := range letters {
		ax, ay := middle(a)
		// The two nearest, whichever way they lie.
		var near [2]float64
		var angle [2]float64
		near[0], near[1] = math.Inf(1), math.Inf(1)
		visit := func(j int) bool {
			bx, by := middle(letters[j])
			if math.Abs(bx-ax) > 3*size {
				return false
			}
			d := math.Hypot(bx-ax, by-ay)
			if d > 2.5*size || d < 0.3*size {
				return true
			}
			t := math.Atan2(by-ay, bx-ax)
			if d < near[0] {
				near[1], angle[1] = near[0], angle[0]
				near[0], angle[0] = d, t
			} else if d < near[1] {
				near[1], angle[1] = d, t
			}
			return true
		}
		for j := i - 1; j >= 0 && visit(j); j-- {
		}
		for j := i + 1; j < len(letters) && visit(j); j++ {
		}
		for k, d := range near {
			if !math.IsInf(d, 1) {
				deg := int(math.Round(angle[k]*180/math.Pi)) + 2*bins
				hist[deg%bins]++
			}
		}
	}
	best, at := 0.0, 0
	sum := func(i, r int) float64 {
		total := 0.0
		for d := -r; d <= r; d++ {
			total += hist[(i+d+bins)%bins]
		}
		return total
	}
	for i := range bins {
		if s := sum(i, 4) + sum(i, 1); s > best {
			best, at = s, i
		}
	}
	mean, weight := 0.0, 0.0
	for d := -5; d <= 5; d++ {
		w := hist[(at+d+bins)%bins]
		mean += float64(d) * w
		weight += w
	}
	degrees := float64(at) + mean/max(weight, 1)
	if degrees > 90 {
		degrees -= 180
	}
	return degrees * math.Pi / 180
}

// regular reports whether c looks like print and not like the grain of a
// table: enough letters, much the same size, on a straight line.
func (c *chain) regular() bool {
	n := len(c.letters)
	if n < 5 {
		return false
	}
	sizes := make([]float64, n)
	var sx, sy, sxx, sxy float64
	for i, p := range c.letters {
		x, y := middle(p)
		sizes[i] = float64(p.H())
		sx, sy, sxx, sxy = sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	size := median(sizes)
	slope := (float64(n)*sxy - sx*sy) / max(float64(n)*sxx-sx*sx, 1e-9)
	off, spread := 0.0, 0.0
	for i, p := range c.letters {
		x, y := middle(p)
		off += math.Abs(y - sy/float64(n) - slope*(x-sx/float64(n)))
		spread += math.Abs(sizes[i] - size)
	}
	return off < 0.16*size*float64(n) && spread < 0.28*size*float64(n) && math.Abs(slope) < 0.3
}
