package parse

import (
	"encoding/json"
	"strings"
	"testing"

	"tillproof/fixtures/golden"
	"tillproof/ocr"
)

// TestGolden parses the receipt of each case and compares the whole result. A
// case may have words.json, the store's own words.
func TestGolden(t *testing.T) {
	golden.Run(t, "testdata/*.txtar", 1, func(t *testing.T, c *golden.Case) {
		var opts Options
		if c.Has("words.json") {
			if err := json.Unmarshal(c.Text(t, "words.json"), &opts.Words); err != nil {
				t.Fatal(err)
			}
		}
		got, err := marshalLines(Parse([]ocr.Page{TextPage(string(c.Text(t, "receipt.txt")))}, opts))
		if err != nil {
			t.Fatal(err)
		}
		c.Compare(t, "want.json", string(got))
	})
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
