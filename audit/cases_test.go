package audit

import (
	"encoding/json"
	"path"
	"slices"
	"strings"
	"testing"

	"tillproof/fixtures/golden"
	"tillproof/ocr"
	"tillproof/parse"

	"github.com/google/go-cmp/cmp"
)

// parsed reads a receipt that is text.
func parsed(text string, words map[string][]string) *parse.Receipt {
	return parse.Parse([]ocr.Page{parse.TextPage(text)}, parse.Options{Words: words})
}

// TestCases checks each testdata/<kind>_<case>.txtar: plan.yaml, receipt.txt and
// the result in want.json, without the receipt and the bill. For each kind of
// finding there must be a case in which it is found and one, named _silent, in
// which it is not.
func TestCases(t *testing.T) {
	fires, silent := map[Kind]bool{}, map[Kind]bool{}
	golden.Run(t, "testdata/*.txtar", 1, func(t *testing.T, c *golden.Case) {
		res := runCase(t, c)
		base := path.Base(t.Name())
		about, _, _ := strings.Cut(base, "_")
		kind, found := Kind(about), false
		for _, f := range res.Findings {
			found = found || f.Kind == kind
		}
		if quiet := strings.Contains(base, "_silent"); quiet && found {
			t.Errorf("%s was found", kind)
		} else if quiet {
			silent[kind] = true
		} else if !found {
			t.Errorf("%s was not found", kind)
		} else {
			fires[kind] = true
		}
		if !identity(t, res) {
			t.Error("the effects do not add up")
		}
	})
	for _, rule := range rules {
		if !fires[rule.Kind] || !silent[rule.Kind] {
			t.Errorf("%s: a case that fires: %v, one that is silent: %v", rule.Kind, fires[rule.Kind], silent[rule.Kind])
		}
	}
}

func runCase(t *testing.T, c *golden.Case) *Result {
	t.Helper()
	p := load(t, string(c.Text(t, "plan.yaml")))
	transaction := ""
	if c.Has("transaction") {
		transaction = strings.TrimSpace(string(c.Text(t, "transaction")))
	}
	res, err := Check(Input{Plan: p, Transaction: transaction, Receipt: parsed(string(c.Text(t, "receipt.txt")), p.Store.Prints), PlanRef: PlanRef{File: "plan.yaml"}})
	if err != nil {
		t.Fatal(err)
	}
	short := *res
	short.Receipt, short.Expected = nil, nil
	short.Matches = slices.Clone(res.Matches)
	for i := range short.Matches {
		short.Matches[i].Score = 1 // which line is what is the case's, not how sure
	}
	got, err := json.MarshalIndent(&short, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	c.Compare(t, "want.json", string(got)+"\n")
	return res
}

// Every kind of the result format has a rule, in its order.
func TestRulesAreComplete(t *testing.T) {
	kinds := []Kind{MissingDeduction, ShortDeduction, ExtraDeduction, MisplacedDeduction, MissingCredit, ShortCredit, ExtraCredit,
		Overcharge, Undercharge, MissingItem, UnplannedItem, Quantity, SumFinding, TaxFinding, MissingRebate, CardDigits}
	var got []Kind
	for _, r := range rules {
		got = append(got, r.Kind)
		if r.is == nil || r.ask == nil || r.most == "" {
			t.Errorf("the rule of %s is not whole", r.Kind)
		}
	}
	if diff := cmp.Diff(kinds, got); diff != "" {
		t.Errorf("rules (-want +got):\n%s", diff)
	}
}
