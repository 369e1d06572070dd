package week

import (
	"testing"

	"tillproof/audit"
	"tillproof/fixtures/shoebox"
	"tillproof/ocr"
	"tillproof/parse"

	"github.com/google/go-cmp/cmp"
)

// What a week says of a receipt is what a check of it alone says, where the
// transactions were gone through in the plan's order.
func TestWeekSaysWhatACheckSays(t *testing.T) {
	b, err := shoebox.Make(120, 15, 11)
	if err != nil {
		t.Fatal(err)
	}
	in := inputOf(t, b)
	compared := 0
	for _, r := range Assess(in).Receipts {
		if r.Result == nil || len(r.Files) != 1 || r.Date == "" {
			continue
		}
		alone := parse.Parse(mustPages(t, in, r.Files[0].Name), parse.Options{})
		alone.DateOther = r.Read.DateOther
		alone.Date = r.Read.Date
		want, err := audit.Check(audit.Input{Plan: r.plan.Plan, Transaction: r.Transaction, Receipt: alone})
		if err != nil {
			t.Fatal(err)
		}
		compared++
		if r.Verdict != want.Verdict || cmp.Diff(want.Findings, r.Result.Findings) != "" {
			t.Errorf("%s: %s alone %s\n%s", r.Files[0].Name, r.Verdict, want.Verdict, cmp.Diff(want.Findings, r.Result.Findings))
		}
	}
	if compared < 100 {
		t.Errorf("only %d were compared", compared)
	}
}

func mustPages(t *testing.T, in Input, name string) []ocr.Page {
	t.Helper()
	for _, u := range in.Units {
		if u.Name == name {
			pages, err := u.Load()
			if err != nil {
				t.Fatal(err)
			}
			return pages
		}
	}
	t.Fatal(name)
	return nil
}
