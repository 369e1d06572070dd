package plan

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

func TestStoreNames(t *testing.T) {
	src := `plan: 1
store: {file: yard.yaml}
transactions:
  - id: one
    items:
      - {id: a, name: Plumstow  Clear honey 340 g, shelf: 5.49}
      - {id: b, name: Tomatoes, code: "036000291452", shelf: 1.89, prints_as: [TOMS]}
      - {id: c, name: Beans, shelf: 1.25}
`
	load := func(store string) (*Plan, error) {
		return Load([]byte(src), "trip.yaml", func(string) ([]byte, error) { return []byte(store), nil })
	}
	p, err := load("name: Tallow Yard Market\nnames:\n  plumstow clear honey 340 g: [PLMSTW HNY, PL HONEY]\n  \"00036000291452\": [TOMS, RED TOM]\n  no such thing: [X]\n")
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range [][]string{{"PLMSTW HNY", "PL HONEY"}, {"TOMS", "RED TOM"}, nil} {
		if got := p.Transactions[0].Items[i].PrintsAs; !slices.Equal(got, want) {
			t.Errorf("item %d prints as %q, want %q", i, got, want)
		}
	}
	var errs Errors
	if _, err := load("name: X\nnames: [a]\n"); !errors.As(err, &errs) || !strings.Contains(errs[0].Pos.File, "yard") {
		t.Errorf("names that are no mapping: %v", err)
	}
	if _, err := load("name: X\nnames: {honey: {a: b}}\n"); !errors.As(err, &errs) {
		t.Errorf("a name that is no list: %v", err)
	}
}
