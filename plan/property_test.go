package plan_test

import (
	"errors"
	"fmt"
	"testing"

	"tillproof/money"
	"tillproof/plan"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func load(t *rapid.T, src, store string) *plan.Plan {
	p, err := plan.Load([]byte(src), "plan.yaml", func(path string) ([]byte, error) {
		if path != "store.yaml" {
			return nil, errors.New("no such file")
		}
		return []byte(store), nil
	})
	if err != nil {
		t.Fatalf("%v\n%s\n%s", err, src, store)
	}
	return p
}

// TestOracle compares every sum with those of a second, plain pricing in exact
// fractions.
func TestOracle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src, store := drawPlan(t)
		p := load(t, src, store)
		want := (&oracle{p: p}).price()
		for i, got := range p.Price().Transactions {
			if diff := cmp.Diff(want[i].figures(), figures(got)); diff != "" {
				t.Fatalf("transaction %d differs (-oracle +plan):\n%s\n%s\n%s", i, diff, src, store)
			}
		}
	})
}

// figures are a bill's figures by name.
func figures(b *plan.TransactionBill) map[string]int64 {
	f := map[string]int64{"tax": b.Tax.Cents(), "fees": b.Fees.Cents(), "rounding": b.Rounding.Cents(),
		"out": b.OutOfPocket.Cents(), "final": b.FinalCost.Cents()}
	for i, l := range b.Lines {
		f[fmt.Sprint(i, " price")] = l.Price.Cents()
		for _, d := range l.Deductions {
			f[fmt.Sprint(i, " ", d.Offer)] = d.Amount.Cents()
			f[fmt.Sprint(i, " ", d.Offer, " uses")] = int64(d.Uses)
		}
	}
	for _, d := range b.BasketDeductions {
		f["basket "+d.Offer] += d.Amount.Cents()
	}
	for _, c := range b.Credits {
		f["credit "+c.Offer] = c.Value.Cents()
	}
	for _, r := range b.Rebates {
		f["rebate "+r.Offer] = r.Value.Cents()
	}
	return f
}

func (b *oBill) figures() map[string]int64 {
	f := map[string]int64{"tax": b.tax, "fees": b.fees, "rounding": b.rounding, "out": b.out, "final": b.final}
	for i, l := range b.lines {
		f[fmt.Sprint(i, " price")] = l.price
		for id, off := range l.offs {
			f[fmt.Sprint(i, " ", id)] = off
			f[fmt.Sprint(i, " ", id, " uses")] = int64(l.uses[id])
		}
	}
	for _, d := range b.baskets {
		f["basket "+d.offer] += d.amount
	}
	for id, v := range b.credits {
		f["credit "+id] = v
	}
	for id, v := range b.rebates {
		f["rebate "+id] = v
	}
	return f
}

// TestSumsHold: the shares of a basket deduction add up to it, no line goes
// under 0.00, what is paid is never under fees, tax and cash rounding, and the
// figures are the sums they say they are.
func TestSumsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src, store := drawPlan(t)
		p := load(t, src, store)
		bill := p.Price()
		var out, final money.Amount
		for i, b := range bill.Transactions {
			basket := map[string]money.Amount{}
			paid := b.Tax.Add(b.Fees).Add(b.Rounding)
			for _, d := range b.BasketDeductions {
				var sum money.Amount
				for id, share := range d.Shares {
					basket[id] = basket[id].Add(share)
					sum = sum.Add(share)
				}
				if sum != d.Amount {
					t.Fatalf("shares of %s come to %s of %s\n%s", d.Offer, sum, d.Amount, src)
				}
			}
			for _, l := range b.Lines {
				net := l.Price
				for _, d := range l.Deductions {
					if d.Amount.Sign() <= 0 {
						t.Fatalf("%s takes %s off %s\n%s", d.Offer, d.Amount, l.Item, src)
					}
					net = net.Sub(d.Amount)
				}
				if net != l.Net || net.Sub(basket[l.Item]).Sign() < 0 {
					t.Fatalf("net of %s is %s, basket share %s\n%s", l.Item, l.Net, basket[l.Item], src)
				}
				paid = paid.Add(net).Sub(basket[l.Item])
			}
			if paid != b.OutOfPocket || paid.Cmp(b.Tax.Add(b.Fees).Add(b.Rounding)) < 0 {
				t.Fatalf("out of pocket %s, sums come to %s\n%s", b.OutOfPocket, paid, src)
			}
			for _, s := range b.Steps[:1] {
				if s.Amount != b.OutOfPocket {
					t.Fatalf("step %q is %s, want %s", s.Text, s.Amount, b.OutOfPocket)
				}
			}
			out, final = out.Add(b.OutOfPocket), final.Add(b.FinalCost)
			bare := p.PriceAs(p.Transactions[i], nil)
			if diff := cmp.Diff(figures(bare), figures(b)); diff != "" {
				t.Fatalf("PriceAs and Price differ:\n%s\n%s", diff, src)
			}
		}
		if out != bill.OutOfPocket || final != bill.FinalCost || bill.FinalCost != out.Sub(bill.Credits).Sub(bill.Rebates) {
			t.Fatalf("totals %s and %s, sums %s and %s", bill.OutOfPocket, bill.FinalCost, out, final)
		}
	})
}

