package lines

import (
	"math"
	"slices"
)

// median is the middle value of v, 0 where there is none; v is not changed.
func median(v []float64) float64 { return quantile(v, 0.5) }

// quantile is the value below which the share q of v lies.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return s[min(int(q*float64(len(s))), len(s)-1)]
}

// commonHeight is the height that most of the pieces share: that of capitals
// and digits. Specks are many and small, so each piece counts by its height.
func commonHeight(heights []float64) float64 {
	const steps = 12 // a doubling is divided into so many
	var hist [12 * steps]float64
	for _, h := range heights {
		if i := int(math.Log2(h) * steps); i >= 0 && i < len(hist) {
			hist[i] += h
		}
	}
	best, at := 0.0, 0
	for i := 2; i+2 < len(hist); i++ {
		if sum := hist[i-2] + 2*hist[i-1] + 3*hist[i] + 2*hist[i+1] + hist[i+2]; sum > best {
			best, at = sum, i
		}
	}
	return math.Exp2((float64(at) + 0.5) / steps)
}
