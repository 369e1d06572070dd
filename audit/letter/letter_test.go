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
