package match

// edits counts the least number of letters to put in, leave out, replace or
// swap with their neighbour to make b of a, no stretch being changed twice
// (optimal string alignment). Texts beyond 63 letters count as all different.
func edits(a, b string) int {
	const longest = 63
	if len(a) > longest || len(b) > longest {
		if a == b {
			return 0
		}
		return max(len(a), len(b))
	}
	var rows [3][longest + 1]uint8
	before, last, now := &rows[0], &rows[1], &rows[2]
	for j := range len(b) + 1 {
		last[j] = uint8(j)
	}
	for i := range len(a) {
		now[0] = uint8(i + 1)
		for j := range len(b) {
			d := last[j]
			if a[i] != b[j] {
				d++
			}
			d = min(d, last[j+1]+1, now[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				d = min(d, before[j-1]+1)
			}
			now[j+1] = d
		}
		before, last, now = last, now, before
	}
	return int(last[len(b)])
}
