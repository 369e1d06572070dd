package week

import (
	"fmt"
	"strings"
	"testing"

	"tillproof/audit"
	"tillproof/money"
)

// rewards has a credit earned in one transaction and spent in the next, a
// rebate, and a maker's offer over the month.
const rewards = `plan: 1
store: Tallow Yard Market
currency: USD
transactions:
  - id: first
    date: 2026-05-09
    items:
      - {id: soap, name: Moorbeck dish soap lemon 500 ml, quantity: 4, shelf: 3.00}
  - id: second
    date: 2026-05-16
    pay_with: [{credit: soap-card, amount: 4.00}, card]
    items:
      - {id: towels, name: Tolland kitchen towels 4 ct, quantity: 3, shelf: 4.00}
offers:
  - {id: soap-card, title: 4.00 gift card when you spend 12.00 on soap, applies_to: [soap], spend: 12.00, credit: {kind: gift card, value: 4.00, expires_after: 60 days}}
  - {id: towels-back, title: 0.50 back on each towels, funded_by: maker, carried_as: app, applies_to: [towels], rebate: {value: 0.50, submit_by: 2026-05-30}, limit: {per_transaction: 2}, claim_to: Tolland Mills}
  - {id: month, title: 5.00 back when you spend 20.00 over the month, funded_by: maker, carried_as: app, applies_to: [soap, towels], spend: 20.00, accumulates: {from: 2026-05-01, through: 2026-05-31}, rebate: {value: 5.00, submit_within: 14 days}}
`

const soapReceipt = `  TALLOW YARD MARKET
05/09/26 10:11  REG 04   TRANS 6999
MOORBECK DISH SOAP LEMON    12.00 F
  4 @ 3.00
SUBTOTAL                    12.00
TOTAL                       12.00
CARD                        12.00
CHANGE                       0.00
GIFT CARD EARNED             4.00
`

const towelsReceipt = `  TALLOW YARD MARKET
05/16/26 11:00  REG 04   TRANS 7100
TOLLAND KITCHEN TOWELS      12.00 F
  3 @ 4.00
SUBTOTAL                    12.00
TOTAL                       12.00
GIFT CARD                    4.00
CARD                         8.00
CHANGE                       0.00
`

func dues(w *Week) string {
	var b strings.Builder
	for _, d := range w.Dues {
		fmt.Fprintf(&b, "%s %s %s %s by %s\n", d.Offer, d.What, d.Value, d.State, d.By)
	}
	return b.String()
}

func TestOwed(t *testing.T) {
	w := assess(t, rewards, nil, "a.txt", soapReceipt, "b.txt", towelsReceipt)
	const want = "soap-card gift card 4.00 printed by 2026-07-08\ntowels-back rebate 1.00 expected by 2026-05-30\nmonth rebate 5.00 expected by 2026-05-30\n"
	if got := dues(w); got != want {
		t.Errorf("%swant:\n%s%s", got, want, show(w))
	}
	if len(w.Spent) != 1 || w.Spent[0].Amount != money.Must("4.00") || w.Spent[0].Receipt != w.Receipts[1].ID {
		t.Errorf("the card of the first paid for the second: %+v", w.Spent)
	}
	if len(w.Toward) != 1 || w.Toward[0].Amount != money.Must("24.00") || !w.Toward[0].Reached || len(w.Toward[0].Receipts) != 2 {
		t.Errorf("%+v", w.Toward)
	}
}

// What adds up over receipts takes those of other folders in, and days outside
// its month out.
func TestTowardOverFolders(t *testing.T) {
	in := Input{Plans: []PlanFile{load(t, "trip.yaml", rewards)}, Units: []Unit{textUnit("a.txt", soapReceipt)}}
	w := Assess(in)
	if w.Toward[0].Reached || w.Toward[0].Amount != money.Must("12.00") || strings.Contains(dues(w), "month") {
		t.Errorf("%+v", w.Toward)
	}
	key := w.Toward[0].Receipts[0].Offer
	in.Toward = []Contribution{{Receipt: "r-earlier", Offer: key, Amount: money.Must("8.00"), Date: "2026-05-02"}, {Receipt: "r-other", Offer: "other|1", Amount: money.Must("90.00"), Date: "2026-05-02"}}
	if w := Assess(in); !w.Toward[0].Reached || !strings.Contains(dues(w), "month rebate 5.00 expected by 2026-05-23") {
		t.Errorf("%+v\n%s", w.Toward, dues(w))
	}
	in.Toward = nil
	in.Units = []Unit{textUnit("a.txt", strings.Replace(soapReceipt, "05/09/26", "06/09/26", 1))}
	if w := Assess(in); !w.Toward[0].Amount.IsZero() {
		t.Errorf("a receipt of June counts toward May: %+v", w.Toward)
	}
}

