package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tillproof/audit"
	"tillproof/fixtures/draw"
	"tillproof/fixtures/gen/cases"
	"tillproof/fixtures/other"
	"tillproof/fixtures/till"
	"tillproof/fixtures/wear"
	"tillproof/ocr"
	"tillproof/parse"
)

// together photographs receipts that lie on one table, and writes their plans
// and the photo.
func together(t *testing.T, table string, gap float64, numbers ...int) (photo string, plans []string, all []cases.Case) {
	t.Helper()
	return togetherIn(t, table, gap, func(int, *draw.Style) {}, numbers...)
}

// togetherIn is together with each print in the style that print makes of it.
func togetherIn(t *testing.T, table string, gap float64, print func(k int, s *draw.Style), numbers ...int) (photo string, plans []string, all []cases.Case) {
	t.Helper()
	dir := t.TempDir()
	var papers []draw.Paper
	for _, i := range numbers {
		c, err := cases.New(i, cases.Options{Seed: 5, Layouts: till.Open()})
		if err != nil {
			t.Fatal(err)
		}
		style := draw.DefaultStyle()
		style.Columns = c.Width()
		print(len(all), &style)
		papers = append(papers, draw.Receipt(cases.Lines(c.Receipt.Lines), style, rand.New(rand.NewPCG(uint64(i), 4))))
		name := filepath.Join(dir, string(rune('a'+len(plans)))+".yaml")
		if err := os.WriteFile(name, []byte(c.Trip.YAML), 0o600); err != nil {
			t.Fatal(err)
		}
		plans, all = append(plans, name), append(all, c)
	}
	r := wear.Plain(image.Pt(3000, 2250), 3)
	r.Table, r.Fill, r.Gradient, r.Noise = table, 0.92, 0.25, 2
	recipes := wear.SideBySide(papers, r, false, gap)
	for i := range recipes {
		recipes[i].Roll = float64(2*i - 1)
	}
	jpeg, err := wear.Several(papers, recipes)[0].JPEG(0)
	if err != nil {
		t.Fatal(err)
	}
	photo = filepath.Join(dir, "photo.jpg")
	if err := os.WriteFile(photo, jpeg, 0o600); err != nil {
		t.Fatal(err)
	}
	return photo, plans, all
}

// command runs the program and returns its exit code and what it wrote.
func command(args ...string) (code int, out, errs string) {
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), args, streams{strings.NewReader(""), &stdout, &stderr})
	return code, stdout.String(), stderr.String()
}

// Several receipts in one photo are read and judged each by itself, also where
// they lie so close that only their text tells them apart.
func TestReceiptsInOnePhoto(t *testing.T) {
	for _, c := range []struct {
		name, table string
		gap         float64
	}{
		{"apart", "wood", 0.05},
		{"without a gap between them", "grey", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			photo, plans, all := together(t, c.table, c.gap, 1, 3)
			code, out, errs := command("read", "--json", photo)
			var got struct {
				Receipt *parse.Receipt
				Others  []*parse.Receipt
			}
			if err := json.Unmarshal([]byte(out), &got); code != 0 || err != nil {
				t.Fatal(code, err, errs)
			}
			each := append([]*parse.Receipt{got.Receipt}, got.Others...)
			if len(each) != len(all) {
				t.Fatalf("%d receipts were read, of %d", len(each), len(all))
			}
			for i, r := range each {
				if want := all[i].Receipt.Truth.Total; r.Total == nil || *r.Total != *want || !r.Firm {
					t.Errorf("receipt %d: total %v, want %v, firm %v", i, r.Total, want, r.Firm)
				}
			}
			if c.gap == 0 {
				return // checked as those that are apart
			}
			overlay := filepath.Join(t.TempDir(), "found.png")
			code, out, errs = command("check", "--json", "--plan", plans[1], "--overlay", overlay, photo)
			var result struct{ Receipt *parse.Receipt }
			if err := json.Unmarshal([]byte(out), &result); err != nil {
				t.Fatal(code, err, errs)
			}
			if want := all[1].Receipt.Truth.Total; code != exitOK || *result.Receipt.Total != *want || !strings.Contains(errs, "2 receipts in the photo") {
				t.Errorf("check: exit code %d, total %v, want %v\n%s", code, result.Receipt.Total, want, errs)
			}
			if f, err := os.Open(overlay); err != nil {
				t.Error(err)
			} else {
				size, err := png.DecodeConfig(f)
				f.Close()
				// One of two papers, not the photo of both.
				if err != nil || size.Width > 3000/2 {
					t.Errorf("the overlay is %d pixels wide, %v", size.Width, err)
				}
			}
		})
	}
}

