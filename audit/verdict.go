package audit

import (
	"slices"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

// conclude makes findings of the gaps and a verdict of the findings.
func (c *check) conclude() {
	c.doubtSame()
	c.findings()
	c.doubtAmong()
	c.result.Tolerated = c.tolerated
	c.result.ShortAtTill, c.result.ShortCredit = c.short()
	c.result.Verdict = c.verdict()
	if c.result.Verdict == Undecided && len(c.result.Undecided) == 0 {
		c.undecided("something that could not be read for sure may have lost money: see the findings marked unsure")
	}
}

// doubtAmong leaves a firm finding unsure where another one that is unsure may be what
// explains it.
func (c *check) doubtAmong() {
	for i := range c.result.Findings {
		f := &c.result.Findings[i]
		if !f.Certainty.Firm() {
			continue
		}
		o := c.offerOf(f)
		switch {
		case f.Cause.Kind == Unexplained && len(f.Items) == 1 && !f.Effect.IsZero() && c.anyFinding(func(g *Finding) bool {
			return g.Cause.Kind == Unexplained && slices.Equal(g.Items, f.Items) && g.Effect == f.Effect.Neg()
		}):
			// Two that make up for each other on one item are a number taken for another.
			f.Certainty = CertainUnsure
		case (f.Kind == MisplacedDeduction || f.Kind == TaxFinding) && !f.Effect.IsZero() && c.anyFinding(func(g *Finding) bool {
			return (g.Kind == MisplacedDeduction || g.Kind == TaxFinding) && g.Kind != f.Kind && g.Effect == f.Effect.Neg()
		}):
			// The tax is that of the deduction where it was planned: neither was wrong.
			f.Certainty = CertainUnsure
		case f.Kind == Undercharge && f.Cause.Kind == Unexplained:
			// The deduction of an offer that misses just as much may have come off these goods.
			if c.anyFinding(func(g *Finding) bool {
				return (g.Kind == MissingDeduction || g.Kind == ShortDeduction) && !g.Certainty.Firm() && g.Difference == f.Difference.Neg()
			}) {
				f.Certainty = CertainUnsure
			}
		case (f.Kind == ExtraDeduction || f.Kind == ShortDeduction) && o != nil && o.Deduct != nil && o.Deduct.Percent != nil:
			// What a percentage is of hangs on the price.
			if c.anyFinding(func(g *Finding) bool {
				return (g.Kind == Overcharge || g.Kind == Undercharge) && !g.Certainty.Firm() && slices.ContainsFunc(g.Items, func(id string) bool { return slices.Contains(f.Items, id) })
			}) {
				f.Certainty = CertainUnsure
			}
		case f.Kind == ExtraCredit && f.Expected.IsZero() && f.Cause.Kind == Unexplained && o != nil && o.Credit != nil:
			// It may be another credit of the kind, which the receipt tells as little of.
			if slices.ContainsFunc(c.p.Offers, func(other *plan.Offer) bool {
				return other != o && other.Credit != nil && other.Credit.Kind == o.Credit.Kind && len(c.m.Offers[other.Index].Rewards) == 0
			}) {
				f.Certainty = CertainUnsure
			}
		}
	}
}

// offerOf is the offer that f is about, nil for none.
func (c *check) offerOf(f *Finding) *plan.Offer {
	if i := slices.IndexFunc(c.p.Offers, func(o *plan.Offer) bool { return f.Offer != "" && o.ID == f.Offer }); i >= 0 {
		return c.p.Offers[i]
	}
	return nil
}

func (c *check) anyFinding(is func(*Finding) bool) bool {
	for i := range c.result.Findings {
		if is(&c.result.Findings[i]) {
			return true
		}
	}
	return false
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
	case unsure || !c.firm || c.foreign || c.mayBeDearer():
		return Undecided
	case gained:
		return Gained
	case right:
		return TillRight
	}
	if n := c.multipliesWrong(); n > 0 {
		c.undecided("line %d: its units and price do not come to its amount: look at it", n)
		return Undecided
	}
	return AsPlanned
}

// multipliesWrong is the first line of goods in a text whose units and price do not come to its amount
// by more than a cent for each, as where a group's price was divided and rounded, 0 for none:
// somebody changed one of them. The amount has its sum, but what was rung is not known then.
func (c *check) multipliesWrong() int {
	for i := range c.r.Sums {
		s := &c.r.Sums[i]
		if !c.text || s.Kind != "extension" || s.Holds {
			continue
		}
		l := c.r.Line(s.To)
		if l.Kind != parse.LineItem && l.Kind != parse.LineQuantity {
			continue // "FOR 1.92 x2" says what a coupon gives
		}
		if at := c.m.ItemOfLine(s.To); at >= 0 && l.UnitPrice != nil && l.UnitPrice.StringFixed(2) == c.tx.Items[at].Shelf.String() {
			continue // the regular price stands beside what the sale comes to
		}
		cents := int64(1)
		if q := l.Quantity; q != nil {
			cents = max(cents, q.IntPart())
		}
		if s.Got.Abs().Sub(s.Want.Abs()).Abs().Cents() > cents {
			return s.To
		}
	}
	return 0
}

// mayBeDearer reports whether goods that may be missing and goods that may not be planned are
// perhaps the same, rung at more than was planned, or with less taken off.
func (c *check) mayBeDearer() bool {
	var unsure money.Amount
	for i := range c.result.Findings {
		if f := &c.result.Findings[i]; !f.Certainty.Firm() && !f.onCredit() {
			unsure = unsure.Add(f.Effect)
		}
	}
	return c.anyFinding(func(f *Finding) bool {
		return f.Kind == UnplannedItem && !f.Certainty.Firm() && c.anyFinding(func(g *Finding) bool {
			return g.Kind == MissingItem && !g.Certainty.Firm() && (unsure.Sign() < 0 || f.Difference.Add(g.Difference).Sign() < 0)
		})
	})
}
