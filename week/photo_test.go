package week

import (
	"strings"
	"testing"

	"tillproof/ocr"
	"tillproof/parse"
)

// photoUnit is a text as if it had been read in a photo.
func photoUnit(name, text string, top, bottom bool) Unit {
	u := textUnit(name, text)
	u.Load = func() ([]ocr.Page, error) {
		page := parse.TextPage(text)
		page.Text, page.Top, page.Bottom = false, top, bottom
		for i := range page.Lines {
			page.Lines[i].Photo = 1
			for k := range page.Lines[i].Readings[0].Words {
				page.Lines[i].Readings[0].Words[k].Confidence = 0.95
			}
		}
		return []ocr.Page{page}, nil
	}
	return u
}

func assessPhotos(t *testing.T, answers map[string]string, units ...Unit) *Week {
	return Assess(Input{Plans: []PlanFile{load(t, "trip.yaml", twoTrips)}, Units: units, Answers: answers})
}

// Two photos of one long receipt overlap, and a line that both show was not
// read the same in both: its lines are there once all the same.
func TestPhotosOverlapReadDifferently(t *testing.T) {
	long := strings.Replace(supper, "SUBTOTAL", "PLUMSTOW CLR HONEY           5.49 F\nOSTREY SIEVED TOMATOES       1.89 F\nWEXCOMBE RAPESEED OIL        4.99 F\nSUBTOTAL", 1)
	long = strings.ReplaceAll(long, "13.36", "25.73")
	lower := strings.Replace(cut(long, 3, 99), "QUARROW", "QUARR0W", 1)
	lower = strings.Replace(lower, "WHOLEMEAL", "WH0LEMEAL", 1)
	w := assessPhotos(t, nil, photoUnit("a.jpg", cut(long, 0, 8), true, false), photoUnit("b.jpg", lower, false, true))
	if len(w.Receipts) != 1 || len(w.Receipts[0].Files) != 2 {
		t.Fatalf("%s", show(w))
	}
	r := w.Receipts[0]
	breads := 0
	for _, l := range r.Read.Lines {
		if strings.Contains(l.Text, "LEMEAL") {
			breads++
		}
	}
	if breads != 1 || !r.Read.Firm || r.Total.String() != "25.73" || len(r.at) != len(r.Read.Lines) {
		t.Errorf("%d breads, firm %v, %d places for %d lines", breads, r.Read.Firm, len(r.at), len(r.Read.Lines))
	}
	if last := r.at[len(r.at)-1]; last.file.Name != "b.jpg" || r.at[0].file.Name != "a.jpg" {
		t.Errorf("the last line is in %s", last.file.Name)
	}
}

// A digit of the number misread on one of two photos: they are not merged, and
// not counted twice either.
func TestMisreadNumberIsAsked(t *testing.T) {
	a, b := photoUnit("a.jpg", breakfast, true, true), photoUnit("b.jpg", strings.Replace(breakfast, "TRANS 6999", "TRANS 6989", 1), true, true)
	w := assessPhotos(t, nil, a, b)
	if w.Totals.Receipts != 1 || len(w.Questions) == 0 || w.Questions[0].Kind != "same" {
		t.Errorf("%s", show(w))
	}
	// As text nothing is misread: another number is another receipt.
	w = assess(t, twoTrips, nil, "a.txt", breakfast, "b.txt", strings.Replace(breakfast, "TRANS 6999", "TRANS 6989", 1))
	if w.Totals.Receipts != 2 {
		t.Errorf("%s", show(w))
	}
}

