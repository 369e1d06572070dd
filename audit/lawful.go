package audit

import "tillproof/audit/law"

// lawOf is what the laws and codes of the store's jurisdiction say is due for an
// overcharge, a sentence each: only for a firm one that lies with the till, since
// it names what the shop has to pay.
func (c *check) lawOf(g *gap, f *Finding) (said []string, notice int) {
	if f.Kind != Overcharge || g.what != ofPrice || !f.Certainty.Firm() || f.Side != SideTill || c.p.Store.Jurisdiction == "" {
		return nil, 0
	}
	shown, charged, n := g.expected, g.actual, 1
	if g.item.Weight == nil && g.got > 1 && shown.Cents()%int64(g.got) == 0 && charged.Cents()%int64(g.got) == 0 {
		n = g.got
		shown, charged = shown.Fraction(1, int64(n)), charged.Fraction(1, int64(n))
	} else if g.got > 1 {
		return nil, 0 // some units only, or a price for several: not what the rules speak of
	}
	day := ""
	if !c.day.IsZero() {
		day = c.day.String()
	}
	for _, r := range law.Find(c.p.Store.Jurisdiction, day) {
		if d, ok := r.Due(shown, charged, n); ok && d.Total().Sign() > 0 {
			said = append(said, d.String())
			notice = max(notice, r.NoticeDays)
		}
	}
	return said, notice
}

// askBy says until when a store corrects its prices, "" where it does not say.
func (c *check) askBy() string {
	if days := c.p.Store.Policy.AdjustDays; days > 0 && !c.day.IsZero() {
		return " The store corrects prices until " + c.day.AddDays(days).String() + "."
	}
	return ""
}
