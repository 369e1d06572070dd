package audit

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse/match"
	"tillproof/plan"
)

// The same lines may be read in more than one way: a line of savings may be a
// coupon, and the line of one coupon another's. So once all is compared, each line
// that a difference hangs on is laid, one at a time, to whatever else its words and
// its place allow, and all is compared anew. A reading that leaves clearly less to
// explain is the right one; one that leaves no more than the first makes everything
// unsure that the two do not share.

// maxReadings bounds how many other readings are compared, maxReadingWork that number
// times what one of them costs, items and offers.
const (
	maxReadings    = 160
	maxReadingWork = 9_000
)

// weighs is what a difference of a known cause weighs; one that nothing reproduces weighs
// one more, and so does a deduction that is no offer's.
const weighs = 2

// weight is how much is to be explained by the gaps that the lines leave.
func (c *check) weight() (sum int) {
	for _, g := range c.gaps {
		switch g.what {
		case ofCard, ofRebate, ofCredit, ofSum:
		case ofUnplanned:
			if g.standsFor == nil { // else it is told by the missing item
				sum += weighs
			}
		case ofDeduction, ofTax:
			sum += weighs
			if g.what == ofDeduction && g.offer == nil || c.isUnexplained(g) {
				sum++
			}
			if g.voided && !c.voidedAll(g) {
				sum++
			}
		default:
			sum += weighs
		}
	}
	if !c.tolerated.IsZero() {
		sum++ // what comes out to the cent is likelier than what is rounded
	}
	return sum + c.shared() + c.silent() + c.oddWords()
}

// oddWords weighs the lines that are taken for one offer's and neither begin alike nor
// name goods: a till prints the uses of one offer alike.
func (c *check) oddWords() (n int) {
	if !c.text || c.p.Store.Policy.Overage {
		return 0
	}
	for k := range c.m.Offers {
		cuts := c.m.Offers[k].Cuts
		for i := 1; i < len(cuts); i++ {
			if c.namesNothing(&cuts[i]) && c.namesNothing(&cuts[0]) && leadWord(cuts[i].Name) != leadWord(cuts[0].Name) {
				n += 2
			}
		}
	}
	return n
}

// leadWord is the first word of a text that is not a number.
func leadWord(text string) string {
	for _, word := range strings.Fields(noNumbers(strings.ToUpper(text))) {
		if word = strings.Trim(word, "%#$-x"); word != "" {
			return word
		}
	}
	return ""
}

// silent counts the planned offers without a line of which nothing seems missing, since
// what was rung otherwise left them nothing to take.
func (c *check) silent() (n int) {
	for k, o := range c.p.Offers {
		if o.Deduct == nil || o.Spend != nil || len(c.m.Offers[k].Cuts)+len(c.m.Offers[k].Voided) > 0 {
			continue
		}
		planned, _ := c.expected.Taken(o.ID)
		if now, _ := c.bill.Taken(o.ID); !planned.IsZero() && now.IsZero() && !c.isGap(o) && !c.itemGone(o) {
			n++
		}
	}
	return n
}

// itemGone reports whether goods of o were not rung, or fewer than planned, or another
// offer took more off them.
func (c *check) itemGone(o *plan.Offer) bool {
	return slices.ContainsFunc(c.gaps, func(g *gap) bool {
		return (g.what == ofItem || g.what == ofQuantity && g.got < g.wanted) && o.Covers(g.item) ||
			g.what == ofDeduction && g.offer != nil && g.actual.Cmp(g.expected) > 0 && c.shareItem(o, g.offer)
	})
}

// voidedAll reports whether what was taken back of g's offer is what it should take.
func (c *check) voidedAll(g *gap) bool {
	var was money.Amount
	for _, cut := range c.m.Offers[g.offer.Index].Voided {
		was = was.Add(cut.Was)
	}
	return was == g.expected
}

// shared counts the lines that are taken for the sum of several offers: tills print
// each by itself.
func (c *check) shared() (n int) {
	seen := map[int]bool{}
	for k := range c.m.Offers {
		for _, cut := range c.m.Offers[k].Cuts {
			if seen[cut.Lines[0]] {
				n++
			}
			seen[cut.Lines[0]] = true
		}
	}
	return n
}

// reading is one way to read the lines: whose each deduction is.
type reading struct {
	m *match.Assignment
	// words is how much less the words of the lines speak for it, in weight.
	words int
}

// maxRounds bounds how often a reading taken is compared with others again: what is
// simplest may be two lines away.
const maxRounds = 3

// otherwise compares other readings of the lines with the one taken.
func (c *check) otherwise(start *check, round int) {
	if !c.firm || c.foreign || !c.anyOpen() {
		return
	}
	most := c.tries(maxReadings, maxReadingWork)
	readings := c.readings()
	if len(readings) > most {
		c.note("not every line was tried as another coupon's: the receipt is too long")
		readings = readings[:most]
	}
	weight := c.weight()
	var best *check
	least := weight - 1
	weights := make([]int, len(readings))
	rivals := make([]*check, len(readings))
	for i := range readings {
		d := start.under(readings[i].m)
		w := d.weight() + readings[i].words
		if w < least {
			best, least = d, w
		}
		if w <= weight {
			rivals[i], weights[i] = d, w
		}
	}
	if best != nil { // another as good stays a rival of it
		c.take(start.searched(best.m))
		if round < maxRounds {
			c.otherwise(start, round+1)
		} else {
			c.noteOnce("the lines were read anew three times, each simpler than before, and may be read more simply still")
		}
		weight = c.weight()
	}
	for i, d := range rivals {
		if d != nil && d != best && weights[i] <= weight {
			c.doubtBeside(d)
		}
	}
}

// anyOpen reports whether a difference hangs on which line is what.
func (c *check) anyOpen() bool {
	return slices.ContainsFunc(c.gaps, func(g *gap) bool { return g.what == ofDeduction || g.what == ofPlace || g.what == ofPrice })
}

// under compares the receipt as another reading has it, from the start.
func (c *check) under(m *match.Assignment) *check {
	d := c.anew(m)
	d.trial = true
	d.computed()
	return d
}

// searched is under, with what the sums tell of where coupons came off.
func (c *check) searched(m *match.Assignment) *check {
	d := c.anew(m)
	d.searchStrays()
	return d
}

// anew is c with the lines that another reading rings, and nothing compared yet.
func (c *check) anew(m *match.Assignment) *check {
	d := *c
	d.rung = copyRung(&c.rung)
	d.m, d.gaps, d.result = m, nil, &Result{}
	d.rungLines()
	return &d
}

// take goes on with another reading.
func (c *check) take(d *check) {
	result := c.result
	*c = *d
	result.NotChecked = append(result.NotChecked, d.result.NotChecked...)
	result.Undecided = append(result.Undecided, d.result.Undecided...)
	result.Notes = append(result.Notes, d.result.Notes...)
	c.result = result
	result.Matches = c.m.Matches(c.p, c.tx)
}

// doubtBeside marks what d, another reading, does not have.
func (c *check) doubtBeside(d *check) {
	for _, g := range c.gaps {
		g.rival = g.rival || g.what != ofCard && !d.hasGap(g)
	}
}

// hasGap reports whether d found the same difference.
func (c *check) hasGap(g *gap) bool {
	return slices.ContainsFunc(c.gaps, func(o *gap) bool {
		return o.what == g.what && o.offer == g.offer && o.item == g.item && o.place == g.place &&
			o.expected == g.expected && o.actual == g.actual && o.got == g.got && slices.Equal(o.items, g.items)
	})
}
