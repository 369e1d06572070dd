package audit

import (
	"fmt"
	"strings"
	"testing"

	"tillproof/ocr"
	"tillproof/parse"
)

const pantryGoods = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: pantry
    items:
      - {id: beans, name: Saltrow baked beans 4 ct, shelf: 3.70}
      - {id: liquid, name: Brackle laundry liquid 1.5 l, shelf: 16.30}
      - {id: tea, name: Wexcombe black tea 80 ct, shelf: 10.00}
`

const pantry = pantryGoods + `offers:
  - {id: tenth, title: 10% off 25.00, funded_by: store, carried_as: paper, applies_to: [beans, liquid, tea], spend: 25.00, deduct: 10%}
`

// seen is a photo of what was bought of pantry; lines are others than these.
func seen(t *testing.T, beans, liquid, coupon string, confidence map[string]float64) *Result {
	t.Helper()
	total := "27.00"
	if coupon == "" {
		total = "30.00"
	}
	text := "HARBOR LANE MARKET\n05/09/2026 10:42\n" + beans + "  3.70\n" + liquid + "  16.30\nWEXCOMBE BLACK TEA 80  10.00\n" +
		"SUBTOTAL  30.00\n" + coupon + "\nTOTAL  " + total + "\nCARD  " + total + "\nTHANK YOU\n"
	res, err := Check(Input{Plan: load(t, pantry), Receipt: photographedWith(text, confidence)})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// photographedWith is photographed where some words were read less surely.
func photographedWith(text string, confidence map[string]float64) *parse.Receipt {
	page := photoPage(text)
	for i := range page.Lines {
		words := page.Lines[i].Readings[0].Words
		for k := range words {
			if c, ok := confidence[words[k].Text]; ok {
				words[k].Confidence = c
			}
		}
	}
	return parsePage(page)
}

// TestVarietyOnPhoto: a word more between two of a name's makes it another variety, at the
// same price too, where its letters are beyond doubt; else it may be the goods themselves.
func TestVarietyOnPhoto(t *testing.T) {
	const coupon = "STORE COUPON 10% OFF 25  -3.00"
	for _, c := range []struct {
		light float64
		want  string
	}{{0.95, "missing-item proved, unplanned-item proved"}, {0.6, ""}} {
		res := seen(t, "SALTROW LIGHT BAKED BEANS", "BRACKLE LAUNDRY LIQUID", coupon, map[string]float64{"LIGHT": c.light})
		if got := firm(res); got != c.want {
			t.Errorf("LIGHT read at %.2f: %q, want %q", c.light, got, c.want)
		}
	}
}

// TestMisreadWordsOfLines: in faint print the percentage of a coupon's line is misread, and
// the amount, which the sums prove, says whose it is.
func TestMisreadWordsOfLines(t *testing.T) {
	res := seen(t, "SALTROW BAKED BEANS", "BRACKLE LAUNDRY LIQUID", "STORE COUPON 6% OFF 25  -3.00", nil)
	if got := firm(res); got != "" || res.Verdict != AsPlanned {
		t.Errorf("%s: %q", res.Verdict, got)
	}
	// Its words may leave it nobody's: then it may be what is missing.
	res = seen(t, "SALTROW BAKED BEANS", "BRACKLE LAUNDRY LIQUID", "MFR APP CPN CORN FLAKES  -3.00", nil)
	if got := firm(res); got != "" {
		t.Errorf("a line of nobody as much as what is missing: %q", got)
	}
}

// TestLookAlikeWord: a letter that looks like another makes no other variety of goods, and
// what is missed of their offer stays firm.
func TestLookAlikeWord(t *testing.T) {
	for name, want := range map[string]string{
		"BRACKLE LAUNDRY LIQUID":  "missing-deduction proved",
		"BRACKLE INDRY LIQUID":    "missing-deduction proved",
		"BRACKLE LAUNBRY LIQUID":  "missing-deduction proved", // a letter of many
		"BRACKLE LAUM LIQUID":     "missing-deduction proved", // cut short, and a letter like the other
		"BRACKLE LAUK LIQUID":     "",
		"BRACKLE MARBLED LIQUID":  "",
		"BRACKLE SENSITIV LIQUID": "",
	} {
		res := seen(t, "SALTROW BAKED BEANS", name, "", map[string]float64{"MARBLED": 0.6, "SENSITIV": 0.6})
		if got := firm(res); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

// firm are the findings of a result that are sure, with how sure they are.
func firm(res *Result) string {
	var all []string
	for _, f := range res.Findings {
		if f.Certainty.Firm() {
			all = append(all, string(f.Kind)+" "+string(f.Certainty))
		}
	}
	return strings.Join(all, ", ")
}

const paste = `plan: 1
transactions:
  - id: trip
    items:
      - {id: paste, name: Sunnick mint toothpaste 100 ml, quantity: 2, shelf: 4.90, sale: 4.00}
      - {id: bread, name: Brackle wholemeal loaf 800 g, shelf: 1.80}
      - {id: eggs, name: Vennlow free range eggs 12 ct, shelf: 3.10}
