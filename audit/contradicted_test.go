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
