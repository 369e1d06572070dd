package audit

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

func show(t *testing.T, p *plan.Plan, r *parse.Receipt, res *Result) {
	t.Helper()
	for i := range r.Lines {
		l := &r.Lines[i]
		t.Logf("%2d of %2d %-10s %s", l.N, l.Of, l.Kind, l.Text)
	}
	for _, m := range res.Matches {
		t.Logf("match %+v", m)
	}
	for _, o := range p.Offers {
		js, _ := json.Marshal(o.Deduct)
		t.Logf("offer %s %q %s %s %v %s", o.ID, o.Title, o.FundedBy, o.CarriedAs, o.AppliesTo, js)
	}
	for _, it := range p.Transactions[0].Items {
		t.Logf("item %s %s %d x %s %+v", it.ID, it.Name, it.Quantity, it.Shelf, it.Sale)
	}
	for _, f := range res.Findings {
		js, _ := json.Marshal(f)
		t.Logf("finding %s", js)
	}
	t.Logf("undecided: %q notes: %q", res.Undecided, res.Notes)
}

// identity checks that effects and tolerated add up to the difference of the
// totals, and those of credits to the difference of the credits.
func identity(t *testing.T, res *Result) bool {
	t.Helper()
	if res.OutOfPocket.Actual == nil {
		return true
	}
	sum := res.Tolerated
	for i := range res.Findings {
		f := &res.Findings[i]
		if !f.onCredit() {
			sum = sum.Add(f.Effect)
		}
	}
	want := res.OutOfPocket.Expected.Sub(*res.OutOfPocket.Actual)
	if sum != want {
		t.Errorf("effects and tolerated come to %s, expected less actual is %s", sum, want)
		return false
	}
	return true
}

// verdictOf is the verdict where f is the only finding: a coupon that only made
// room for another one costs nothing.
func verdictOf(f *Finding) Verdict {
	switch {
	case f.Effect.Sign() < 0:
		return Short
	case f.Effect.Sign() > 0:
		return Gained
	}
	return AsPlanned
}

func checked(t *testing.T, p *plan.Plan, r *parse.Receipt) *Result {
	t.Helper()
	res, err := checkFirm(Input{Plan: p, Receipt: r}, true)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// A receipt printed from the bill itself is as planned; without one deduction
// or credit, its sums redone, there is just that finding with its amount.
func TestRandomPlans(t *testing.T) { randomPlans(t, 2000, 7, checked) }

// The same on paper: the text of the receipt is read first.
func TestRandomPlansOnPaper(t *testing.T) {
	randomPlans(t, 600, 8, func(t *testing.T, p *plan.Plan, r *parse.Receipt) *Result {
		t.Helper()
		return checkedText(t, p, paper(r))
	})
}

// randomPlans checks the receipts of n random plans by check; with -short of 300.
func randomPlans(t *testing.T, n int, stream uint64, check func(*testing.T, *plan.Plan, *parse.Receipt) *Result) {
	t.Helper()
	if testing.Short() {
		n = 300
	}
	bad := 0
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), stream))
		p := randomPlan(t, r)
		tx := p.Transactions[0]
		s := randomStyle(r)
		bill := p.PriceAs(tx, nil)
		res := check(t, p, printBill(p, tx, bill, s))
		if res.Verdict != AsPlanned || len(res.Findings) > 0 || !identity(t, res) {
			t.Errorf("seed %d: %s with %d findings, want as planned with none", seed, res.Verdict, len(res.Findings))
			show(t, p, res.Receipt, res)
			bad++
		}
		for _, o := range p.Offers {
			rung := &plan.Rung{Offers: map[int]plan.RungOffer{}, Credits: map[int]money.Amount{}}
			kind, want := MissingDeduction, money.Amount{}
			switch {
			case o.Deduct != nil:
				want, _ = bill.Taken(o.ID)
				rung.Offers[o.Index] = plan.RungOffer{}
			case o.Credit != nil:
				want, _ = earned(bill, o)
				rung.Credits[o.Index] = money.Amount{}
				kind = MissingCredit
			}
			if want.IsZero() {
				continue
			}
			res := check(t, p, printBill(p, tx, p.PriceAs(tx, rung), s))
			if len(res.Findings) != 1 || res.Findings[0].Kind != kind || res.Findings[0].Offer != o.ID || res.Findings[0].Expected != want ||
				!res.Findings[0].Certainty.Firm() || res.Verdict != verdictOf(&res.Findings[0]) || !identity(t, res) {
				t.Errorf("seed %d without %s: %s, %d findings, want %s of %s", seed, o.ID, res.Verdict, len(res.Findings), kind, want)
				show(t, p, res.Receipt, res)
				bad++
			}
		}
		if bad > 2 {
			t.FailNow()
		}
	}
}
