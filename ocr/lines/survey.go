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
	// Others are the middles of the letters of other print, which the receipt lies
	// on or beside.
	Others []raster.Point
}

// Few is how many letters are less than a receipt has, and tell nothing of where it
// lies or how its lines run.
const Few = 40

// Look surveys a mask of ink. Where what is large is few, such as the squares
// of a checked table, it looks among what is smaller too; and where print runs all
// over the picture, for other print that lies on it.
func Look(mask *image.Gray) Survey { return LookAt(mask, nil) }

// LookAt is Look, and tells prints that differ in strength apart as well; even is the
// picture that mask is of, with paper of one brightness, nil where there is none.
func LookAt(mask, even *image.Gray) Survey {
	pieces := raster.Pieces(mask, raster.Ink)
	s, in, size := look(pieces, nil)
	if size == 0 {
		return s
	}
	if len(s.Letters) < 2*Few {
		var rest []raster.Piece
		for _, p := range pieces {
			if float64(max(p.W(), p.H())) < 0.55*size {
				rest = append(rest, p)
			}
		}
		if other, _, _ := look(rest, nil); len(other.Letters) > 2*len(s.Letters) && len(other.Letters) >= Few {
			return other
		}
	}
	if len(s.Letters) < Few {
		return s
	}
	if even != nil {
		if on, ok := byStrength(pieces, mask, even); ok {
			return on
		}
	}
	if on, ok := lyingOn(s.Angle, in, pieces); ok {
		return on
	}
	return s
}

// LookWithin is Look among what stands where within says so.
func LookWithin(mask *image.Gray, within func(x, y float64) bool) Survey {
	pieces := slices.DeleteFunc(raster.Pieces(mask, raster.Ink), func(p raster.Piece) bool { return !within(middle(p)) })
	s, _, _ := look(pieces, nil)
	return s
}

// look surveys pieces of ink, and says which of them stand in rows that run just as most
// do; size is the size that most of them have. Lines do not run along away, where that
// is given.
func look(pieces []raster.Piece, away []float64) (s Survey, in []raster.Piece, size float64) {
	letters, size := lettersOfAnySlant(pieces)
	if len(letters) < 8 {
		return s, nil, size
	}
	angle, beside := direction(letters, size, away)
	rows, n := rowsAlong(letters, angle)
	if (beside > balanced || n < Few) && 4*n < 3*len(letters) {
		// Digits in columns stand closer above than beside each other.
		across := math.Remainder(angle+math.Pi/2, math.Pi)
		if other, m := rowsAlong(letters, across); 7*m > 8*n {
			angle, rows = across, other
		}
	}
	s = Survey{Angle: angle, Height: size}
	sin, cos := math.Sincos(angle)
	for _, row := range rows {
		x0, y0 := middle(row[0])
		x1, y1 := middle(row[len(row)-1])
		level := math.Abs(cos*(y1-y0)-sin*(x1-x0)) < levelRow*math.Abs(cos*(x1-x0)+sin*(y1-y0))
		for _, p := range row {
			x, y := middle(p)
			s.Letters = append(s.Letters, raster.Point{X: x, Y: y})
			if level {
				in = append(in, p)
			}
		}
	}
	return s, in, size
}

// rowsAlong are the letters that stand in regular rows in the direction of angle, and
// how many they are.
func rowsAlong(letters []raster.Piece, angle float64) (rows [][]raster.Piece, n int) {
	sin, cos := math.Sincos(-angle)
	turned := make([]raster.Piece, len(letters))
	of := make(map[raster.Piece]raster.Piece, len(letters))
	for i, p := range letters {
		x, y := middle(p)
		tx, ty := x*cos-y*sin, x*sin+y*cos
		// What a turned letter measures is not known; it is about as wide as high.
		half := math.Sqrt(float64(p.W()*p.H())) / 2
		turned[i] = raster.Piece{X0: int(tx - half), X1: int(tx + half + 1), Y0: int(ty - half), Y1: int(ty + half + 1), Area: p.Area}
		of[turned[i]] = p
	}
	for _, c := range chainLetters(turned) {
		if !c.regular() {
			continue
		}
		row := make([]raster.Piece, len(c.letters))
		for i, p := range c.letters {
			row[i] = of[p]
		}
		rows, n = append(rows, row), n+len(row)
	}
	return rows, n
}

// balanced is the share of neighbours along the lines from which those across may be the
// neighbours in the lines.
const balanced = 0.4

// apartBy is how far in radians the lines of two papers must run from each other's
// direction for their print to be told apart.
const apartBy = 5 * math.Pi / 180

// levelRow is the slope up to which a row runs as the others do.
const levelRow = 0.07

