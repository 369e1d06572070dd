package draft_test

import (
	"encoding/json"
	"io/fs"
	"strings"
	"testing"

	"tillproof/fixtures/trip"
	"tillproof/plan"
	"tillproof/plan/draft"

	"github.com/google/go-cmp/cmp"
)

// TestRewrite writes plans into their own files: what is read again must give the
// same bill, and all around the transactions stay as it was.
func TestRewrite(t *testing.T) {
	for seed := range uint64(150) {
		made := trip.Full(seed)
		src := "# mine\n" + made.YAML + "# the end"
		p, err := made.Plan()
		if err != nil {
			t.Fatal(err)
		}
		open := func(path string) ([]byte, error) {
			if text, ok := made.Files[path]; ok {
				return []byte(text), nil
			}
			return nil, fs.ErrNotExist
		}
		got, err := draft.Rewrite([]byte(src), p, open)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		q, err := plan.Load(got, "plan.yaml", open)
		if err != nil {
			t.Fatal(err)
		}
		bill := func(p *plan.Plan) string {
			b, err := json.MarshalIndent(p.Price(), "", " ")
			if err != nil {
				t.Fatal(err)
			}
			return string(b)
		}
		if diff := cmp.Diff(bill(p), bill(q)); diff != "" {
			t.Errorf("seed %d (-was +written):\n%s", seed, diff)
		}
		for i, tx := range p.Transactions {
			for k, it := range tx.Items {
				w := q.Transactions[i].Items[k]
				if w.Name != it.Name || w.Code != it.Code || w.PriceFrom != it.PriceFrom || !cmp.Equal(w.PrintsAs, it.PrintsAs) {
					t.Errorf("seed %d: %+v written as %+v", seed, it, w)
				}
			}
		}
		if !strings.HasPrefix(string(got), "# mine\n") || !strings.HasSuffix(string(got), "# the end") {
			t.Errorf("seed %d: the comments around are lost\n%s", seed, got)
		}
	}
}

func TestRewriteRefuses(t *testing.T) {
	for src, want := range map[string]string{
		"{plan: 1, transactions: [{id: t, items: [{id: a, name: a, shelf: 1.00}]}]}":                                                                       "stand in {…}",
		"plan: 1\ntransactions: [{id: t, items: [{id: a, name: &name a, shelf: 1.00}]}]\noffers: [{id: o, title: *name, applies_to: [a], deduct: 0.50}]\n": "unknown anchor",
	} {
		p, err := plan.Load([]byte(src), "plan.yaml", nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := draft.Rewrite([]byte(src), p, nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", src, err, want)
		}
	}
}
