package audit

import (
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

// fault is one thing a till or a shopper does otherwise than planned, and what
// must be found.
type fault struct {
	kind  Kind
	cause CauseKind
	// put makes the fault and returns the offer or item it is about, and the
	// difference that must be found; ok is false where the plan has nothing for it.
	put func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, s *style) (id string, difference money.Amount, ok bool)
}

func emptyRung() *plan.Rung {
	return &plan.Rung{Items: map[int]plan.RungItem{}, Offers: map[int]plan.RungOffer{}, Credits: map[int]money.Amount{}}
}

// some picks one of the indexes that fit.
func some(r *rand.Rand, n int, fits func(i int) bool) (int, bool) {
	for _, i := range r.Perm(n) {
		if fits(i) {
			return i, true
		}
	}
	return 0, false
}

func offerTaken(p *plan.Plan, i int) (money.Amount, int) {
	o := p.Offers[i]
	if o.Deduct == nil || o.Spend != nil {
		return money.Amount{}, 0
	}
	var sum money.Amount
	uses := 0
	for _, l := range p.PriceAs(p.Transactions[0], nil).Lines {
		for _, d := range l.Deductions {
			if d.Offer == o.ID {
				sum, uses = sum.Add(d.Amount), uses+d.Uses
			}
		}
	}
	return sum, uses
}

var faults = map[string]fault{
	"fewer uses": {ShortDeduction, ScannedFewer, func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, _ *style) (string, money.Amount, bool) {
		i, ok := some(r, len(p.Offers), func(i int) bool {
			sum, uses := offerTaken(p, i)
			return uses > 1 && p.Offers[i].Deduct.Amount != nil && sum == p.Offers[i].Deduct.Amount.Mul(uses)
		})
		if !ok {
			return "", money.Amount{}, false
		}
		o := p.Offers[i]
		sum, _ := offerTaken(p, i)
		at, _ := some(r, len(p.Transactions[0].Items), func(k int) bool { return o.Covers(p.Transactions[0].Items[k]) })
		rung.Offers[i] = plan.RungOffer{Items: map[int]money.Amount{at: sum.Sub(*o.Deduct.Amount)}}
		return o.ID, o.Deduct.Amount.Neg(), true
	}},
	"voided": {MissingDeduction, Voided, func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, s *style) (string, money.Amount, bool) {
		i, ok := some(r, len(p.Offers), func(i int) bool {
			sum, _ := offerTaken(p, i)
			return !sum.IsZero() && p.Offers[i].CarriedAs == "paper"
		})
		if !ok {
			return "", money.Amount{}, false
		}
		sum, _ := offerTaken(p, i)
		rung.Offers[i] = plan.RungOffer{}
		s.voided = p.Offers[i].ID
		return p.Offers[i].ID, sum.Neg(), true
	}},
	"sale not rung": {Overcharge, SaleNotRung, func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, s *style) (string, money.Amount, bool) {
		items := p.Transactions[0].Items
		i, ok := some(r, len(items), func(i int) bool {
			return items[i].Sale != nil && items[i].Cost(items[i].Quantity) != items[i].Shelf.Mul(items[i].Quantity)
		})
		if !ok {
			return "", money.Amount{}, false
		}
		it := items[i]
		price := it.Shelf.Mul(it.Quantity)
		rung.Items[i] = plan.RungItem{Quantity: it.Quantity, Price: &price}
		s.repeat = false
		return it.ID, it.Cost(it.Quantity).Sub(price), true
	}},
	"price up": {Overcharge, "", func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, s *style) (string, money.Amount, bool) {
		return changePrice(r, p, rung, s, money.FromCents(int64(5+r.IntN(30))))
	}},
	"price down": {Undercharge, "", func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, s *style) (string, money.Amount, bool) {
		return changePrice(r, p, rung, s, money.FromCents(int64(-5-r.IntN(15))))
	}},
	"one more": {Quantity, RungTwice, func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, _ *style) (string, money.Amount, bool) {
		return changeQuantity(r, p, rung, 1)
	}},
	"one less": {Quantity, Unexplained, func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, _ *style) (string, money.Amount, bool) {
		return changeQuantity(r, p, rung, -1)
	}},
	"item missing": {MissingItem, "", func(r *rand.Rand, p *plan.Plan, rung *plan.Rung, _ *style) (string, money.Amount, bool) {
		items := p.Transactions[0].Items
		i := r.IntN(len(items))
		rung.Items[i] = plan.RungItem{}
		return items[i].ID, items[i].Cost(items[i].Quantity), true
	}},
	"unplanned item": {UnplannedItem, "", func(_ *rand.Rand, _ *plan.Plan, _ *plan.Rung, s *style) (string, money.Amount, bool) {
		amount := money.Must("1.97")
		s.unplanned = append(s.unplanned, parse.Line{Name: "ZUCCHINI LOOSE", Amount: &amount})
		return "ZUCCHINI LOOSE", amount.Neg(), true
	}},
	"credit less": {ShortCredit, "", func(_ *rand.Rand, p *plan.Plan, rung *plan.Rung, _ *style) (string, money.Amount, bool) {
		for _, c := range p.PriceAs(p.Transactions[0], nil).Credits {
			if c.Kind == "gift card" {
				for i, o := range p.Offers {
					if o.ID == c.Offer {
						rung.Credits[i] = c.Value.Sub(money.Must("1.00"))
					}
				}
				return c.Offer, money.Must("-1.00"), true
			}
		}
		return "", money.Amount{}, false
	}},
	"taxed too much": {TaxFinding, "", func(_ *rand.Rand, p *plan.Plan, rung *plan.Rung, _ *style) (string, money.Amount, bool) {
		if len(p.Taxes) == 0 {
			return "", money.Amount{}, false
		}
		more := money.FromCents(9)
		tax := p.PriceAs(p.Transactions[0], rung).Tax.Add(more)
		rung.Tax = &tax
		return "", more.Neg(), true
	}},
}

