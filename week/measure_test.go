package week

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"tillproof/fixtures/other"
	"tillproof/fixtures/till"
	"tillproof/fixtures/trip"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/plan"
)

// textUnit is a text receipt as a file of the folder.
func textUnit(name, text string) Unit {
	sum := sha256.Sum256([]byte(text))
	return Unit{Name: name, SHA256: hex.EncodeToString(sum[:]), Load: func() ([]ocr.Page, error) { return []ocr.Page{parse.TextPage(text)}, nil }}
}

var (
	idLine   = regexp.MustCompile(`(?m)^  - id: (\S+)$`)
	quantity = regexp.MustCompile(`quantity: \d+, `)
)

// severalTrips makes of a plan of a trip one of n transactions on days of their
// own, each with a choice of the goods in other quantities.
func severalTrips(seed uint64, n int) *plan.Plan {
	rng := rand.New(rand.NewPCG(seed, 5))
	for try := uint64(0); ; try++ {
		yaml := trip.Core(seed + try<<20).YAML
		at, end := strings.Index(yaml, "transactions:\n")+len("transactions:\n"), strings.Index(yaml, "offers:")
		txs := idLine.Split(yaml[at:end], -1)
		if len(txs) < 2 {
			continue
		}
		var b strings.Builder
		b.WriteString(yaml[:at])
		for i := range n {
			day := time.Date(2026, 3, 1+int(seed)%20+3*i, 0, 0, 0, 0, time.UTC)
			fmt.Fprintf(&b, "  - id: t%d\n    date: %s\n    items:\n", i, day.Format(time.DateOnly))
			_, items, _ := strings.Cut(txs[1], "    items:\n")
			var lines []string
			for line := range strings.Lines(items) {
				if !strings.Contains(line, "weight:") {
					line = quantity.ReplaceAllString(line, fmt.Sprintf("quantity: %d, ", 1+rng.IntN(4)))
				}
				lines = append(lines, line)
			}
			rng.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
			b.WriteString(strings.Join(lines[:max(2, len(lines)-rng.IntN(3))], ""))
		}
		b.WriteString(yaml[end:])
		if p, err := plan.Load([]byte(b.String()), fmt.Sprintf("plan%02d.yaml", seed), nil); err == nil {
			return p
		}
	}
}

// made is a receipt of the made-up folder.
type made struct {
	plan, tx string
	text     string
	files    []string // names of its files
}

// folder is a made-up one with its truth.
type folder struct {
	in    Input
	made  []made
	truth map[string]string // file: "plan:tx", or what else it is
	odd   int
}

func (f *folder) add(name, text, what string) {
	f.in.Units = append(f.in.Units, textUnit(name, text))
	f.truth[name] = what
}

// makeFolder prints about n receipts of 60 plans, one in ten with an oddity.
func makeFolder(t testing.TB, n int, seed uint64) *folder {
	rng := rand.New(rand.NewPCG(seed, 9))
	f := &folder{truth: map[string]string{}}
	layouts := till.Open()
	const plans = 60
	for i := range plans {
		p := severalTrips(uint64(i)+seed*100, (n+plans-1)/plans)
		f.in.Plans = append(f.in.Plans, PlanFile{File: p.File, SHA256: p.File, Plan: p})
		layout := layouts[rng.IntN(len(layouts))]
		bills := p.Price().Transactions
		for k, tx := range p.Transactions {
			if len(f.made) == n {
				break
			}
			r, err := till.Print(p, tx, bills[k], layout, faultsFor(p, tx, bills[k], rng), rng.Uint64())
			if err != nil {
				t.Fatal(err)
			}
			f.made = append(f.made, made{plan: p.File, tx: tx.ID, text: r.Text()})
			f.file(r, rng)
		}
	}
	rng.Shuffle(len(f.in.Units), func(i, j int) { f.in.Units[i], f.in.Units[j] = f.in.Units[j], f.in.Units[i] })
	return f
}

// faultsFor makes one receipt in four faulty.
func faultsFor(p *plan.Plan, tx *plan.Transaction, bill *plan.TransactionBill, rng *rand.Rand) []till.Fault {
	possible := till.Possible(p, tx, bill)
	if rng.IntN(4) > 0 || len(possible) == 0 {
		return nil
	}
	one := []till.Fault{possible[rng.IntN(len(possible))]}
	if till.Fit(p, tx, bill, one) != nil {
		return nil
	}
	return one
}

