package main

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tillproof/money"
	"tillproof/plan"
	"tillproof/plan/draft"
	"tillproof/plan/merge"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/testscript"
)

// TestPlanScript runs what a planner does, as a user does.
func TestPlanScript(t *testing.T) {
	scripts, err := filepath.Glob("testdata/plan/*.txtar")
	if err != nil || len(scripts) < 8 {
		t.Fatalf("%d scripts, %v", len(scripts), err)
	}
	for _, s := range scripts {
		if b, err := os.ReadFile(s); err != nil || !bytes.HasPrefix(b, []byte("# why: ")) {
			t.Errorf("%s: the first line must say why (# why: ...), %v", s, err)
		}
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/plan", UpdateScripts: *update,
		RequireExplicitExec: true, RequireUniqueNames: true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// TestErrorsPage holds docs/errors.md to what the program says of every bad plan
// of package plan's tests. -update writes it.
func TestErrorsPage(t *testing.T) {
	files, err := filepath.Glob("../../plan/testdata/*.bad.yaml")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d bad plans, %v", len(files), err)
	}
	var page strings.Builder
	page.WriteString(errorsHead)
	for _, name := range files {
		page.WriteString(gallery(t, name))
	}
	const golden = "../../docs/errors.md"
	if *update {
		if err := os.WriteFile(golden, []byte(page.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), page.String()); diff != "" {
		t.Errorf("docs/errors.md is stale; go test ./cmd/tillproof -run ErrorsPage -update writes it (-want +got):\n%s", diff)
	}
}

const errorsHead = `# What is said of faulty plans

Each plan here has the faults that its first line names, and below stands what
` + "`tillproof`" + ` says of it: all faults at once, each with its place, what is wrong and
what to do. The tests of package plan hold the plans; this page is generated from
them.
`

// longPlan is as much of a plan as the page shows.
const longPlan = 100

func gallery(t *testing.T, name string) string {
	t.Helper()
	src, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	base := filepath.Base(name)
	sources := map[string][]byte{base: src}
	_, err = plan.Load(src, base, func(path string) ([]byte, error) {
		b, err := os.ReadFile(filepath.Join(filepath.Dir(name), path))
		sources[path] = b
		return b, err
	})
	var errs plan.Errors
	if !errors.As(err, &errs) {
		t.Fatalf("%s: %v", name, err)
	}
	why, _, _ := strings.Cut(string(src), "\n")
	why = strings.TrimPrefix(why, "# why: ")
	var out strings.Builder
	fmt.Fprintf(&out, "\n## %s%s\n\n", strings.ToUpper(why[:1]), why[1:])
	block(&out, "yaml", string(src))
	for _, file := range slices.Sorted(maps.Keys(sources)) {
		if file != base && len(sources[file]) > 0 {
			fmt.Fprintf(&out, "With the store file `%s`:\n\n", file)
			block(&out, "yaml", string(sources[file]))
		}
	}
	block(&out, "text", planFault{errs, sources}.text())
	return strings.TrimSuffix(out.String(), "\n")
}

func block(out *strings.Builder, language, text string) {
	fmt.Fprintf(out, "```%s\n%s```\n\n", language, shortened(text))
}

// shortened cuts a text after some lines, and lines after a screen's width.
func shortened(s string) string {
	lines := strings.Split(strings.TrimRight(s, "\n"), "\n")
	for i, l := range lines {
		if r := []rune(l); len(r) > 240 {
			lines[i] = string(r[:239]) + "…"
		}
	}
	if len(lines) > longPlan {
		lines = append(lines[:longPlan:longPlan], fmt.Sprintf("… and %d more lines", len(lines)-longPlan))
	}
	return strings.ToValidUTF8(strings.Join(lines, "\n"), "�") + "\n"
}

// TestPlanningPage holds the examples of docs/planning.md to what they say: the
// typed list is understood throughout, and the reader's file fits the example plan.
func TestPlanningPage(t *testing.T) {
	page, err := os.ReadFile("../../docs/planning.md")
	if err != nil {
		t.Fatal(err)
	}
	example := func(language string) string {
		_, text, ok := strings.Cut(string(page), "```"+language+"\n")
		text, _, ends := strings.Cut(text, "```")
		if !ok || !ends {
			t.Fatalf("no example in %s", language)
		}
		return text
	}
	d, err := draft.FromBasket(example("text"))
	if err != nil || len(d.NotUnderstood) > 0 {
		t.Errorf("%v, not understood: %v", err, d.NotUnderstood)
	}
	contract, err := os.ReadFile("../../plan/testdata/contract.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p, err := merge.Load(merge.Source{File: "plan.yaml", Src: contract}, merge.Source{File: "mine.yaml", Src: []byte(example("yaml"))})
	if err != nil {
		t.Fatal(err)
	}
	if b := p.Price(); b.Store != "Cove Foods" || b.OutOfPocket == money.Must("19.18") {
		t.Errorf("the reader's file changes nothing: %s, %s", b.Store, b.OutOfPocket)
	}
}
