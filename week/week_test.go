package week

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

const twoTrips = `plan: 1
store: Tallow Yard Market
date: 2026-05-09
currency: USD
transactions:
  - id: breakfast
    items:
      - {id: muesli, name: Brackle crunchy muesli 750 g, quantity: 2, shelf: 5.49}
      - {id: honey, name: Plumstow clear honey 340 g, shelf: 6.29, sale: 5.49}
  - id: supper
    date: 2026-05-12
    items:
      - {id: pasta, name: Quarrow penne rigate 500 g, quantity: 2, shelf: 1.79}
      - {id: cheddar, name: Lindquay mature cheddar 400 g, shelf: 6.49}
      - {id: bread, name: Sunnick wholemeal loaf 800 g, shelf: 3.29}
offers:
  - {id: muesli-maker, title: 1.25 off one pack of muesli, funded_by: maker, carried_as: paper, applies_to: [muesli], deduct: 1.25, held: 1}
`

const breakfast = `        TALLOW YARD MARKET
05/09/26 10:11  REG 04   TRANS 6999
BRCKL CRNCHY MUESLI         10.98 F
  2 @ 5.49
MFR CPN MUESLI               1.25-F
PLUMSTOW CLR HONEY           5.49 F
SUBTOTAL                    15.22
TOTAL                       15.22
CARD                        15.22
CHANGE                       0.00
`

const supper = `        TALLOW YARD MARKET
05/12/26 17:40  REG 02   TRANS 0417
QUARROW PENNE RIGATE         3.58 F
  2 @ 1.79
LINDQUAY MATURE CHEDDAR      6.49 F
SUNNICK WHOLEMEAL LOAF       3.29 F
SUBTOTAL                    13.36
TOTAL                       13.36
CARD                        13.36
CHANGE                       0.00
`

func load(t *testing.T, name, yaml string) PlanFile {
	t.Helper()
	p, err := plan.Load([]byte(yaml), name, nil)
	if err != nil {
		t.Fatal(err)
	}
	return PlanFile{File: name, SHA256: name, Plan: p}
}

// assess puts texts, named and alternating, into a folder.
func assess(t *testing.T, yaml string, answers map[string]string, files ...string) *Week {
	t.Helper()
	in := Input{Plans: []PlanFile{load(t, "trip.yaml", yaml)}, Answers: answers, Tool: "test"}
	for i := 0; i < len(files); i += 2 {
		in.Units = append(in.Units, textUnit(files[i], files[i+1]))
	}
	return Assess(in)
}

// show is a week in short, to compare.
func show(w *Week) string {
	var b strings.Builder
	for _, r := range w.Receipts {
		var names []string
		for _, f := range r.Files {
			names = append(names, f.Name)
			if f.N > 0 {
				names[len(names)-1] += fmt.Sprint("#", f.N)
			}
		}
		for _, f := range r.Copies {
			names = append(names, "="+f.Name)
		}
		fmt.Fprintf(&b, "%s: %s", strings.Join(names, "+"), r.Kind)
		if r.Transaction != "" {
			fmt.Fprintf(&b, " %s, %s", r.Transaction, r.Verdict)
		}
		if r.SameAs != "" {
			b.WriteString(", not counted")
		}
		b.WriteString("\n")
	}
	for _, a := range w.Aside {
		fmt.Fprintf(&b, "aside %s: %s\n", a.File.Name, a.Why)
	}
	for _, q := range w.Questions {
		if !q.Optional {
			fmt.Fprintf(&b, "? %s %s %s\n", q.Kind, q.File.Name, q.Amount)
		}
	}
	return b.String()
}

func cut(text string, from, to int) string {
	lines := strings.SplitAfter(text, "\n")
	return strings.Join(lines[from:min(to, len(lines))], "")
}

