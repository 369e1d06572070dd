package week

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"

	"tillproof/audit"
	"tillproof/fixtures/shoebox"
	"tillproof/ledger"
	"tillproof/ocr"
	"tillproof/parse"

	"github.com/google/go-cmp/cmp"
)

// textUnit is a text receipt as a file of the folder.
func textUnit(name, text string) Unit {
	sum := sha256.Sum256([]byte(text))
	return Unit{Name: name, SHA256: hex.EncodeToString(sum[:]), Load: func() ([]ocr.Page, error) { return []ocr.Page{parse.TextPage(text)}, nil }}
}

// inputOf is a made-up shoebox as Assess takes it.
func inputOf(t *testing.T, b *shoebox.Box) (in Input) {
	for _, name := range b.Names {
		in.Units = append(in.Units, textUnit(name, b.Files[name]))
	}
	var names []string
	for name := range b.Plans {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		in.Plans = append(in.Plans, load(t, name, b.Plans[name]))
	}
	return in
}

// judge judges what Assess made of the folder.
func judge(t *testing.T, b *shoebox.Box, w *Week) *shoebox.Score {
	truth := map[string]shoebox.Shown{}
	for name, of := range b.Truth {
		truth[name] = shoebox.Shown{Of: []string{of}}
	}
	result, err := json.Marshal(w)
	if err != nil {
		t.Fatal(err)
	}
	s, err := shoebox.Judge(truth, result)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range s.Wrong {
		t.Log(w)
	}
	return s
}

// Of 500 receipts of 60 plans, with one in ten odd, at least 99% are assigned
// rightly, none is merged with another and none counted twice.
func TestFiveHundredReceipts(t *testing.T) {
	b, err := shoebox.Make(500, 60, 1)
	if err != nil {
		t.Fatal(err)
	}
	in := inputOf(t, b)
	start := time.Now()
	w := Assess(in)
	took := time.Since(start)
	s := judge(t, b, w)
	t.Logf("%d receipts (%d odd) in %d files: %d right (%.2f%%), %d wrongly merged, %d counted twice; %d questions; %s",
		b.Receipts, b.Odd, len(b.Names), s.Right, 100*s.Share(), len(s.Merged), len(s.Twice), len(w.Questions), took.Round(time.Millisecond))
	if b.Receipts != 500 || b.Odd < 40 || s.All != len(b.Names) || s.Share() < 0.99 || len(s.Merged) > 0 || len(s.Twice) > 0 {
		t.Errorf("%d receipts, %.2f%% right, merged %v, twice %v", b.Receipts, 100*s.Share(), s.Merged, s.Twice)
	}
}

// shelve has in put away what was read in a file.
func shelve(t *testing.T, in *Input) {
	l, err := ledger.Open(filepath.Join(t.TempDir(), "ledger.db"))
	if err != nil {
		t.Fatal(err)
	}
	shelf, err := l.NewShelf()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { shelf.Close(); l.Close() })
	in.Shelve = func(r *parse.Receipt) func() *parse.Receipt {
		at, err := shelf.Put(r)
		if err != nil {
			t.Error(err)
		}
		return func() *parse.Receipt {
			r := new(parse.Receipt)
			if err := shelf.Get(at, r); err != nil {
				t.Error(err)
			}
			return r
		}
	}
}

// The memory that a folder takes hardly grows with its receipts: of each there
// stays what identifies it and what came of it, not what is printed on it.
func TestMemoryHardlyGrows(t *testing.T) {
	b, err := shoebox.Make(400, 10, 3)
	if err != nil {
		t.Fatal(err)
	}
	in := inputOf(t, b)
	shelve(t, &in)
	heap := func() int {
		runtime.GC()
		runtime.GC() // what a pool holds lives through one
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return int(m.HeapAlloc)
	}
	// live is what an assessment of n files holds when it begins to audit them,
	// and when it is done.
	live := func(n int) (began, done int) {
		part := in
		part.Units = in.Units[:n]
		kept, before := 0, heap()
		part.Keep = func(*Receipt) {
			if kept++; kept == 1 {
				began = heap() - before
			}
		}
		w := Assess(part)
		done = heap() - before
		runtime.KeepAlive(w)
		return began, done
	}
	live(50) // what is made once, whatever the size
	few, all := 100, len(in.Units)
	began1, done1 := live(few)
	began2, done2 := live(all)
	began, done := (began2-began1)/(all-few), (done2-done1)/(all-few)
	t.Logf("each receipt adds %d bytes while they are audited, %d when all are", began, done)
	const most = 2500
	if began > most || done > most {
		t.Errorf("each receipt adds %d bytes, and %d at the end; at most %d are wanted", began, done, most)
	}
	if whole := in; testing.Verbose() {
		whole.Shelve = nil
		before := heap()
		w := Assess(whole)
		t.Logf("with nothing put away: %d bytes", (heap()-before)/all)
		runtime.KeepAlive(w)
	}
}

// What is put away and handed over as soon as it is decided comes to the same,
// and a Week of it holds no lines.
func TestShelvingChangesNothing(t *testing.T) {
	b, err := shoebox.Make(120, 15, 7)
	if err != nil {
		t.Fatal(err)
	}
	in := inputOf(t, b)
	whole := Assess(in)
	results := map[string]*audit.Result{}
	in.Keep = func(r *Receipt) { results[r.ID] = r.Result }
	shelve(t, &in)
	kept := Assess(in)
	text := func(v any) string {
		b, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if cmp.Diff(text(whole), text(kept)) != "" {
		t.Error(cmp.Diff(text(whole), text(kept)))
	}
	for i, r := range whole.Receipts {
		if text(r.Result) != text(results[r.ID]) {
			t.Errorf("%s: %s", r.Files[0].Name, cmp.Diff(text(r.Result), text(results[r.ID])))
		}
		if k := kept.Receipts[i]; k.Kind == parse.KindSale && (k.Read.Lines != nil || k.Result != nil && k.Result.Findings != nil) {
			t.Errorf("%s still has its lines", k.Files[0].Name)
		}
	}
	if len(results) != len(whole.Receipts) {
		t.Errorf("%d were handed over of %d", len(results), len(whole.Receipts))
	}
}
