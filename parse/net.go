package parse

// netsAlike is how many lines of the same words tell what is left of the goods above them for
// all such lines to tell that.
const netsAlike = 2

// netsTold takes for told the lines beneath goods and what came off them that say what is left,
// in words that nobody knows ("ITEM COMES TO 41.81"): netsAlike of the same words have just that,
// of a text all, and the sums are nearer to working out without them.
func (p *parser) netsTold() {
	type net struct {
		row  int
		just bool // it is what is left
	}
	var nets []net
	for i := range p.rows {
		if p.maySayNet(i) {
			left, ok := p.netAbove(i)
			nets = append(nets, net{i, ok && left == p.rows[i].cents})
		}
	}
	var told []int
	for _, n := range nets {
		alike, just := 0, 0
		for _, other := range nets {
			if p.rows[n.row].likeWords(&p.rows[other.row]) {
				if alike++; other.just {
					just++
				}
			}
		}
		if (just >= netsAlike || p.exact && just == alike) && just*2 > alike {
			told = append(told, n.row)
		}
	}
	if len(told) == 0 {
		return
	}
	p.build(0, &p.chain)
	before := p.open(&p.chain)
	for _, i := range told {
		p.rows[i].part = partNone
	}
	p.build(0, &p.chain)
	left := p.open(&p.chain) < before
	for _, i := range told {
		if left {
			p.rows[i].kind, p.rows[i].of = LineOther, 0
		} else {
			p.rows[i].part = partAdd
		}
	}
}

// maySayNet reports whether row i was taken for goods, has words alone and stands beneath
// something that was taken off.
func (p *parser) maySayNet(i int) bool {
	w := &p.rows[i]
	if w.kind != LineItem || w.part != partAdd || !w.has || w.cents <= 0 || w.qty.ok || w.hasCode() || len(w.letters()) < 4 {
		return false
	}
	for j := i - 1; j >= 0; j-- {
		switch v := &p.rows[j]; {
		case v.kind == LineDeduction && v.part == partAdd:
			return true
		case v.part != partNone || v.tail.ok:
			return false
		}
	}
	return false
}

// likeWords reports whether two lines have the same words before their amounts, but for a letter
// in five.
func (w *row) likeWords(v *row) bool {
	a, b := w.spelled().letters, v.spelled().letters
	limit := min(len(a), len(b)) / 5
	return distance(a, b, limit+1) <= limit
}

// netAbove is what the goods above row i come to less what was taken off them.
func (p *parser) netAbove(i int) (net int64, ok bool) {
	for j := i - 1; j >= 0; j-- {
		switch v := &p.rows[j]; {
		case v.part == partAdd && v.has && (v.kind == LineItem || v.kind == LineQuantity):
			return net + v.cents, true
		case v.part == partAdd && v.has && v.kind == LineDeduction:
			net += v.cents
		case v.part != partNone:
			return 0, false
		}
	}
	return 0, false
}
