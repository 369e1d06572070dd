package letter

import (
	"strings"
	"testing"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

const src = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: t
    items: [{id: jam, name: Fenny Orchard plum jam 340 g, quantity: 2, shelf: 3.45, price_from: label}]
offers:
  - {id: m, title: 0.75 off plum jam, funded_by: maker, carried_as: paper, applies_to: [jam], deduct: 0.75, held: 1, coupon_code: "(8110)10614141011111275110111"}
  - {id: back, title: 1.00 back, funded_by: maker, carried_as: app, applies_to: [jam], rebate: {value: 1.00, submit_by: 2026-05-20}, claim_to: Fenny rebates}
`

func result(t *testing.T, change func(*audit.Result)) (*plan.Plan, *audit.Result) {
	t.Helper()
	p, err := plan.Load([]byte(src), "plan.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	r := &audit.Result{Verdict: audit.Short, Receipt: &parse.Receipt{Date: "2026-05-09", Lines: []parse.Line{{N: 1, Text: "FENNY PLUM JAM   6.90"}}},
		Findings: []audit.Finding{{Kind: audit.MissingDeduction, Offer: "m", Items: []string{"jam"}, Expected: money.Must("0.75"),
			Difference: money.Must("-0.75"), Effect: money.Must("-0.75"), Side: audit.SideTill, Certainty: audit.CertainProved, Lines: []int{1}}},
		Due: []audit.Due{{Offer: "back", Value: money.Must("1.00"), Lines: []int{1}}}}
	r.Due[0].SubmitBy, _ = plan.ParseDate("2026-05-20")
	if change != nil {
		change(r)
	}
	return p, r
}

func to(letters []Letter) string {
	var all []string
	for _, l := range letters {
		all = append(all, string(l.To))
	}
	return strings.Join(all, ", ")
}

// TestWho: who gets a letter, by what is firm, lost, and whose.
func TestWho(t *testing.T) {
	first := func(change func(*audit.Finding)) func(*audit.Result) {
		return func(r *audit.Result) { change(&r.Findings[0]) }
	}
	for _, c := range []struct {
		what   string
		change func(*audit.Result)
		want   string
	}{
		{"a maker's coupon was not taken", nil, "store, maker, rebate payer"},
		{"a store's own offer", first(func(f *audit.Finding) { f.Offer = "" }), "store, rebate payer"},
		{"not firm", first(func(f *audit.Finding) { f.Certainty = audit.CertainUnsure }), "rebate payer"},
		{"on the shopper's side", first(func(f *audit.Finding) { f.Side = audit.SideShopper }), "rebate payer"},
		{"money gained", first(func(f *audit.Finding) { f.Effect = money.Must("0.75") }), "rebate payer"},
		{"not bought", first(func(f *audit.Finding) { f.Kind = audit.MissingItem }), "rebate payer"},
		{"undecided: no claim is proved", func(r *audit.Result) { r.Findings, r.Verdict = nil, audit.Undecided }, ""},
		{"nothing due", func(r *audit.Result) { r.Findings, r.Due = nil, nil }, ""},
	} {
		p, r := result(t, c.change)
		if got := to(Write(p, r)); got != c.want {
			t.Errorf("%s: letters to %q, want %q", c.what, got, c.want)
		}
	}
}

// TestLastDays: the earliest of what the store's policy, a law, a coupon and a
// rebate say.
func TestLastDays(t *testing.T) {
	p, r := result(t, func(r *audit.Result) { r.Findings[0].NoticeDays = 30 })
	p.Store.Policy.AdjustDays = 14
	p.Offers[0].Valid.Through, _ = plan.ParseDate("2026-05-31")
	want := []string{"2026-05-23", "2026-05-31", "2026-05-20"}
	for i, l := range Write(p, r) {
		if l.LastDay.String() != want[i] {
			t.Errorf("%s: by %s, want %s", l.To, l.LastDay, want[i])
		}
	}
	p.Store.Policy.AdjustDays = 0
	if l := Write(p, r)[0]; l.LastDay.String() != "2026-06-08" || !strings.Contains(l.Why, "check locally") {
		t.Errorf("by law until %s, %s", l.LastDay, l.Why)
	}
	r.Receipt.Date = ""
	if l := Write(p, r)[0]; !l.LastDay.IsZero() || !strings.Contains(l.Why, "no last day") {
		t.Errorf("without a date: %s, %s", l.LastDay, l.Why)
	}
}

// TestWords: each letter is polite, names line and sum, says what to enclose and
// that terms or law decide, and leaves the name to the person.
func TestWords(t *testing.T) {
	p, r := result(t, nil)
	for _, l := range Write(p, r) {
		for _, want := range []string{"please", "decide", "line 1", "[your name", l.Amount.String()} {
			if !strings.Contains(l.Body, want) {
				t.Errorf("the letter to the %s lacks %q:\n%s", l.To, want, l.Body)
			}
		}
		if len(l.Enclose) == 0 || l.Subject == "" {
			t.Errorf("the letter to the %s: subject %q, enclosed %q", l.To, l.Subject, l.Enclose)
		}
	}
	if l := Write(p, r)[1]; !strings.Contains(l.Body, "10614141011111275110111") {
		t.Errorf("the maker is not told the coupon's symbol:\n%s", l.Body)
	}
}

// TestOneEach: whoever pays a rebate, and each maker whose symbol tells it from another, is
// written to about its own alone, with its own last day.
func TestOneEach(t *testing.T) {
	more := `  - {id: n, title: 1.00 off plum jam, funded_by: maker, carried_as: print, applies_to: [jam], deduct: 1.00, held: 1, valid: {through: 2026-06-15}}
  - {id: k, title: 0.40 off plum jam, funded_by: maker, carried_as: print, applies_to: [jam], deduct: 0.40, held: 1, coupon_code: "(8110)10614141022222240110111"}
  - {id: desk, title: 0.20 back, applies_to: [jam], rebate: {value: 0.20, submit_by: 2026-05-12}, claim_to: Harbor desk}
`
	p, err := plan.Load([]byte(src+more), "plan.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	_, r := result(t, func(r *audit.Result) {
		for _, id := range []string{"n", "k"} {
			f := r.Findings[0]
			f.Offer = id
			r.Findings = append(r.Findings, f)
		}
		r.Due = append(r.Due, audit.Due{Offer: "desk", Value: money.Must("0.20"), Lines: []int{1}})
		r.Due[1].SubmitBy, _ = plan.ParseDate("2026-05-12")
	})
	letters := Write(p, r)
	if got := to(letters); got != "store, maker, maker, rebate payer, rebate payer" {
		t.Fatalf("letters to %s", got)
	}
	for i, want := range []struct {
		titles, not []string
		name, last  string
	}{
		{titles: []string{"0.75 off", "1.00 off", "0.40 off"}, name: "Harbor Lane Market"},
		{titles: []string{"0.75 off", "0.40 off"}, not: []string{"1.00 off"}}, // one funder in both symbols
		{titles: []string{"1.00 off"}, not: []string{"0.75 off", "0.40 off"}, last: "2026-06-15"},
		{titles: []string{"1.00 back"}, not: []string{"0.20 back"}, name: "Fenny rebates", last: "2026-05-20"},
		{titles: []string{"0.20 back"}, not: []string{"1.00 back"}, name: "Harbor desk", last: "2026-05-12"},
	} {
		l := &letters[i]
		for _, title := range want.titles {
			if !strings.Contains(l.Body, title) {
				t.Errorf("letter %d lacks %s:\n%s", i, title, l.Body)
			}
		}
		for _, title := range want.not {
			if strings.Contains(l.Body, title) {
				t.Errorf("letter %d has %s, which is another's:\n%s", i, title, l.Body)
			}
		}
		last := ""
		if !l.LastDay.IsZero() {
			last = l.LastDay.String()
		}
		if l.Name != want.name || last != want.last {
			t.Errorf("letter %d is to %q by %q, want %q by %q", i, l.Name, last, want.name, want.last)
		}
	}
}

// TestBy: a finding says by which rule its amount is what it should be.
func TestBy(t *testing.T) {
	for kind, want := range map[audit.Kind]string{
		audit.MissingDeduction: "by the offer it is 0.75, and the receipt has 0.00",
		audit.Overcharge:       "by the price shown it is 0.75",
		audit.TaxFinding:       "by the rate on what is taxed it is 0.75",
		audit.Quantity:         "for the number that I count it is 0.75",
		audit.MissingCredit:    "0.75 too little given",
	} {
		p, r := result(t, func(r *audit.Result) { r.Findings[0].Kind = kind })
		if l := Write(p, r)[0]; !strings.Contains(l.Body, want) {
			t.Errorf("%s: %q is not in\n%s", kind, want, l.Body)
		}
	}
}