func changePrice(r *rand.Rand, p *plan.Plan, rung *plan.Rung, s *style, by money.Amount) (string, money.Amount, bool) {
	items := p.Transactions[0].Items
	i := r.IntN(len(items))
	it := items[i]
	price := it.Cost(it.Quantity).Add(by.Mul(it.Quantity))
	if price == it.Shelf.Mul(it.Quantity) {
		return "", money.Amount{}, false
	}
	rung.Items[i] = plan.RungItem{Quantity: it.Quantity, Price: &price}
	s.savings = false
	if it.Sale != nil && it.Sale.For > 1 {
		s.repeat = false
	}
	return it.ID, by.Mul(it.Quantity).Neg(), true
}

func changeQuantity(r *rand.Rand, p *plan.Plan, rung *plan.Rung, by int) (string, money.Amount, bool) {
	items := p.Transactions[0].Items
	i, ok := some(r, len(items), func(i int) bool { return items[i].Quantity+by > 0 })
	if !ok {
		return "", money.Amount{}, false
	}
	it := items[i]
	rung.Items[i] = plan.RungItem{Quantity: it.Quantity + by}
	return it.ID, it.Cost(it.Quantity).Sub(it.Cost(it.Quantity + by)), true
}

// Each fault alone gives its finding, with the difference and the cause, and
// nothing else.
func TestFaults(t *testing.T) {
	n := 300
	if testing.Short() {
		n = 60
	}
	for name, f := range faults {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			made, firstRight, open := 0, 0, 0
			for seed := range n {
				r := rand.New(rand.NewPCG(uint64(seed), 11))
				p := randomPlan(t, r)
				tx := p.Transactions[0]
				s := randomStyle(r)
				rung := emptyRung()
				id, difference, ok := f.put(r, p, rung, &s)
				if !ok {
					continue
				}
				made++
				rec := printBill(p, tx, p.PriceAs(tx, rung), s)
				res := checked(t, p, rec)
				if f.kind == TaxFinding && res.Verdict == Undecided && len(res.Findings) == 1 {
					open++ // a coupon that came off another item would explain it as well
					continue
				}
				if !identity(t, res) || !foundOnly(res, f.kind, id, difference) {
					t.Errorf("seed %d: %s, %d findings, want only %s on %s of %s", seed, res.Verdict, len(res.Findings), f.kind, id, difference)
					show(t, p, rec, res)
					if t.Failed() && seed > 100 {
						return
					}
					continue
				}
				cause := res.Findings[0].Cause.Kind
				if cause == f.cause || f.cause == "" {
					firstRight++
				}
			}
			if made < n/10 {
				t.Errorf("only %d of %d plans had this fault", made, n)
			}
			if open*100 > made*10 && (open > 3 || !testing.Short()) { // of few plans three are no share
				t.Errorf("%d of %d were left open", open, made)
			}
			if firstRight*100 < (made-open)*95 {
				t.Errorf("the true cause came first in %d of %d", firstRight, made)
			}
		})
	}
}

