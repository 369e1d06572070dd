package parse

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tillproof/ocr"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "rewrite the golden sections of testdata/*.txtar")

// TestGolden parses the receipt of each case and compares the whole result. A
// case may have words.json, the store's own words.
func TestGolden(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			golden(t, file)
		})
	}
}

func golden(t *testing.T, file string) {
	a, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(a.Comment), "# why: ") {
		t.Fatal("the first line must say why: # why: …")
	}
	section := func(name string) *txtar.File {
		for i := range a.Files {
			if a.Files[i].Name == name {
				return &a.Files[i]
			}
		}
		return &txtar.File{}
	}
	var opts Options
	if data := section("words.json").Data; len(data) > 0 {
		if err := json.Unmarshal(data, &opts.Words); err != nil {
			t.Fatal(err)
		}
	}
	r := Parse([]ocr.Page{TextPage(string(section("receipt.txt").Data))}, opts)
	got, err := marshalLines(r)
	if err != nil {
		t.Fatal(err)
	}
	want := section("want.json")
	if *update {
		want.Data = got
		if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(string(want.Data), string(got)); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// marshalLines is r as JSON with one line for each printed line and each sum,
// so that a change of a golden shows as one line.
func marshalLines(r *Receipt) ([]byte, error) {
	head := *r
	head.Lines, head.Sums = nil, nil
	data, err := json.Marshal(&head)
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	b.WriteString(strings.Replace(string(data), `"lines":null`, `"lines":[`+"\n", 1))
	text := b.String()
	at := strings.Index(text, `"lines":[`+"\n") + len(`"lines":[`+"\n")
	rest := text[at:]
	b.Reset()
	b.WriteString(text[:at])
	for i := range r.Lines {
		if err := writeElement(&b, &r.Lines[i], i+1 < len(r.Lines)); err != nil {
			return nil, err
		}
	}
	b.WriteString("],\"sums\":[\n")
	for i := range r.Sums {
		if err := writeElement(&b, &r.Sums[i], i+1 < len(r.Sums)); err != nil {
			return nil, err
		}
	}
	b.WriteString("]" + rest + "\n")
	return []byte(b.String()), nil
}

func writeElement(b *strings.Builder, v any, more bool) error {
	data, err := json.Marshal(v)
	if err != nil {
		return err
	}
	b.Write(data)
	if more {
		b.WriteByte(',')
	}
	b.WriteByte('\n')
	return nil
}
