package match

import (
	"fmt"
	"strings"
	"testing"

	"tillproof/fixtures/golden"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/plan"
)

// TestCases says of each case which line is which item, offer or sale price, and
// which lines are none.
func TestCases(t *testing.T) {
	golden.Run(t, "testdata/*.txtar", 2, func(t *testing.T, c *golden.Case) {
		p, err := plan.Load(c.Text(t, "plan.yaml"), "plan.yaml", c.Open)
		if err != nil {
			t.Fatal(err)
		}
		r := parse.Parse([]ocr.Page{parse.TextPage(string(c.Text(t, "receipt.txt")))}, parse.Options{Words: p.Store.Prints})
		if !r.Firm {
			t.Fatalf("the receipt of the case does not close: %v", r.Sums)
		}
		tx := p.Transactions[0]
		a := Assign(p, tx, p.Price().Transactions[0], r)
		var b strings.Builder
		for _, m := range a.Matches(p, tx) {
			what := "item " + m.Item
			if m.Sale {
				what = "sale " + m.Item
			} else if m.Offer != "" {
				what = "offer " + m.Offer
			}
			writeLines(&b, what, r, m.Lines)
		}
		for i := range a.Unplanned {
			writeLines(&b, "unplanned", r, a.Unplanned[i].Lines)
		}
		for i := range a.Extra {
			writeLines(&b, "extra", r, a.Extra[i].Lines)
		}
		c.Compare(t, "matches.txt", b.String())
	})
}

func writeLines(b *strings.Builder, what string, r *parse.Receipt, lines []int) {
	for _, n := range lines {
		fmt.Fprintf(b, "%s: %s\n", what, r.Line(n).Text)
	}
}