func TestOddities(t *testing.T) {
	noNumber := strings.Replace(breakfast, "REG 04   TRANS 6999", "REG 04   TRANS ~~~~", 1)
	both := strings.Replace(supper, "05/12/26", "05/12/26", 1)
	for _, c := range []struct {
		why   string
		files []string
		want  string
	}{
		{"two receipts, each at its transaction", []string{"a.txt", supper, "b.txt", breakfast},
			"b.txt: sale breakfast, as planned\na.txt: sale supper, as planned\n"},
		{"the same file under two names", []string{"a.txt", breakfast, "b.txt", breakfast},
			"a.txt: sale breakfast, as planned\naside b.txt: it is the same file as a.txt\n"},
		{"the same receipt photographed twice", []string{"a.txt", breakfast, "b.txt", breakfast + "\n"},
			"a.txt+=b.txt: sale breakfast, as planned\n"},
		{"perhaps the same: its number is not legible, so it is asked and counted once", []string{"a.txt", breakfast, "b.txt", noNumber},
			"a.txt: sale breakfast, as planned\nb.txt: sale, not counted\n? same b.txt 15.22\n"},
		{"the same goods bought again are another receipt", []string{"a.txt", breakfast, "b.txt", strings.Replace(breakfast, "10:11  REG 04   TRANS 6999", "11:30  REG 04   TRANS 7044", 1)},
			"a.txt: sale breakfast, as planned\nb.txt: sale\n"},
		{"a long receipt in two photos", []string{"a.txt", cut(breakfast, 0, 4), "b.txt", cut(breakfast, 4, 99)},
			"a.txt+b.txt: sale breakfast, as planned\n"},
		{"two photos that overlap, the lower first in the folder", []string{"a.txt", cut(supper, 3, 99), "b.txt", cut(supper, 0, 5)},
			"b.txt+a.txt: sale supper, as planned\n"},
		{"in three photos", []string{"a.txt", cut(supper, 0, 3), "b.txt", cut(supper, 3, 5), "c.txt", cut(supper, 5, 99)},
			"a.txt+b.txt+c.txt: sale supper, as planned\n"},
		{"parts of two receipts, mixed", []string{"a.txt", cut(supper, 0, 5), "b.txt", cut(breakfast, 0, 5), "c.txt", cut(breakfast, 5, 99), "d.txt", cut(supper, 5, 99)},
			"b.txt+c.txt: sale breakfast, as planned\na.txt+d.txt: sale supper, as planned\n"},
		{"two receipts in one photo", []string{"a.txt", breakfast + "\n   THANK YOU\n\n" + both},
			"a.txt: sale breakfast, as planned\na.txt#1: sale supper, as planned\n"},
		{"its back, and a letter", []string{"a.txt", breakfast, "back.txt", "KEEP AWAY FROM HEAT\nAND DIRECT LIGHT\nRETURNS WITHIN 30 DAYS\n", "letter.txt", "Dear Maud,\nthe apples are nearly ready.\n"},
			"a.txt: sale breakfast, as planned\naside back.txt: nothing on it reads like a receipt\naside letter.txt: nothing on it reads like a receipt\n"},
		{"nothing to read in it", []string{"a.txt", breakfast, "empty.txt", "\n"},
			"a.txt: sale breakfast, as planned\naside empty.txt: nothing on it reads like a receipt\n"},
		{"another shop's receipt is of no plan", []string{"a.txt", "  WEIR STREET GROCER\n05/09/26 09:00 TRANS 12\nPAINT BRUSH   4.00\nTOTAL  4.00\nCASH   4.00\n"},
			"a.txt: sale\n"},
		{"a return", []string{"a.txt", breakfast, "r.txt", "  TALLOW YARD MARKET\n05/14/26 09:00 REG 01 TRANS 0012\nREFUND\nPLUMSTOW CLR HONEY    5.49-\nTOTAL    5.49-\nCARD     5.49-\n"},
			"a.txt: sale breakfast, as planned\nr.txt: return\n"},
		{"the date illegible", []string{"a.txt", strings.Replace(breakfast, "05/09/26", "~~/~~/~~", 1)},
			"a.txt: sale breakfast, as planned\n"},
		{"a lower part that nothing proves to be one", []string{"a.txt", cut(breakfast, 0, 3), "b.txt", cut(breakfast, 5, 99)},
			"b.txt: sale, not counted\na.txt: sale breakfast, undecided\n? join b.txt 15.22\n"},
	} {
		if got := show(assess(t, twoTrips, nil, c.files...)); got != c.want {
			t.Errorf("%s:\n%swant:\n%s", c.why, got, c.want)
		}
	}
}

