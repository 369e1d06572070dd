package report

import (
	"strings"
	"testing"

	"tillproof/audit"
	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

func amount(s string) *money.Amount {
	a := money.Must(s)
	return &a
}

// receipt is one with a line of each trust, an unread one and a long one.
func receipt() *parse.Receipt {
	return &parse.Receipt{
		Kind: parse.KindSale, Store: "HARBOR LANE MARKET", Date: "2026-05-09", Time: "10:42", Register: "3", Transaction: "4471", Total: amount("7.40"),
		Lines: []parse.Line{
			{N: 1, Kind: parse.LineItem, Text: "OATS 4.29", Amount: amount("4.29"), Proof: parse.Proved},
			{N: 2, Kind: parse.LineItem, Text: "JAM  PLUM  OF A VERY LONG NAME INDEED 3.11", Amount: amount("3.11"), Proof: parse.Repaired},
			{N: 3, Kind: parse.LineDeduction, Text: "CPN -1.00", Amount: amount("-1.00"), Proof: parse.Corrected},
			{N: 4, Kind: parse.LineFee, Text: "BAG 1.00", Amount: amount("1.00"), Proof: parse.Read},
			{N: 5, Kind: parse.LineOther, Unread: true, Proof: parse.Doubtful},
			{N: 6, Kind: parse.LineTotal, Text: "TOTAL 7.40", Amount: amount("7.40"), Proof: parse.Proved},
			{N: 7, Kind: parse.LineMessage, Text: "THANK YOU"},
		},
		Complete: parse.Complete{Top: true, Bottom: true},
	}
}

// Every line stands in a row of its own, its amount in one column and how far it
// can be trusted behind it.
func TestReceipt(t *testing.T) {
	r := receipt()
	r.Complete.Bottom = false
	r.Warnings = []string{"line 5 was seen and cannot be read"}
	r.Sums = []parse.Sum{
		{Kind: "total", Lines: []int{1, 2, 3, 4}, Want: money.Must("7.40"), Got: money.Must("7.40"), Holds: true},
		{Kind: "count", Lines: []int{1, 2}, Want: money.Must("3.00"), Got: money.Must("2.00")},
	}
	want := `HARBOR LANE MARKET, 2026-05-09, 10:42, register 3, transaction 4471, total 7.40

  1  item       OATS 4.29                                  4.29  proved
  2  item       JAM  PLUM  OF A VERY LONG NAME IN...       3.11  repaired
  3  deduction  CPN -1.00                                 -1.00  corrected
  4  fee        BAG 1.00                                   1.00  read
  5  other      (print that could not be read)                   doubtful
  6  total      TOTAL 7.40                                 7.40  proved
  7  message    THANK YOU

Works out: the total, lines 1-4 = 7.40.
Does not work out: the number of items, lines 1-2 give 2 and 3 is printed.
! The receipt's lower end is not in the picture.
! line 5 was seen and cannot be read
`
	if got := Receipt(r); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	checkPage(t, Receipt(r))
}

// Of a receipt of which next to nothing was read, just that is said.
func TestReceiptOfNothing(t *testing.T) {
	page := Receipt(&parse.Receipt{Complete: parse.Complete{Bottom: true}})
	want := "A receipt without a readable head\n\n\nNo sum of this receipt could be tried, so no amount is proved.\n! The receipt's upper end is not in the picture.\n"
	if page != want {
		t.Errorf("%q", page)
	}
}

// Each proof and each kind of sum has its words.
func TestEveryProofHasAWord(t *testing.T) {
	for _, p := range []parse.Proof{parse.Proved, parse.Repaired, parse.Corrected, parse.Read, parse.Doubtful} {
		if proofMark[p] == "" {
			t.Errorf("%s has none", p)
		}
	}
	for _, kind := range []string{"items", "total", "tenders", "extension", "count"} {
		if sumName[kind] == "" {
			t.Errorf("the sum %s has no name", kind)
		}
	}
}

func aPlan(t *testing.T) *plan.Plan {
	t.Helper()
	p, err := plan.Load([]byte(`plan: 1
transactions: [{id: trip, items: [{id: oats, name: Millbrook rolled oats 1 kg, shelf: 4.29}, {id: jam, name: Fenny Orchard plum jam, shelf: 3.11}]}]
offers: [{id: app, title: 1.00 off oats, applies_to: [oats], deduct: 1.00}, {id: back, title: 0.60 back, applies_to: [jam], rebate: {value: 0.60}}]
`), "plan.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A finding has its sum, causes, evidence and what to do below its headline, the
// effect in the right column; what is to be claimed follows, the caution comes last.
func TestResult(t *testing.T) {
	by, err := plan.ParseDate("2026-05-20")
	if err != nil {
		t.Fatal(err)
	}
	r := &audit.Result{
		Verdict: audit.Short, Transaction: "trip", Receipt: receipt(), ShortAtTill: money.Must("1.00"), ShortCredit: money.Must("4.00"),
		OutOfPocket: audit.Compared{Expected: money.Must("6.40"), Actual: amount("7.40")}, Tolerated: money.Must("0.01"),
		Findings: []audit.Finding{{
			Kind: audit.MissingDeduction, Offer: "app", Items: []string{"oats"}, Expected: money.Must("1.00"), Effect: money.Must("-1.00"),
			Side: audit.SideTill, Certainty: audit.CertainProved, Lines: []int{1, 2, 3, 4, 6, 7, 1, 2}, Do: "show the shelf label at the service desk",
			Cause: audit.Cause{Text: "the coupon was not scanned"}, OtherCauses: []audit.Cause{{Text: "it was voided"}}, Law: []string{"none applies"},
		}},
		Due:        []audit.Due{{Offer: "back", Value: money.Must("0.60"), SubmitBy: by, Lines: []int{2}}},
		NotDue:     []audit.Note{{Offer: "gone", Why: "no such offer"}},
		NotChecked: []audit.Note{{What: "tax", Why: "no flag"}, {Item: "jam", Why: "not read"}, {Offer: "app", Why: "shown in the account"}},
		Notes:      []string{"the receipt is of another day"},
	}
	want := `SHORT: you are missing 1.00 at the till and 4.00 in credits
HARBOR LANE MARKET, 2026-05-09, 10:42, register 3, transaction 4471, total 7.40
Transaction trip: planned 6.40, on the receipt 7.40

1. 1.00 off oats: not taken off                                            -1.00
   planned 1.00, on the receipt 0.00; proved, on the till's side
   why: the coupon was not scanned
   or: it was voided
   see: line 1, OATS 4.29
   see: line 2, JAM PLUM OF A VERY LONG NAME INDEED 3.11
   see: line 3, CPN -1.00
   see: line 4, BAG 1.00
   see: line 6, TOTAL 7.40
   see: line 7, THANK YOU
   and 2 lines more
   do: show the shelf label at the service desk
   law: none applies

Rounding cents, no finding: +0.01

Still to claim: 0.60 back, by 2026-05-20 (line 2)                           0.60
Not to claim: gone: no such offer
Not checked: tax: no flag
Not checked: Fenny Orchard plum jam: not read
Not checked: 1.00 off oats: shown in the account
- the receipt is of another day

A finding says what the receipt shows, not who made a mistake. The store's
written policy and local law decide; ask politely, and take advice before you do
more than ask.
`
	if got := Result(aPlan(t), r); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	checkPage(t, want)
}

// Each verdict is told in its first word, and only findings call for the caution.
func TestVerdicts(t *testing.T) {
	for v, want := range map[audit.Verdict]string{
		audit.AsPlanned: "AS PLANNED\n", audit.Gained: "GAINED: ", audit.TillRight: "TILL RIGHT: ", audit.Undecided: "UNDECIDED: ",
		audit.Short: "SHORT: you are missing 0.50 in credits\n",
	} {
		r := &audit.Result{Verdict: v, Receipt: &parse.Receipt{}, ShortCredit: money.Must("0.50"), Undecided: []string{"line 3 was not read"}}
		page := Result(aPlan(t), r)
		if !strings.HasPrefix(page, want) || strings.Contains(page, "ask politely") || !strings.Contains(page, "\n? line 3 was not read\n") {
			t.Errorf("%s: %s", v, page)
		}
		r.Findings = []audit.Finding{{Kind: audit.UnplannedItem}}
		if page := Result(aPlan(t), r); !strings.HasSuffix(strings.Join(strings.Fields(page), " "), Caution) {
			t.Errorf("%s without the caution: %s", v, page)
		}
	}
}

// Every kind and side has its words; what is about no offer is named after its
// items, what is about neither by its kind alone.
func TestHeadlines(t *testing.T) {
	p := aPlan(t)
	for _, kind := range []audit.Kind{audit.MissingDeduction, audit.ShortDeduction, audit.ExtraDeduction, audit.MisplacedDeduction, audit.MissingCredit,
		audit.ShortCredit, audit.ExtraCredit, audit.Overcharge, audit.Undercharge, audit.MissingItem, audit.UnplannedItem, audit.Quantity,
		audit.SumFinding, audit.TaxFinding, audit.MissingRebate, audit.CardDigits} {
		if kindText[kind] == "" {
			t.Errorf("%s has no words", kind)
		}
	}
	for _, side := range []audit.Side{audit.SideTill, audit.SideShopper, audit.SidePlan, audit.SideOpen} {
		if sideText[side] == "" {
			t.Errorf("%s has no words", side)
		}
	}
	for want, f := range map[string]audit.Finding{
		"1.00 off oats: not taken off": {Kind: audit.MissingDeduction, Offer: "app", Items: []string{"oats"}},
		"Millbrook rolled oats 1 kg, Fenny Orchard plum jam: costs more than planned": {Kind: audit.Overcharge, Items: []string{"oats", "jam"}},
		"unknown: is not on the receipt":                                              {Kind: audit.MissingItem, Items: []string{"unknown"}},
		"the tax differs":                                                             {Kind: audit.TaxFinding},
	} {
		if got := Headline(p, f); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
