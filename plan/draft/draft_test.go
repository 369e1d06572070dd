package draft_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"tillproof/fixtures/golden"
	"tillproof/fixtures/till"
	"tillproof/fixtures/trip"
	"tillproof/money"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/plan"
	"tillproof/plan/draft"

	"github.com/rogpeppe/go-internal/txtar"
)

func TestNew(t *testing.T) {
	p, err := plan.Load(draft.New(), "new.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	if bill := p.Price(); len(bill.Warnings) > 0 || bill.Credits.IsZero() || bill.Rebates.IsZero() {
		t.Errorf("the plan to start from should show each offer at work: %+v", bill.Warnings)
	}
}

// TestFiles drafts the basket.txt or receipt.txt of each testdata/*.txtar and
// compares the plan and what is said of the input.
func TestFiles(t *testing.T) {
	golden.Run(t, "testdata/*.txtar", 6, func(t *testing.T, c *golden.Case) {
		d, err := drafted(t, c)
		if c.Has("want.yaml") {
			c.Compare(t, "want.yaml", string(d.YAML))
		}
		c.Compare(t, "want.txt", said(d, err))
	})
}

func drafted(t *testing.T, c *golden.Case) (*draft.Draft, error) {
	t.Helper()
	if c.Has("basket.txt") {
		return draft.FromBasket(string(c.Text(t, "basket.txt")))
	}
	return draft.FromResult(result(t, read(string(c.Text(t, "receipt.txt")))))
}

func read(text string) *parse.Receipt {
	return parse.Parse([]ocr.Page{parse.TextPage(text)}, parse.Options{})
}