// 05/09 is the ninth of May or the fifth of September: the plan's day tells,
// and where it does not, the person is asked.
func TestDateBothWays(t *testing.T) {
	for day, want := range map[string]string{"2026-05-09": "2026-05-09", "2026-09-05": "2026-09-05", "2026-07-07": ""} {
		w := assess(t, strings.Replace(twoTrips, "date: 2026-05-09", "date: "+day, 1), nil, "a.txt", breakfast)
		r := w.Receipts[0]
		if want != "" && (r.Date != want || r.Read.DateOther != "" || len(w.Questions) > 0) {
			t.Errorf("planned for %s: read as %s, other %q, %d questions", day, r.Date, r.Read.DateOther, len(w.Questions))
		}
		if want == "" && (len(w.Questions) != 1 || w.Questions[0].Kind != "date" || !slices.Equal(w.Questions[0].Choices, []string{"2026-05-09", "2026-09-05"})) {
			t.Errorf("planned for %s: %+v", day, w.Questions)
		}
		if want == "" {
			again := assess(t, strings.Replace(twoTrips, "date: 2026-05-09", "date: "+day, 1), map[string]string{w.Questions[0].ID: "2026-09-05"}, "a.txt", breakfast)
			if again.Receipts[0].Date != "2026-09-05" || len(again.Questions) > 0 {
				t.Errorf("answered: %s, %+v", again.Receipts[0].Date, again.Questions)
			}
		}
	}
}

// What a person answers decides, and stays decided.
func TestAnswers(t *testing.T) {
	noNumber := strings.Replace(breakfast, "REG 04   TRANS 6999", "REG 04   TRANS ~~~~", 1)
	smudged := strings.Replace(breakfast, "5.49 F\nSUB", "5.?9 F\nSUB", 1)
	smudged = strings.Replace(smudged, "MFR CPN MUESLI               1.25-F\n", "", 1)
	for _, c := range []struct {
		why, answer, before, after string
		files                      []string
	}{
		{"the same receipt", "yes", "? same", "a.txt+=b.txt: sale breakfast, as planned\n", []string{"a.txt", breakfast, "b.txt", noNumber}},
		{"two receipts", "no", "? same", "a.txt: sale breakfast, as planned\nb.txt: sale\n", []string{"a.txt", breakfast, "b.txt", noNumber}},
		{"the lower part", "yes", "? join", "a.txt+b.txt: sale breakfast, undecided\n", []string{"a.txt", cut(breakfast, 0, 3), "b.txt", cut(breakfast, 5, 99)}},
		{"a smudged amount, typed: the coupon is missing for sure", "5.49", "? amount", "a.txt: sale breakfast, short\n", []string{"a.txt", strings.Replace(smudged, "15.22", "16.47", -1)}},
	} {
		w := assess(t, twoTrips, nil, c.files...)
		if len(w.Questions) == 0 || !strings.Contains(show(w), c.before) {
			t.Errorf("%s: asked nothing:\n%s", c.why, show(w))
			continue
		}
		if got := show(assess(t, twoTrips, map[string]string{w.Questions[0].ID: c.answer}, c.files...)); !strings.HasPrefix(got, c.after) {
			t.Errorf("%s:\n%swant:\n%s", c.why, got, c.after)
		}
	}
}

func TestTypedAmountIsCorrected(t *testing.T) {
	text := strings.Replace(supper, "6.49 F", "6.?9 F", 1)
	w := assess(t, twoTrips, nil, "a.txt", text)
	if len(w.Questions) == 0 || w.Questions[0].Kind != "amount" {
		t.Fatalf("%s", show(w))
	}
	w = assess(t, twoTrips, map[string]string{w.Questions[0].ID: "6.49"}, "a.txt", text)
	i := slices.IndexFunc(w.Receipts[0].Read.Lines, func(l parse.Line) bool { return strings.Contains(l.Text, "CHEDDAR") })
	if l := w.Receipts[0].Read.Lines[i]; l.Proof != parse.Corrected || l.Amount.String() != "6.49" {
		t.Errorf("%+v", l)
	}
	if w.Receipts[0].Verdict != audit.AsPlanned {
		t.Errorf("%s", show(w))
	}
}

