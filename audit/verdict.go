package audit

import (
	"slices"

	"tillproof/money"
)

// conclude makes findings of the gaps and a verdict of the findings.
func (c *check) conclude() {
	c.doubtSame()
	c.findings()
	c.doubtMoved()
	c.result.Tolerated = c.tolerated
	c.result.ShortAtTill, c.result.ShortCredit = c.short()
	c.result.Verdict = c.verdict()
	if c.result.Verdict == Undecided && len(c.result.Undecided) == 0 {
		c.undecided("something that could not be read for sure may have lost money: see the findings marked unsure")
	}
}

// doubtMoved leaves an undercharge that no cause gives unsure where an offer misses just
// as much and is unsure itself: its deduction may have come off these goods instead.
func (c *check) doubtMoved() {
	for i := range c.result.Findings {
		f := &c.result.Findings[i]
		if f.Kind != Undercharge || f.Cause.Kind != Unexplained || !f.Certainty.Firm() {
			continue
		}
		if slices.ContainsFunc(c.result.Findings, func(o Finding) bool {
			return (o.Kind == MissingDeduction || o.Kind == ShortDeduction) && !o.Certainty.Firm() && o.Difference == f.Difference.Neg()
		}) {
			f.Certainty = CertainUnsure
		}
	}
}

// counts reports whether a finding can raise the verdict: that something was
// not bought, or something else was, is the shopper's own business.
func (f *Finding) counts() bool { return f.Kind != MissingItem && f.Kind != UnplannedItem }

// onCredit reports whether the effect of f is on credits.
func (f *Finding) onCredit() bool {
	return f.Kind == MissingCredit || f.Kind == ShortCredit || f.Kind == ExtraCredit
}

// accuses reports whether f is firm, loses money, and lies with the till or
// with nobody known: what a verdict of short stands on.
func (f *Finding) accuses() bool {
	return f.counts() && f.Certainty.Firm() && f.Effect.Sign() < 0 && (f.Side == SideTill || f.Side == SideOpen)
}

// short adds up what was lost, at the till and in credits.
func (c *check) short() (atTill, credit money.Amount) {
	for i := range c.result.Findings {
		f := &c.result.Findings[i]
		switch {
		case !f.accuses():
		case f.onCredit():
			credit = credit.Sub(f.Effect)
		default:
			atTill = atTill.Sub(f.Effect)
		}
	}
	return atTill, credit
}

// verdict is the contract's: the first of its conditions that holds.
func (c *check) verdict() Verdict {
	unsure, gained, right := false, false, false
	for i := range c.result.Findings {
		f := &c.result.Findings[i]
		if f.accuses() {
			return Short
		}
		if !f.counts() {
			continue
		}
		lost := f.Effect.Sign() < 0
		unsure = unsure || lost && !f.Certainty.Firm()
		gained = gained || f.Certainty.Firm() && f.Effect.Sign() > 0
		right = right || f.Certainty.Firm() && lost
	}
	switch {
	case unsure || !c.firm || c.foreign:
		return Undecided
	case gained:
		return Gained
	case right:
		return TillRight
	}
	return AsPlanned
}
