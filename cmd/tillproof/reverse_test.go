package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
	"tillproof/parse"
)

// Some tills print the total light on a black bar; it is read like any other line
// (common practice, no source).
func TestReadReversedTotal(t *testing.T) {
	for i, level := range []wear.Level{wear.Flat, wear.Easy, wear.Easy} {
		lines := []draw.Line{
			{Text: "        HARBOR LANE MARKET"}, {Text: "     12 Quay Street, Fenwick"}, {Text: "     05/09/2026  10:14:22"}, {},
			{Text: fmt.Sprintf("%-24s%16s", "CALDRY RICE", "3.49")}, {Text: fmt.Sprintf("%-24s%16s", "BUTTER BEANS", "1.29")},
			{Text: fmt.Sprintf("%-24s%16s", "CLEAR HONEY", "6.80")}, {Text: fmt.Sprintf("%-24s%16s", "SUBTOTAL", "11.58")},
			{Text: fmt.Sprintf("%-24s%16s", "TAX", "0.41")},
			{Text: fmt.Sprintf("%-12s%8s", "TOTAL", "11.99"), Big: i > 0, Reverse: true},
			{Text: fmt.Sprintf("%-24s%16s", "CARD", "11.99")}, {}, {Text: "     THANK YOU FOR SHOPPING"},
		}
		paper := draw.Receipt(lines, draw.DefaultStyle(), rand.New(rand.NewPCG(5, uint64(i))))
		data, err := wear.Photo(paper, level, rand.New(rand.NewPCG(6, uint64(i)))).JPEG(0)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(t.TempDir(), "photo.jpg")
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
		r, _ := readJSON(t, name)
		var totals []string
		for _, l := range r.Lines {
			if l.Kind == parse.LineTotal && l.Amount != nil {
				totals = append(totals, l.Amount.String())
			}
		}
		if len(totals) != 1 || totals[0] != "11.99" {
			t.Errorf("photo %d, %s: totals %v, want 11.99", i, level, totals)
		}
	}
}