// file puts a receipt into the folder, one in ten in an odd way.
func (f *folder) file(r till.Receipt, rng *rand.Rand) {
	m := &f.made[len(f.made)-1]
	what, name := m.plan+":"+m.tx, fmt.Sprintf("img%04d.txt", len(f.made))
	if rng.IntN(10) > 0 {
		f.add(name, m.text, what)
		return
	}
	f.odd++
	switch rng.IntN(5) {
	case 0: // photographed twice
		f.add(name, m.text, what)
		f.add("again-"+name, m.text+"\n", what)
	case 1: // in two parts
		lines := strings.SplitAfter(m.text, "\n")
		cut := cutAt(r)
		f.add(name, strings.Join(lines[:cut], ""), what)
		f.add("lower-"+name, strings.Join(lines[cut:], ""), what)
	case 2: // its back too
		f.add(name, m.text, what)
		if back, err := other.Page(other.Back, r, 40, rng.Uint64()); err == nil {
			f.add("back-"+name, back.Text(), "aside")
		}
	case 3: // the date illegible
		f.add(name, illegible(m.text, r.Truth.Date), what)
	default: // something that is no receipt of ours beside it
		f.add(name, m.text, what)
		kind := []other.Kind{other.Menu, other.Letter, other.Book, other.Shop}[rng.IntN(4)]
		if page, err := other.Page(kind, r, 40, rng.Uint64()); err == nil {
			f.add(strings.ReplaceAll(string(kind), " ", "-")+"-"+name, page.Text(), "aside")
		}
	}
}

// cutAt is a line of the receipt's middle: between two lines of goods.
func cutAt(r till.Receipt) int {
	var at []int
	for i, l := range r.Lines {
		if l.Kind == till.Item {
			at = append(at, i)
		}
	}
	return at[len(at)/2]
}

// illegible smears the lines that a date stands in.
func illegible(text, date string) string {
	day, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return text
	}
	for _, form := range []string{"01/02/06", "01/02/2006", "2006-01-02", "02 Jan 2006", "Jan 02, 2006", "02-Jan-06", "02JAN06", "02.01.2006", "02.01.06", "060102", "Jan 2, 2006", "1/2/06", "1/2/2006", "01-02-06", "01-02-2006", "2006/01/02", "Jan 02 2006", "02Jan06"} {
		text = strings.ReplaceAll(text, day.Format(form), "~~~~~~")
		text = strings.ReplaceAll(text, strings.ToUpper(day.Format(form)), "~~~~~~")
	}
	return text
}

// judge counts what Assess made of the folder.
func (f *folder) judge(t testing.TB, w *Week) (right, wrong, merged, twice int) {
	got := map[string]string{}
	counted := map[string]int{}
	for _, r := range w.Receipts {
		what := "aside"
		if r.Plan != "" {
			what = r.Plan + ":" + r.Transaction
		}
		if r.Counted() && r.Plan != "" {
			counted[what]++
		}
		for i, file := range slices.Concat(r.Files, r.Copies) {
			if was, ok := got[file.Name]; ok {
				t.Errorf("%s is in two receipts, %s and %s", file.Name, was, what)
			}
			got[file.Name] = what
			if i > 0 && f.truth[file.Name] != f.truth[r.Files[0].Name] {
				merged++
				t.Errorf("%s (%s) was merged with %s (%s)", file.Name, f.truth[file.Name], r.Files[0].Name, f.truth[r.Files[0].Name])
			}
		}
		if r.SameAs != "" {
			got[r.Files[0].Name] = "pending"
		}
	}
	for _, a := range w.Aside {
		got[a.File.Name] = "aside"
	}
	for name, want := range f.truth {
		if got[name] == want {
			right++
			continue
		}
		wrong++
		t.Logf("%s is %s, and was taken for %q", name, want, got[name])
		if testing.Verbose() {
			for _, u := range f.in.Units {
				if u.Name == name {
					pages, _ := u.Load()
					for _, l := range pages[0].Lines {
						t.Log(l.Text())
					}
				}
			}
		}
	}
	for what, n := range counted {
		if n > 1 {
			twice++
			t.Errorf("%s was counted %d times", what, n)
		}
	}
	return right, wrong, merged, twice
}

// Of 500 receipts of 60 plans, with one in ten odd, at least 99% are assigned
// rightly, none is merged with another and none counted twice.
func TestFiveHundredReceipts(t *testing.T) {
	f := makeFolder(t, 500, 1)
	start := time.Now()
	w := Assess(f.in)
	took := time.Since(start)
	right, wrong, merged, twice := f.judge(t, w)
	share := float64(right) / float64(right+wrong)
	t.Logf("%d receipts (%d odd) in %d files: %d right (%.2f%%), %d wrongly merged, %d counted twice; %d questions; %s",
		len(f.made), f.odd, len(f.in.Units), right, 100*share, merged, twice, len(w.Questions), took.Round(time.Millisecond))
	if len(f.made) != 500 || share < 0.99 || merged > 0 || twice > 0 {
		t.Errorf("%d receipts, %.2f%% right, %d merged, %d twice", len(f.made), 100*share, merged, twice)
	}
}