`

const loaves = `plan: 1
transactions:
  - id: trip
    items:
      - {id: bread, name: Brackle wholemeal loaf 800 g, quantity: 3, shelf: 1.80}
      - {id: eggs, name: Vennlow free range eggs 12 ct, shelf: 3.10}
offers:
  - {id: third, title: buy 3 and one is free, funded_by: store, carried_as: shelf, applies_to: [bread], buy: 3, deduct: free, reduces: cheapest}
`

// TestSumsCloseByChance: the line of bread was not seen on a photo, and cost just what the
// sale of other goods saves. The sums close if that was only told, and nothing is firm.
func TestSumsCloseByChance(t *testing.T) {
	text := "HARBOR LANE MARKET\n05/09/2026 10:42\n2 @ 4.90\nSUNNICK MINT TOOTHPASTE 100ML  9.80 E\nINSTANT SAVINGS  1.80-E\n" +
		"VENNLOW FREE RANGE EGGS 12CT  3.10 E\nSUBTOTAL  12.90\nTAX  0.00\nTOTAL  12.90\nCARD  12.90\nCHANGE  0.00\nTHANK YOU\n"
	// Or one of three alike, of which an offer made one free.
	rolls := "HARBOR LANE MARKET\n05/09/2026 10:42\nBRACKLE WHOLEMEAL LOAF 800G  1.80 E\nBRACKLE WHOLEMEAL LOAF 800G  1.80 E\nMULTI BUY WHOLEMEAL LOAF  1.80-E\n" +
		"VENNLOW FREE RANGE EGGS 12CT  3.10 E\nSUBTOTAL  6.70\nTAX  0.00\nTOTAL  6.70\nCARD  6.70\nCHANGE  0.00\nTHANK YOU\n"
	for text, plan := range map[string]string{text: paste, rolls: loaves} {
		r := photographedWith(text, nil)
		if !r.FirmBody() {
			t.Fatalf("the sums do not close by themselves: %v", r.Sums)
		}
		res, err := Check(Input{Plan: load(t, plan), Receipt: r})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != "" || res.Verdict != Undecided {
			t.Errorf("%s: %q", res.Verdict, got)
		}
	}
}

// TestCancelling: amounts that depart from the plan and cancel out may all have been misread,
// and then nothing else that the sums seem to prove is firm.
func TestCancelling(t *testing.T) {
	const head = "HARBOR LANE MARKET\n05/09/2026 10:42\n"
	const half = "offers:\n  - {id: half, title: 50% off black tea, funded_by: store, carried_as: paper, applies_to: [tea], deduct: 50%}\n"
	for _, c := range []struct{ why, text, want string }{
		{"two whose effects cancel, but not what is printed", head + "SALTROW BAKED BEANS  4.30\nBRACKLE LAUNDRY LIQUID  16.30\nWEXCOMBE BLACK TEA 80  8.80\nCPN 50% OFF BLACK TEA  -4.40\nTOTAL  25.00\nCARD  25.00\nTHANK YOU\n", "overcharge proved, undercharge proved"},
		{"two that cancel", head + "SALTROW BAKED BEANS  3.10\nBRACKLE LAUNDRY LIQUID  16.90\nWEXCOMBE BLACK TEA 80  10.00\nROAD ATLAS  4.00\nTOTAL  34.00\nCARD  34.00\nTHANK YOU\n", ""},
		{"one", head + "SALTROW BAKED BEANS  3.10\nBRACKLE LAUNDRY LIQUID  16.30\nWEXCOMBE BLACK TEA 80  10.00\nROAD ATLAS  4.00\nTOTAL  33.40\nCARD  33.40\nTHANK YOU\n", "undercharge proved, unplanned-item proved"},
	} {
		offers := ""
		if strings.Contains(c.text, "CPN") {
			offers = half
		}
		res, err := Check(Input{Plan: load(t, pantryGoods+offers), Receipt: photographedWith(c.text, nil)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
}

const fewGoods = `plan: 1
transactions:
  - id: trip
    items:
      - {id: eggs, name: Vennlow free range eggs 12 ct, shelf: 3.10}
