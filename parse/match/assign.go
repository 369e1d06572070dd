package match

import "math"

// assign gives every row a column of its own so that the costs add up to the
// least possible, and returns the column of each row. There must be at least
// as many columns as rows; a row that may stay alone needs a dummy column.
//
// It is the shortest augmenting path method: rows are taken in one at a time,
// and for each the cheapest chain of moves to a free column is looked for, as
// in Dijkstra's search, with prices (u, v) on rows and columns that keep every
// reduced cost at or above zero. Whole numbers throughout, so that equal
// inputs always give equal results.
func assign(cost [][]int32) []int {
	n := len(cost)
	if n == 0 {
		return nil
	}
	m := len(cost[0])
	u, v := make([]int32, n+1), make([]int32, m+1)
	rowOf := make([]int, m+1) // row in each column, counted from 1; 0: free
	from := make([]int, m+1)  // the column before it on the path
	least := make([]int32, m+1)
	done := make([]bool, m+1)
	for i := 1; i <= n; i++ {
		for j := range least {
			least[j], done[j] = math.MaxInt32, false
		}
		rowOf[0] = i
		at := 0
		for rowOf[at] != 0 {
			done[at] = true
			row, step, next := rowOf[at], int32(math.MaxInt32), 0
			for j := 1; j <= m; j++ {
				if done[j] {
					continue
				}
				if c := cost[row-1][j-1] - u[row] - v[j]; c < least[j] {
					least[j], from[j] = c, at
				}
				if least[j] < step {
					step, next = least[j], j
				}
			}
			for j := range least {
				if done[j] {
					u[rowOf[j]] += step
					v[j] -= step
				} else if least[j] != math.MaxInt32 {
					least[j] -= step
				}
			}
			at = next
		}
		for at != 0 {
			rowOf[at] = rowOf[from[at]]
			at = from[at]
		}
	}
	columns := make([]int, n)
	for j := 1; j <= m; j++ {
		if rowOf[j] > 0 {
			columns[rowOf[j]-1] = j - 1
		}
	}
	return columns
}
