package audit

import (
	"slices"
	"strings"
	"testing"
)

// cardTrips earns a gift card in the first transaction and pays with it in the
// second, which gives points up for that.
const cardTrips = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
currency: USD
transactions:
  - id: first
    pay_with: [card]
    items:
      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.00, price_from: label}
      - {id: jam, name: Fenny Orchard plum jam 340 g, code: "4006381333931", quantity: 2, shelf: 3.50, price_from: label}
  - id: second
    pay_with: [{credit: oats-card, amount: 4.00}, card]
    items:
      - {id: foil, name: Tern kitchen foil 25 m, quantity: 2, shelf: 5.00, price_from: label}
offers:
  - {id: oats-card, title: 4.00 gift card for three oats, applies_to: [oats], buy: 3, credit: {kind: gift card, value: 4.00}}
  - {id: jam-off, title: 0.75 off each jar, funded_by: maker, carried_as: paper, applies_to: [jam], deduct: 0.75}
  - {id: foil-points, title: 2.00 in points for two rolls, applies_to: [foil], buy: 2, credit: {kind: points, value: 2.00}, void_if_paid_with: [gift card]}
`

const head = "          HARBOR LANE MARKET\n05/09/2026 10:42   REG 3  TRN 4471\n\n"

// checkTrip checks a receipt of one of cardTrips' transactions.
func checkTrip(t *testing.T, transaction, lines string) *Result {
	t.Helper()
	res, err := Check(Input{Plan: load(t, cardTrips), Transaction: transaction, Receipt: parsed(head+lines, nil)})
	if err != nil {
		t.Fatal(err)
	}
	if !identity(t, res) {
		t.Error("the effects do not add up")
	}
	return res
}

func notes(res *Result, words ...string) bool {
	return slices.ContainsFunc(res.Notes, func(n string) bool {
		for _, w := range words {
			if !strings.Contains(n, w) {
				return false
			}
		}
		return true
	})
}

const firstGoods = "MILLBROOK ROLLED OATS 1 KG    12.00\n   3 @ 4.00\nFENNY ORCHARD PLUM JAM         7.00\n   2 @ 3.50\n  MFR COUPON PLUM JAM          1.50-\n\nTOTAL                         17.50\nCARD                          17.50\n"

// A credit that did not trigger is one finding, and what it was to pay for is said.
func TestCreditFollowed(t *testing.T) {
	res := checkTrip(t, "first", firstGoods)
	if len(res.Findings) != 1 || res.Findings[0].Kind != MissingCredit {
		t.Fatalf("findings %+v, want the missing credit alone", res.Findings)
	}
	if !notes(res, "transaction second", "4.00", "no fault there") {
		t.Errorf("notes %q do not follow the credit into the second transaction", res.Notes)
	}
	res = checkTrip(t, "first", firstGoods+"GIFT CARD EARNED               4.00\n")
	if len(res.Findings) != 0 || len(res.Notes) != 0 {
		t.Errorf("findings %+v and notes %q where the credit was given, want none", res.Findings, res.Notes)
	}
}

// A credit that cannot be earned by what was bought is a consequence already: no
// finding of its own, and the later payment is said all the same.
func TestConsequenceFollowed(t *testing.T) {
	res := checkTrip(t, "first", "MILLBROOK ROLLED OATS 1 KG     8.00\n   2 @ 4.00\nFENNY ORCHARD PLUM JAM         7.00\n   2 @ 3.50\n  MFR COUPON PLUM JAM          1.50-\n\nTOTAL                         13.50\nCARD                          13.50\n")
	if len(res.Findings) != 1 || res.Findings[0].Kind != Quantity {
		t.Fatalf("findings %+v, want the quantity alone", res.Findings)
	}
	if !notes(res, "transaction second", "4.00 has to be paid there") {
		t.Errorf("notes %q do not follow the credit", res.Notes)
	}
}

// The second transaction without the gift card is no fault, and neither are the
// points that were given since it was not used.
func TestPlannedCreditNotUsed(t *testing.T) {
	const goods = "TERN KITCHEN FOIL 25 M        10.00\n   2 @ 5.00\n\nTOTAL                         10.00\n"
	res := checkTrip(t, "second", goods+"CARD                          10.00\nPOINTS EARNED                  2.00\n")
	if len(res.Findings) != 0 || res.Verdict != AsPlanned {
		t.Errorf("findings %+v, verdict %s, want none, as planned", res.Findings, res.Verdict)
	}
	if !notes(res, "transaction first did not give it") || !notes(res, "paid otherwise") {
		t.Errorf("notes %q say neither where to look nor why there are points", res.Notes)
	}
	// Paid as planned there is nothing to say.
	res = checkTrip(t, "second", goods+"GIFT CARD                      4.00\nCARD                           6.00\n")
	if len(res.Findings) != 0 || len(res.Notes) != 0 {
		t.Errorf("findings %+v and notes %q of what was paid as planned, want none", res.Findings, res.Notes)
	}
	// Points given although the gift card stops them are still told.
	res = checkTrip(t, "second", goods+"GIFT CARD                      4.00\nCARD                           6.00\nPOINTS EARNED                  2.00\n")
	if len(res.Findings) != 1 || res.Findings[0].Kind != ExtraCredit {
		t.Errorf("findings %+v, want the points alone", res.Findings)
	}
}

// A gift card spent in the first transaction is missing in the second.
func TestSpentEarly(t *testing.T) {
	const paid = "TOTAL                         17.50\nGIFT CARD                      4.00\nCARD                          13.50\nGIFT CARD EARNED               4.00\n"
	goods, _, _ := strings.Cut(firstGoods, "TOTAL")
	res := checkTrip(t, "first", goods+paid)
	if len(res.Findings) != 0 || !notes(res, "4.00 was paid with gift card here", "transaction second") {
		t.Errorf("findings %+v, notes %q: what was spent is not followed", res.Findings, res.Notes)
	}
}

// TestVariety: what stands in for a missing item, or for some of its units, is
// recognised by its name or by the maker's part of its code, with its price; the
// coupon that does not apply then is laid to it, not to the till.
func TestVariety(t *testing.T) {
	const oats = "MILLBROOK ROLLED OATS 1 KG    12.00\n   3 @ 4.00\n"
	const rest = "GIFT CARD EARNED               4.00\n"
	for _, c := range []struct {
		name, jam, total string
		kind             Kind
		cause            CauseKind
	}{
		{"by name", "FENNY ORCHARD PEACH JAM        7.00\n   2 @ 3.50\n", "19.00", MissingItem, OtherVariety},
		{"by code", "4006381333948 SPREAD QUINCE    7.00\n   2 @ 3.50\n", "19.00", MissingItem, OtherVariety},
		{"some units", "FENNY ORCHARD PLUM JAM         3.50\n  MFR COUPON PLUM JAM          0.75-\nFENNY ORCHARD PEACH JAM        3.50\n", "18.25", Quantity, OtherVariety},
		{"another price", "FENNY ORCHARD PEACH JAM       19.00\n   2 @ 9.50\n", "31.00", MissingItem, Unexplained},
		{"another thing", "LARK ROAD ATLAS                7.00\n", "19.00", MissingItem, Unexplained},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := checkTrip(t, "first", oats+c.jam+"\nTOTAL                         "+c.total+"\nCARD                          "+c.total+"\n"+rest)
			if res.ShortAtTill.Sign() != 0 {
				t.Errorf("%s is laid to the till", res.ShortAtTill)
			}
			at := slices.IndexFunc(res.Findings, func(f Finding) bool { return f.Kind == c.kind && slices.Contains(f.Items, "jam") })
			if at < 0 {
				t.Fatalf("findings %+v, want %s of jam", res.Findings, c.kind)
			}
			f := &res.Findings[at]
			if f.Cause.Kind != c.cause || f.Side != SideShopper {
				t.Errorf("cause %s, side %s, want %s of the shopper", f.Cause.Kind, f.Side, c.cause)
			}
			if told := strings.Contains(f.Cause.Text, "0.75 off each jar"); told != (c.cause == OtherVariety) {
				t.Errorf("that the coupon need not apply: told %v in %q", told, f.Cause.Text)
			}
			for i := range res.Findings {
				if res.Findings[i].Offer == "jam-off" {
					t.Errorf("a finding on the coupon of its own: %+v", res.Findings[i])
				}
			}
		})
	}
}
