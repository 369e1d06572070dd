package parse

import (
	"maps"
	"slices"
)

// Where single guesses do not lead to the end (reread.go), all lines of a text are
// decided at once: each amount adds to the sum, states it, pays, is change, or only
// tells something, and each of these costs the more the less the words of the line and
// its form suggest it. Sought is the cheapest way down the receipt on which every
// stated sum is what the lines above come to and all is paid in the end. It is taken
// only where no way that is about as cheap adds up other lines.

// role is what a line is to the sums.
type role uint8

const (
	roleTells role = iota // nothing
	roleAdds
	roleStates
	roleTotal
	rolePays
	roleChange
)

const (
	// dearest is the most that a way may cost, closeWay how much dearer another must be
	// to be no rival; in tenths of what an unknown word costs.
	dearest  = 160
	closeWay = 15
	mostWays = 4000
)

// way is how the lines down to a row may be taken.
type way struct {
	cost int
	// adds tells ways apart that add up other lines.
	adds uint64
	up   *way
	row  int
	role role
}

// spot is where a way has come to: sum is the running sum, or after the total what is
// left to pay.
type spot struct {
	sum    int64
	paid   bool // the total stands above
	tender bool // a tender does
	total  int64
}

// ways are the cheapest two to one spot that add up different lines.
type ways [2]*way

func (x *ways) enter(w *way) {
	for i, o := range x {
		if o != nil && o.adds == w.adds {
			if w.cost < o.cost {
				x[i] = w
			}
			x.order()
			return
		}
	}
	if x[1] == nil || w.cost < x[1].cost {
		x[1] = w
	}
	x.order()
}

func (x *ways) order() {
	if x[0] == nil || x[1] != nil && x[1].cost < x[0].cost {
		x[0], x[1] = x[1], x[0]
	}
}

// settle looks for the roles of all lines and returns those of the cheapest way by
// row, nil where there is none or two are as good.
func (p *parser) settle() map[int]role {
	forms, blocks, edge := p.formCounts(), p.blocksAgain(), p.edge
	at := map[spot]*ways{{}: {{}, nil}}
	for i := range p.rows {
		if !p.rows[i].tail.ok {
			continue
		}
		next := map[spot]*ways{}
		for s, x := range at {
			for _, w := range x {
				if w != nil {
					tells := p.rows[i].costTells(s, forms[i], blocks[i])
					if (tells < 0 || tells > 8) && p.rows[i].standsApart(edge) && p.rows[i].isBare() && !p.rows[i].isPlain() {
						tells = 8
					}
					p.step(i, s, w, tells, next)
				}
			}
		}
		if at = next; len(at) > mostWays {
			prune(at)
		}
	}
	var best ways
	for s, x := range at {
		if s.paid && s.tender && s.sum == 0 {
			for _, w := range x {
				if w != nil {
					best.enter(w)
				}
			}
		}
	}
	if best[0] == nil || best[1] != nil && best[1].cost-best[0].cost < closeWay {
		return nil
	}
	roles := map[int]role{}
	for w := best[0]; w.up != nil; w = w.up {
		roles[w.row] = w.role
	}
	return roles
}

// prune keeps the cheapest spots.
func prune(at map[spot]*ways) {
	var costs []int
	for _, x := range at {
		costs = append(costs, x[0].cost)
	}
	slices.Sort(costs)
	limit := costs[mostWays/2]
	maps.DeleteFunc(at, func(_ spot, x *ways) bool { return x[0].cost > limit })
}

// formCounts is how many lines have the form of each, where they may be notes: notes of
// one wording cost together what one costs. 0 is for lines that are goods by all that
// is known.
func (p *parser) formCounts() []int {
	counts, amounts, keys := map[string]int{}, map[string]int64{}, make([]string, len(p.rows))
	several := map[string]bool{}
	for i := range p.rows {
		if w := &p.rows[i]; w.tail.ok {
			keys[i] = formOf(w.lx[:w.tail.from])
			several[keys[i]] = several[keys[i]] || counts[keys[i]] > 0 && amounts[keys[i]] != w.tail.cents
			counts[keys[i]]++
			amounts[keys[i]] = w.tail.cents
		}
	}
	out := make([]int, len(p.rows))
	for i := range out {
		w := &p.rows[i]
		if !w.tail.ok || len(w.words) == 0 {
			continue
		}
		if several[keys[i]] || p.goodsOver(i, fold(w.words[0].Text)) >= 0 {
			out[i] = counts[keys[i]]
		}
	}
	return out
}

