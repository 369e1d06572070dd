package parse

// A repair takes an amount for misread because the sums want another. Where the
// print itself was changed, by a pen or in a picture editor, the sums want another
// as well, but it was read rightly: whoever reads it sees what stands there, and
// nothing else. Of a misread amount some preparation or runner-up nearly always
// shows what is printed.

const (
	// steadyConfidence and steadyVotes are when an amount was read alike: with at
	// least this confidence, and at least so many times as often as otherwise.
	steadyConfidence = 0.7
	steadyVotes      = 6
	// costNotSeen is that of an amount which no reader saw, or as hardly any: a
	// thousand times less likely than what was read.
	costNotSeen = 700
)

// steady reports whether the amount of w was read alike in (nearly) all
// preparations, and surely.
func (w *row) steady(p *parser) bool {
	if w.exact || !w.tail.ok || len(w.words) == 0 || w.amountConfidence() < steadyConfidence {
		return false
	}
	votes, others := 0, 0
	for _, r := range w.line.Readings {
		if t := p.tailOf(r.Words); t.ok && t.cents == w.tail.cents {
			votes += max(r.Votes, 1)
		} else {
			others += max(r.Votes, 1)
		}
	}
	return votes > 1 && others*steadyVotes <= votes
}

// leavesOut reports whether the statement that s leads to is right without one of
// the lines above it that are no goods, such as a void that is only taken off below.
func (p *parser) leavesOut(s *segment) bool {
	got, want, ok := p.got(s)
	for _, i := range s.adds {
		if w := &p.rows[i]; ok && w.kind != LineItem && w.kind != LineQuantity && w.has && got-w.adds() == want {
			return true
		}
	}
	return false
}

// doctored reports whether segment k works out only with another amount than one
// that was read alike by all, and that none of them saw: then the sum does not
// work out, and that is to be said.
func (p *parser) doctored(a *attempt, best *answer, k int) bool {
	for _, i := range a.chain.segs[k].rows() {
		w, cands := &p.rows[i], a.solver.cands[i]
		if len(cands) == 0 || !w.has {
			continue
		}
		c := cands[best.chosen[i]]
		if c.cents != w.cents && c.cents != -w.cents && c.seen >= costNotSeen && w.steady(p) {
			return true
		}
	}
	return false
}
