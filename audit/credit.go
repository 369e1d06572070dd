package audit

import (
	"fmt"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// credits compares what was given for later with what was earned by what was
// rung.
func (c *check) credits() {
	c.claimCredits()
	c.splitCredits()
	for _, o := range c.p.Offers {
		if o.Credit == nil {
			continue
		}
		want, uses := earned(c.bill, o)
		m := &c.m.Offers[o.Index]
		got := given(o, m, want, uses)
		if len(m.Rewards) == 0 && c.aside(o) {
			if !want.IsZero() {
				c.notChecked(Note{Offer: o.ID, Why: fmt.Sprintf("this credit is shown on %s, not on the receipt: that it is not here says nothing", showsOn(o.Credit.Shows))})
			}
			continue
		}
		if want == got || c.creditForVariety(o, want, got) {
			continue
		}
		if want.IsZero() && c.toldAgain(o, got) {
			continue
		}
		if want.IsZero() && c.notStopped(o, got) {
			c.rung.Credits[o.Index] = got
			c.note("“%s” gave %s: the plan gives it up for what it pays with, and the receipt was paid otherwise", o.Title, got)
			continue
		}
		g := c.open(ofCredit, want, got)
		g.offer, g.items = o, c.offerItems(o)
		g.lines = c.offerLines(o, m)
		g.rests = g.lines
		g.weak = c.weakItems(o) || m.Score < wellTold && slices.ContainsFunc(m.Rewards, func(r match.Reward) bool { return r.Points > 0 && !c.surePoints(o, &r, want) })
		g.rival = o.Spend != nil && c.lessLeft(o, want)
		g.effect = got.Sub(want)
		c.rung.Credits[o.Index] = got
	}
}

// wellTold is how well a line must tell of a credit for a number in it to be points: below,
// that of a card is taken for them as well.
const wellTold = 60

// surePoints reports whether a number on a line is points that o gave: it stands right
// before the word, or the line below says what they are worth, and they are about as many
// as should be. What every trip earns is far less.
func (c *check) surePoints(o *plan.Offer, r *match.Reward, want money.Amount) bool {
	value := worth(o, r)
	if value.IsZero() || value.Mul(2).Cmp(want) < 0 || value.Cmp(want.Mul(2)) > 0 {
		return false
	}
	if r.Line < len(c.r.Lines) && slices.ContainsFunc(strings.Fields(c.r.Line(r.Line+1).Text), func(word string) bool { return strings.Trim(word, "$()") == value.String() }) {
		return true
	}
	words := strings.Fields(strings.ToUpper(c.r.Line(r.Line).Text))
	at := slices.Index(words, fmt.Sprint(r.Points))
	return at >= 0 && at+1 < len(words) && slices.Contains([]string{"PTS", "POINTS", "PNTS"}, words[at+1]) ||
		slices.Contains(words, fmt.Sprint("+", r.Points)) // "CLUB POINTS +3500"
}

// claimCredits gives the lines of an offer of which nothing is earned to the one of
// the same kind, or of any where they say none, of which something is and nothing is told,
// where there is just one. So it does with lines that say no kind and were laid to a credit
// that is told elsewhere, where they are just what one should be that the receipt tells.
func (c *check) claimCredits() {
	for k, o := range c.p.Offers {
		m := &c.m.Offers[k]
		if o.Credit == nil || len(m.Rewards) == 0 {
			continue
		}
		want, uses := earned(c.bill, o)
		aside := c.aside(o)
		tells := c.tellsKind(m, o)
		if planned, _ := earned(c.expected, o); !aside && (!want.IsZero() || given(o, m, planned, uses) == planned) || aside && tells {
			continue
		}
		var other *match.OfferMatch
		for n, p := range c.p.Offers {
			if p == o || p.Credit == nil || p.Credit.Kind != o.Credit.Kind && tells || len(c.m.Offers[n].Rewards) > 0 {
				continue
			}
			if due, uses := earned(c.bill, p); due.IsZero() || aside && p.Credit.Shows == o.Credit.Shows || (aside || c.aside(p)) && given(p, m, due, uses) != due {
				continue
			}
			if other != nil {
				other = nil
				break
			}
			other = &c.m.Offers[n]
		}
		if other != nil {
			other.Rewards, other.Score, other.By = m.Rewards, m.Score, m.By
			*m = match.OfferMatch{}
		}
	}
}

// splitCredits gives a line of a credit of which another is just what it should be to the
// one other credit of its kind that is due and told by nothing: no till tells one credit in
// two values, or under two numbers.
func (c *check) splitCredits() {
	for k, o := range c.p.Offers {
		m := &c.m.Offers[k]
		if o.Credit == nil || len(m.Rewards) != 2 || c.aside(o) {
			continue
		}
		want, _ := earned(c.bill, o)
		own := slices.IndexFunc(m.Rewards, func(r match.Reward) bool { return worth(o, &r) == want })
		if own < 0 || worth(o, &m.Rewards[1-own]) == want && !c.numberedApart(m.Rewards[0].Line, m.Rewards[1].Line) {
			continue
		}
		var untold []int
		for n, p := range c.p.Offers {
			if due := p.Credit != nil && p != o && p.Credit.Kind == o.Credit.Kind; !due || len(c.m.Offers[n].Rewards) > 0 || c.aside(p) {
				continue
			}
			if due, _ := earned(c.bill, p); !due.IsZero() {
				untold = append(untold, n)
			}
		}
		if len(untold) == 1 {
			other := &c.m.Offers[untold[0]]
			other.Rewards, other.Score, other.By = []match.Reward{m.Rewards[1-own]}, m.Score, m.By
			m.Rewards = []match.Reward{m.Rewards[own]}
		}
	}
}

// numberedApart reports whether two lines are the same but for a number of four digits or
// more, as cards and coupons have: they tell of two, not twice of one.
func (c *check) numberedApart(a, b int) bool {
	one, two := strings.Fields(c.r.Line(a).Text), strings.Fields(c.r.Line(b).Text)
	if len(one) != len(two) {
		return false
	}
	apart := false
	for i := range one {
		if one[i] == two[i] {
			continue
		}
		if apart || len(one[i]) < 4 || len(one[i]) != len(two[i]) || strings.Trim(one[i]+two[i], "0123456789") != "" {
			return false
		}
		apart = true
	}
	return apart
}

// creditForVariety accepts a credit that was given although an item it counts
// on is missing: what stands in for the item was counted.
func (c *check) creditForVariety(o *plan.Offer, want, got money.Amount) bool {
	planned, _ := earned(c.expected, o)
	if got.Cmp(want) <= 0 || got.Cmp(planned) > 0 || o.Credit.Percent == nil && got != planned && !o.Repeats {
		return false
	}
	for _, g := range c.gaps {
		if g.standsFor != nil && o.Covers(g.standsFor) {
			c.rung.Credits[o.Index] = got
			return true
		}
	}
	return false
}

// toldAgain reports whether what looks like a credit of o, which was not planned
// here, is another's of the same value, told once more.
func (c *check) toldAgain(o *plan.Offer, value money.Amount) bool {
	if planned, _ := earned(c.expected, o); !planned.IsZero() {
		return false
	}
	for k, other := range c.p.Offers {
		if other == o || other.Credit == nil {
			continue
		}
		for i := range c.m.Offers[k].Rewards {
			if worth(other, &c.m.Offers[k].Rewards[i]) == value {
				return true
			}
		}
	}
	return false
}

func showsOn(shows string) string {
	if shows == "slip" {
		return "a slip of its own"
	}
	return "the account"
}

// earned is the credit of o in a bill.
func earned(b *plan.TransactionBill, o *plan.Offer) (sum money.Amount, uses int) {
	for i := range b.Credits {
		if b.Credits[i].Offer == o.ID {
			sum = sum.Add(b.Credits[i].Value)
			uses += max(b.Credits[i].Uses, 1)
		}
	}
	return sum, uses
}

// given is what the receipt's lines say was given. The same credit is often
// told twice, so equal lines only add up where more than one use was earned.
func given(o *plan.Offer, m *match.OfferMatch, want money.Amount, uses int) money.Amount {
	var sum, most money.Amount
	for i := range m.Rewards {
		value := worth(o, &m.Rewards[i])
		sum = sum.Add(value)
		most = money.Max(most, value)
	}
	if sum == want || uses > 1 && sum.Cmp(want) <= 0 {
		return sum
	}
	return most
}

// worth is what one line's credit is worth in money: points by the plan's rate.
func worth(o *plan.Offer, r *match.Reward) money.Amount {
	if o.Credit.Points > 0 && r.Points > 0 {
		return o.Credit.Value.Fraction(int64(r.Points), int64(o.Credit.Points))
	}
	return r.Value
}

// bottomRead reports whether nothing below the total can have been missed: the
// paper's end is in the picture, and no line is left unread.
func (c *check) bottomRead() bool { return c.r.Complete.Bottom && !c.anyUnread() }

// anyUnread reports whether a line was seen and could not be read. It may be another part of
// a credit, or say that what looks like a credit is something else. Above the goods, where the
// shop's name and its pictures stand, no till tells of any; common practice, no source.
func (c *check) anyUnread() bool {
	goods := slices.IndexFunc(c.r.Lines, func(l parse.Line) bool { return l.Kind == parse.LineItem || l.Kind == parse.LineQuantity })
	return slices.ContainsFunc(c.r.Lines[max(goods-1, 0):], func(l parse.Line) bool { return l.Unread })
}

// paidKinds are the kinds of tender read, nil for none.
func (c *check) paidKinds() (kinds []string) {
	for _, t := range c.r.Tenders {
		kinds = append(kinds, t.Kind)
	}
	return kinds
}

// tenderLines are the lines that say how the receipt was paid.
func (c *check) tenderLines() (lines []int) {
	for i := range c.r.Lines {
		if c.r.Lines[i].Kind == parse.LineTender {
			lines = append(lines, c.r.Lines[i].N)
		}
	}
	return lines
}
