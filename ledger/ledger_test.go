package ledger

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"tillproof/audit"
	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/ocr"
	"tillproof/plan"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func TestMain(m *testing.M) {
	if file := os.Getenv("LEDGER_CHILD"); file != "" {
		writeForever(file)
	}
	os.Exit(m.Run())
}

func open(t testing.TB, file string) *Ledger {
	t.Helper()
	l, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	return l
}

func hash(n int) string {
	sum := sha256.Sum256([]byte(strconv.Itoa(n)))
	return hex.EncodeToString(sum[:])
}

// folder makes one with a receipt, a rebate and a finding.
func folder(n int) Folder {
	total := money.FromCents(int64(1000 + n))
	id := fmt.Sprintf("r%08d", n)
	day, _ := plan.ParseDate("2026-01-01")
	day = day.AddDays(n % 300)
	return Folder{
		Folder: fmt.Sprintf("/shoebox/%d", n), Photos: []Named{{"a.jpg", hash(n)}}, Plans: []string{"trip.yaml"},
		Receipts: []Receipt{{ID: id, Kind: "sale", Store: "Harbor Lane Market", Date: day.String(), Total: &total, Plan: "trip.yaml", Planned: "main", Verdict: "short",
			Result: &audit.Result{Version: 1, Verdict: audit.Short}, Photos: []Part{{hash(n), 0}}}},
		Dues: []Due{{ID: fmt.Sprintf("d%08d", n), Receipt: id, Claim: state.Claim{Offer: "back", Title: "1.00 back", What: "rebate",
			Due: state.Due{Kind: state.Rebate, Value: money.FromCents(100), Began: state.Expected, State: state.Expected, By: day.AddDays(14)}}}},
		Findings: []Finding{{ID: fmt.Sprintf("f%08d", n), Receipt: id, Date: day.String(), Kind: "missing-deduction", Title: "0.50 off",
			Finding: state.Finding{Lost: money.FromCents(50), State: state.Open}}},
		Questions: []Question{{ID: fmt.Sprintf("q%08d", n), JSON: []byte(`{}`), Amount: money.FromCents(int64(n))}},
		Toward:    []Toward{{id, "spend-20", money.FromCents(700), day.String()}},
	}
}

func TestWhatIsKeptComesBack(t *testing.T) {
	ctx, l := context.Background(), open(t, filepath.Join(t.TempDir(), "ledger.db"))
	photo := Photo{SHA256: hash(1), Name: "a.jpg", Path: "/x/a.jpg", Taken: "2026:05:09 10:00:00", Reader: "1",
		Pages: []ocr.Page{{Photo: 1, Lines: []ocr.Line{{Readings: []ocr.Reading{{Words: []ocr.Word{{Text: "TOTAL", Confidence: 0.5}}, Votes: 2}}}}}}}
	if err := l.AddPhoto(ctx, photo); err != nil {
		t.Fatal(err)
	}
	got, err := l.Photo(ctx, photo.SHA256)
	if err != nil || cmp.Diff(&photo, got, cmpopts.IgnoreUnexported(ocr.Page{})) != "" {
		t.Errorf("%v\n%s", err, cmp.Diff(&photo, got, cmpopts.IgnoreUnexported(ocr.Page{})))
	}
	if was, _ := l.HasPhoto(ctx, photo.SHA256, "2"); was {
		t.Error("another reader has not read it")
	}
	pf := PlanFile{File: "p.yaml", SHA256: "s", Source: []byte("plan: 1"), Files: map[string][]byte{"s.yaml": []byte("name: X")}}
	if err := l.PutPlans(ctx, []PlanFile{pf}); err != nil {
		t.Fatal(err)
	}
	if got, err := l.Plan(ctx, "p.yaml"); err != nil || cmp.Diff(&pf, got) != "" {
		t.Errorf("%v\n%s", err, cmp.Diff(&pf, got))
	}
	_ = l.Correct(ctx, []Correction{{"q", "1.00", "2026-05-09"}})
	_ = l.Correct(ctx, []Correction{{"q", "2.00", "2026-05-10"}})
	if got, err := l.Corrections(ctx); err != nil || got["q"] != "2.00" {
		t.Errorf("the last answer counts: %v, %v", got, err)
	}
	if err := l.KeepOriginal(hash(7), []byte("pixels")); err != nil {
		t.Fatal(err)
	}
	if b, err := l.Original(hash(7)); err != nil || string(b) != "pixels" {
		t.Errorf("original: %q, %v", b, err)
	}
	if _, err := l.Original("../../etc/passwd"); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a hash that is none: %v", err)
	}
}

