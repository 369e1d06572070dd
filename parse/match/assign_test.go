package match

import (
	"math/rand/v2"
	"slices"
	"testing"
)

func total(cost [][]int32, columns []int) (sum int32) {
	for i, j := range columns {
		sum += cost[i][j]
	}
	return sum
}

// Examples of the SciPy documentation of linear_sum_assignment and of the
// same size, with the columns and costs found there by brute force.
func TestAssignPublished(t *testing.T) {
	for _, c := range []struct {
		cost    [][]int32
		columns []int
		sum     int32
	}{
		{[][]int32{{4, 1, 3}, {2, 0, 5}, {3, 2, 2}}, []int{1, 0, 2}, 5},
		{[][]int32{{10, 5, 13, 15}, {3, 9, 18, 13}, {13, 7, 4, 15}, {12, 11, 14, 8}}, []int{1, 0, 2, 3}, 20},
	} {
		got := assign(c.cost)
		if !slices.Equal(got, c.columns) || total(c.cost, got) != c.sum {
			t.Errorf("assign(%v) = %v cost %d, want %v cost %d", c.cost, got, total(c.cost, got), c.columns, c.sum)
		}
	}
}

// More rows than columns leave rows unassigned (SciPy's rule for rectangular
// costs): here with one dummy column for each row, as the matching pads.
func TestAssignMoreRowsThanColumns(t *testing.T) {
	const alone = 6
	cost := [][]int32{{4, alone, alone, alone}, {1, alone, alone, alone}, {5, alone, alone, alone}}
	got := assign(cost)
	if got[1] != 0 || got[0] == 0 || got[2] == 0 {
		t.Errorf("assign = %v, want only the second row in column 0", got)
	}
}

func TestAssignBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n := 1 + r.IntN(6)
		m := n + r.IntN(3)
		cost := make([][]int32, n)
		for i := range cost {
			cost[i] = make([]int32, m)
			for j := range cost[i] {
				cost[i][j] = int32(r.IntN(40) - 10)
			}
		}
		got := assign(cost)
		used := map[int]bool{}
		for _, j := range got {
			if used[j] {
				t.Fatalf("assign(%v) = %v uses a column twice", cost, got)
			}
			used[j] = true
		}
		if best := bruteForce(cost, 0, make([]bool, m)); total(cost, got) != best {
			t.Fatalf("assign(%v) = %v costs %d, the least is %d", cost, got, total(cost, got), best)
		}
	}
}

func bruteForce(cost [][]int32, row int, used []bool) int32 {
	if row == len(cost) {
		return 0
	}
	best := int32(1 << 30)
	for j := range used {
		if !used[j] {
			used[j] = true
			best = min(best, cost[row][j]+bruteForce(cost, row+1, used))
			used[j] = false
		}
	}
	return best
}

func BenchmarkAssign60(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 4))
	cost := make([][]int32, 60)
	for i := range cost {
		cost[i] = make([]int32, 60)
		for j := range cost[i] {
			cost[i][j] = int32(r.IntN(1000))
		}
	}
	for b.Loop() {
		assign(cost)
	}
}
