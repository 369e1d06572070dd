package merge_test

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"strings"
	"testing"

	"tillproof/fixtures/golden"
	"tillproof/plan"
	"tillproof/plan/merge"

	"github.com/google/go-cmp/cmp"
)

// TestLoad merges plan.yaml and mine.yaml of each testdata/*.txtar. The result
// must price like want.yaml, which is written out by hand; or the faults be
// those of want.txt.
func TestLoad(t *testing.T) {
	golden.Run(t, "testdata/*.txtar", 8, func(t *testing.T, c *golden.Case) {
		p, err := merge.Load(
			merge.Source{File: "plan.yaml", Src: c.Text(t, "plan.yaml")},
			merge.Source{File: "mine.yaml", Src: c.Text(t, "mine.yaml")})
		if c.Has("want.yaml") {
			compare(t, p, err, c.Text(t, "want.yaml"))
			return
		}
		var faults plan.Errors
		if p != nil || !errors.As(err, &faults) {
			t.Fatalf("loaded: %v, %v", p, err)
		}
		c.Compare(t, "want.txt", said(faults))
	})
}

func compare(t *testing.T, got *plan.Plan, err error, want []byte) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Load(want, "want.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(bill(t, p), bill(t, got)); diff != "" {
		t.Errorf("bill differs (-want +got):\n%s", diff)
	}
	for i, tx := range p.Transactions {
		if w, g := len(tx.Candidates), len(got.Transactions[i].Candidates); w != g {
			t.Errorf("%s has %d candidates, want %d", tx.ID, g, w)
		}
	}
}

func bill(t *testing.T, p *plan.Plan) string {
	t.Helper()
	b, err := json.MarshalIndent(p.Price(), "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func said(errs plan.Errors) string {
	var b strings.Builder
	for _, e := range errs {
		b.WriteString(e.Pos.String() + ": " + e.Msg + "\n    " + e.Hint + "\n")
	}
	return b.String()
}

// TestStoreFile has a store file of mine opened beside mine, and one of the plan
// beside the plan.
func TestStoreFile(t *testing.T) {
	const base = "plan: 1\nstore: {file: store.yaml}\ntransactions: [{id: t, items: [{id: a, name: a, shelf: 1.00}]}]\n"
	named := func(name string) func(string) ([]byte, error) {
		return func(path string) ([]byte, error) {
			if path != "store.yaml" {
				return nil, fs.ErrNotExist
			}
			return []byte("name: " + name + "\n"), nil
		}
	}
	for mine, want := range map[string]string{"date: 2026-05-09\n": "theirs", "store: {file: store.yaml}\n": "mine"} {
		p, err := merge.Load(merge.Source{File: "plan.yaml", Src: []byte(base), Open: named("theirs")},
			merge.Source{File: "mine.yaml", Src: []byte(mine), Open: named("mine")})
		if err != nil || p.Store.Name != want {
			t.Errorf("%q: %v, %v, want the store %s", mine, p, err, want)
		}
	}
}

// TestNothingOfMine holds a merge with an empty plan to loading alone.
func TestNothingOfMine(t *testing.T) {
	src, err := os.ReadFile("../testdata/contract.yaml")
	if err != nil {
		t.Fatal(err)
	}
	got, err := merge.Load(merge.Source{File: "plan.yaml", Src: src}, merge.Source{File: "mine.yaml", Src: []byte("plan: 1\n")})
	compare(t, got, err, src)
}

// FuzzLoad: whatever the two files are, there is a plan or there are faults.
func FuzzLoad(f *testing.F) {
	f.Add("plan: 1\ntransactions: [{id: t, items: [{id: a, name: a, shelf: 1.00}]}]\n", "offers:\n")
	f.Add("plan: 1\ntransactions: [&t {id: t, items: [*t]}]", "transactions: [{id: t, items: [{id: t}]}]")
	f.Add("a: &a [*a]", "a: &a {a: *a}")
	f.Add("offers: [{id: o}, {id: o}]", "offers: [{id: o, remove: yes}, {id: o}, {}, 1, {id: [x]}]")
	f.Fuzz(func(t *testing.T, base, mine string) {
		p, err := merge.Load(merge.Source{File: "p", Src: []byte(base)}, merge.Source{File: "m", Src: []byte(mine)})
		var faults plan.Errors
		if (p == nil) == (err == nil) || err != nil && !errors.As(err, &faults) {
			t.Fatalf("%v, %v", p, err)
		}
	})
}
