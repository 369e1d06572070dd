package lines

import (
	"cmp"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// wideBlank is how wide a gap is, in heights of a letter, that is shown to an
// engine; one wider than that is cut down to it. Engines lose what stands
// behind a wide gap, and reading the gap takes its time.
const wideBlank = 2.5

// blanks finds the gaps of c that are wider than an engine should see, where its letters
// are shown as if they were of the given height. A row of dots that leads from a name to
// its amount is such a gap too: engines read it as anything, and take the amount along.
func (c *chain) blanks(height float64) []span {
	pieces := append(slices.Clone(c.letters), c.small...)
	slices.SortFunc(pieces, func(a, b raster.Piece) int { return cmp.Compare(a.X0, b.X0) })
	var out []span
	end := c.x0
	for i := 0; i < len(pieces); i++ {
		p := pieces[i]
		if n, pitch := c.leader(pieces[i:]); n >= leastLeader && i > 0 && i+n < len(pieces) {
			// Of the dots nothing is shown, and of the gap what tells two words
			// apart; more where behind the last dot print too faint to be seen may stand.
			hidden := (wideBlank/2 - 0.6) * height
			end = max(end, float64(pieces[i-1].X1))
			last, next := pieces[i+n-1], float64(pieces[i+n].X0)
			if wide := next - float64(last.X1); wide > 2*pitch+0.3*height {
				next = float64(last.X1) + 0.6*height
			}
			out = append(out, span{end - hidden, next + hidden})
			i += n - 1
			end = float64(pieces[i].X1)
			continue
		}
		if float64(p.X0)-end > 1.4*wideBlank*height {
			out = append(out, span{end, float64(p.X0)})
		}
		end = max(end, float64(p.X1))
	}
	return out
}

const (
	// leastLeader is the least number of dots that are a leader: more than an
	// ellipsis has.
	leastLeader = 5
	// mostHole is how many of a leader's dots in a row may be too faint to be seen.
	mostHole = 4
)

// leader is the number of dots that pieces begin with, and how far apart they
// stand: small, at one height of the line, and all at the same distance but for dots
// that are missing. What is left of a faint letter is neither.
func (c *chain) leader(pieces []raster.Piece) (n int, pitch float64) {
	var steps []float64
	for n < len(pieces) {
		p := pieces[n]
		if float64(max(p.W(), p.H())) > 0.55*c.height {
			break
		}
		if n > 0 {
			last := pieces[n-1]
			if math.Abs(float64(p.Y0+p.Y1-last.Y0-last.Y1))/2 > max(0.12*c.height, 1) || p.X0 <= last.X1 || float64(p.X0-last.X1) > 1.2*(1+mostHole)*c.height {
				break
			}
			steps = append(steps, apart(last, p))
		}
		n++
	}
	if pitch = usualStep(steps); n < leastLeader || pitch > 1.2*c.height {
		return 0, 0
	}
	for k, step := range steps {
		if holes := math.Round(step/pitch) - 1; holes > mostHole || math.Abs(step-(holes+1)*pitch) > max(0.25*pitch, 1.5) {
			return k + 1, pitch
		}
	}
	return n, pitch
}

// usualStep is how far apart the dots stand that follow each other with none missing.
func usualStep(steps []float64) float64 {
	if len(steps) == 0 {
		return 0
	}
	sum, n, least := 0.0, 0.0, slices.Min(steps)
	for _, step := range steps {
		if step < 1.5*least {
			sum, n = sum+step, n+1
		}
	}
	return sum / n
}

// apart is the distance between the middles of two pieces.
func apart(a, b raster.Piece) float64 { return float64(b.X0+b.X1-a.X0-a.X1) / 2 }
