package lines

import "slices"

// Hollow reports whether what stands in the lines is large and few and little of it is ink: the
// squares of a checked cloth, of which the edges are seen. Of large letters about a half is.
func (l *Layout) Hollow() bool {
	const large, few, least = 20, 6 * Few, 0.45
	if l.Height < large {
		return false
	}
	var fills []float64
	for _, c := range l.lines {
		for _, p := range c.letters {
			fills = append(fills, float64(p.Area)/float64(p.W()*p.H()))
		}
	}
	if len(fills) == 0 || len(fills) >= few {
		return false
	}
	slices.Sort(fills)
	return fills[len(fills)/2] < least
}
