package weekpage

import (
	"bytes"
	"encoding/csv"
	"strings"

	"tillproof/money"
	"tillproof/week"
)

// columns are the head of the CSV.
var columns = []string{"id", "date", "time", "store", "kind", "plan", "transaction", "planned", "paid", "verdict", "short_at_till", "short_credit", "counted", "same_as", "files", "notes", "why"}

// CSV is a line for each receipt, in the form of RFC 4180: commas, fields in
// quotes where they need them, lines ended by CR LF, a head line.
func CSV(w *week.Week) []byte {
	var b bytes.Buffer
	c := csv.NewWriter(&b)
	c.UseCRLF = true
	_ = c.Write(columns) // a bytes.Buffer takes everything
	for _, r := range w.Receipts {
		planned, till, credit := "", "", ""
		if r.Result != nil {
			planned, till, credit = r.Result.OutOfPocket.Expected.String(), r.Result.ShortAtTill.String(), r.Result.ShortCredit.String()
		}
		counted := "no"
		if r.Counted() {
			counted = "yes"
		}
		_ = c.Write([]string{r.ID, r.Date, r.Time, safe(r.Store), string(r.Kind), safe(r.Plan), safe(r.Transaction), planned, printed(r.Total),
			string(r.Verdict), till, credit, counted, r.SameAs, safe(names(r.Files)), safe(strings.Join(r.Notes, "; ")), safe(strings.Join(r.Why, "; "))})
	}
	c.Flush()
	return b.Bytes()
}

func printed(a *money.Amount) string {
	if a == nil {
		return ""
	}
	return a.String()
}

// safe keeps a spreadsheet from taking what a receipt says for a formula.
func safe(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
