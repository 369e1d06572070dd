package parse

import (
	"fmt"
	"math"

	"tillproof/ocr"
)

// costOwnLong is what an amount costs that has more or fewer digits than those that were
// compared with the receipt's own.
const costOwnLong = 100

// ownPrint makes amounts dearer the less their digits are like those of the receipt's other
// amounts, where these were compared.
func (s *shortlist) ownPrint() {
	digits := ownDigits(s.w.line)
	if digits == nil {
		return
	}
	least := int32(math.MaxInt32)
	for i := range s.all {
		c := &s.all[i]
		cents := fmt.Sprintf("%03d", max(c.cents, -c.cents))
		if len(cents) != len(digits) {
			c.cost += costOwnLong
		} else {
			for n, costs := range digits {
				c.cost += int32(100 * costs[cents[n]-'0'])
			}
		}
		least = min(least, c.cost)
	}
	for i := range s.all {
		s.all[i].cost -= least
	}
}

// ownDigits are what the digits of l's amount cost by how like the receipt's own they are, nil
// where they were not compared.
func ownDigits(l *ocr.Line) [][10]float64 {
	for _, r := range l.Readings {
		if r.Own {
			for n := len(r.Words) - 1; n >= 0; n-- {
				if d := r.Words[n].Digits; d != nil {
					return d
				}
			}
		}
	}
	return nil
}
