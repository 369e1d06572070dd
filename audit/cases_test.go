package audit

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tillproof/ocr"
	"tillproof/parse"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "rewrite the want.json sections of testdata/*.txtar")

// parsed reads a receipt that is text.
func parsed(text string, words map[string][]string) *parse.Receipt {
	return parse.Parse([]ocr.Page{parse.TextPage(text)}, parse.Options{Words: words})
}

// TestCases checks each testdata/<kind>_<case>.txtar: plan.yaml, receipt.txt and
// the result in want.json, without the receipt and the bill. The first line
// says why the case is there. For each kind of finding there must be a case in
// which it is found and one, named _silent, in which it is not.
func TestCases(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d cases, %v", len(files), err)
	}
	fires, silent := map[Kind]bool{}, map[Kind]bool{}
	for _, name := range files {
		base := strings.TrimSuffix(filepath.Base(name), ".txtar")
		res := runCase(t, base, name)
		if res == nil {
			continue
		}
		about, _, _ := strings.Cut(base, "_")
		kind, found := Kind(about), false
		for _, f := range res.Findings {
			found = found || f.Kind == kind
		}
		if quiet := strings.Contains(base, "_silent"); quiet && found {
			t.Errorf("%s: %s was found", base, kind)
		} else if quiet {
			silent[kind] = true
		} else if !found {
			t.Errorf("%s: %s was not found", base, kind)
		} else {
			fires[kind] = true
		}
		if !identity(t, res) {
			t.Errorf("%s: the effects do not add up", base)
		}
	}
	for _, rule := range rules {
		if !fires[rule.Kind] || !silent[rule.Kind] {
			t.Errorf("%s: a case that fires: %v, one that is silent: %v", rule.Kind, fires[rule.Kind], silent[rule.Kind])
		}
	}
}

func runCase(t *testing.T, base, file string) (res *Result) {
	t.Run(base, func(t *testing.T) {
		ar, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(string(ar.Comment), "# why: ") {
			t.Error("the first line must say why the case is there: # why: …")
		}
		sections := map[string]*txtar.File{}
		for i := range ar.Files {
			sections[ar.Files[i].Name] = &ar.Files[i]
		}
		p := load(t, string(sections["plan.yaml"].Data))
		transaction := ""
		if s := sections["transaction"]; s != nil {
			transaction = strings.TrimSpace(string(s.Data))
		}
		res, err = Check(Input{Plan: p, Transaction: transaction, Receipt: parsed(string(sections["receipt.txt"].Data), p.Store.Prints), PlanRef: PlanRef{File: "plan.yaml"}})
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
		got = append(got, '\n')
		if *update {
			sections["want.json"].Data = got
			if err := os.WriteFile(file, txtar.Format(ar), 0o644); err != nil {
				t.Fatal(err)
			}
		} else if diff := cmp.Diff(string(sections["want.json"].Data), string(got)); diff != "" {
			t.Errorf("result differs (-want +got):\n%s", diff)
		}
	})
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