// Saving a folder again keeps what a person did, and drops what is no more
// unless something was done about it.
func TestSaveAgain(t *testing.T) {
	ctx, l := context.Background(), open(t, filepath.Join(t.TempDir(), "ledger.db"))
	f := folder(1)
	f.Dues = append(f.Dues, f.Dues[0])
	f.Dues[1].ID, f.Dues[1].Offer = "dother", "other"
	save := func() {
		t.Helper()
		if err := l.Save(ctx, f); err != nil {
			t.Fatal(err)
		}
	}
	save()
	if err := l.Mark(ctx, "d00000001", state.Event{To: state.Submitted, Note: "confirmation 77"}); err != nil {
		t.Fatal(err)
	}
	if err := l.Mark(ctx, "f0000", state.Event{To: state.Refunded}); err != nil { // a shortened id
		t.Fatal(err)
	}
	f.Dues[0].Value = money.FromCents(150)
	save()
	due, _, err := l.Find(ctx, "d00000001")
	if err != nil || due.State != state.Submitted || due.Value != money.FromCents(150) {
		t.Errorf("%+v, %v", due, err)
	}
	f.Dues, f.Findings = nil, nil
	save()
	open, err := l.OpenDues(ctx)
	if err != nil || len(open) != 1 || open[0].ID != "d00000001" {
		t.Errorf("only what was submitted is kept: %+v, %v", open, err)
	}
	sums, err := l.Totals(ctx)
	if err != nil || sums.Refunded != money.FromCents(50) || sums.Owed != money.FromCents(150) {
		t.Errorf("%+v, %v", sums, err)
	}
	if h, err := l.History(ctx, "d00000001"); err != nil || len(h) != 1 || h[0].Note != "confirmation 77" {
		t.Errorf("%+v, %v", h, err)
	}
}

func TestExpireAndSpend(t *testing.T) {
	ctx, l := context.Background(), open(t, filepath.Join(t.TempDir(), "ledger.db"))
	f := folder(0) // its rebate is to be sent in by 2026-01-15
	credit := f.Dues[0]
	credit.ID, credit.What, credit.Kind, credit.Began, credit.State = "c0000001", "gift card", state.Credit, state.Printed, state.Printed
	f.Dues = append(f.Dues, credit)
	if err := l.Save(ctx, f); err != nil {
		t.Fatal(err)
	}
	for range 2 { // a second look at the same receipt books nothing twice
		if err := l.Spend(ctx, "c0000001", "rX", state.Event{To: state.Used, Amount: money.FromCents(60)}); err != nil {
			t.Fatal(err)
		}
	}
	for day, want := range map[string]state.State{"2026-01-15": state.Expected, "2026-01-16": state.Expired} {
		today, _ := plan.ParseDate(day)
		if day == "2026-01-16" {
			if err := l.Expire(ctx, today); err != nil {
				t.Fatal(err)
			}
		}
		if d, _, _ := l.Find(ctx, "d00000000"); want == state.Expired && d.State != want {
			t.Errorf("on %s: %s", day, d.State)
		}
	}
	c, _, err := l.Find(ctx, "c0000001")
	if err != nil || c.State != state.Expired || c.Paid != money.FromCents(60) {
		t.Errorf("a credit spent in part lapses with the rest: %+v, %v", c, err)
	}
}

func TestNewerLedgerIsRefused(t *testing.T) {
	file := filepath.Join(t.TempDir(), "ledger.db")
	l := open(t, file)
	if _, err := l.db.Exec("PRAGMA user_version = 99"); err != nil {
		t.Fatal(err)
	}
	l.Close()
	if _, err := Open(file); err == nil || !strings.Contains(err.Error(), "newer tillproof") {
		t.Errorf("%v", err)
	}
}

// writeForever writes and says on standard output what was acknowledged.
func writeForever(file string) {
	ctx := context.Background()
	l, err := Open(file)
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	start, _ := strconv.Atoi(os.Getenv("LEDGER_FROM"))
	for n := start; ; n++ {
		steps := []func() error{
			func() error { return l.AddPhoto(ctx, Photo{SHA256: hash(n), Pages: []ocr.Page{{}}}) },
			func() error { return l.KeepOriginal(hash(n), []byte(strconv.Itoa(n))) },
			func() error { return l.Correct(ctx, []Correction{{strconv.Itoa(n), "v", "d"}}) },
			func() error { return l.Save(ctx, folder(n)) },
			func() error { return l.Mark(ctx, fmt.Sprintf("d%08d", n), state.Event{To: state.Submitted}) },
		}
		for k, step := range steps {
			if err := step(); err != nil {
				fmt.Println("error", err)
				os.Exit(1)
			}
			fmt.Println("done", n, k)
		}
	}
}