// A rebate whose last day was before the purchase is not to be claimed, and said.
func TestRebateTooLate(t *testing.T) {
	late := strings.Replace(rewards, "submit_by: 2026-05-30", "submit_by: 2026-05-10", 1)
	w := assess(t, late, nil, "a.txt", soapReceipt, "b.txt", towelsReceipt)
	notes := strings.Join(w.Receipts[1].Notes, "\n")
	if strings.Contains(dues(w), "towels-back") || !strings.Contains(dues(w), "month") || !strings.Contains(notes, "after 2026-05-10, the last day to claim towels-back") {
		t.Errorf("%s%s", dues(w), notes)
	}
}

// A credit that did not trigger is a finding, and nothing to wait for.
func TestMissingCreditIsNoDue(t *testing.T) {
	w := assess(t, rewards, nil, "a.txt", strings.Replace(soapReceipt, "GIFT CARD EARNED             4.00\n", "", 1))
	if len(w.Findings) != 1 || w.Findings[0].Kind != audit.MissingCredit || strings.Contains(dues(w), "soap-card") {
		t.Errorf("%+v\n%s", w.Findings, dues(w))
	}
}

// A reward that is printed by itself shows the credit, and belongs to the
// purchase of its day.
func TestSlip(t *testing.T) {
	yaml := strings.Replace(rewards, "expires_after: 60 days", "shows: slip", 1)
	bare := strings.Replace(soapReceipt, "GIFT CARD EARNED             4.00\n", "", 1)
	const slip = "  TALLOW YARD MARKET\n05/09/26 10:12\nYOU EARNED A GIFT CARD\nGIFT CARD EARNED      4.00\n"
	w := assess(t, yaml, nil, "a.txt", bare, "slip.txt", slip)
	if !strings.Contains(dues(w), "soap-card gift card 4.00 printed") || !strings.Contains(show(w), "slip.txt: slip") {
		t.Errorf("%s%s", dues(w), show(w))
	}
	if w := assess(t, yaml, nil, "a.txt", bare); !strings.Contains(dues(w), "soap-card gift card 4.00 expected") {
		t.Errorf("without the slip:\n%s", dues(w))
	}
}

// The return points to the purchase that it takes back.
func TestReturnRefers(t *testing.T) {
	const back = "  TALLOW YARD MARKET\n05/14/26 09:00 REG 01 TRANS 0012\nREFUND\nPLUMSTOW CLR HONEY    5.49-\nTOTAL    5.49-\nCARD     5.49-\n"
	w := assess(t, twoTrips, nil, "a.txt", breakfast, "b.txt", supper, "r.txt", back)
	var ids = map[string]string{}
	for _, r := range w.Receipts {
		ids[r.Files[0].Name] = r.ID
		if r.Files[0].Name == "r.txt" && (r.Refers == "" || r.Counted()) {
			t.Errorf("%+v", r)
		}
	}
	for _, r := range w.Receipts {
		if r.Refers != "" && r.Refers != ids["a.txt"] {
			t.Errorf("%s refers to %s", r.Files[0].Name, r.Refers)
		}
	}
	if w.Totals.Receipts != 2 {
		t.Errorf("%+v", w.Totals)
	}
}

// limited has one use a day over all transactions, and each of two
// transactions on days of its own.
const limited = `plan: 1
store: Tallow Yard Market
currency: USD
transactions:
  - {id: one, date: 2026-05-09, items: [{id: honey, name: Plumstow clear honey 340 g, shelf: 5.00}, {id: rice, name: Caldry long grain rice 1 kg, shelf: 3.19}]}
  - {id: two, date: 2026-05-10, items: [{id: honey, name: Plumstow clear honey 340 g, shelf: 5.00}, {id: beans, name: Harrowfen butter beans 400 g, shelf: 1.25}]}
offers:
  - {id: honey-app, title: 1.00 off clear honey, carried_as: app, applies_to: [honey], deduct: 1.00, limit: {transactions_per_day: 1}}
`

func honey(date, number, other, price, total string, coupon bool) string {
	off := ""
	if coupon {
		off = "APP OFFER HONEY   1.00-F\n"
	}
	return "  TALLOW YARD MARKET\n" + date + "  REG 04  TRANS " + number + "\nPLUMSTOW CLEAR HONEY   5.00 F\n" + off + other + "   " + price + " F\nSUBTOTAL " + total + "\nTOTAL  " + total + "\nCARD  " + total + "\n"
}

// Both shopped on one day, the second cannot have the offer: the till is right,
// and no receipt is short.
func TestLimitPerDayOverTransactions(t *testing.T) {
	one := honey("05/09/26 10:00", "7001", "CALDRY LONG GRAIN RICE", "3.19", "7.19", true)
	two := honey("05/09/26 10:10", "7002", "HARROWFEN BUTTER BEANS", "1.25", "6.25", false)
	w := assess(t, limited, nil, "a.txt", one, "b.txt", two)
	for _, r := range w.Receipts {
		if r.Verdict != audit.AsPlanned {
			t.Errorf("%s: %s %+v", r.Transaction, r.Verdict, r.Result.Findings)
		}
	}
	// On days of their own, as planned, the second should have had it.
	two = strings.Replace(two, "05/09/26", "05/10/26", 1)
	if w := assess(t, limited, nil, "a.txt", one, "b.txt", two); w.Totals.Short != 1 || w.Findings[0].Carried != "app" {
		t.Errorf("%s", show(w))
	}
}

