package audit

import (
	"strings"
	"testing"

	"tillproof/plan"
)

// lawStore is a store whose file names its place.
func lawPlan(t *testing.T, jurisdiction, items string) *plan.Plan {
	t.Helper()
	store := "name: Harbor Lane Market\njurisdiction: " + jurisdiction + "\npolicy: {adjust_within: 7 days}\n"
	p, err := plan.Load([]byte("plan: 1\nstore: {file: store.yaml}\ndate: 2026-05-09\ntransactions:\n  - id: t\n    items:\n"+items), "plan.yaml",
		func(string) ([]byte, error) { return []byte(store), nil })
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestLawOfUnits: what a law gives is worked out for the units that were charged more,
// by their own prices, whatever the lines of the others say. The sums follow from the
// rules themselves: Michigan's difference and ten times it once, 1.00 to 5.00; Québec's
// one free unit up to 15.00.
func TestLawOfUnits(t *testing.T) {
	const oats = "      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29, price_from: label}\n"
	const jam = "      - {id: jam, name: Fenny Orchard plum jam 340 g, quantity: 2, shelf: 3.79, sale: 3.45, price_from: label}\n"
	const asPlanned = "MLBRK RLD OATS 1KG     12.87\n  3 @ 4.29\n"
	for _, c := range []struct {
		name, where, items, lines, total, want string
	}{
		{"one of two lines at the regular price", "US-MI", oats + jam, asPlanned + "FNY ORCH PLUM JAM       3.45\nFNY ORCH PLUM JAM       3.79\n", "20.11", "0.34 back, and 3.40 on top"},
		{"one of two in one amount", "US-MI", oats + jam, asPlanned + "FNY ORCH PLUM JAM       7.24\n  QTY 2\n", "20.11", "0.34 back, and 3.40 on top"},
		{"both", "US-MI", oats + jam, asPlanned + "FNY ORCH PLUM JAM       7.58\n  2 @ 3.79\n", "20.45", "0.68 back, and 3.40 on top"},
		{"one of three, in a line of its own", "US-MI", oats + jam, "MLBRK RLD OATS 1KG      8.58\n  2 @ 4.29\nMLBRK RLD OATS 1KG      4.49\nFNY ORCH PLUM JAM       6.90\n  2 @ 3.45\n", "19.97", "0.20 back, and 2.00 on top"},
		{"two prices too high", "US-MI", oats + jam, "MLBRK RLD OATS 1KG      4.29\nMLBRK RLD OATS 1KG      4.49\nMLBRK RLD OATS 1KG      4.59\nFNY ORCH PLUM JAM       6.90\n  2 @ 3.45\n", "20.27", ""},
		{"Québec", "CA-QC", oats + jam, asPlanned + "FNY ORCH PLUM JAM       7.58\n  2 @ 3.79\n", "20.45", "0.68 back, and 3.45 on top"},
		{"no law known", "US-TX", oats + jam, asPlanned + "FNY ORCH PLUM JAM       7.58\n  2 @ 3.79\n", "20.45", ""},
		{"a price on hearsay", "US-MI", strings.ReplaceAll(oats, "label", "hearsay") + jam, "MLBRK RLD OATS 1KG     13.47\n  3 @ 4.49\nFNY ORCH PLUM JAM       6.90\n  2 @ 3.45\n", "20.37", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := checkedText(t, lawPlan(t, c.where, c.items), "HARBOR LANE MARKET\n05/09/2026 10:42\n"+c.lines+"SUBTOTAL               "+c.total+"\nTOTAL                  "+c.total+"\nCARD                   "+c.total+"\n")
			if len(res.Findings) != 1 || res.Findings[0].Kind != Overcharge {
				t.Fatalf("findings %+v, want one overcharge", res.Findings)
			}
			f := &res.Findings[0]
			said := strings.Join(f.Law, " / ")
			if c.want == "" && said != "" || !strings.Contains(said, c.want) {
				t.Errorf("law %q, want %q", said, c.want)
			}
			if c.want != "" && !strings.Contains(said, "Check locally") {
				t.Errorf("without the caution: %q", said)
			}
			if days := f.NoticeDays; (days == 30) != (c.where == "US-MI" && c.want != "") {
				t.Errorf("%d days to tell the store", days)
			}
			if f.Side == SideTill && !strings.Contains(f.Do, "2026-05-16") {
				t.Errorf("not until when the store corrects prices: %q", f.Do)
			}
		})
	}
}
