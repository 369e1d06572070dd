package plan_test

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tillproof/plan"
)

// FuzzLoad: whatever is in a plan and a store file, Load neither panics nor
// fails without saying where and what to do, and a plan that it takes is priced
// and written as JSON.
func FuzzLoad(f *testing.F) {
	files, err := filepath.Glob("testdata/*.yaml")
	if err != nil || len(files) == 0 {
		f.Fatal(err)
	}
	for _, name := range files {
		src, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(src), "policy: {overage: yes}")
	}
	f.Add(twelveByTen, "name: Cove Foods")
	f.Add("plan: 1\ntransactions: &x\n  - *x\n", "")
	f.Add("a: &a [b, b]\nc: &c [*a, *a]\nd: [*c, *c]", "\xff")
	f.Fuzz(func(t *testing.T, src, store string) {
		p, err := plan.Load([]byte(src), "plan.yaml", func(string) ([]byte, error) { return []byte(store), nil })
		if err != nil {
			var errs plan.Errors
			if p != nil || !errors.As(err, &errs) || len(errs) == 0 {
				t.Fatalf("%v, %v", p, err)
			}
			for _, e := range errs {
				if e.Pos.File == "" || e.Msg == "" || e.Hint == "" || strings.Contains(e.Msg, "%!") {
					t.Fatalf("a fault without place, message or hint: %+v", e)
				}
			}
			return
		}
		if _, err := json.Marshal(p.Price()); err != nil {
			t.Fatal(err)
		}
	})
}
