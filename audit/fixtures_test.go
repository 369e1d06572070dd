package audit_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"tillproof/audit"
	"tillproof/fixtures/till"
	"tillproof/fixtures/trip"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/plan"
)

// outcome counts how checks of printed receipts came out.
type outcome struct {
	all, exact, undecided, falseFirm, firstCause, listedCause, causes int
	bad                                                               []string
}

// judge compares a result with the truth: every fault a firm finding with
// kind, offer and amount, and nothing else firm.
func (o *outcome) judge(name string, truth *till.Truth, res *audit.Result) {
	o.all++
	var want []till.Finding
	for _, f := range truth.Findings {
		if f.Counts() {
			want = append(want, f)
		}
	}
	wrong := ""
	used := make([]bool, len(res.Findings))
	for _, w := range want {
		i := slices.IndexFunc(res.Findings, func(f audit.Finding) bool { return isFinding(w, f) })
		if i < 0 {
			wrong += fmt.Sprintf("; not found: %s %s %v %s (%s)", w.Kind, w.Offer, w.Items, w.Difference, w.Cause)
			continue
		}
		used[i] = true
		o.causes++
		cause := causeOf(w, res.Findings[i])
		if res.Findings[i].Cause.Kind == audit.CauseKind(cause) {
			o.firstCause++
		}
		listed := res.Findings[i].Cause.Kind == audit.CauseKind(cause)
		for _, c := range res.Findings[i].OtherCauses {
			listed = listed || c.Kind == audit.CauseKind(cause)
		}
		if listed {
			o.listedCause++
		} else {
			wrong += fmt.Sprintf("; cause %s not listed for %s %s (first: %s)", cause, w.Kind, w.Offer, res.Findings[i].Cause.Kind)
		}
	}
	for i, f := range res.Findings {
		if !used[i] && f.Certainty.Firm() && f.Kind != audit.MissingRebate {
			wrong += fmt.Sprintf("; extra: %s %s %v %s %s by %s", f.Kind, f.Offer, f.Items, f.Difference, f.Certainty, f.Cause.Kind)
			if f.Effect.Sign() < 0 && (f.Side == audit.SideTill || f.Side == audit.SideOpen) && f.Kind != audit.UnplannedItem && f.Kind != audit.MissingItem {
				o.falseFirm++
			}
		}
	}
	if res.Verdict == audit.Undecided {
		o.undecided++
		if wrong == "" {
			wrong = "; undecided"
		}
	}
	if truth.Verdict != "" && !swallowed(res) && string(res.Verdict) != truth.Verdict {
		wrong += fmt.Sprintf("; verdict %s, want %s", res.Verdict, truth.Verdict)
	}
	if wrong == "" {
		o.exact++
	} else {
		o.bad = append(o.bad, name+wrong+strings.Join(res.Undecided, " / "))
	}
}

// swallowed reports whether a finding costs nothing in the end, or the other way
// round, because an offer follows the price: no verdict stands on it.
func swallowed(res *audit.Result) bool {
	return slices.ContainsFunc(res.Findings, func(f audit.Finding) bool {
		return f.Effect.Sign() != f.Difference.Sign()
	})
}

func isFinding(w till.Finding, f audit.Finding) bool {
	same := func(w till.Finding) bool {
		if string(f.Kind) != w.Kind || f.Offer != w.Offer || f.Difference != w.Difference || !f.Certainty.Firm() {
			return false
		}
		return w.Offer != "" || len(w.Items) == 0 || f.Kind == audit.UnplannedItem || slices.Equal(w.Items, f.Items)
	}
	return same(w) || slices.ContainsFunc(w.Alternatives, same)
}

// causeOf is the true cause, or that of the alternative that f found, or any
// alternative's cause that f gives first: they print the same receipt.
func causeOf(w till.Finding, f audit.Finding) string {
	for _, alt := range w.Alternatives {
		if string(f.Cause.Kind) == alt.Cause {
			return alt.Cause
		}
	}
	return w.Cause
}

// check prints one receipt and checks it.
func checkPrinted(t testing.TB, p *plan.Plan, tx *plan.Transaction, l till.Layout, faults []till.Fault, seed uint64) (till.Receipt, *audit.Result) {
	rec, err := till.Print(p, tx, p.PriceAs(tx, nil), l, faults, seed)
	if err != nil {
		t.Fatalf("%v", err)
	}
	r := parse.Parse([]ocr.Page{parse.TextPage(rec.Text())}, parse.Options{Words: p.Store.Prints})
	res, err := audit.Check(audit.Input{Plan: p, Transaction: tx.ID, Receipt: r})
	if err != nil {
		t.Fatal(err)
	}
	return rec, res
}

// TestPrintedReceipts checks receipts of made-up trips, printed by the
// simulated till, with none to one fault. With FULL set the trips may say all
// that a plan can, with BLIND they are printed in the layouts kept for measuring.
func TestPrintedReceipts(t *testing.T) {
	n := 300
	full := os.Getenv("FULL") != ""
	layouts := till.Open()
	if os.Getenv("BLIND") != "" {
		layouts = till.Blind()
	}
	by := map[string]*outcome{}
	for seed := range uint64(n) {
		tr := trip.Core(seed)
		if full {
			tr = trip.Full(seed)
		}
		p, err := tr.Plan()
		if err != nil {
			t.Fatal(err)
		}
		r := rand.New(rand.NewPCG(seed, 21))
		for _, tx := range p.Transactions {
			l := layouts[r.IntN(len(layouts))]
			bill := p.PriceAs(tx, nil)
			possible := till.Possible(p, tx, bill)
			sets := [][]till.Fault{nil}
			for range 3 {
				if len(possible) > 0 {
					f := []till.Fault{possible[r.IntN(len(possible))]}
					if till.Fit(p, tx, bill, f) == nil {
						sets = append(sets, f)
					}
				}
			}
			for _, faults := range sets {
				rec, res := checkPrinted(t, p, tx, l, faults, seed)
				kind := "clean"
				if len(faults) > 0 {
					kind = string(faults[0].Kind)
				}
				for _, key := range []string{kind, "layout " + l.Name} {
					if by[key] == nil {
						by[key] = &outcome{}
					}
					by[key].judge(fmt.Sprintf("seed %d %s %s %s", seed, tx.ID, l.Name, kind), &rec.Truth, res)
				}
			}
		}
	}
	for _, k := range slices.Sorted(maps.Keys(by)) {
		o := by[k]
		t.Logf("%-36s %5d exact %5.1f%% undecided %4d false firm %3d cause first %d listed %d of %d", k, o.all, 100*float64(o.exact)/float64(o.all), o.undecided, o.falseFirm, o.firstCause, o.listedCause, o.causes)
		if !strings.HasPrefix(k, "layout") {
			for _, b := range o.bad[:min(6, len(o.bad))] {
				t.Log("    ", b)
			}
		}
	}
	if full || os.Getenv("BLIND") != "" {
		return // for looking at
	}
	if o := by["clean"]; o.exact*100 < o.all*97 || o.falseFirm*200 > o.all {
		t.Errorf("of %d receipts as planned %d came out so, and %d had a false firm finding", o.all, o.exact, o.falseFirm)
	}
	all := outcome{}
	for k, o := range by {
		if strings.HasPrefix(k, "layout") {
			all.all, all.exact, all.falseFirm = all.all+o.all, all.exact+o.exact, all.falseFirm+o.falseFirm
		}
	}
	if all.exact*100 < all.all*93 || all.falseFirm*100 > all.all {
		t.Errorf("of %d receipts %d came out exactly, and %d had a false firm finding", all.all, all.exact, all.falseFirm)
	}
}