// foundOnly reports whether kind on id is the only finding but for a rebate
// that follows from what was bought.
func foundOnly(res *Result, kind Kind, id string, difference money.Amount) bool {
	found := 0
	for i := range res.Findings {
		f := &res.Findings[i]
		if f.Kind == MissingRebate {
			continue
		}
		about := f.Offer
		if about == "" && len(f.Items) > 0 {
			about = f.Items[0]
		}
		if f.Kind != kind || about != id || f.Difference != difference || !f.Certainty.Firm() {
			return false
		}
		found++
	}
	return found == 1
}

// Two faults on different items are kept apart: both are found, nothing else,
// and the effects add up.
func TestFaultsTogether(t *testing.T) {
	n := 600
	if testing.Short() {
		n = 100
	}
	names := make([]string, 0, len(faults))
	for name := range faults {
		names = append(names, name)
	}
	slices.Sort(names)
	made := 0
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), 12))
		p := randomPlan(t, r)
		tx := p.Transactions[0]
		s := randomStyle(r)
		rung := emptyRung()
		type about struct {
			kind Kind
			id   string
		}
		want := map[about]bool{}
		touched := map[string]bool{}
		for _, name := range []string{names[r.IntN(len(names))], names[r.IntN(len(names))]} {
			f := faults[name]
			if f.kind == TaxFinding || f.kind == ShortCredit || f.kind == UnplannedItem {
				continue // these follow from the others, or hide their tax
			}
			try := plan.Rung{Items: maps.Clone(rung.Items), Offers: maps.Clone(rung.Offers), Credits: rung.Credits}
			style := s
			id, _, ok := f.put(r, p, &try, &style)
			if item := strings.TrimLeft(id, "ims"); !ok || touched[item] {
				continue
			} else {
				touched[item] = true
			}
			*rung, s = try, style
			want[about{f.kind, id}] = true
		}
		if len(want) < 2 {
			continue
		}
		made++
		rec := printBill(p, tx, p.PriceAs(tx, rung), s)
		res := checked(t, p, rec)
		got := map[about]bool{}
		for _, f := range res.Findings {
			id := f.Offer
			if id == "" {
				id = f.Items[0]
			}
			if f.Kind != MissingRebate {
				got[about{f.Kind, id}] = true
			}
		}
		if !identity(t, res) || !maps.Equal(got, want) {
			t.Errorf("seed %d: found %v, want %v", seed, got, want)
			show(t, p, rec, res)
			if seed > 50 {
				return
			}
		}
	}
	if made < n/10 {
		t.Errorf("only %d of %d plans had two faults", made, n)
	}
	t.Logf("%d receipts with two faults", made)
}

// TestFeeBeneathItsGoods: a deposit charged twice that comes to what two goods should have is
// not shared by them where the other's own stands beneath those, further down.
func TestFeeBeneathItsGoods(t *testing.T) {
	const plan = `plan: 1
store: Harbor Lane
date: 2026-05-09
transactions:
  - id: trip
    items:
      - {id: water, name: Saltrow sparkling water 1 l, shelf: 3.19, sale: 4 for 10.00, fee: 0.15}
      - {id: lemonade, name: Lindquay cloudy lemonade 750 ml, quantity: 3, shelf: 2.99, fee: 0.05}
offers:
  - {id: fifth, title: 20% off sparkling water, funded_by: maker, carried_as: paper, applies_to: [water], deduct: 20%}
`
	res := checkedText(t, load(t, plan), "HARBOR LANE\n05/09/2026 10:42\n"+
		"SALTROW SPARKLING WATER 1 L\n  046572842655 1 @ 4/10.00  T  2.50\n  REG 3.19  SAVED 0.69\n  MFG CPN 20% OFF SPARK WAT  T  0.50-\n  DEPOSIT  N  0.30\n"+
		"LINDQUAY CLOUDY LEMONADE 750 ML\n  043559087139 3 @ 2.99  T  8.97\n  DEPOSIT  N  0.15\nSUBTOTAL  11.42\nTOTAL  11.42\nCARD  11.42\n")
	for _, f := range res.Findings {
		if f.Kind != Overcharge || len(f.Items) != 1 || f.Items[0] != "water" {
			t.Errorf("%s %v %s is %s", f.Kind, f.Items, f.Difference, f.Certainty)
		}
	}
	if len(res.Findings) != 1 {
		t.Errorf("%d findings", len(res.Findings))
	}
}