`

const (
	teas     = fewGoods + "      - {id: tea, name: Rillstone breakfast tea 40 ct, prints_as: [RILL BREA TEA 40 CT], quantity: 3, shelf: 4.39}\n"
	carrots  = fewGoods + "      - {id: carrots, name: carrots loose, weight: 1.87 lb, shelf: 0.69}\n"
	potatoes = fewGoods + `      - {id: potatoes, name: potatoes washed, weight: 0.985 kg, shelf: 1.69}
offers:
  - {id: half, title: 0.50 off potatoes, funded_by: store, carried_as: paper, applies_to: [potatoes], deduct: 0.50}
`
)

// TestNamesNearlyRead: what figures and letters tell of goods whose name was misread.
func TestNamesNearlyRead(t *testing.T) {
	for _, c := range []struct{ why, plan, goods, total, want string }{
		{"one of three, but for a digit of its price", teas, "RILL BREA TEA 40 CT  4.39\nRILL BREA TEA 40 CT  4.39\nRILL ABEM TEA 40 CT  4.29\n", "16.17", ""},
		{"at quite another price it is something else", teas, "RILL BREA TEA 40 CT  4.39\nRILL BREA TEA 40 CT  4.39\nRILL ABEM TEA 40 CT  7.95\n", "19.83", "unplanned-item proved, quantity likely"},
		{"the blank of the name was not seen", carrots, "CARROLOOSE  0.75\n", "3.85", ""},
		{"another name", carrots, "ROAD ATLAS  0.75\n", "3.85", "missing-item proved, unplanned-item proved"},
		{"the planned weight at the planned price: what is due on it is firm", potatoes, "POIS WSHD  1.66\n0.985 kg @ 1.69/kg\n", "4.76", "missing-deduction proved"},
		{"another weight at another price", potatoes, "POIS WSHD  1.66\n0.885 kg @ 1.88/kg\n", "4.76", ""},
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\n" + c.goods + "VENNLOW FREE RANGE EGGS 12CT  3.10\nSUBTOTAL  " + c.total + "\nTOTAL  " + c.total + "\nCARD  " + c.total + "\nCHANGE  0.00\nTHANK YOU\n"
		res, err := Check(Input{Plan: load(t, c.plan), Receipt: photographedWith(text, map[string]float64{"ABEM": 0.6})})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
}

// TestNoTender: on a photo that ends with a total coupons may have stood below it, and that
// one is not there is not firm; that a price is another is.
func TestNoTender(t *testing.T) {
	for _, c := range []struct{ tea, foot, want string }{
		{"10.00", "TOTAL  30.00\nCARD  30.00\n", "missing-deduction proved"},
		{"10.00", "TOTAL  30.00\n", ""},
		{"12.00", "TOTAL  32.00\n", "overcharge proved"},
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS 4CT  3.70\nBRACKLE LAUNDRY LIQUID 1.5L  16.30\nWEXCOMBE BLACK TEA 80CT  " + c.tea + "\n" + c.foot
		r := photographedWith(text, nil)
		res, err := Check(Input{Plan: load(t, pantry), Receipt: r})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want || !r.FirmBody() {
			t.Errorf("%s %q: %q, want %q", c.tea, c.foot, got, c.want)
		}
	}
	// A coupon below the total, which was not seen, had lowered the tax.
	taxed := "plan: 1\ntax: {rate: 10%}\ntransactions: [{id: t, items: [{id: tea, name: Wexcombe black tea 80 ct, shelf: 10.00}]}]\n" +
		"offers: [{id: o, title: 4.00 off, funded_by: store, carried_as: paper, applies_to: [tea], deduct: 4.00}]\n"
	for foot, want := range map[string]string{"": "", "CARD  10.60\n": "missing-deduction proved, tax proved"} {
		res, err := Check(Input{Plan: load(t, taxed), Receipt: photographedWith("HARBOR LANE MARKET\nWEXCOMBE BLACK TEA 80CT  10.00\nSUBTOTAL  10.00\nTAX  0.60\nTOTAL  10.60\n"+foot, nil)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != want {
			t.Errorf("a lowered tax, then %q: %q, want %q", foot, got, want)
		}
	}
}

// TestGoodsTakenForCharges: goods that were taken for a charge, since the lines were
// misunderstood, are not missing.
func TestGoodsTakenForCharges(t *testing.T) {
	for _, c := range []struct {
		line, sums, want string
		charge           bool
	}{
		{"SALTROW BAKED BEANS 4CT  4.10", "30.40 -3.04 27.36", "overcharge proved", false},
		{"SALTROW BAKED BEANS 4CT  4.10", "30.40 -3.04 27.36", "", true},
		{"BAG CHARGE  0.10", "26.40 -2.63 23.77", "missing-item proved, unplanned-item proved", true},
	} {
		sums := strings.Fields(c.sums)
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\n" + c.line + "\nBRACKLE LAUNDRY LIQUID 1.5L  16.30\nWEXCOMBE BLACK TEA 80CT  10.00\n" +
			"SUBTOTAL  " + sums[0] + "\nSTORE COUPON 10% OFF 25  " + sums[1] + "\nTOTAL  " + sums[2] + "\nCARD  " + sums[2] + "\nTHANK YOU\n"
		r := photographedWith(text, nil)
		if c.charge {
			r.Lines[2].Kind = parse.LineFee
		}
		res, err := Check(Input{Plan: load(t, pantry), Receipt: r})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%s, charge %t: %q, want %q", c.line, c.charge, got, c.want)
		}
	}
}

// TestUnreadBesideCredit: where a line could not be read it may be another part of a credit,
// or say that what looks like one is something else.
func TestUnreadBesideCredit(t *testing.T) {
	card := pantry + "  - {id: card, title: 4.00 gift card, carried_as: paper, applies_to: [tea], spend: 5.00, credit: {kind: gift card, value: 4.00}}\n"
	for _, c := range []struct {
		foot, want string
		unread     int // a line, from 1; 0 for none
	}{
		{"GIFT CARD EARNED  4.00\nWEEKLY DEALS\n", "", 12},
		{"GIFT CARD EARNED  2.00\nWEEKLY DEALS\n", "short-credit proved", 0},
		{"GIFT CARD EARNED  2.00\nWEEKLY DEALS\n", "", 12},
		{"GIFT CARD EARNED  2.00\nWEEKLY DEALS\n", "short-credit proved", 1}, // above the goods
		{"GIFT CARD EARNED  2.00\nWEEKLY DEALS\n", "", 3},                    // right above them
		{"GIFT CARD EARNED  7.00\nWEEKLY DEALS\n", "extra-credit proved", 0},
		{"GIFT CARD EARNED  7.00\nWEEKLY DEALS\n", "", 12},
	} {
		page := photoPage("BIG VALUE\nHARBOR LANE MARKET 05/09/2026 10:42\nLANE 4\nSALTROW BAKED BEANS 4CT  3.70\nBRACKLE LAUNDRY LIQUID 1.5L  16.30\nWEXCOMBE BLACK TEA 80CT  10.00\n" +
			"SUBTOTAL  30.00\nSTORE COUPON 10% OFF 25  -3.00\nTOTAL  27.00\nCARD  27.00\n" + c.foot)
		if c.unread > 0 {
			page.Lines[c.unread-1].Readings = nil
		}
		res, err := Check(Input{Plan: load(t, card), Receipt: parsePage(page)})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.ReplaceAll(firm(res), "likely", "proved"); got != c.want {
			t.Errorf("%q, line %d unread: %q, want %q", c.foot, c.unread, got, c.want)
		}
	}
}

// TestStoreUnread: where a line above what was taken for the store's name could not be read,
// goods that are all there tell the receipt; else it stays another store's.
func TestStoreUnread(t *testing.T) {
	four := pantryGoods + "      - {id: soap, name: Pellamy olive soap bar, shelf: 2.00}\n"
	const goods = "05/09/2026 10:42\nSALTROW BAKED BEANS  3.70\nBRACKLE LAUNDRY LIQUID  16.30\nWEXCOMBE BLACK TEA 80  10.00\n%s\nTOTAL  32.00\nCARD  32.00\nTHANK YOU\n"
	for _, c := range []struct {
		head, soap string
		unread     bool
		confidence float64
		want       Verdict
	}{
		{"MOTTO", "PELLAMY OLIVE SOAP BAR  2.00", true, 0.95, AsPlanned},
		{"MOTTO", "PELLAMY OLIVE SOAP BAR  2.00", false, 0.95, Undecided},
		{"QATERLMY FARD", "PELLAMY OLIVE SOAP BAR  2.00", false, 0.4, AsPlanned},
		{"MOTTO", "CORN FLAKES 500 G  2.00", true, 0.95, Undecided},
		{"QATERLMY FARD", "CORN FLAKES 500 G  2.00", false, 0.4, Undecided},
	} {
		page := photoPage(c.head + "\nBIG VALUE, SMALL CHANGE\n" + strings.Replace(goods, "%s", c.soap, 1))
		for k := range page.Lines[0].Readings[0].Words {
			page.Lines[0].Readings[0].Words[k].Confidence = c.confidence
		}
		if c.unread {
			page.Lines[0].Readings = nil
		}
		res, err := Check(Input{Plan: load(t, four), Receipt: parsePage(page)})
		if err != nil {
			t.Fatal(err)
		}
		if res.Verdict != c.want {
			t.Errorf("unread %v, %s: %s, want %s (%v)", c.unread, c.soap, res.Verdict, c.want, res.Undecided)
		}
	}
}

// TestMayBeDearer: goods that may be missing and goods that may be others are perhaps the same,
// rung at more than planned; then the receipt does not settle it.
func TestMayBeDearer(t *testing.T) {
	for _, c := range []struct {
		price, total string
		want         Verdict
	}{{"12.00", "32.00", Undecided}, {"10.00", "30.00", AsPlanned}, {"9.00", "29.00", AsPlanned}} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS  3.70\nBRACKLE LAUNDRY LIQUID  16.30\nX Z  " + c.price + "\nTOTAL  " + c.total + "\nCARD  " + c.total + "\nTHANK YOU\n"
		page := photoPage(text)
		res, err := Check(Input{Plan: load(t, pantryGoods), Receipt: parsePage(page)})
		if err != nil {
			t.Fatal(err)
		}
		if res.Verdict != c.want {
			t.Errorf("at %s: %s, want %s; firm: %q", c.price, res.Verdict, c.want, firm(res))
		}
	}
	// Or they are the same and the coupon for them is not there.
	text := "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS  3.70\nBRACKLE LAUNDRY LIQUID  16.30\nX Z  10.00\nTOTAL  30.00\nCARD  30.00\nTHANK YOU\n"
	const coupon = "offers:\n  - {id: teas, title: 1.00 off black tea, funded_by: maker, carried_as: paper, applies_to: [tea], deduct: 1.00}\n"
	res, err := Check(Input{Plan: load(t, pantryGoods+coupon), Receipt: parsePage(photoPage(text))})
	if err != nil {
		t.Fatal(err)
	}
	if res.Verdict != Undecided || firm(res) != "" {
		t.Errorf("without a coupon: %s; firm: %q", res.Verdict, firm(res))
	}
}

// TestCreditInMisreadWords: a credit that was not found on a photo may be a line at the foot of
// which the words were misread, as far as its amount is in no sum, doubtful and of nothing else,
// or one of lines of which too many were read badly.
func TestCreditInMisreadWords(t *testing.T) {
	const credit = pantryGoods + "offers:\n  - {id: back, title: 1.50 store credit when you buy enough, carried_as: loyalty, applies_to: [beans, liquid], spend: 15.00, credit: {kind: store credit, value: 1.50}}\n"
	const text = "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS  3.70\nBRACKLE LAUNDRY LIQUID  16.30\nWEXCOMBE BLACK TEA 80  10.00\nSUBTOTAL  30.00\nTOTAL  30.00\nCARD  30.00\nTHANK YOU\n"
	const more = "COME AGAIN\nSEE YOU SOON\nOPEN DAILY\n"
	for _, c := range []struct {
		foot       string
		confidence map[string]float64
		want       string
	}{
		{more, nil, "missing-credit likely"},
		{"SMONE CRED# AL 0.50\n" + more, map[string]float64{"0.50": 0.7}, ""},
		{"SMONE CRED# AL 30.00\n" + more, map[string]float64{"30.00": 0.7}, "missing-credit likely"}, // told again
		{"SMORE CRD AL\nWALTNG FCR\n" + more, map[string]float64{"SMORE": 0.5, "CRD": 0.4, "AL": 0.5, "WALTNG": 0.5, "FCR": 0.5}, ""},
		{"SMORE CRD AL\n" + more, map[string]float64{"SMORE": 0.5, "CRD": 0.4, "AL": 0.5}, "missing-credit likely"},                                  // one of five
		{"OUR SMORE BETS\nWALTNG FCR\n" + more, map[string]float64{"SMORE": 0.6, "BETS": 0.6, "WALTNG": 0.65, "FCR": 0.65}, "missing-credit likely"}, // no amount is in them
		{"OUR S1 BETS\nWALTNG 2:50\n" + more, map[string]float64{"S1": 0.5, "BETS": 0.6, "WALTNG": 0.65, "2:50": 0.65}, ""},
	} {
		res, err := Check(Input{Plan: load(t, credit), Receipt: photographedWith(text+c.foot, c.confidence)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%q: %q, want %q", c.foot, got, c.want)
		}
	}
}

// TestGoodsBelowNothing: what a photo shows as goods for less than nothing may be the deduction
// that is not there.
func TestGoodsBelowNothing(t *testing.T) {
	const offer = pantryGoods + "offers:\n  - {id: off, title: 1.00 off black tea, funded_by: store, carried_as: app, applies_to: [tea], deduct: 1.00}\n"
	for _, c := range []struct{ line, total, want string }{
		{"REFUND ROAD ATLAS  -4.00\n", "26.00", ""},
		{"ROAD ATLAS  4.00\n", "34.00", "missing-deduction proved, unplanned-item proved"},
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS  3.70\nBRACKLE LAUNDRY LIQUID  16.30\nWEXCOMBE BLACK TEA 80  10.00\n" + c.line +
			"TOTAL  " + c.total + "\nCARD  " + c.total + "\nTHANK YOU\n"
		res, err := Check(Input{Plan: load(t, offer), Receipt: photographedWith(text, nil)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%q: %q, want %q", c.line, got, c.want)
		}
	}
}

// TestSavingsLessWhatWasTakenBack: an amount told below what was paid is accounted for where it
// is all that came off less what was taken back.
func TestSavingsLessWhatWasTakenBack(t *testing.T) {
	const credit = pantryGoods + "offers:\n  - {id: half, title: 0.50 off black tea, funded_by: store, carried_as: app, applies_to: [tea], deduct: 0.50}\n" +
		"  - {id: most, title: 0.80 off laundry liquid, funded_by: store, carried_as: app, applies_to: [liquid], deduct: 0.80}\n" +
		"  - {id: back, title: 1.50 store credit when you buy enough, carried_as: loyalty, applies_to: [beans], spend: 3.00, credit: {kind: store credit, value: 1.50}}\n"
	for _, text := range []string{"YDU FARNED 50 FUFL PDINTS", "100 BDNUS PTS", "STORE CRED# 5 DOLLARS", "BONUS CREDT $S.OO", "SMDRE CREOIT l.5O EARNED"} {
		if !mayTellAmount(text) {
			t.Errorf("%q may tell an amount", text)
		}
	}
	for saved, want := range map[string]bool{
		"0.70": true, "1.50": true, "1.40": false,
		"1.10\nSALE SAVINGS 0.40": true, "0.30\nSALE SAVINGS 0.40": true, "0.30\nSALE SAVINGS 0.60": false, // by their kinds
		"0.40\nSMONE CRED# AL 1.10": false, // words of nothing that was saved
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS  3.70\nBRACKLE LAUNDRY LIQUID  16.30\nDISCOUNT 0.80 OFF  -0.80\nDISCOUNT 0.80 OFF - REMOVED  0.80\n" +
			"WEXCOMBE BLACK TEA 80  10.00\nDISCOUNT 0.50 OFF  -0.50\nDISCOUNT 0.20 OFF  -0.20\nTOTAL  29.30\nCARD  29.30\nYOU SAVED " + saved + "\nTHANK YOU\nCOME AGAIN\nSEE YOU SOON\nOPEN DAILY\nGOODS FROM NEAR\nFRESH EACH DAY\n"
		res, err := Check(Input{Plan: load(t, credit), Receipt: photographedWith(text, doubted(saved))})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(firm(res), "missing-credit"); got != want {
			t.Errorf("%s saved: firm: %q, want the credit among it: %v", saved, firm(res), want)
		}
	}
}

// doubted are the amounts in text, each read with little confidence.
func doubted(text string) map[string]float64 {
	all := map[string]float64{}
	for word := range strings.FieldsSeq(text) {
		if strings.Contains(word, ".") {
			all[word] = 0.7
		}
	}
	return all
}

// TestNoFirmDeductionBesideMisreadNames: what comes off on a photo may be the sale of goods
// whose name was misread; beside goods that are not missing it is surely theirs.
func TestNoFirmDeductionBesideMisreadNames(t *testing.T) {
	for _, c := range []struct{ beans, want string }{
		{"1.9 hg @ 1.95/hg", ""},
		{"SALTROW BAKED BEANS 4CT", "undercharge proved"},
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\n" + c.beans + "  3.70\nMULTI 40%  -1.30\nBRACKLE LAUNDRY LIQUID  16.30\nWEXCOMBE BLACK TEA 80  10.00\n" +
			"SUBTOTAL  28.70\nTOTAL  28.70\nCARD  28.70\nTHANK YOU\n"
		res, err := Check(Input{Plan: load(t, pantryGoods), Receipt: photographed(text)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%s: %q, want %q", c.beans, got, c.want)
		}
	}
}

// TestUnplannedBesideMissing: goods with nothing of the missing ones' name are others though a
// digit misread would make their prices the same; at just the same price they may be theirs.
func TestUnplannedBesideMissing(t *testing.T) {
	for _, c := range []struct{ price, total, want string }{
		{"4.70", "31.00", "missing-item proved, unplanned-item proved"},
		{"3.70", "30.00", ""},
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\nCANDLES AND LIGHTS  " + c.price + "\nBRACKLE LAUNDRY LIQUID  16.30\nWEXCOMBE BLACK TEA 80  10.00\n" +
			"SUBTOTAL  " + c.total + "\nTOTAL  " + c.total + "\nCARD  " + c.total + "\nTHANK YOU\n"
		res, err := Check(Input{Plan: load(t, pantryGoods), Receipt: photographed(text)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%s: %q, want %q", c.price, got, c.want)
		}
	}
}

// TestTaxByAnotherName: what stands beneath all goods of a photo is no firm find where tax is
// due and no line of tax was read; among the goods it is.
func TestTaxByAnotherName(t *testing.T) {
	const taxed = pantryGoods + "tax: {rate: 10%}\n"
	for _, c := range []struct {
		name, text string
		firm       bool
	}{
		{"beneath all goods", "SALTROW BAKED BEANS 4C  3.70\nBRACKLE LAUNDRY LIQUID 1.5L  16.30\nWEXCOMBE BLACK TEA 80  10.00\nTOEOX I  3.00\n", false},
		{"among the goods", "SALTROW BAKED BEANS 4C  3.70\nTOEOX I  3.00\nBRACKLE LAUNDRY LIQUID 1.5L  16.30\nWEXCOMBE BLACK TEA 80  10.00\n", true},
	} {
		res, err := Check(Input{Plan: load(t, taxed), Receipt: photographedWith("HARBOR LANE MARKET\n05/09/2026 10:42\n"+c.text+"TOTAL  33.00\nCARD  33.00\nTHANK YOU\n", nil)})
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, f := range res.Findings {
			if f.Kind == UnplannedItem {
				found = true
				if f.Certainty.Firm() != c.firm {
					t.Errorf("%s: the unplanned item is %s", c.name, f.Certainty)
				}
			}
		}
		if !found {
			t.Errorf("%s: no unplanned item among %v", c.name, res.Findings)
		}
	}
}

// TestCreditsAmongPromises: on a photo an amount that a line says could be had leaves a missing
// credit firm, though its digits are doubtful, and a credit below what was saved is its own line.
func TestCreditsAmongPromises(t *testing.T) {
	const back = pantryGoods + "offers:\n  - {id: back, title: 3.00 store credit when you buy enough, applies_to: [beans, liquid, tea], spend: 25.00, credit: {kind: store credit, value: 3.00}}\n"
	const goods = "HARBOR LANE MARKET\n05/09/2026 10:42\nSALTROW BAKED BEANS 4C  3.70\nBRACKLE LAUNDRY LIQUID 1.5L  16.30\nWEXCOMBE BLACK TEA 80  10.00\nTOTAL  30.00\nCARD  30.00\n"
	for _, c := range []struct {
		foot string
		want string // kind of the only finding and whether it is firm
	}{
		{"Eam a $5.00 reward for each $100.00\nTHANK YOU\n", "missing-credit true"},
		{"You could win one of ten: $100.00\nTHANK YOU\n", "missing-credit true"},
		{"Ynurs one of ten: $100.00\nTHANK YOU\n", "missing-credit false"},
		{"Today you kept in your pocket: 33.54\nOn your next visit: store credit 3.00\nTHANK YOU\n", ""},
	} {
		page := photoPage(goods + c.foot)
		for i := range page.Lines {
			for k := range page.Lines[i].Readings[0].Words {
				if w := &page.Lines[i].Readings[0].Words[k]; w.Text == "$100.00" {
					w.Alternatives = []ocr.Alternative{{Text: "$108.00", Cost: 0.3}}
				}
			}
		}
		res, err := Check(Input{Plan: load(t, back), Receipt: parsePage(page)})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, f := range res.Findings {
			got += fmt.Sprint(f.Kind, " ", f.Certainty.Firm())
		}
		if got != c.want {
			t.Errorf("%q: %q, want %q", c.foot, got, c.want)
		}
	}
}

// TestNothingFirmOfNameless: goods without a legible name that were laid to others make
// neither these dearer nor those that are missing.
func TestNothingFirmOfNameless(t *testing.T) {
	const byWeight = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
transactions:
  - id: fruit
    items:
      - {id: grapes, name: green grapes, weight: 0.78 lb, shelf: 3.19}
      - {id: carrots, name: carrots loose, weight: 2.04 lb, shelf: 1.09, sale: 0.73}
      - {id: tea, name: Wexcombe black tea 80 ct, shelf: 10.00}
`
	for _, c := range []struct{ grapes, want string }{
		{"1630045 green grapes\n0.78 LS X 3.19  2.49 Nt", ""},
		{"1630045 green grapes\n0.78 LOS @ 3.19  2.49 Nt", ""},
		{"1630045 green grapes\n0.78 lb @ 3.19  2.49 Nt", ""},
	} {
		text := "HARBOR LANE MARKET\n05/09/2026 10:42\n" + c.grapes + "\n8679918 carrots loose\n2.04 LB @ 1.09  2.22 Nt\nPrice cut from 2.22  -0.73 Nt\n5519022 WEXCOMBE BLACK TEA\n1 EA @ 10.00  10.00 Nt\nTOTAL  13.98\nCARD  13.98\nTHANK YOU\n"
		res, err := Check(Input{Plan: load(t, byWeight), Receipt: photographed(text)})
		if err != nil {
			t.Fatal(err)
		}
		if got := firm(res); got != c.want {
			t.Errorf("%s: %q, want %q", c.grapes, got, c.want)
		}
	}
}
