package audit

import "testing"

// TestMisreadWeight: a weight that does not come to the amount of its goods was misread,
// since the amount is proved by the receipt's sum, and lays nothing to the till.
func TestMisreadWeight(t *testing.T) {
	p := load(t, `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: fruit
    items:
      - {id: apples, name: Apples loose, weight: 0.83 lb, shelf: 0.81}
offers: []
`)
	for text, certain := range map[string]Certainty{
		"APPLES LOOSE  0.67\n  3 lb x 0.81\n":    CertainUnsure, // 0.83 was printed
		"APPLES LOOSE  0.73\n  0.83 lb x 0.88\n": CertainProved, // dearer than planned
	} {
		text += "TOTAL  " + text[14:18] + "\nCASH  " + text[14:18] + "\n"
		receipt := parsed("HARBOR LANE MARKET\n05/09/2026 10:42\n"+text, nil)
		for i := range receipt.Lines {
			receipt.Lines[i].Photo = 1
		}
		res, err := Check(Input{Plan: p, Receipt: receipt})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range res.Findings {
			if f.Certainty != certain {
				t.Errorf("%q: %s %s is %s, want %s", text, f.Kind, f.Difference, f.Certainty, certain)
			}
		}
		if len(res.Findings) == 0 {
			t.Errorf("%q: no finding", text)
		}
	}
}

// TestContradictedText: in a text, too, units that do not come to the amount of their line with
// their price lay nothing to the till.
func TestContradictedText(t *testing.T) {
	p := load(t, `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: dairy
    items:
      - {id: milk, name: Wickersea whole milk, quantity: 4, shelf: 2.90}
      - {id: tea, name: Wexcombe black tea, shelf: 2.00}
`)
	for units, want := range map[string]string{
		"2 @ 2.90": "quantity likely",
		"2 @ 0.90": "",
		"3 @ 2.90": "",
		"4 @ 2.90": "",
	} {
		res := checkedText(t, p, "HARBOR LANE MARKET\n05/09/2026 10:42\nWICKERSEA WHOLE MILK  5.80\n  "+units+"\nWEXCOMBE BLACK TEA  2.00\nTOTAL  7.80\nCASH  7.80\n")
		if got := firm(res); got != want || len(res.Findings) == 0 {
			t.Errorf("%q: %q of %d findings, want %q", units, got, len(res.Findings), want)
		}
	}
}

// TestMultipliesWrong: a text is not as planned where units and price of goods do not come to
// their amount, although that is the planned one; it is where a group's price was divided.
func TestMultipliesWrong(t *testing.T) {
	p := load(t, `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: dairy
    items:
      - {id: milk, name: Wickersea whole milk, quantity: 3, shelf: 3.60, sale: 3 for 9.50}
      - {id: tea, name: Wexcombe black tea, shelf: 2.00}
`)
	for units, want := range map[string]Verdict{
		"3 @ 3.17":     AsPlanned,
		"3 @ 3.77":     Undecided,
		"3 @ 3.57":     Undecided,
		"3 @ 3 / 9.50": AsPlanned,
		"3 @ 3.60":     AsPlanned, // the regular price
	} {
		res := checkedText(t, p, "HARBOR LANE MARKET\n05/09/2026 10:42\nWICKERSEA WHOLE MILK  9.50\n  "+units+"\nWEXCOMBE BLACK TEA  2.00\nTOTAL  11.50\nCASH  11.50\n")
		if res.Verdict != want || (want == Undecided) != (len(res.Undecided) > 0) {
			t.Errorf("%q: %s %q %v, want %s", units, res.Verdict, res.Undecided, res.Findings, want)
		}
	}
}
