package audit

import (
	"slices"
	"strings"

	"tillproof/parse/match"
)

// A till prints the number of a coupon beside all that it takes off, and no other there.

// doubtNumbers marks an offer of which nothing is there where another has lines with
// two coupons' numbers: one of them may be the missing one's.
func (c *check) doubtNumbers() {
	for k, o := range c.p.Offers {
		cuts := c.m.Offers[k].Cuts
		if !slices.ContainsFunc(cuts, func(cut match.Cut) bool { return couponNumber(cut.Name) != couponNumber(cuts[0].Name) }) {
			continue
		}
		for _, missing := range c.gaps {
			if missing.what != ofDeduction || missing.offer == nil || !missing.actual.IsZero() || missing.voided ||
				!slices.ContainsFunc(cuts, func(cut match.Cut) bool { return cut.MayRather(missing.offer, o) }) {
				continue
			}
			missing.rival = true
			for _, g := range c.gaps {
				g.rival = g.rival || g.offer == o && g.what == ofDeduction
			}
		}
	}
}

// doubtTorn marks the differences of offers between which lines are divided that say the
// same of the same goods and take the same, or have the number of one coupon and not of
// goods: a till prints the uses of one offer alike.
func (c *check) doubtTorn() {
	same := func(a, b *match.Cut) bool {
		return a.Name == b.Name && (a.Off == b.Off && !a.Silent() || couponNumber(a.Name) != "" && !a.ByCode && !b.ByCode)
	}
	for _, g := range c.gaps {
		if g.offer == nil || g.what != ofDeduction && g.what != ofPlace {
			continue
		}
		for _, own := range c.m.Offers[g.offer.Index].Cuts {
			for k := range c.m.Offers {
				g.rival = g.rival || k != g.offer.Index && slices.ContainsFunc(c.m.Offers[k].Cuts, func(cut match.Cut) bool { return same(&own, &cut) })
			}
			g.rival = g.rival || slices.ContainsFunc(c.m.Extra, func(cut match.Cut) bool { return same(&own, &cut) })
		}
	}
}

// doubtOdd marks what an offer took where nothing explains it, and where all its lines but one
// are what it takes for so many uses: the odd one may be another offer's.
func (c *check) doubtOdd() {
	for _, g := range c.gaps {
		if g.what != ofDeduction || g.offer == nil || g.offer.Deduct == nil || g.offer.Deduct.Amount == nil || g.rival || !c.isUnexplained(g) {
			continue
		}
		each, cuts := g.offer.Deduct.Amount.Cents(), c.m.Offers[g.offer.Index].Cuts
		g.rival = len(cuts) > 1 && slices.ContainsFunc(cuts, func(odd match.Cut) bool {
			rest := g.actual.Sub(odd.Off).Cents()
			return rest > 0 && rest%each == 0
		})
	}
}

// doubtOthersLine marks what an offer took where nothing explains it and what was taken back
// of another is just what it should take, and what is missing where another offer's line was
// let pass although it is not what that should take: the lines may be each other's.
func (c *check) doubtOthersLine() {
	for _, g := range c.gaps {
		if g.what != ofDeduction || g.offer == nil || g.rival || g.voided {
			continue
		}
		missing := g.actual.IsZero()
		if !missing && !c.isUnexplained(g) {
			continue
		}
		for k, o := range c.p.Offers {
			m := &c.m.Offers[k]
			if o == g.offer || o.Deduct == nil {
				continue
			}
			if missing {
				got, known := total(m.Cuts)
				g.rival = g.rival || known && !got.IsZero() && !c.isGap(o) && m.Cuts[0].MayRather(g.offer, o) && !near(got, c.shouldBe(&gap{what: ofDeduction, offer: o}, &c.rung))
				continue
			}
			g.rival = g.rival || slices.ContainsFunc(m.Voided, func(cut match.Cut) bool { return cut.Was == g.expected && cut.MayRather(g.offer, o) })
		}
	}
}

// couponNumber is the word of a text that is all digits, four or more, "" for none.
func couponNumber(text string) string {
	for _, word := range strings.Fields(text) {
		if len(word) >= 4 && strings.Trim(word, "0123456789") == "" {
			return word
		}
	}
	return ""
}
