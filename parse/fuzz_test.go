package parse

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tillproof/ocr"
)

// FuzzParse: no text breaks the parser or takes it long, as text or as what was
// read in a photo, and what it says holds together.
func FuzzParse(f *testing.F) {
	cases, _ := filepath.Glob("testdata/*.txtar")
	for _, c := range cases {
		if data, err := os.ReadFile(c); err == nil {
			_, text, _ := strings.Cut(string(data), "-- receipt.txt --\n")
			text, _, _ = strings.Cut(text, "-- want.json --")
			f.Add(text, "COUPON")
		}
	}
	f.Add("TOTAL 1.00\fCASH \t 1.00\r\nCHANGE 0.00", "")
	f.Add("OATS 12 .87\nTOTAL 1O.99-\n@ 2/5.00 x 3 @\n\xff\xfe ½ × −1.00", "x")
	f.Add(strings.Repeat("A 99999999.99\n", 60)+"TOTAL 9999999999.99", "TOTAL")
	f.Fuzz(func(t *testing.T, text, own string) {
		start := time.Now()
		opts := Options{Words: Words{"total": {own}, "coupon": {own, text}}}
		page := TextPage(text)
		check(t, Parse([]ocr.Page{page}, opts))
		page.Text = false
		for i := range page.Lines {
			words := page.Lines[i].Readings[0].Words
			for k := range words {
				words[k].Alternatives = []ocr.Alternative{{Text: own, Cost: 0.5}, {Text: words[k].Text + "1", Cost: 1}}
			}
			page.Lines[i].Readings = append(page.Lines[i].Readings, ocr.Reading{}, ocr.Reading{Words: words[1:], Votes: 2})
		}
		check(t, Parse([]ocr.Page{page, {Lines: []ocr.Line{{}}}}, opts))
		if took := time.Since(start); took > 5*time.Second && len(text) < 1<<16 {
			t.Errorf("took %v", took)
		}
	})
}

// check requires what every receipt must hold.
func check(t *testing.T, r *Receipt) {
	t.Helper()
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.N != i+1 || l.Of < 0 || l.Of > len(r.Lines) || l.Of == l.N {
			t.Fatalf("line %d of %d belongs to %d", l.N, len(r.Lines), l.Of)
		}
		if l.Proof.Firm() && l.Amount == nil {
			t.Fatalf("line %d is %s without an amount", l.N, l.Proof)
		}
	}
	for _, s := range r.Sums {
		if s.Holds != (s.Got == s.Want) && s.Holds {
			t.Fatalf("sum %+v", s)
		}
		if r.Firm && !s.Holds && s.Kind != sumExtension {
			t.Fatalf("firm although %+v", s)
		}
	}
	if r.Firm && r.Total == nil {
		t.Fatal("firm without a total")
	}
	if _, err := json.Marshal(r); err != nil {
		t.Fatal(err)
	}
}