// blocksAgain says of each line whether it is what deductions right above it come to:
// all of them, or the last ones.
func (p *parser) blocksAgain() []bool {
	again, off := make([]bool, len(p.rows)), p.digitOff(&p.chain)
	var block []int64 // the deductions right above, a pair that was voided as two
	for i := range p.rows {
		w := &p.rows[i]
		if !w.tail.ok {
			continue
		}
		sums := w.said.has(markTotal|markSubtotal) || w.said.unknown < 2 && w.namesMany()
		sum := int64(0)
		for k := len(block) - 1; k >= 0 && !again[i]; k-- {
			if sum += block[k]; sum < 0 && sum == -w.tail.cents {
				again[i] = sums || len(block)-k > 1 && !off
			}
		}
		switch {
		case again[i]:
		case w.kind == LineDeduction, w.kind == LineVoid && len(block) > 0:
			block = append(block, w.cents)
		default:
			block = block[:0]
		}
	}
	return again
}

// step takes row i in every way that is possible at s; tells is what it costs that it
// tells something only.
func (p *parser) step(i int, s spot, from *way, tells int, next map[spot]*ways) {
	w := &p.rows[i]
	try := func(to spot, r role, cost int, signed int64) {
		n := &way{cost: from.cost + cost, adds: from.adds, up: from, row: i, role: r}
		if n.cost > dearest {
			return
		}
		if r == roleAdds && signed != 0 {
			n.adds ^= uint64(i+1) * 0x9e3779b97f4a7c15
		}
		if next[to] == nil {
			next[to] = &ways{}
		}
		next[to].enter(n)
	}
	like := !w.isPlain() && p.likeAbove(i) // one thing rung again
	cents := w.tail.cents
	adds := w.tail.signed()
	if w.part == partAdd && w.has {
		adds = w.cents
	}
	if tells >= 0 {
		try(s, roleTells, tells, 0)
	}
	switch {
	case !s.paid:
		if cost := w.costAdds(s); cost >= 0 {
			try(spot{sum: s.sum + adds}, roleAdds, cost, adds)
		}
		if !w.tail.minus && cents == s.sum && (cents > 0 || w.said.has(markTotal)) && !like {
			if cost := w.costStates(markSubtotal); cost >= 0 {
				try(spot{sum: s.sum}, roleStates, cost, 0)
			}
			if cost := w.costStates(markTotal); cost >= 0 {
				try(spot{sum: s.sum, paid: true, total: s.sum}, roleTotal, cost, 0)
			}
		}
	case !s.tender:
		if w.tail.minus && s.sum > 0 {
			try(spot{sum: s.sum + adds, paid: true, total: s.total}, roleAdds, w.costAfterTotal(), adds)
		}
		if !w.tail.minus && cents == s.sum && !like {
			if cost := w.costStates(markTotal); cost >= 0 {
				try(spot{sum: s.sum, paid: true, total: s.sum}, roleTotal, cost, 0)
			}
		}
		fallthrough
	default:
		if s.sum > 0 && cents > 0 && !like {
			if cost := w.costPays(cents, s.sum); cost >= 0 {
				try(spot{sum: s.sum - cents, paid: true, tender: true, total: s.total}, rolePays, cost, 0)
			}
		}
		if s.tender && s.sum <= 0 && cents == -s.sum && (w.said.has(markChange) || w.kind != LineCredit && !w.said.has(notPaid|markReward|markPoints)) {
			try(spot{paid: true, tender: true, total: s.total}, roleChange, w.costChange(), 0)
		}
	}
}

