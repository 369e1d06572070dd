package main

import (
	"regexp"
	"strings"
)

// tally counts what was read against what is printed.
type tally struct{ hit, read, truth int }

// recall, precision and f1 are 1 where there was nothing to find.
func (t tally) recall() float64    { return share(t.hit, t.truth) }
func (t tally) precision() float64 { return share(t.hit, t.read) }
func (t tally) f1() float64        { return share(2*t.hit, t.read+t.truth) }

func share(a, b int) float64 {
	if b == 0 {
		return 1
	}
	return float64(a) / float64(b)
}

func (t *tally) add(u tally) {
	t.hit += u.hit
	t.read += u.read
	t.truth += u.truth
}

// multiset compares two lists without regard to order.
func multiset(read, truth []string) tally {
	left := map[string]int{}
	for _, s := range truth {
		left[s]++
	}
	t := tally{read: len(read), truth: len(truth)}
	for _, s := range read {
		if left[s] > 0 {
			left[s]--
			t.hit++
		}
	}
	return t
}

var amount = regexp.MustCompile(`\d+\.\d\d\b`)

// amounts are the strings n.nn in s.
func amounts(s string) []string { return amount.FindAllString(s, -1) }

// words are those of s, in upper case.
func words(s string) []string { return strings.Fields(strings.ToUpper(s)) }

// errors counts the least insertions, deletions and changes that turn a into b.
func editDistance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range a {
		diag := row[0]
		row[0] = i + 1
		for j, y := range b {
			cost := diag
			if x != y {
				cost++
			}
			diag = row[j+1]
			row[j+1] = min(cost, diag+1, row[j]+1)
		}
	}
	return row[len(b)]
}
