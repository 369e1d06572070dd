package raster

import "math"

// Solve returns x with a·x = b for a square matrix, by elimination with
// pivots; ok is false where a has no inverse. Both arguments are overwritten.
func Solve(a [][]float64, b []float64) (x []float64, ok bool) {
	n := len(b)
	for col := range n {
		pivot := col
		for row := col + 1; row < n; row++ {
			if math.Abs(a[row][col]) > math.Abs(a[pivot][col]) {
				pivot = row
			}
		}
		if math.Abs(a[pivot][col]) < 1e-12 {
			return nil, false
		}
		a[col], a[pivot] = a[pivot], a[col]
		b[col], b[pivot] = b[pivot], b[col]
		for row := col + 1; row < n; row++ {
			f := a[row][col] / a[col][col]
			if f == 0 {
				continue
			}
			for k := col; k < n; k++ {
				a[row][k] -= f * a[col][k]
			}
			b[row] -= f * b[col]
		}
	}
	for row := n - 1; row >= 0; row-- {
		for k := row + 1; k < n; k++ {
			b[row] -= a[row][k] * b[k]
		}
		b[row] /= a[row][row]
	}
	return b, true
}