// TestRungAsPlanned: a till that rang everything as planned gives the planned
// bill, and with one offer left out of what was rung, that offer should be what
// was planned: the question that the audit asks.
func TestRungAsPlanned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src, store := drawPlan(t)
		p := load(t, src, store)
		for _, tx := range p.Transactions {
			want := figures(p.PriceAs(tx, nil))
			rung := rungAsPlanned(p, tx)
			if diff := cmp.Diff(sums(want), sums(figures(p.PriceAs(tx, rung)))); diff != "" {
				t.Fatalf("as rung (-planned +rung):\n%s\n%s\n%s", diff, src, store)
			}
			for k := range p.Offers {
				without := *rung
				without.Offers = map[int]plan.RungOffer{}
				for i, o := range rung.Offers {
					if i != k {
						without.Offers[i] = o
					}
				}
				if diff := cmp.Diff(sums(want), sums(figures(p.PriceAs(tx, &without)))); diff != "" {
					t.Fatalf("without offer %d (-planned +rung):\n%s\n%s\n%s", k, diff, src, store)
				}
			}
		}
	})
}

// sums are figures without the uses, which a receipt does not print.
func sums(f map[string]int64) map[string]int64 {
	s := map[string]int64{}
	for k, v := range f {
		if len(k) < 5 || k[len(k)-5:] != " uses" {
			s[k] = v
		}
	}
	return s
}

// TestAnyRung: whatever a till rang, its bill is the sum it says it is, and what
// has an entry is taken as it stands.
func TestAnyRung(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src, store := drawPlan(t)
		p := load(t, src, store)
		r := &randomPlan{T: t}
		any := func(label string) money.Amount { return money.FromCents(int64(r.upTo(-200, 1500, label))) }
		tx := p.Transactions[0]
		rung := &plan.Rung{Items: map[int]plan.RungItem{}, Offers: map[int]plan.RungOffer{}, Credits: map[int]money.Amount{}}
		for i := range tx.Items {
			if it := (plan.RungItem{Quantity: r.upTo(0, 5, "rung quantity")}); r.yes("item rung") {
				if price := any("price"); r.yes("price rung") {
					it.Price = &price
				}
				rung.Items[i] = it
			}
		}
		for i, o := range p.Offers {
			if o.Credit != nil && r.yes("credit rung") {
				rung.Credits[i] = money.Max(any("credit"), money.Amount{})
			}
			if o.Deduct != nil && r.yes("offer rung") {
				rung.Offers[i] = plan.RungOffer{
					Items:  map[int]money.Amount{r.upTo(0, len(tx.Items)-1, "off item"): any("off")},
					Basket: any("off basket"),
				}
			}
		}
		b := p.Explain(tx, rung)
		off := map[string]money.Amount{}
		sum := b.Tax.Add(b.Fees).Add(b.Rounding)
		for _, l := range b.Lines {
			sum = sum.Add(l.Price)
			for _, d := range l.Deductions {
				off[d.Offer] = off[d.Offer].Add(d.Amount)
			}
		}
		for _, d := range b.BasketDeductions {
			off[d.Offer] = off[d.Offer].Add(d.Amount)
		}
		for _, a := range off {
			sum = sum.Sub(a)
		}
		if sum != b.OutOfPocket {
			t.Fatalf("out of pocket is %s, the sums come to %s\n%s", b.OutOfPocket, sum, src)
		}
		for i, as := range rung.Offers {
			want := as.Basket
			for _, a := range as.Items {
				want = want.Add(a)
			}
			if got := off[p.Offers[i].ID]; got != want && !want.IsZero() {
				t.Fatalf("offer %d took off %s, rung were %s\n%s%s", i, got, want, src, store)
			}
		}
	})
}