// A line that could not be read on a photo is asked for with its place, and
// what is typed counts as corrected.
func TestPhotoQuestionHasItsPlace(t *testing.T) {
	u := photoUnit("a.jpg", breakfast, true, true)
	read := u.Load
	u.Load = func() ([]ocr.Page, error) {
		pages, err := read()
		pages[0].Lines[5].Readings = nil // seen, and not read
		return pages, err
	}
	w := assessPhotos(t, nil, u)
	if len(w.Questions) == 0 || w.Questions[0].Kind != "amount" || w.Questions[0].Box == nil || w.Questions[0].File.Name != "a.jpg" {
		t.Fatalf("%s%+v", show(w), w.Questions)
	}
	w = assessPhotos(t, map[string]string{w.Questions[0].ID: "PLUMSTOW CLR HONEY 5.49 F"}, u)
	r := w.Receipts[0]
	if l := r.Read.Line(6); l.Proof != parse.Corrected || l.Amount == nil || l.Amount.String() != "5.49" || !r.Read.Firm {
		t.Errorf("%+v\n%s", l, show(w))
	}
}

// Of the lines of a sum that does not work out, that comes first which a single
// digit makes right.
func TestLikeliestLineIsAskedFirst(t *testing.T) {
	two := strings.Replace(strings.Replace(supper, "3.58", "3.53", 1), "  2 @ 1.79\n", "", 1)
	w := assessPhotos(t, nil, photoUnit("a.jpg", two, true, true))
	if len(w.Questions) < 2 || w.Questions[0].Line != 3 {
		t.Errorf("%s%+v", show(w), w.Questions)
	}
}

// Papers of one photo that were read each by itself are receipts of their own,
// and what is typed for one is not laid over the other.
func TestPapersOfOnePhoto(t *testing.T) {
	a, b := photoUnit("a.jpg", breakfast, true, true), photoUnit("b.jpg", supper, true, true)
	both := a
	both.Load = func() ([]ocr.Page, error) {
		first, _ := a.Load()
		second, _ := b.Load()
		first[0].Paper, second[0].Paper = &ocr.Sheet{}, &ocr.Sheet{}
		second[0].Lines[5].Readings = nil // seen, and not read
		return append(first, second...), nil
	}
	w := assessPhotos(t, nil, both)
	if len(w.Receipts) != 2 || w.Receipts[0].Transaction == w.Receipts[1].Transaction || w.Receipts[1].Files[0].N != 1 {
		t.Fatalf("%s", show(w))
	}
	if len(w.Questions) == 0 || w.Questions[0].Page != 1 || w.Questions[0].Line != 6 {
		t.Fatalf("%s%+v", show(w), w.Questions)
	}
	w = assessPhotos(t, map[string]string{w.Questions[0].ID: "SUNNICK WHOLEMEAL LOAF 3.29 F"}, both)
	first, second := w.Receipts[0].Read, w.Receipts[1].Read
	if second.Line(6).Proof != parse.Corrected || !second.Firm || first.Line(6).Proof == parse.Corrected || !first.Firm {
		t.Errorf("%s", show(w))
	}
}

// The same receipt photographed once more without its head, where something else
// then stands first, is asked about and not counted twice.
func TestCopyWithoutItsHead(t *testing.T) {
	lower := "CASHIER ROWAN\n05/09/26 10:11\n" + cut(breakfast, 2, 99)
	w := assessPhotos(t, nil, photoUnit("a.jpg", breakfast, true, true), photoUnit("b.jpg", lower, false, true))
	if w.Totals.Receipts != 1 || len(w.Questions) != 1 || w.Questions[0].Kind != "same" {
		t.Errorf("%s%+v", show(w), w.Questions)
	}
}

// A lower part that shows all the goods, and begins with something that is no
// store's name, is joined to the upper part that has the head and, as one sees
// by the subtotal, the same goods.
func TestLowerPartWithAllGoods(t *testing.T) {
	lower := cut(breakfast, 1, 99)
	for i, c := range []struct {
		upper string
		want  int
	}{
		{cut(breakfast, 0, 7), 1},
		{strings.Replace(cut(breakfast, 0, 7), "15.22", "15.72", 1), 2},
	} {
		w := assessPhotos(t, nil, photoUnit("a.jpg", c.upper, true, false), photoUnit("b.jpg", "12 Ferry Street WULIIUN\n"+lower, false, true))
		if len(w.Receipts) != c.want {
			t.Errorf("%d: %s", i, show(w))
		}
	}
}
