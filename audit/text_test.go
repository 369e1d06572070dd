package audit

import (
	"math/rand/v2"
	"strings"
	"testing"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

// paper is the text of a receipt as it was printed.
func paper(r *parse.Receipt) string {
	var b strings.Builder
	for i := range r.Lines {
		b.WriteString(r.Lines[i].Text)
		b.WriteString("\n")
		if i == 0 {
			b.WriteString("05/09/2026 10:42   REG 3  TRN 4471\n\n")
		}
	}
	return b.String()
}

func checkedText(t *testing.T, p *plan.Plan, text string) *Result {
	t.Helper()
	res, err := Check(Input{Plan: p, Receipt: parsed(text, nil)})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// The same on paper: the text of a receipt printed from the bill is as planned;
// without one deduction or credit just that is found.
func TestRandomPlansOnPaper(t *testing.T) {
	n := 600
	if testing.Short() {
		n = 300
	}
	bad := 0
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), 8))
		p := randomPlan(t, r)
		tx := p.Transactions[0]
		s := randomStyle(r)
		bill := p.PriceAs(tx, nil)
		text := paper(printBill(p, tx, bill, s))
		res := checkedText(t, p, text)
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
				want, _ = taken(bill, o)
				rung.Offers[o.Index] = plan.RungOffer{}
			case o.Credit != nil:
				want, _ = earned(bill, o)
				rung.Credits[o.Index] = money.Amount{}
				kind = MissingCredit
			}
			if want.IsZero() {
				continue
			}
			res := checkedText(t, p, paper(printBill(p, tx, p.PriceAs(tx, rung), s)))
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
