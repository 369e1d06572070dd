package audit

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/parse"
	"tillproof/plan"
)

// advise is what the person can do now: the rule's own sentence, or, where the
// finding is not firm, what to look at first. Nobody is sent to the desk
// without the caution that the store's written policy decides.
func (c *check) advise(rule *Rule, g *gap, f *Finding) string {
	if f.Certainty == CertainUnsure && rule.Kind != SumFinding {
		return c.lookFirst(g)
	}
	text := rule.ask(c, g)
	lost := f.Effect.Sign() < 0
	switch {
	case rule.Kind == SumFinding, rule.Kind == CardDigits, rule.Kind == MissingRebate, rule.Kind == UnplannedItem, rule.Kind == MissingItem, !lost:
		return text
	case f.Side == SidePlan && f.Cause.Kind == PlanSum && (g.item == nil || g.item.PriceFrom != plan.FromHearsay):
		return fmt.Sprintf("Look first at the plan's own sums: %s. Correct it, and ask at the store only if the difference is still there.", f.Cause.Text)
	case f.Side == SidePlan:
		return fmt.Sprintf("%s was charged %s where the plan has %s%s. The plan's price is from hearsay: look at the label, and correct the plan.", g.item.Name, g.actual, g.expected, at(g))
	case f.Side == SideShopper:
		return "The store owes nothing here: " + f.Cause.Text + "."
	}
	bring := "the receipt"
	if g.offer != nil {
		switch g.offer.CarriedAs {
		case "paper", "print":
			bring = "the receipt and the coupon or its terms"
		default:
			bring = "the receipt and the offer as you saw it"
		}
	} else if rule.Kind == Overcharge {
		bring = "the receipt and a picture of the label or advertisement"
	}
	inner := strings.NewReplacer("“", "‘", "”", "’").Replace(text)
	first := "At the desk"
	switch rule.Kind {
	case Quantity:
		first = fmt.Sprintf("Count first what you have. If it is %d, at the desk", g.wanted)
	case TaxFinding:
		first = "Look first which goods are taxed by the law of the place. Then at the desk"
	}
	return fmt.Sprintf("%s: “%s” Bring %s; the store's written policy decides.%s", first, inner, bring, c.askBy())
}

// lookFirst says what keeps a finding unsure, and what to look at.
func (c *check) lookFirst(g *gap) string {
	switch {
	case c.foreign:
		return "Nothing to do yet: this may not be the receipt of this plan."
	case g.offer != nil && g.offer.Remembered:
		return fmt.Sprintf("Look first at the coupon itself: what “%s” gives was taken from the digits of its symbol, of whose codes some are known from memory only. Write into the plan what the paper says.", g.offer.Title)
	case g.misread:
		return fmt.Sprintf("Look first at %s on the paper: amounts that differ from the plan cancel out, as misread ones do. Only then ask at the store.", LinesText(g.lines))
	case g.rival && g.what == ofTax:
		return "Look first what came off which goods, and whether the line is the tax at all; only then ask at the store."
	case g.rival && (g.what == ofItem || g.what == ofUnplanned || g.what == ofQuantity || g.what == ofPrice || g.what == ofFee):
		return fmt.Sprintf("Look first at the goods on the paper%s, their names, number and prices: the lines can be read in another way. Only then ask at the store.", at(g))
	case g.rival:
		return "Look first whether a deduction on the receipt that was matched to nothing is this one; only then ask at the store."
	case g.weak:
		is := "is"
		if len(g.lines) > 1 {
			is = "are"
		}
		return fmt.Sprintf("Look first whether %s really %s what the plan means; only then ask at the store.", LinesText(g.lines), is)
	}
	if lines := c.doubtfulOf(g); c.firm && len(lines) > 0 {
		is := "its amount"
		if len(lines) > 1 {
			is = "their amounts"
		}
		return fmt.Sprintf("Look first at %s on the paper: %s could not be read for sure. Only then ask at the store.", LinesText(lines), is)
	}
	if g.what == ofCredit && c.firm {
		return "Look first at the lower end of the receipt and at slips printed with it: it was not all read. Only then ask at the store."
	}
	return "Not all of the receipt was read for sure. Look at it on the paper, or photograph it again, before you ask at the store."
}

// doubtfulOf are the lines that g rests on whose amounts are doubtful.
func (c *check) doubtfulOf(g *gap) (lines []int) {
	for _, n := range g.rests {
		if n >= 1 && n <= len(c.r.Lines) && c.r.Line(n).Proof == parse.Doubtful && !slices.Contains(lines, n) {
			lines = append(lines, n)
		}
	}
	return lines
}

// at names the lines of a gap, " (lines 4 and 5)".
func at(g *gap) string {
	if len(g.lines) == 0 {
		return ""
	}
	return " (" + LinesText(g.lines) + ")"
}

// LinesText names lines, "line 4" or "lines 4, 5 and 6".
func LinesText(lines []int) string {
	if len(lines) == 1 {
		return fmt.Sprintf("line %d", lines[0])
	}
	var b strings.Builder
	b.WriteString("lines ")
	for i, n := range lines {
		switch {
		case i == 0:
		case i == len(lines)-1:
			b.WriteString(" and ")
		default:
			b.WriteString(", ")
		}
		fmt.Fprint(&b, n)
	}
	return b.String()
}

// priceWord says where the planned price was seen.
func priceWord(it *plan.Item) string {
	switch it.PriceFrom {
	case plan.FromLabel:
		return "label's"
	case plan.FromAdvert:
		return "advertised"
	}
	return "planned"
}

// unexplained is the text of a cause that is none.
func unexplained(g *gap) string {
	switch g.what {
	case ofItem:
		return "it is not on the receipt"
	case ofUnplanned:
		return "it is on the receipt and not in the plan"
	case ofQuantity:
		return fmt.Sprintf("%d were charged where %d were planned", g.got, g.wanted)
	case ofRebate:
		return g.text
	case ofCard:
		return "the till prints " + g.text
	case ofSum:
		return fmt.Sprintf("%s of the total is accounted for by no line", g.actual.Sub(g.expected))
	}
	return fmt.Sprintf("the receipt has %s where %s is due, and none of the known causes gives that", g.actual, g.expected)
}