// A receipt of another folder is not counted twice; where its number is not
// known it is asked about.
func TestSeenBefore(t *testing.T) {
	total := money.Must("15.22")
	e := Earlier{ID: "r-earlier", Store: "Tallow Yard Market", Date: "2026-05-09", Time: "10:11", Register: "04", Transaction: "6999", Total: &total}
	in := Input{Plans: []PlanFile{load(t, "trip.yaml", twoTrips)}, Units: []Unit{textUnit("a.txt", breakfast)}, Earlier: []Earlier{e}}
	if w := Assess(in); w.Receipts[0].SameAs != "r-earlier" || len(w.Questions) > 0 || w.Totals.Receipts != 0 {
		t.Errorf("%s", show(w))
	}
	in.Earlier[0].Transaction, in.Earlier[0].Register = "", ""
	w := Assess(in)
	if w.Receipts[0].SameAs != "r-earlier" || len(w.Questions) != 1 {
		t.Errorf("%s", show(w))
	}
	in.Answers = map[string]string{w.Questions[0].ID: "no"}
	if w := Assess(in); w.Receipts[0].SameAs != "" || w.Totals.Receipts != 1 {
		t.Errorf("%s", show(w))
	}
}

// A receipt keeps its id when a better photo of it turns up.
func TestIDsStay(t *testing.T) {
	in := Input{Plans: []PlanFile{load(t, "trip.yaml", twoTrips)}, Units: []Unit{textUnit("b.txt", breakfast)}}
	first := Assess(in).Receipts[0]
	in.IDs = map[Part]string{first.Files[0].Part: first.ID}
	in.Units = []Unit{textUnit("a.txt", breakfast+"\n"), textUnit("b.txt", breakfast)}
	if again := Assess(in).Receipts; len(again) != 1 || again[0].ID != first.ID {
		t.Errorf("was %s, is %s", first.ID, again[0].ID)
	}
}

func TestRivalsAreAsked(t *testing.T) {
	yaml := `plan: 1
store: Tallow Yard Market
transactions:
  - {id: one, date: 2026-05-09, items: [{id: honey, name: Plumstow clear honey 340 g, shelf: 5.49}]}
  - {id: two, date: 2026-05-10, items: [{id: honey, name: Plumstow clear honey 340 g, shelf: 5.49}]}
offers: []
`
	text := "  TALLOW YARD MARKET\n~~~~ 10:11 REG 04 TRANS 6999\nPLUMSTOW CLR HONEY  5.49 F\nTOTAL 5.49\nCARD 5.49\n"
	w := assess(t, yaml, nil, "a.txt", text)
	if !strings.Contains(show(w), "undecided") || !strings.Contains(show(w), "? transaction a.txt 5.49") {
		t.Fatalf("%s", show(w))
	}
	w = assess(t, yaml, map[string]string{w.Questions[0].ID: "trip.yaml:two"}, "a.txt", text)
	if w.Receipts[0].Transaction != "two" || w.Receipts[0].Verdict != audit.AsPlanned {
		t.Errorf("%s", show(w))
	}
	// With both receipts there the dates decide jointly: the one without a date
	// is the other day's.
	dated := strings.Replace(strings.Replace(text, "~~~~", "05/10/26", 1), "6999", "7000", 1)
	w = assess(t, yaml, nil, "a.txt", text, "b.txt", dated)
	for _, r := range w.Receipts {
		if want := map[string]string{"a.txt": "one", "b.txt": "two"}[r.Files[0].Name]; r.Transaction != want {
			t.Errorf("%s: %s, want %s", r.Files[0].Name, r.Transaction, want)
		}
	}
}

// Three receipts one under the other in one file are three.
func TestThreeInOneFile(t *testing.T) {
	third := strings.Replace(breakfast, "TRANS 6999", "TRANS 7003", 1)
	w := assess(t, twoTrips, nil, "a.txt", breakfast+supper+third)
	if len(w.Receipts) != 3 {
		t.Errorf("%s", show(w))
	}
}