// Killed at random points, the ledger opens again and has all that was
// acknowledged, and of each step all or nothing.
func TestKilledAtAnyPoint(t *testing.T) {
	file := filepath.Join(t.TempDir(), "ledger.db")
	ctx, from, acks := context.Background(), 0, 0
	for round := 0; round < 12 || acks < 20 && round < 200; round++ { // a machine under load comes less far
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), "LEDGER_CHILD="+file, "LEDGER_FROM="+strconv.Itoa(from))
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		kill := time.AfterFunc(time.Duration(40+rand.IntN(150))*time.Millisecond, func() { cmd.Process.Kill() })
		var done [][2]int
		for s := bufio.NewScanner(out); s.Scan(); {
			var n, k int
			if strings.HasPrefix(s.Text(), "error") {
				t.Error(s.Text())
			} else if _, err := fmt.Sscanf(s.Text(), "done %d %d", &n, &k); err == nil {
				done = append(done, [2]int{n, k})
			}
		}
		cmd.Wait()
		kill.Stop()
		l := open(t, file)
		corrected, err := l.Corrections(ctx)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range done {
			if why := missing(l, corrected, d[0], d[1]); why != "" {
				t.Fatalf("round %d: step %d of %d was acknowledged, and %s", round, d[1], d[0], why)
			}
			from = d[0] + 2 // the one it was killed in may be half done
		}
		acks += len(done)
		if n := orphans(t, l); n != 0 {
			t.Fatalf("%d rows of receipts that are not there", n)
		}
		l.Close()
	}
	if acks < 20 {
		t.Errorf("only %d steps were tried", acks)
	}
	t.Logf("%d steps acknowledged", acks)
}

// missing says what is not there of step k for n.
func missing(l *Ledger, corrected map[string]string, n, k int) string {
	ctx := context.Background()
	switch k {
	case 0:
		if p, err := l.Photo(ctx, hash(n)); err != nil || p == nil {
			return fmt.Sprint("the photo is not there: ", err)
		}
	case 1:
		if b, err := l.Original(hash(n)); err != nil || string(b) != strconv.Itoa(n) {
			return fmt.Sprintf("the original is %q: %v", b, err)
		}
	case 2:
		if corrected[strconv.Itoa(n)] != "v" {
			return "the answer is not there"
		}
	default:
		d, _, err := l.Find(ctx, fmt.Sprintf("d%08d", n))
		if err != nil || k == 4 && d.State != state.Submitted {
			return fmt.Sprintf("the due is %+v: %v", d, err)
		}
	}
	return ""
}

func orphans(t *testing.T, l *Ledger) int {
	t.Helper()
	n := 0
	for _, table := range []string{"dues", "findings", "toward", "receipt_photos"} {
		var k int
		if err := l.db.QueryRow("SELECT count(*) FROM " + table + " WHERE receipt NOT IN (SELECT id FROM receipts)").Scan(&k); err != nil {
			t.Fatal(err)
		}
		n += k
	}
	return n
}

// Two processes (here: two handles with connections of their own) and several
// writers in each neither fail nor lose a mark.
func TestTwoAtOnce(t *testing.T) {
	file := filepath.Join(t.TempDir(), "ledger.db")
	var opened [2]*Ledger
	var wg sync.WaitGroup
	for i := range opened {
		wg.Go(func() {
			l, err := Open(file) // both make the file
			if err != nil {
				t.Error(err)
				return
			}
			opened[i] = l
		})
	}
	wg.Wait()
	if t.Failed() {
		return
	}
	for i := range 4 {
		wg.Go(func() {
			for k := range 15 {
				n := i*100 + k
				if err := opened[i%2].Save(context.Background(), folder(n)); err != nil {
					t.Error(err)
				}
				if err := opened[(i+1)%2].Mark(context.Background(), fmt.Sprintf("d%08d", n), state.Event{To: state.Paid}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	sums, err := opened[0].Totals(context.Background())
	if err != nil || sums.Received != money.FromCents(60*100) || sums.Receipts != 60 {
		t.Errorf("%+v, %v", sums, err)
	}
	for _, l := range opened {
		l.Close()
	}
}
