package week

import (
	"strings"
	"testing"
)

// A town that a store is called after is not that store: a photo without the head,
// in whose address the town stands, shows the receipt of the other store all the
// same.
func TestTownIsNoStore(t *testing.T) {
	plans := []PlanFile{load(t, "other.yaml", twoTrips), load(t, "trip.yaml", strings.Replace(twoTrips, "store: Tallow Yard Market", "store: Ferry Lane Foods", 1))}
	whole := strings.Replace(breakfast, "TALLOW YARD MARKET", "FERRY LANE FOODS\n12 Weir Close\nTALLOW YARD", 1)
	for _, c := range []struct {
		lower string
		want  int
	}{
		{cut(whole, 1, 99), 1},
		{strings.Replace(cut(whole, 1, 99), "TRANS 6999", "TRANS 7012", 1), 2}, // it may be another receipt
	} {
		w := Assess(Input{Plans: plans, Units: []Unit{photoUnit("a.jpg", whole, true, true), photoUnit("b.jpg", c.lower, false, true)}})
		if len(w.Receipts) != c.want || w.Receipts[0].Plan != "trip.yaml" || c.want == 1 && len(w.Receipts[0].Copies)+len(w.Questions) != 1 {
			t.Errorf("%d: %s%+v", c.want, show(w), w.Questions)
		}
	}
}

// Photos of two parts are put together by the lines that both show, also where an
// amount was misread and the sums do not close.
func TestSharedLinesJoin(t *testing.T) {
	long := strings.Replace(supper, "SUBTOTAL", "PLUMSTOW CLR HONEY           5.49 F\nOSTREY SIEVED TOMATOES       1.89 F\nWEXCOMBE RAPESEED OIL        4.99 F\nSUBTOTAL", 1)
	long = strings.ReplaceAll(long, "13.36", "25.73")
	lower := strings.Replace("QUARKW PFNME\n"+cut(long, 4, 99), "4.99", "9.99", 1)
	w := assessPhotos(t, nil, photoUnit("img4.jpg", cut(long, 0, 8), true, false), photoUnit("img1.jpg", breakfast, true, true), photoUnit("img9.jpg", lower, false, true))
	if len(w.Receipts) != 2 || len(w.Receipts[1].Files) != 2 || w.Receipts[1].Transaction != "supper" || w.Receipts[1].Read.Firm {
		t.Errorf("%s", show(w))
	}
	// Lines of another trip tell nothing.
	other := strings.NewReplacer("5.49", "6.49", "1.89", "2.09", "6.49 F", "7.19 F", "3.29", "3.79").Replace(lower)
	if w = assessPhotos(t, nil, photoUnit("img4.jpg", cut(long, 0, 8), true, false), photoUnit("img1.jpg", breakfast, true, true), photoUnit("img9.jpg", other, false, true)); len(w.Receipts) != 3 {
		t.Errorf("%s", show(w))
	}
}

// faint is supper as a bad photo shows it: hardly a name, no total, a date that
// was misread by years, and the number at the end.
const faint = `TQL*W Y   D
05/12/16
QUAR W PEM RI ATE 3.58 F
LIN Y M TURE CH 6.49 F
WH MEAL LO 3.29 F
13.36
13.36
26051200020417
`

// Such a photo is assigned by its figures and the day in its number; beside a good
// photo of the same receipt it is asked about, not counted again, nor left out.
func TestBadPhotoIsAssigned(t *testing.T) {
	w := assessPhotos(t, nil, photoUnit("a.jpg", breakfast, true, true), photoUnit("b.jpg", faint, true, true))
	at := func(file string) *Receipt {
		for _, r := range w.Receipts {
			if r.Files[0].Name == file {
				return r
			}
		}
		return nil
	}
	if r := at("b.jpg"); r == nil || r.Transaction != "supper" || r.Date != "" || r.Verdict != "undecided" {
		t.Fatalf("%s%+v", show(w), w.Aside)
	}
	w = assessPhotos(t, nil, photoUnit("a.jpg", supper, true, true), photoUnit("b.jpg", faint, true, true))
	if r := at("b.jpg"); r == nil || r.SameAs != at("a.jpg").ID || w.Totals.Receipts != 1 || len(w.Questions) != 1 || w.Questions[0].Kind != "same" {
		t.Fatalf("%s%+v", show(w), w.Questions)
	}
	w = assessPhotos(t, map[string]string{w.Questions[0].ID: "yes"}, photoUnit("a.jpg", supper, true, true), photoUnit("b.jpg", faint, true, true))
	if len(w.Receipts) != 1 || len(w.Receipts[0].Copies) != 1 || len(w.Questions) != 0 {
		t.Errorf("%s%+v", show(w), w.Questions)
	}
}

// Of what no total and no transaction was read, nothing is counted, and the person
// is told to photograph it again.
func TestNothingToCount(t *testing.T) {
	w := assessPhotos(t, nil, photoUnit("a.jpg", breakfast, true, true), photoUnit("b.jpg", "T*L Q\nPQ 2.31\nWX IR 4.07\nMNQ 8.88\n", true, true))
	if w.Totals.Receipts != 1 || len(w.Aside) != 1 || !strings.Contains(w.Aside[0].Why, "photograph") && !strings.Contains(w.Aside[0].Why, notReceipt) {
		t.Errorf("%s%+v", show(w), w.Aside)
	}
}