func result(t *testing.T, r *parse.Receipt) []byte {
	t.Helper()
	b, err := json.Marshal(map[string]any{"version": 1, "receipt": r})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func said(d *draft.Draft, err error) string {
	var b strings.Builder
	if err != nil {
		fmt.Fprintf(&b, "error: %v\n", err)
	}
	for _, n := range d.Understood {
		fmt.Fprintf(&b, "%d: %s: %s\n", n.Line, n.Part, n.Text)
	}
	for _, n := range d.NotUnderstood {
		fmt.Fprintf(&b, "NOT %d: %s: %s\n", n.Line, n.Part, n.Text)
	}
	return b.String()
}

// TestBasketSums compares what typed offers come to with plans that write them
// out: 3 oats and so on are those of the plan format's worked example.
func TestBasketSums(t *testing.T) {
	d, err := draft.FromBasket(`2026-05-09
3 oats 4.29, app 40%, limit 3
2 jam 3.79 sale 3.45, back 0.60 two a receipt by 2026-05-20
2 foil 3.29 sale 2 for 5.00, maker 0.75 one
tax 6.25% foil
spend 18 get 4 gift card: oats jam
`)
	if err != nil || len(d.NotUnderstood) > 0 {
		t.Fatalf("%v, %v", err, d.NotUnderstood)
	}
	p, err := plan.Load(d.YAML, "plan.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	if b := p.Price(); b.OutOfPocket != money.Must("19.18") || b.FinalCost != money.Must("13.98") {
		t.Errorf("out of pocket %s, final cost %s; the worked example has 19.18 and 13.98", b.OutOfPocket, b.FinalCost)
	}
}

// checkBasket holds a draft to what any text must give: a plan that loads, or
// none with a reason, and a word on every line.
func checkBasket(t *testing.T, text string) {
	t.Helper()
	d, err := draft.FromBasket(text)
	if (err == nil) != (d.YAML != nil) {
		t.Fatalf("%v, and a plan: %v", err, d.YAML != nil)
	}
	if err == nil {
		if _, err := plan.Load(d.YAML, "plan.yaml", nil); err != nil {
			t.Fatalf("%v\n%s", err, d.YAML)
		}
	}
	about := map[int]bool{}
	for _, n := range append(append([]draft.Note{}, d.Understood...), d.NotUnderstood...) {
		about[n.Line] = true
	}
	for i, line := range strings.Split(text, "\n") {
		if strings.Trim(line, "•*-# \t\r\n\v\f\x00\x85\u00a0\ufeff\ufffd") != "" && !about[i+1] && len(text) < 100_000 && strings.IndexFunc(line, printed) >= 0 {
			t.Errorf("nothing is said of line %d, %q", i+1, line)
		}
	}
}

func printed(r rune) bool { return r > ' ' && r < 0x7f && r != '-' && r != '*' }

func FuzzFromBasket(f *testing.F) {
	files, _ := filepath.Glob("testdata/*.txtar")
	for _, name := range files {
		if ar, err := txtar.ParseFile(name); err == nil && ar.Files[0].Name == "basket.txt" {
			f.Add(string(ar.Files[0].Data))
		}
	}
	f.Add("1 a 1.00\n0 b 1.00, code 123\nspend 0 get 5: a\ntax: 999%\nstore: \x00\n99999 c 99999999.99")
	f.Add("a 1.00, app 40%, app 40%\nbuy 3 get 2 half off: a\npay: cheque")
	f.Fuzz(checkBasket)
}

func FuzzFromResult(f *testing.F) {
	f.Add([]byte(`{"receipt":{"kind":"sale","lines":[{"n":1,"kind":"item","name":"a","amount":"1.00","quantity":"3"},{"n":2,"kind":"deduction","of":1,"amount":"-0.50","text":"a 50%"}]}}`))
	f.Add([]byte(`{"receipt":{"kind":"sale","store":"\u0000","date":"x","lines":[{"n":9,"of":-1,"kind":"void"},{"n":9,"kind":"item","name":"a","amount":"9999999.99","quantity":"1e9","unit":"lb","unit_price":"-1"}]}}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		d, err := draft.FromResult(src)
		if err != nil {
			return
		}
		if _, err := plan.Load(d.YAML, "plan.yaml", nil); err != nil {
			t.Fatalf("%v\n%s", err, d.YAML)
		}
	})
}

// TestFromTills makes plans of receipts that simulated tills printed: each must
// come to what the receipt does before tax.
func TestFromTills(t *testing.T) {
	same, made := 0, 0
	for seed := range uint64(25) {
		p, err := trip.Core(seed).Plan()
		if err != nil {
			t.Fatal(err)
		}
		for _, layout := range till.Layouts() {
			tx := p.Transactions[0]
			printed, err := till.Print(p, tx, p.Price().Transactions[0], layout, nil, seed)
			if err != nil {
				t.Fatal(err)
			}
			var text []string
			for _, l := range printed.Lines {
				text = append(text, l.Text)
			}
			r := read(strings.Join(text, "\n"))
			if r.Total == nil || !r.Firm {
				continue
			}
			d, err := draft.FromResult(result(t, r))
			if err != nil {
				t.Errorf("seed %d, %s: %v", seed, layout.Name, err)
				continue
			}
			made++
			want := *r.Total
			if r.Tax != nil {
				want = want.Sub(*r.Tax)
			}
			q, err := plan.Load(d.YAML, "plan.yaml", nil)
			if err != nil {
				t.Fatal(err)
			}
			got := q.Price().OutOfPocket
			if got == want {
				same++
				continue
			}
			if len(d.NotUnderstood) == 0 {
				t.Errorf("seed %d, %s: comes to %s, the receipt to %s, and nothing is said of it\n%s\n%s", seed, layout.Name, got, want, strings.Join(text, "\n"), d.YAML)
			}
		}
	}
	t.Logf("%d of %d plans come to the receipt", same, made)
	if made < 150 || same*100 < made*95 {
		t.Errorf("only %d of %d plans come to what the receipt does", same, made)
	}
}

func TestNoReceipt(t *testing.T) {
	for src, want := range map[string]string{
		"":   "it is no result",
		`{}`: "there is no receipt in it",
		`{"receipt": {"kind": "slip", "lines": [{"n": 1}]}}`: "it is a slip",
		`{"receipt": {"kind": "sale", "lines": [{"n": 1}]}}`: "nothing in it is an item",
		`{"receipt": {"kind": "sale", "lines": "none"}}`:     "it is no result",
	} {
		if _, err := draft.FromResult([]byte(src)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", src, err, want)
		}
	}
	if d, err := draft.FromBasket("hello\n"); err == nil || d.YAML != nil || len(d.NotUnderstood) != 1 || errors.Unwrap(err) != nil {
		t.Errorf("%+v, %v", d, err)
	}
}
