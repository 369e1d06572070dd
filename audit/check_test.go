package audit

import (
	"strings"
	"testing"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

const twoTrips = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: breakfast
    items:
      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29}
      - {id: jam, name: Fenny Orchard plum jam 340 g, quantity: 2, shelf: 3.79}
  - id: kitchen
    items:
      - {id: foil, name: Tern kitchen foil 25 m, quantity: 2, shelf: 3.29}
      - {id: soap, name: Dovecote dish soap 500 ml, shelf: 2.49}
offers:
  - {id: soap-maker, title: 0.50 off dish soap, funded_by: maker, carried_as: paper, applies_to: [soap], deduct: 0.50}
`

const kitchen = `HARBOR LANE MARKET
05/09/2026 10:42
TERN KTCHN FOIL 25M     6.58
  2 @ 3.29
DVCT DISH SOAP          2.49
MFR CPN DISH SOAP      -0.50
SUBTOTAL                8.57
TOTAL                   8.57
CARD                    8.57
`

// Without a transaction named, the receipt tells.
func TestChoosesTransaction(t *testing.T) {
	p := load(t, twoTrips)
	res := checkedText(t, p, kitchen)
	if res.Transaction != "kitchen" || res.Verdict != AsPlanned {
		t.Errorf("transaction %q, %s, want kitchen as planned: %v", res.Transaction, res.Verdict, res.Undecided)
	}
	// Named, the other one is what it is compared with: nothing planned is there.
	res, err := Check(Input{Plan: p, Transaction: "breakfast", Receipt: parsed(kitchen, nil)})
	if err != nil || res.Verdict != Undecided || len(res.Findings) != 0 {
		t.Errorf("%v, %s with %d findings, want undecided with none", err, res.Verdict, len(res.Findings))
	}
	if _, err := Check(Input{Plan: p, Transaction: "supper", Receipt: parsed(kitchen, nil)}); err == nil || !strings.Contains(err.Error(), "breakfast, kitchen") {
		t.Errorf("error %v, want one that names the transactions", err)
	}
}

// Two transactions alike: the receipt does not tell, and nothing is firm.
func TestAmbiguousTransaction(t *testing.T) {
	p := load(t, strings.Replace(twoTrips, "offers:", `  - id: again
    items:
      - {id: foil, name: Tern kitchen foil 25 m, quantity: 2, shelf: 3.29}
      - {id: soap, name: Dovecote dish soap 500 ml, shelf: 2.49}
