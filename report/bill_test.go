package report

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"tillproof/fixtures/trip"
	"tillproof/money"
	"tillproof/plan"
)

// amountAtEnd is an amount in the right column.
var amountAtEnd = regexp.MustCompile(`^( *\S.*?) +(-?\d+\.\d\d)$`)

// column are the amounts in column 80 of the lines with that indentation, by
// their text.
func column(page, indent string) map[string]money.Amount {
	all := map[string]money.Amount{}
	for _, line := range strings.Split(page, "\n") {
		m := amountAtEnd.FindStringSubmatch(line)
		if m != nil && len([]rune(line)) == 80 && strings.HasPrefix(m[1], indent) && !strings.HasPrefix(m[1], indent+" ") {
			all[m[1][len(indent):]] = money.Must(m[2])
		}
	}
	return all
}

// The worked example of the plan format, whose figures are published: 12.87 +
// 6.90 + 5.00 less 5.15 and 0.75, 6.25% tax on 5.00, 4.00 and 1.20 come back.
func TestBillOfTheExample(t *testing.T) {
	src, err := os.ReadFile("../plan/testdata/contract.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Load(src, "contract.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	page := Bill(p, p.Price())
	checkPage(t, page)
	if !strings.HasPrefix(page, "Harbor Lane Market, 2026-05-09 (USD)\n\nbreakfast\n") {
		t.Errorf("the head is %q", page[:min(len(page), 60)])
	}
	got := column(page, "  ")
	for text, want := range map[string]string{
		"3 x Millbrook rolled oats 1 kg": "12.87", "2 x Fenny Orchard plum jam 340 g": "6.90", "2 x Tern kitchen foil 25 m": "5.00",
		"Prices": "24.77", "Deductions": "-5.90", "Tax": "0.31", "Out of pocket": "19.18",
		"Comes back at the till: 4.00 gift card when you spend 18.00 on breakfast": "", // longer than a line
		"Final cost": "13.98", "Per unit (7 units)": "2.00",
	} {
		if amount, ok := got[text]; want == "" && ok || want != "" && amount != money.Must(want) {
			t.Errorf("%s: %s, want %q\n%s", text, amount, want, page)
		}
	}
	if !strings.Contains(page, "    40% off rolled oats, 3 times"+strings.Repeat(" ", 80-32-5)+"-5.15\n") {
		t.Errorf("three uses of a coupon are not told:\n%s", page)
	}
	if strings.Contains(page, "Fees") || strings.Contains(page, "Cash rounding") || strings.Contains(page, "The whole plan") {
		t.Errorf("what there is none of is told:\n%s", page)
	}
}

// On the page of any plan the printed amounts add up to what is printed below
// them, as a person with a pencil would add them.
func TestAnyBillAddsUp(t *testing.T) {
	several, fees, rounded := 0, 0, 0
	for seed := range uint64(150) {
		p, err := trip.Full(seed).Plan()
		if err != nil {
			t.Fatal(err)
		}
		b := p.Price()
		page := Bill(p, b)
		checkPage(t, page)
		for i, tb := range b.Transactions {
			head := "\n\n" + tb.ID
			from := strings.Index(page, head)
			if from < 0 {
				t.Fatalf("seed %d: no %s in\n%s", seed, tb.ID, page)
			}
			part, _, _ := strings.Cut(page[from+len(head):], "\n\n  Prices")
			_, sums, _ := strings.Cut(page[from+len(head):], part)
			sums, _, _ = strings.Cut(sums[2:], "\n\n")
			got := column(sums, "  ")
			sum := money.Sum(got["Prices"], got["Fees"], got["Deductions"], got["Tax"], got["Cash rounding"])
			if sum != got["Out of pocket"] || sum != tb.OutOfPocket {
				t.Errorf("seed %d, %s: %s, out of pocket %s\n%s", seed, tb.ID, sum, tb.OutOfPocket, sums)
			}
			if got["Final cost"] != tb.FinalCost {
				t.Errorf("seed %d, %s: final cost %s, want %s", seed, tb.ID, got["Final cost"], tb.FinalCost)
			}
			if _, ok := got["Fees"]; ok {
				fees++
			}
			if _, ok := got["Cash rounding"]; ok {
				rounded++
			}
			for j, l := range tb.Lines {
				if it := p.Transactions[i].Items[j]; !strings.Contains(strings.Join(strings.Fields(part), " "), it.Name) {
					t.Errorf("seed %d: %s is missing", seed, it.Name)
				} else if l.Weight == nil && !strings.Contains(part, "\n  "+itoa(l.Quantity)+" x ") {
					t.Errorf("seed %d: %d of %s are missing", seed, l.Quantity, it.Name)
				}
			}
		}
		if len(b.Transactions) > 1 {
			several++
			_, whole, _ := strings.Cut(page, "\n\nThe whole plan\n")
			got := column(whole, "  ")
			if got["Out of pocket"].Sub(got["Credits earned at the till"]).Sub(got["Rebates after the trip"]) != got["Final cost"] || got["Out of pocket"] != b.OutOfPocket {
				t.Errorf("seed %d: the whole plan does not add up:\n%s", seed, whole)
			}
		}
		for _, w := range b.Warnings {
			if !strings.Contains(strings.Join(strings.Fields(page), " "), "! "+strings.Join(strings.Fields(w.Text), " ")) {
				t.Errorf("seed %d: no warning %q", seed, w.Text)
			}
		}
	}
	if several < 20 || fees < 20 || rounded < 5 {
		t.Errorf("only %d plans of several transactions, %d fees, %d roundings", several, fees, rounded)
	}
}
