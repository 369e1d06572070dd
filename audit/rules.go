package audit

// Rule makes the findings of one kind.
type Rule struct {
	Kind Kind
	// is reports whether a gap is a finding of this kind.
	is func(c *check, g *gap) bool
	// most is the firmest such a finding may be, whatever the lines say.
	most Certainty
	// ask is what a person can say or do about it.
	ask func(c *check, g *gap) string
}

// rules are in the order of the result format. A gap is of the first kind that
// takes it.
var rules = []Rule{
	missingDeduction,
	shortDeduction,
	extraDeduction,
	misplacedDeduction,
	missingCredit,
	shortCredit,
	extraCredit,
	overcharge,
	undercharge,
	missingItem,
	unplannedItem,
	quantity,
	sumRule,
	taxRule,
	missingRebate,
	cardDigits,
}

// findings makes a finding of each gap, in the order of the rules.
func (c *check) findings() {
	for i := range rules {
		rule := &rules[i]
		for _, g := range c.gaps {
			if rule.is(c, g) && first(c, g) == rule {
				c.result.Findings = append(c.result.Findings, c.finding(rule, g))
			}
		}
	}
}

func first(c *check, g *gap) *Rule {
	for i := range rules {
		if rules[i].is(c, g) {
			return &rules[i]
		}
	}
	return nil
}

func (c *check) finding(rule *Rule, g *gap) Finding {
	cause, others := c.explain(g)
	f := Finding{
		Kind: rule.Kind, Items: g.items, Expected: g.expected, Actual: g.actual,
		Difference: g.difference(), Effect: g.effect, Side: cause.side,
		Certainty: c.certainty(rule, g), Lines: g.lines,
		Cause: cause.cause(), OtherCauses: []Cause{},
	}
	if f.Lines == nil {
		f.Lines = []int{}
	}
	if g.offer != nil {
		f.Offer = g.offer.ID
	}
	if (g.what == ofPrice || g.what == ofFee) && g.item.PriceFrom == "hearsay" {
		f.Side = SidePlan
	}
	for _, o := range others {
		f.OtherCauses = append(f.OtherCauses, o.cause())
	}
	f.Do = c.advise(rule, g, &f)
	f.Law, f.NoticeDays = c.lawOf(g, &f)
	return f
}

func (l likely) cause() Cause {
	return Cause{Kind: l.kind, Exact: l.kind != Unexplained, Text: l.text}
}
