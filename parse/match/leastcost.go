package match

// LeastCost gives every row a column of its own so that the costs add up to the
// least possible, and returns the column of each row. There must be at least as
// many columns as rows; a row that may stay alone needs a column for itself.
func LeastCost(cost [][]int32) []int { return assign(cost) }
