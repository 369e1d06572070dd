package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
	"tillproof/ocr/worker"
	"tillproof/parse"
)

// The workers of a reading within a test are this test binary.
func init() { worker.Maybe() }

// longPaper is a receipt of so many items, one of them three times in a row,
// and its amounts from top to bottom.
func longPaper(items int) (draw.Paper, []string) {
	lines := []draw.Line{{Text: "        HARBOR LANE MARKET"}, {Text: "     12 Quay Street, Fenwick"}, {Text: "     05/09/2026  10:14:22"}, {}}
	names := []string{"CALDRY RICE", "OSTREY TOMATO", "BUTTER BEANS", "RAPESEED OIL", "MUESLI", "CLEAR HONEY", "PLAIN YOGURT", "LAUNDRY", "TOWELS", "DISH SOAP", "PENNE"}
	var amounts []string
	total := 0
	add := func(name string, cents int) {
		amounts = append(amounts, fmt.Sprintf("%d.%02d", cents/100, cents%100))
		lines = append(lines, draw.Line{Text: fmt.Sprintf("%-24s%16s", name, amounts[len(amounts)-1])})
	}
	for i := range items {
		k := max(i-max(min(i-9, 2), 0), 0) // items 9 to 11 are the same
		cents := 119 + 137*k%900
		add(fmt.Sprintf("%s %d%02d", names[k%len(names)], k%7+1, k), cents)
		total += cents
	}
	add("SUBTOTAL", total)
	add("TOTAL", total)
	add("CARD", total)
	lines = append(lines, draw.Line{}, draw.Line{Text: "     THANK YOU FOR SHOPPING"})
	return draw.Receipt(lines, draw.DefaultStyle(), rand.New(rand.NewPCG(4, 4))), amounts
}

// part photographs the part of p from..to of its length.
func part(t *testing.T, p draw.Paper, from, to float64) string {
	t.Helper()
	r := wear.Plain(image.Pt(1200, 1600), uint64(100*to))
	r.From, r.To, r.Fill, r.Table, r.Roll, r.Gradient, r.Noise = from, to, 0.97, "wood", 2-4*to, 0.3, 2
	jpeg, err := wear.Apply(p, r).JPEG(0)
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), fmt.Sprintf("%.2f.jpg", from))
	if err := os.WriteFile(name, jpeg, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// readJSON runs `read --json` and returns the receipt and standard error.
func readJSON(t *testing.T, photos ...string) (*parse.Receipt, string) {
	t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), append([]string{"read", "--json"}, photos...), streams{strings.NewReader(""), &out, &errs}); code != 0 {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	var result struct{ Receipt *parse.Receipt }
	if err := json.Unmarshal(out.Bytes(), &result); err != nil {
		t.Fatal(err)
	}
	return result.Receipt, errs.String()
}

// Photos of a long receipt that share some lines are read as the receipt, each
// line once; photos that share none are, and it is said that lines may be missing.
func TestReadSeveralPhotos(t *testing.T) {
	paper, want := longPaper(44)
	amounts := func(r *parse.Receipt) (got []string) {
		for _, l := range r.Lines {
			if l.Amount != nil {
				got = append(got, l.Amount.String())
			}
		}
		return got
	}
	upper, lower := part(t, paper, 0, 0.6), part(t, paper, 0.42, 1)
	r, errs := readJSON(t, upper, lower)
	if got := amounts(r); !slices.Equal(got, want) {
		t.Errorf("read %v, want %v\n%s", got, want, errs)
	}
	if !r.Complete.Top || !r.Complete.Bottom || len(r.Photos) != 2 {
		t.Errorf("ends %v, %d photos", r.Complete, len(r.Photos))
	}
	proved, photos := 0, map[int]int{}
	for _, l := range r.Lines {
		photos[l.Photo]++
		if l.Proof.Firm() {
			proved++
		}
	}
	if proved < len(want) || photos[1] < 15 || photos[2] < 15 {
		t.Errorf("%d of %d amounts are proved; lines a photo: %v", proved, len(want), photos)
	}

	r, errs = readJSON(t, part(t, paper, 0, 0.4), part(t, paper, 0.5, 1))
	if !strings.Contains(strings.Join(r.Warnings, "\n")+errs, "missing or doubled") {
		t.Errorf("photos that share nothing: %q, %s", r.Warnings, errs)
	}
	if r.Firm {
		t.Error("photos that share nothing are firm")
	}
}