// isPlain reports whether the words of the line say without doubt that it is a sum, a
// tax, a tender or change.
func (w *row) isPlain() bool {
	return w.said.unknown == 0 && w.said.has(markSubtotal|markTotal|markTax|markTender|markChange) &&
		!w.said.has(markCoupon|markSaved|markAfter|markTaxInfo|markPoints|markReward|markSlip)
}

// ofGoods reports whether the line has the signs of goods.
func (w *row) ofGoods() bool { return w.hasCode() || w.qty.ok && w.qty.sure }

// costTells is what it costs to take the line for nothing in the sums; -1: it is not
// done, where words or form leave no doubt. again: it is what the deductions right
// above it come to.
func (w *row) costTells(s spot, alike int, again bool) int {
	plain := w.isPlain()
	switch {
	case w.tail.cents == 0 && w.part != partChange:
		return 0
	case s.paid && s.sum == 0:
		switch {
		case w.tail.cents == s.total, w.part == partNone:
			return 0 // told again
		case plain && (w.tail.cents > s.total || w.said.has(markChange)):
			return -1
		case w.tail.minus, plain:
			return 30
		case w.said.has(markTotal | markSubtotal):
			return 20
		case w.kind == LineItem && w.tail.flags != "":
			return 40
		}
		return 12
	case w.part == partNone && !w.tail.minus:
		return 0
	case plain && w.part != partNone, w.kind == LineItem && (w.ofGoods() || w.tail.flags != ""), w.kind == LineQuantity, w.kind == LineVoid:
		return -1
	case w.part == partNone:
		return 5
	case s.paid && w.said.marks == 0:
		return 10
	case w.kind == LineItem && alike == 0 && !w.said.has(markPrice|markSaved|markCoupon|markOff|markBalance|markCondition|markMessage):
		return -1
	case w.kind == LineItem:
		return max(40/max(alike, 1), 8)
	case w.kind == LineDeduction && again:
		if w.namesValue() || w.hasNumberBefore() {
			return 50
		}
		return 25
	case w.kind == LineDeduction:
		return -1
	case w.kind == LineFee && w.said.marks == 0, w.part == partCheck, w.part == partTender:
		return 40
	}
	return -1
}

// costAdds is what it costs to take the line for one that adds to the sum.
func (w *row) costAdds(s spot) int {
	switch {
	case w.part == partAdd:
		return 0
	case w.isPlain() && !w.said.has(markTax):
		return -1
	case w.part == partCheck, w.part == partTender:
		return 60
	case w.part == partNone && !w.tail.minus && w.said.has(^(markTaxInfo | markTax | markFee | markIncluded | markRounding)):
		return -1
	case w.said.has(markTaxInfo):
		return 20
	}
	return 30
}

// costAfterTotal is what it costs to take a line with a minus below the total for a
// deduction.
func (w *row) costAfterTotal() int {
	switch {
	case w.kind == LineDeduction && w.part == partAdd, w.said.has(markCoupon):
		return 0
	case w.said.has(markTender):
		return 20
	}
	return 20
}

// costStates is what it costs to take the line for one that states the sum, in the
// words of m.
func (w *row) costStates(m marks) int {
	cost := 0
	switch {
	case !w.isBare(), m == markTotal && w.isPlain() && w.said.has(markSubtotal) && !w.said.has(markTotal):
		return -1
	case w.said.has(markSubtotal) && m == markSubtotal, w.said.has(markTotal) && !w.said.has(markCoupon|markSaved):
	case w.said.has(markSubtotal):
		cost = 5
	case w.isPlain():
		return -1
	case w.said.has(markTax | markPoints | markReward | markCount):
		cost = 40
	default:
		cost = 12
	}
	if m == markTotal && !w.said.has(markTotal) {
		cost += 6
	}
	return cost
}

// costPays is what it costs to take the line for a tender.
func (w *row) costPays(cents, due int64) int {
	switch {
	case w.kind == LineCredit, w.said.has(notPaid):
		return -1
	case w.said.tender != "" && w.said.unknown == 0:
		return 0
	case w.said.tender != "":
		return 5
	case w.isPlain():
		return -1
	case cents == due:
		return 12
	}
	return 25
}

func (w *row) costChange() int {
	if w.said.has(markChange) {
		return 0
	}
	return 10
}