// A receipt beside another that is too faint to be read, or partly under it, is
// not left out without a word.
func TestReceiptNotReadIsTold(t *testing.T) {
	faint := func(k int, s *draw.Style) {
		if k == 0 {
			return
		}
		for _, f := range draw.Embedded() {
			if f.Pins {
				s.Font = f
			}
		}
		s.Black, s.Ink = 90, draw.Ink{Gain: 0.35, Strength: 0.5, Uneven: 0.2, Band: 0.2, Grain: 0.35, Round: 0.9}
	}
	plain := func(int, *draw.Style) {}
	for _, c := range []struct {
		name, want string
		gap        float64
		print      func(int, *draw.Style)
	}{
		{"faint", "another paper lies in the photo", 0.04, faint},
		{"partly covered", "two columns", -0.06, plain},
	} {
		t.Run(c.name, func(t *testing.T) {
			photo, plans, all := togetherIn(t, "wood", c.gap, c.print, 1, 3)
			_, out, errs := command("read", "--json", photo)
			var got struct {
				Receipt *parse.Receipt
				Others  []*parse.Receipt
			}
			if err := json.Unmarshal([]byte(out), &got); err != nil {
				t.Fatal(err, errs)
			}
			if len(got.Others) > 0 || !strings.Contains(strings.Join(got.Receipt.Warnings, "\n"), c.want) {
				t.Errorf("%d more were read; warnings: %q", len(got.Others), got.Receipt.Warnings)
			}
			if r := got.Receipt; r.Firm && *r.Total != *all[0].Receipt.Truth.Total {
				t.Errorf("firm, with the total %v", r.Total)
			}
			if c.name != "faint" {
				return
			}
			_, out, errs = command("week", filepath.Dir(photo), "--plans", plans[0], "--ledger", filepath.Join(t.TempDir(), "l.db"))
			if !strings.Contains(strings.Join(strings.Fields(out), " "), "another paper lies in the photo") {
				t.Errorf("week: %s%s", out, errs)
			}
		})
	}
}

// A receipt whose lines run on into a letter beside it is read without the
// letter's.
func TestReceiptBesideALetter(t *testing.T) {
	c, err := cases.New(1, cases.Options{Seed: 5, Layouts: till.Open()})
	if err != nil {
		t.Fatal(err)
	}
	letter, err := other.Page(other.Letter, c.Receipt, 40, 2)
	if err != nil {
		t.Fatal(err)
	}
	var papers []draw.Paper
	for i, ls := range [][]till.Line{c.Receipt.Lines, letter.Lines} {
		style := draw.DefaultStyle()
		if style.Columns = 44; i == 0 {
			style.Columns = c.Width()
		}
		papers = append(papers, draw.Receipt(cases.Lines(ls), style, rand.New(rand.NewPCG(uint64(i), 4))))
	}
	r := wear.Plain(image.Pt(3000, 2250), 3)
	r.Table, r.Gradient, r.Noise = "grey", 0.25, 2
	jpeg, err := wear.Several(papers, wear.SideBySide(papers, r, false, 0.04))[0].JPEG(0)
	if err != nil {
		t.Fatal(err)
	}
	photo := filepath.Join(t.TempDir(), "photo.jpg")
	if err := os.WriteFile(photo, jpeg, 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errs := command("read", "--json", photo)
	var got struct{ Receipt *parse.Receipt }
	if err := json.Unmarshal([]byte(out), &got); code != 0 || err != nil {
		t.Fatal(code, err, errs)
	}
	if r := got.Receipt; !r.Firm || *r.Total != *c.Receipt.Truth.Total || strings.Contains(out, "Dear") || !strings.Contains(strings.Join(r.Warnings, "\n"), "another paper") {
		t.Errorf("firm %v, total %v, warnings %q\n%s", r.Firm, r.Total, r.Warnings, out)
	}
}

// Papers that lie one above the other may be parts of one receipt; beside each
// other they are not.
func TestBeside(t *testing.T) {
	at := func(x, y float64) (s ocr.Sheet) {
		for i, d := range [4][2]float64{{0, 0}, {300, 0}, {300, 900}, {0, 900}} {
			s.Corners[i].X, s.Corners[i].Y = x+d[0], y+d[1]
		}
		return s
	}
	for _, c := range []struct {
		a, b ocr.Sheet
		turn int
		want bool
	}{
		{at(0, 0), at(400, 100), 0, true},
		{at(0, 0), at(50, 950), 0, false},
		{at(0, 0), at(400, 600), 0, false}, // askew
		{at(0, 0), at(50, 950), 1, true},
		{at(0, 0), at(400, 100), 3, false},
	} {
		if got := beside([]ocr.Sheet{c.a, c.b}, c.turn); got != c.want {
			t.Errorf("%v: %v", c, got)
		}
	}
}

// Of several receipts the one of the plan is judged; where more than one may
// be, none is.
func TestCheckEach(t *testing.T) {
	var each []readPaper
	var first cases.Case
	for i := range 2 {
		c, err := cases.New(1+2*i, cases.Options{Seed: 5, Layouts: till.Open()})
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = c
		}
		r := parse.Parse([]ocr.Page{parse.TextPage(c.Receipt.Text())}, parse.Options{})
		r.Photos = []parse.Photo{{Name: "photo.jpg"}}
		each = append(each, readPaper{nil, r})
	}
	var note bytes.Buffer
	a := &app{streams: streams{err: &note}}
	in := audit.Input{Plan: first.Plan, Transaction: first.Transaction.ID}
	one, result, err := a.checkEach(in, []readPaper{each[1], each[0]})
	if err != nil || one.receipt != each[0].receipt || result.Verdict != audit.AsPlanned {
		t.Errorf("%v, %v", err, result)
	}
	if !strings.Contains(note.String(), "there are 2 receipts in the photo; the one that fits the plan is checked ("+describeReceipt(each[0].receipt)) {
		t.Errorf("said: %q", note.String())
	}
	if _, _, err = a.checkEach(in, []readPaper{each[0], each[0]}); exitCode(err) != exitUnreadable || !strings.Contains(errorText(err), "photograph each alone") {
		t.Errorf("two of the plan: %v", err)
	}
}
