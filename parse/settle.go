package parse

// bySettling reads the lines in the roles that settle finds, and reports whether the
// receipt then works out.
func (p *parser) bySettling(readAs func(guess)) bool {
	readAs(nil)
	if p.digitOff(&p.chain) {
		return false // one wrong digit would look so
	}
	roles := p.settle()
	if roles == nil {
		return false
	}
	var g guess
	for i := range p.rows {
		r, ok := roles[i]
		if w := &p.rows[i]; ok && !w.isIn(r) {
			g = append(g, w.inRole(i, r))
		}
	}
	readAs(g)
	return p.badness() == 0 && p.inRoles(roles)
}

// isIn reports whether the row is in role r as it is.
func (w *row) isIn(r role) bool {
	switch r {
	case roleAdds:
		return w.part == partAdd
	case roleStates, roleTotal:
		return w.part == partCheck && (w.kind == LineTotal) == (r == roleTotal)
	case rolePays:
		return w.part == partTender
	case roleChange:
		return w.part == partChange
	}
	return w.part == partNone
}

// inRole is the sense of row i in role r.
func (w *row) inRole(i int, r role) sense {
	switch r {
	case roleAdds:
		switch {
		case w.tail.minus:
			return saying(i, markCoupon, "")
		case w.said.has(markTax | markTaxInfo):
			return saying(i, markTax, "")
		}
		return saying(i, 0, "")
	case roleStates:
		return saying(i, markSubtotal, "")
	case roleTotal:
		return saying(i, markTotal, "")
	case rolePays:
		if w.said.tender != "" {
			return saying(i, markTender, w.said.tender)
		}
		return saying(i, markTender, tenderOther)
	case roleChange:
		return saying(i, markChange, "")
	}
	return saying(i, markBalance, "")
}

// inRoles reports whether the lines that add to the sum are those of roles.
func (p *parser) inRoles(roles map[int]role) bool {
	for i := range p.rows {
		if w := &p.rows[i]; w.tail.ok && w.has && w.cents != 0 && (w.part == partAdd) != (roles[i] == roleAdds) {
			return false
		}
	}
	return true
}
