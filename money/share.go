package money

import (
	"cmp"
	"math/bits"
	"slices"
)

// Share splits total over parts in proportion to weights, in whole cents:
// every part is cut down to the cent and the cents left over go to the largest
// remainders, ties to the earlier one. Weights must not be negative; where all
// are zero every part is zero and nothing is shared out.
func Share(total Amount, weights []Amount) []Amount {
	parts := make([]Amount, len(weights))
	ShareInto(parts, total, weights)
	return parts
}

// ShareInto is Share into parts that the caller has, one for each weight.
func ShareInto(parts []Amount, total Amount, weights []Amount) {
	all := Sum(weights...).cents
	if all <= 0 {
		clear(parts)
		return
	}
	size, sign := total.cents, int64(1)
	if size < 0 {
		size, sign = -size, -1
	}
	var few [32]int64 // on the stack: most baskets have fewer lines
	rests := few[:0]
	left := size
	for i, w := range weights {
		q, rest := divided(size, w.cents, all)
		parts[i].cents = sign * q
		rests = append(rests, rest)
		left -= q
	}
	if len(parts) > len(few) {
		shareMany(parts, rests, left, sign)
		return
	}
	for ; left > 0; left-- { // fewer cents than there are parts
		best := 0
		for i, rest := range rests {
			if rest > rests[best] {
				best = i
			}
		}
		parts[best].cents += sign
		rests[best] = 0
	}
}

// shareMany gives the left cents to the largest remainders where there are too
// many parts to look for each.
func shareMany(parts []Amount, rests []int64, left, sign int64) {
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(rests[b], rests[a]), cmp.Compare(a, b)) })
	for _, i := range order[:left] {
		parts[i].cents += sign
	}
}

// divided returns the quotient and the remainder of a × b / den, none negative.
func divided(a, b, den int64) (q, rest int64) {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	uq, urest := bits.Div64(hi, lo, uint64(den))
	return int64(uq), int64(urest)
}
