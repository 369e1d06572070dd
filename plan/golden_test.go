package plan_test

import (
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tillproof/plan"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "rewrite the goldens of testdata")

// TestPrice prices each testdata/price_*.txtar: plan.yaml, store files beside
// it, and the bill in want.json. The first line says why the case is there.
func TestPrice(t *testing.T) {
	files, err := filepath.Glob("testdata/price_*.txtar")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d cases, %v", len(files), err)
	}
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			ar, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(string(ar.Comment), "# why: ") {
				t.Error("the first line must say why the case is there: # why: …")
			}
			got := priced(t, ar)
			for i, f := range ar.Files {
				if f.Name != "want.json" {
					continue
				}
				if *update {
					ar.Files[i].Data = got
				} else if diff := cmp.Diff(string(f.Data), string(got)); diff != "" {
					t.Errorf("bill differs (-want +got):\n%s", diff)
				}
			}
			if *update {
				if err := os.WriteFile(name, txtar.Format(ar), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

func priced(t *testing.T, ar *txtar.Archive) []byte {
	t.Helper()
	files := map[string][]byte{}
	for _, f := range ar.Files {
		files[f.Name] = f.Data
	}
	if files["want.json"] == nil {
		t.Fatal("no section want.json")
	}
	p, err := plan.Load(files["plan.yaml"], "plan.yaml", func(path string) ([]byte, error) {
		if src, ok := files[path]; ok {
			return src, nil
		}
		return nil, os.ErrNotExist
	})
	if err != nil {
		t.Fatal(err)
	}
	got, err := json.MarshalIndent(p.Price(), "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return append(got, '\n')
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
			if !strings.HasPrefix(string(src), "# why: ") {
				t.Error("the first line must say why the case is there: # why: …")
			}
			p, err := plan.Load(src, filepath.Base(name), func(path string) ([]byte, error) {
				return os.ReadFile(filepath.Join("testdata", path))
			})
			var errs plan.Errors
			if p != nil || !errors.As(err, &errs) || len(errs) == 0 {
				t.Fatalf("loaded: %v, %v", p, err)
			}
			got, golden := said(errs), strings.TrimSuffix(name, ".yaml")+".txt"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
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