// An offer that may be used once in all is used at the first transaction that was
// gone through; at the second its absence is no fault of the till.
func TestTotalLimitOverTransactions(t *testing.T) {
	yaml := strings.Replace(limited, "transactions_per_day: 1", "total: 1", 1)
	for _, second := range []string{"05/10/26 10:10", "05/08/26 10:10"} {
		first := second > "05/09/26"
		one := honey("05/09/26 10:00", "7001", "CALDRY LONG GRAIN RICE", "3.19", map[bool]string{true: "7.19", false: "8.19"}[first], first)
		two := honey(second, "7002", "HARROWFEN BUTTER BEANS", "1.25", map[bool]string{true: "5.25", false: "6.25"}[!first], !first)
		w := assess(t, yaml, nil, "a.txt", one, "b.txt", two)
		for _, r := range w.Receipts {
			if r.Verdict != audit.AsPlanned {
				t.Errorf("%s on %s: %s %+v", r.Transaction, second, r.Verdict, r.Result.Findings)
			}
		}
	}
	// Given at neither, it is missing once, not twice.
	one := honey("05/09/26 10:00", "7001", "CALDRY LONG GRAIN RICE", "3.19", "8.19", false)
	two := honey("05/10/26 10:10", "7002", "HARROWFEN BUTTER BEANS", "1.25", "6.25", false)
	if w := assess(t, yaml, nil, "a.txt", one, "b.txt", two); w.Totals.Short != 1 || w.Totals.ShortAtTill.String() != "1.00" {
		t.Errorf("%s", show(w))
	}
}

// A coupon held once is used at the first transaction that was gone through,
// whichever that is in the plan.
func TestHeldFollowsTheOrderShopped(t *testing.T) {
	yaml := strings.Replace(limited, "limit: {transactions_per_day: 1}", "held: 1", 1)
	one := honey("05/11/26 10:00", "7001", "CALDRY LONG GRAIN RICE", "3.19", "8.19", false)
	two := honey("05/10/26 10:10", "7002", "HARROWFEN BUTTER BEANS", "1.25", "5.25", true)
	w := assess(t, yaml, nil, "a.txt", one, "b.txt", two)
	for _, r := range w.Receipts {
		if r.Verdict != audit.AsPlanned {
			t.Errorf("%s: %s %+v", r.Transaction, r.Verdict, r.Result.Findings)
		}
	}
}

// A finding keeps its id, so that what was done about it is not lost.
func TestFindingIDsStay(t *testing.T) {
	text := strings.Replace(soapReceipt, "GIFT CARD EARNED             4.00\n", "", 1)
	a, b := assess(t, rewards, nil, "a.txt", text), assess(t, rewards, nil, "x.txt", towelsReceipt, "z.txt", text)
	if len(a.Findings) != 1 || len(b.Findings) != 1 || a.Findings[0].ID != b.Findings[0].ID {
		t.Errorf("%+v\n%+v", a.Findings, b.Findings)
	}
}

// A rebate on goods that were brought back is not to be claimed.
func TestReturnedGoodsAreNotClaimed(t *testing.T) {
	const back = "  TALLOW YARD MARKET\n05/18/26 09:00 REG 01 TRANS 0012\nREFUND\nTOLLAND KITCHEN TOWELS    4.00-\nTOTAL    4.00-\nCARD     4.00-\n"
	w := assess(t, rewards, nil, "b.txt", towelsReceipt, "r.txt", back)
	if strings.Contains(dues(w), "towels-back") || !strings.Contains(strings.Join(w.Receipts[0].Notes, " "), "was returned: do not claim towels-back") {
		t.Errorf("%s%v", dues(w), w.Receipts[0].Notes)
	}
}

// A credit that a receipt of another folder earned is spent here.
func TestCreditOfAnotherFolder(t *testing.T) {
	in := Input{Plans: []PlanFile{load(t, "trip.yaml", rewards)}, Units: []Unit{textUnit("b.txt", towelsReceipt)},
		Credits: []EarlierCredit{{Due: "dother", Plan: "other.yaml", Offer: "soap-card", Value: money.Must("4.00")}, {Due: "dcard", Plan: "trip.yaml", Offer: "soap-card", Date: "2026-05-09", Value: money.Must("4.00")}}}
	if w := Assess(in); len(w.Spent) != 1 || w.Spent[0].Due != "dcard" {
		t.Errorf("%+v", w.Spent)
	}
}
