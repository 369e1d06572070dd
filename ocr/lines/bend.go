package lines

import (
	"math"

	"tillproof/ocr/raster"
)

// bend says how the lines of a paper run: a line that stands at height v where
// it crosses the middle of the picture stands at y = v + bend(x, y) elsewhere.
// It is a polynomial, because curl and tilt change slowly over a paper; what
// is more local (a crease) each line follows by itself.
type bend struct {
	cx, cy, half, tall float64
	coef               []float64
}

// stiff is the bend of a flat paper of w by h pixels that is hardly bent across.
func stiff(w, h float64) bend {
	side := max(w, h) / 2
	return bend{cx: w / 2, cy: h / 2, half: side, tall: side}
}

// free is the bend of a flat paper of w by h pixels that may be bent across as well as
// down, in the part where the groups' points are: most of the picture may be a table.
func free(groups [][]raster.Point, w, h float64) bend {
	var xs, ys []float64
	for _, g := range groups {
		for _, p := range g {
			xs, ys = append(xs, p.X), append(ys, p.Y)
		}
	}
	const edge, around = 0.02, 1.35 // what is beyond the outermost points is paper too
	x0, x1, y0, y1 := quantile(xs, edge), quantile(xs, 1-edge), quantile(ys, edge), quantile(ys, 1-edge)
	if x1-x0 < w/8 || y1-y0 < h/8 {
		return bend{cx: w / 2, cy: h / 2, half: w / 2, tall: h / 2}
	}
	return bend{cx: (x0 + x1) / 2, cy: (y0 + y1) / 2, half: around * (x1 - x0) / 2, tall: around * (y1 - y0) / 2}
}

// muchBetter is the share of what a stiff paper leaves off the level up to which a
// free one is believed.
const muchBetter = 0.85

// off is how far the points of the groups are off the level of their group, on the
// whole and in tolerances, squared; a descender or a blot counts no more than so much.
func (b *bend) off(groups [][]raster.Point, tolerance float64) float64 {
	const most = 9
	sum, n := 0.0, 0
	for _, g := range groups {
		level := make([]float64, len(g))
		for i, p := range g {
			level[i] = p.Y - b.at(p.X, p.Y)
		}
		mid := median(level)
		for _, y := range level {
			sum += min((y-mid)*(y-mid)/(tolerance*tolerance), most)
		}
		n += len(g)
	}
	return sum / float64(max(n, 1))
}

// The degrees of the polynomial across and down the paper.
const (
	bendAcross = 4
	bendDown   = 4
)

// terms puts the values of the polynomial's terms at x, y into out.
func (b *bend) terms(x, y float64, out []float64) {
	u, v := (x-b.cx)/b.half, (y-b.cy)/b.tall
	i := 0
	pu := u
	for range bendAcross {
		pv := 1.0
		for range bendDown {
			out[i] = pu * pv
			pv *= v
			i++
		}
		pu *= u
	}
}

// at is the height of the line through x, y above that where it crosses the
// middle.
func (b *bend) at(x, y float64) float64 {
	if b.coef == nil {
		return 0
	}
	var t [bendAcross * bendDown]float64
	b.terms(x, y, t[:])
	sum := 0.0
	for i, c := range b.coef {
		sum += c * t[i]
	}
	return sum
}

// fit finds the bend that lays the points of each group on one level, as well
// as most of them allow: a descender or a blot must not bend the paper, so the
// weight of points that stay off the level falls with every round.
func (b *bend) fit(groups [][]raster.Point, tolerance float64) {
	b.coef = make([]float64, bendAcross*bendDown)
	b.refit(groups, tolerance)
}

// refit is fit, and begins with the bend that b is.
func (b *bend) refit(groups [][]raster.Point, tolerance float64) {
	const n = bendAcross * bendDown
	if b.coef == nil {
		b.coef = make([]float64, n)
	}
	for range 6 {
		a := make([][]float64, n)
		for i := range a {
			a[i] = make([]float64, n)
		}
		rhs := make([]float64, n)
		weightSum := 0.0
		for _, g := range groups {
			weightSum += b.add(g, tolerance, a, rhs)
		}
		if weightSum == 0 {
			b.coef = nil
			return
		}
		// A small pull towards a flat paper, stronger for the higher powers,
		// keeps corners without print from running away.
		for i := range n {
			across, down := float64(i/bendDown), float64(i%bendDown)
			a[i][i] += weightSum * 1e-5 * math.Pow(6, across+down)
		}
		coef, ok := raster.Solve(a, rhs)
		if !ok {
			b.coef = nil
			return
		}
		b.coef = coef
	}
}

// add puts the equations of one group into the sums: each point's height less
// the group's mean equals the bend there less the group's mean bend.
func (b *bend) add(g []raster.Point, tolerance float64, a [][]float64, rhs []float64) float64 {
	const n = bendAcross * bendDown
	level := make([]float64, len(g))
	for i, p := range g {
		level[i] = p.Y - b.at(p.X, p.Y)
	}
	mid := median(level)
	terms := make([][n]float64, len(g))
	weights := make([]float64, len(g))
	var mean [n]float64
	meanY, sum := 0.0, 0.0
	for i, p := range g {
		b.terms(p.X, p.Y, terms[i][:])
		d := (level[i] - mid) / tolerance
		weights[i] = 1 / (1 + d*d)
		sum += weights[i]
		meanY += weights[i] * p.Y
		for k := range n {
			mean[k] += weights[i] * terms[i][k]
		}
	}
	for i, p := range g {
		dy := p.Y - meanY/sum
		for k := range n {
			tk := terms[i][k] - mean[k]/sum
			rhs[k] += weights[i] * tk * dy
			for m := range n {
				a[k][m] += weights[i] * tk * (terms[i][m] - mean[m]/sum)
			}
		}
	}
	return sum
}