// lyingOn looks for a receipt on a table that is printed all over, such as a
// newspaper: print that runs aslant to that in the direction of angle, of table, and
// has it on opposite sides but hardly any within itself.
func lyingOn(angle float64, table, pieces []raster.Piece) (on Survey, ok bool) {
	in := make(map[raster.Piece]bool, len(table))
	for _, p := range table {
		in[p] = true
	}
	others := middles(table)
	var rest []raster.Piece
	for _, p := range pieces {
		if !in[p] {
			rest = append(rest, p)
		}
	}
	// What is left of a page full of print runs as the rest of it, nearly, and may be
	// more than the receipt.
	away := []float64{angle}
	for {
		var level []raster.Piece
		on, level, _ = look(rest, away)
		on.Letters = middles(level) // rows that run aslant may be the table's
		columns := len(table) < page && math.Abs(math.Remainder(on.Angle-angle+math.Pi/2, math.Pi)) < bentBy
		if len(on.Letters) >= Few && !columns && math.Abs(math.Remainder(on.Angle-angle, math.Pi)) >= apartBy {
			if on.Others, ok = around(&on, others); ok {
				return on, true
			}
		}
		if away = append(away, on.Angle); len(away) > mostTries || len(table) < page {
			return on, false
		}
	}
}

// bentBy is how far in radians the columns of print may run from across most of its lines, where
// the paper is bent: what stands so amid fewer letters than a page has is no other paper's.
const bentBy = 15 * math.Pi / 180

// page is how many letters in rows a page full of print has at least, and mostTries how
// many directions are tried for what lies on one.
const page, mostTries = 1000, 4

// leastPage is how high print is at least that is a receipt of its own, in heights of a
// letter: a column of amounts with their flags is less wide.
const leastPage = 14

// around are those of others that are not within the print of on, but on opposite sides
// of it; ok is false where they are not. What of them is within becomes on's own: there
// is less of it than of that.
func around(on *Survey, others []raster.Point) (out []raster.Point, ok bool) {
	e := on.extent()
	if e.y1-e.y0 < leastPage*on.Height {
		return nil, false // a column of amounts, read from top to bottom
	}
	left, right, above, below := 0, 0, 0, 0
	var within []raster.Point
	for _, p := range others {
		x, y := e.turned(p)
		across, down := x > e.x0 && x < e.x1, y > e.y0 && y < e.y1
		if across && down {
			within = append(within, p)
			continue
		}
		out = append(out, p)
		switch {
		case down && x < e.x0:
			left++
		case down:
			right++
		case across && y < e.y0:
			above++
		case across:
			below++
		}
	}
	if min(left, right) < Few/2 && min(above, below) < Few/2 || 5*len(within) > 4*len(on.Letters) {
		return nil, false
	}
	on.Letters = append(on.Letters, within...)
	return out, true
}

// extent is the rectangle along a survey's lines in which nearly all of its letters lie.
type extent struct{ sin, cos, x0, x1, y0, y1 float64 }

func (s *Survey) extent() extent {
	e := extent{}
	e.sin, e.cos = math.Sincos(s.Angle)
	var xs, ys []float64
	for _, p := range s.Letters {
		x, y := e.turned(p)
		xs, ys = append(xs, x), append(ys, y)
	}
	const edge = 0.05
	e.x0, e.x1, e.y0, e.y1 = quantile(xs, edge), quantile(xs, 1-edge), quantile(ys, edge), quantile(ys, 1-edge)
	return e
}

// turned is p along and across the lines.
func (e extent) turned(p raster.Point) (x, y float64) {
	return e.cos*p.X + e.sin*p.Y, e.cos*p.Y - e.sin*p.X
}

// middles are the middles of pieces.
func middles(pieces []raster.Piece) []raster.Point {
	out := make([]raster.Point, len(pieces))
	for i, p := range pieces {
		out[i].X, out[i].Y = middle(p)
	}
	return out
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
// the line than to those above and below. It is not along away nor across it,
// where that is given. As many neighbours as beside times those along it stand across it.
func direction(letters []raster.Piece, size float64, away []float64) (angle, beside float64) {
	hist := directions(letters, size)
	const bins = len(hist)
	best, at := 0.0, 0
	sum := func(i, r int) float64 {
		total := 0.0
		for d := -r; d <= r; d++ {
			total += hist[(i+d+bins)%bins]
		}
		return total
	}
	for i := range bins {
		if slices.ContainsFunc(away, func(a float64) bool {
			return math.Abs(math.Remainder(float64(i)*math.Pi/float64(bins)-a, math.Pi/2)) < apartBy
		}) {
			continue
		}
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
	return degrees * math.Pi / 180, sum((at+bins/2)%bins, 4) / max(sum(at, 4), 1)
}

// directions counts, by degrees, in which direction the two nearest neighbours of each of
// letters stand.
func directions(letters []raster.Piece, size float64) (hist [180]float64) {
	const bins = len(hist)
	slices.SortFunc(letters, func(a, b raster.Piece) int { return cmp.Compare(a.X0, b.X0) })
	for i, a := range letters {
		ax, ay := middle(a)
		// The two nearest, whichever way they lie.
		var near [2]float64
		var towards [2]float64
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
				near[1], towards[1] = near[0], towards[0]
				near[0], towards[0] = d, t
			} else if d < near[1] {
				near[1], towards[1] = d, t
			}
			return true
		}
		for j := i - 1; j >= 0 && visit(j); j-- {
		}
		for j := i + 1; j < len(letters) && visit(j); j++ {
		}
		for k, d := range near {
			if !math.IsInf(d, 1) {
				deg := int(math.Round(towards[k]*180/math.Pi)) + 2*bins
				hist[deg%bins]++
			}
		}
	}
	return hist
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
