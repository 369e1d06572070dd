package lines

import (
	"math"

	"tillproof/ocr/raster"
)

// leastGuesses is the least number of lines in two parts that say how the paper is
// bent between them.
const leastGuesses = 3

// guess are the feet of chains that are likely the name and the amount of one line,
// though the bend that is known so far does not bring them to one level: curl lifts
// all amounts of a stretch alike, and one that is unlike the others bends nothing.
func (l *Layout) guess(chains []*chain) [][]raster.Point {
	const reach, fewest = 0.85, 3
	// nearest is the chain to the right or left of a that is closest to its level.
	nearest := func(a *chain, right bool) *chain {
		var best *chain
		off := reach * l.Height
		for _, b := range chains {
			beside := b.x0 > a.x1+a.height
			if !right {
				beside = b.x1 < a.x0-a.height
			}
			if d := math.Abs(b.level - a.level); a != b && beside && d < off && len(b.letters) >= fewest && b.height < 1.5*a.height && a.height < 1.5*b.height {
				best, off = b, d
			}
		}
		return best
	}
	var groups [][]raster.Point
	for _, a := range chains {
		if len(a.letters) < fewest {
			continue
		}
		b := nearest(a, true)
		if b == nil || nearest(b, false) != a {
			continue
		}
		both := chain{letters: append(append([]raster.Piece{}, a.letters...), b.letters...)}
		groups = append(groups, baselines([]*chain{&both})...)
	}
	return groups
}