offers:`, 1))
	res := checkedText(t, p, strings.Replace(kitchen, "MFR CPN DISH SOAP      -0.50\n", "", 1))
	if res.Verdict != Undecided || len(res.Undecided) == 0 || !strings.Contains(res.Undecided[0], "--transaction") {
		t.Errorf("%s %q, want undecided with a word on --transaction", res.Verdict, res.Undecided)
	}
	noneFirm(t, res, "ambiguous")
}

// A receipt that is not the plan's never yields a firm finding.
func TestForeignReceipts(t *testing.T) {
	p := load(t, twoTrips)
	missing := strings.ReplaceAll(strings.Replace(kitchen, "MFR CPN DISH SOAP      -0.50\n", "", 1), "8.57", "9.07")
	for name, text := range map[string]string{
		"another store":  strings.Replace(missing, "HARBOR LANE MARKET", "QUILLON FOODS", 1),
		"nothing bought": "HARBOR LANE MARKET\nLAMP OIL 3.00\nCANDLES 2.00\nSUBTOTAL 5.00\nTOTAL 5.00\nCASH 5.00\n",
		"half of it":     "TERN KTCHN FOIL 25M     6.58\n  2 @ 3.29\nDVCT DISH SOAP          2.49\n",
		"a letter":       "Dear Sir,\nthank you for your letter of 3 May.\nYours,\nO. Quay\n",
		"empty":          "",
		"a return":       "HARBOR LANE MARKET\nRETURN\nDVCT DISH SOAP          2.49-\nTOTAL                  -2.49\nREFUND CARD            -2.49\n",
		"a doctored sum": strings.Replace(missing, "TOTAL                   9.07", "TOTAL                   9.97", 1),
	} {
		res := checkedText(t, p, text)
		if res.Verdict != Undecided || len(res.Undecided) == 0 {
			t.Errorf("%s: %s %q, want undecided with a reason", name, res.Verdict, res.Undecided)
		}
		noneFirm(t, res, name)
	}
	if res := checkedText(t, p, missing); res.Verdict != Short {
		t.Errorf("the receipt itself: %s %v, want short", res.Verdict, res.Undecided)
	}
}

// Where day and month could be either, the planned day is taken.
func TestDateReadBothWays(t *testing.T) {
	p := load(t, strings.Replace(twoTrips, "2026-05-09", "2026-09-05", 1))
	rec := parsed(kitchen, nil)
	if rec.Date != "2026-05-09" || rec.DateOther != "2026-09-05" {
		t.Fatalf("date %s or %s", rec.Date, rec.DateOther)
	}
	res, err := Check(Input{Plan: p, Receipt: rec})
	if err != nil || len(res.Notes) > 0 || res.Expected.Date.String() != "2026-09-05" {
		t.Errorf("%v notes %q, expected for %s", err, res.Notes, res.Expected.Date)
	}
}

// A photo of which the lower end was not read: a credit that is not there is
// unsure, and the verdict open.
func TestMissingCreditNeedsTheLowerEnd(t *testing.T) {
	p := load(t, breakfast)
	tx := p.Transactions[0]
	bill := p.PriceAs(tx, nil)
	bill.Credits = nil // not printed
	rec := printBill(p, tx, bill, style{})
	if res := checked(t, p, rec); res.Verdict != Short || res.ShortCredit.String() != "4.00" || res.Findings[0].Certainty != CertainLikely {
		t.Errorf("%s %s, want short with 4.00 in credits", res.Verdict, res.ShortCredit)
	}
	rec.Complete.Bottom = false
	if res := checked(t, p, rec); res.Verdict != Undecided || res.Findings[0].Certainty != CertainUnsure {
		t.Errorf("without the lower end: %s, want undecided", res.Verdict)
	}
	rec.Complete.Bottom = true
	rec.Lines = append(rec.Lines, parse.Line{N: len(rec.Lines) + 1, Kind: parse.LineOther, Unread: true, Photo: 1})
	if res := checked(t, p, rec); res.Verdict != Undecided {
		t.Errorf("with a line left unread: %s, want undecided", res.Verdict)
	}
}

// The rebate that the receipt proves is due, with its lines and its last day.
func TestDue(t *testing.T) {
	p := load(t, breakfast)
	tx := p.Transactions[0]
	res := checked(t, p, printBill(p, tx, p.PriceAs(tx, nil), style{}))
	if len(res.Due) != 1 || res.Due[0].Offer != "jam-back" || res.Due[0].Value.String() != "1.20" || res.Due[0].SubmitBy.String() != "2026-05-20" || len(res.Due[0].Lines) == 0 {
		t.Errorf("due %+v", res.Due)
	}
}

// Two amounts that depart from the plan and cancel out: on a photo they may be
// misread, and nothing is firm; in a text they are what they are.
func TestCancellingDeparturesOnAPhoto(t *testing.T) {
	p := load(t, strings.NewReplacer("shelf: 3.79}", "shelf: 3.79, price_from: label}", "shelf: 4.29}", "shelf: 4.29, price_from: label}").Replace(twoTrips))
	tx := p.Transactions[0]
	oats, jam := money.Must("13.87"), money.Must("6.58")
	rung := &plan.Rung{Items: map[int]plan.RungItem{0: {Quantity: 3, Price: &oats}, 1: {Quantity: 2, Price: &jam}}}
	rec := printBill(p, tx, p.PriceAs(tx, rung), style{})
	res, err := checkFirm(Input{Plan: p, Transaction: "breakfast", Receipt: rec}, true)
	if err != nil || res.Verdict != Short || len(res.Findings) != 2 {
		t.Fatalf("as text: %v %s with %d findings, want short with two", err, res.Verdict, len(res.Findings))
	}
	for i := range rec.Lines {
		rec.Lines[i].Photo = 1
	}
	res, err = checkFirm(Input{Plan: p, Transaction: "breakfast", Receipt: rec}, true)
	if err != nil || res.Verdict != Undecided {
		t.Errorf("on a photo: %v %s, want undecided", err, res.Verdict)
	}
	noneFirm(t, res, "cancelling")
}

// A name of which hardly a letter was read: on a photo the item is not missing
// for sure and what stands at its price is not unplanned; in a text it is.
func TestMisreadNameOnAPhoto(t *testing.T) {
	p := load(t, twoTrips)
	rec := parsed(strings.Replace(kitchen, "TERN KTCHN FOIL 25M ", "T T                  ", 1), nil)
	firm := func() (kinds []string) {
		res, err := checkFirm(Input{Plan: p, Transaction: "kitchen", Receipt: rec}, true)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range res.Findings {
			if f.Certainty.Firm() {
				kinds = append(kinds, string(f.Kind))
			}
		}
		return kinds
	}
	if got := firm(); len(got) == 0 {
		t.Error("as text nothing is firm, so the photo proves nothing")
	}
	for i := range rec.Lines {
		rec.Lines[i].Photo = 1
	}
	if got := firm(); len(got) != 0 {
		t.Errorf("on a photo %v are firm", got)
	}
}
