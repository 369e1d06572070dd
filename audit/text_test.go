package audit

import (
	"strings"
	"testing"

	"tillproof/parse"
	"tillproof/plan"
)

// paper is the text of a receipt as it was printed.
func paper(r *parse.Receipt) string {
	var b strings.Builder
	for i := range r.Lines {
		b.WriteString(r.Lines[i].Text)
		b.WriteString("\n")
		if i == 0 {
			b.WriteString("05/09/2026 10:42   REG 3  TRN 4471\n\n")
		}
	}
	return b.String()
}

func checkedText(t *testing.T, p *plan.Plan, text string) *Result {
	t.Helper()
	res, err := Check(Input{Plan: p, Receipt: parsed(text, nil)})
	if err != nil {
		t.Fatal(err)
	}
	return res
}
