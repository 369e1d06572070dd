package audit

import (
	"tillproof/audit/law"
	"tillproof/money"
)

// lawOf is what the laws and codes of the store's jurisdiction say is due for an
// overcharge, a sentence each: only for a firm one that lies with the till, since
// it names what the shop has to pay. notice is the shortest time that one of them
// gives to tell the store, 0 for none.
func (c *check) lawOf(g *gap, f *Finding) (said []string, notice int) {
	if f.Kind != Overcharge || g.what != ofPrice || !f.Certainty.Firm() || f.Side != SideTill || c.p.Store.Jurisdiction == "" {
		return nil, 0
	}
	shown, charged, n := c.dearer(g)
	if n == 0 {
		return nil, 0
	}
	day := ""
	if !c.day.IsZero() {
		day = c.day.String()
	}
	for _, r := range law.Find(c.p.Store.Jurisdiction, day) {
		d, ok := r.Due(shown, charged, n)
		if !ok || d.Total().Sign() <= 0 {
			continue
		}
		said = append(said, d.String())
		if r.NoticeDays > 0 && (notice == 0 || r.NoticeDays < notice) {
			notice = r.NoticeDays
		}
	}
	return said, notice
}

// dearer is how many units were charged more than shown, and the prices of one: what
// the rules speak of is a thing at a price, and a bonus is on the difference of one. n is
// 0 where the units had more than one price too high, or one that is no whole cents.
func (c *check) dearer(g *gap) (shown, charged money.Amount, n int) {
	if g.item.Weight != nil || g.got <= 1 {
		return g.expected, g.actual, 1
	}
	shown, whole := even(g.expected, g.got)
	if !whole {
		return shown, charged, 0
	}
	m := &c.m.Items[g.item.Index]
	if len(m.Entries) > 1 && len(m.Savings) == 0 {
		return c.dearerLines(g, shown)
	}
	for k := g.got - 1; k > 0 && g.item.Sale != nil && g.item.Sale.For <= 1; k-- {
		if g.item.Shelf.Mul(k).Add(g.item.Cost(g.got-k)) == g.actual {
			return shown, g.item.Shelf, k
		}
	}
	if charged, whole = even(g.actual, g.got); !whole {
		return shown, charged, 0
	}
	return shown, charged, g.got
}

// dearerLines is dearer of units that have several lines.
func (c *check) dearerLines(g *gap, shown money.Amount) (_, charged money.Amount, n int) {
	units, sum := 0, money.Amount{}
	for _, e := range c.m.Items[g.item.Index].Entries {
		each, whole := even(e.Amount, max(e.Units, 1))
		if !whole || each.Cmp(shown) < 0 || each.Cmp(shown) > 0 && n > 0 && each != charged {
			return shown, charged, 0
		}
		if each.Cmp(shown) > 0 {
			charged, n = each, n+max(e.Units, 1)
		}
		units, sum = units+max(e.Units, 1), sum.Add(e.Amount)
	}
	if units != g.got || sum != g.actual {
		return shown, charged, 0
	}
	return shown, charged, n
}

// even is the price of one of n units, where that is whole cents.
func even(sum money.Amount, n int) (each money.Amount, whole bool) {
	return sum.Fraction(1, int64(n)), sum.Cents()%int64(n) == 0
}

// askBy says until when a store corrects its prices, "" where it does not say.
func (c *check) askBy() string {
	if days := c.p.Store.Policy.AdjustDays; days > 0 && !c.day.IsZero() {
		return " The store corrects prices until " + c.day.AddDays(days).String() + "."
	}
	return ""
}
