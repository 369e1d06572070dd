package plan_test

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tillproof/fixtures/golden"
	"tillproof/plan"

	"github.com/google/go-cmp/cmp"
)

// TestPrice prices each testdata/price_*.txtar: plan.yaml, store files beside
// it, and the bill in want.json.
func TestPrice(t *testing.T) {
	golden.Run(t, "testdata/price_*.txtar", 20, func(t *testing.T, c *golden.Case) {
		p, err := plan.Load(c.Text(t, "plan.yaml"), "plan.yaml", c.Open)
		if err != nil {
			t.Fatal(err)
		}
		got, err := json.MarshalIndent(p.Price(), "", " ")
		if err != nil {
			t.Fatal(err)
		}
		c.Compare(t, "want.json", string(got)+"\n")
	})
}

// TestContract holds the bill of the published example to what the format
// promises, key by key; keys may only be added as steps.
func TestContract(t *testing.T) {
	src, err := os.ReadFile("testdata/contract.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile("testdata/contract.json")
	if err != nil {
		t.Fatal(err)
	}
	var want, got any
	if err := json.Unmarshal(b, &want); err != nil {
		t.Fatal(err)
	}
	bill, err := json.Marshal(mustLoad(t, string(src)).Price())
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(bill, &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, withoutSteps(got)); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func withoutSteps(v any) any {
	switch v := v.(type) {
	case map[string]any:
		delete(v, "steps")
		delete(v, "tax_steps")
		for _, one := range v {
			withoutSteps(one)
		}
	case []any:
		for _, one := range v {
			withoutSteps(one)
		}
	}
	return v
}

// TestBad loads each testdata/*.bad.yaml and compares what is said of it with
// the .txt beside it.
func TestBad(t *testing.T) {
	files, err := filepath.Glob("testdata/*.bad.yaml")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d cases, %v", len(files), err)
	}
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".bad.yaml"), func(t *testing.T) {
			src, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			golden.Why(t, src)
			p, err := plan.Load(src, filepath.Base(name), func(path string) ([]byte, error) {
				return os.ReadFile(filepath.Join("testdata", path))
			})
			var errs plan.Errors
			if p != nil || !errors.As(err, &errs) || len(errs) == 0 {
				t.Fatalf("loaded: %v, %v", p, err)
			}
			golden.CompareFile(t, strings.TrimSuffix(name, ".yaml")+".txt", said(errs))
		})
	}
}

// said is what a person is told of the faults, place, message and hint.
func said(errs plan.Errors) string {
	var b strings.Builder
	for _, e := range errs {
		b.WriteString(e.Pos.String() + ": " + e.Msg + "\n    " + e.Hint + "\n")
	}
	return b.String()
}
