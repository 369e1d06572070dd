package main

import (
	"fmt"
	"image"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/gen/cases"
	"tillproof/fixtures/till"
	"tillproof/fixtures/wear"
	"tillproof/plan"
)

// longCase draws a photo of 12 megapixels of a receipt with some forty printed
// lines, and writes its plan beside it.
func longCase(b *testing.B) (planFile, photo string, lines int) {
	b.Helper()
	var text strings.Builder
	text.WriteString("plan: 1\nstore: Tallow Yard Market\ndate: 2026-06-13\ntransactions:\n  - id: large\n    items:\n")
	for i, name := range []string{"Caldry long grain rice", "Ostrey sieved tomatoes", "Harrowfen butter beans", "Wexcombe rapeseed oil",
		"Brackle crunchy muesli", "Plumstow clear honey", "Dapplemere plain yogurt", "Vennlow laundry liquid", "Tolland kitchen towels",
		"Moorbeck dish soap", "Quarrow penne rigate", "Lindquay mature cheddar", "Sunnick wholemeal loaf", "Corbrey orange juice",
		"Eddlow oat biscuits", "Fallow peanut butter", "Hemsby tomato soup", "Inglet green tea"} {
		fmt.Fprintf(&text, "      - {id: item%d, name: %s, quantity: %d, shelf: %d.%d9}\n", i, name, 1+i%2, 1+i%7, i%10)
	}
	text.WriteString("offers: []\n")
	p, err := plan.Load([]byte(text.String()), "plan.yaml", os.ReadFile)
	if err != nil {
		b.Fatal(err)
	}
	layout, ok := till.Find("counter")
	if !ok {
		b.Fatal("the layout is gone")
	}
	receipt, err := till.Print(p, p.Transactions[0], p.Price().Transactions[0], layout, nil, 1)
	if err != nil {
		b.Fatal(err)
	}
	paper := draw.Receipt(cases.Lines(receipt.Lines), draw.DefaultStyle(), rand.New(rand.NewPCG(1, 1)))
	recipe := wear.Plain(image.Pt(3024, 4032), 1)
	jpeg, err := wear.Apply(paper, recipe).JPEG(0)
	if err != nil {
		b.Fatal(err)
	}
	dir := b.TempDir()
	planFile, photo = filepath.Join(dir, "plan.yaml"), filepath.Join(dir, "photo.jpg")
	for name, data := range map[string][]byte{planFile: []byte(text.String()), photo: jpeg} {
		if err := os.WriteFile(name, data, 0o600); err != nil {
			b.Fatal(err)
		}
	}
	return planFile, photo, len(receipt.Truth.Lines)
}

// BenchmarkCheckPhoto is a check of a 12-megapixel photo as a user runs it:
// the whole program from its start to the verdict. It also reports the memory
// of the largest process, and, where the stock tesseract command is installed,
// how long that takes to read the same photo, in turn with ours.
func BenchmarkCheckPhoto(b *testing.B) {
	planFile, photo, lines := longCase(b)
	program := filepath.Join(b.TempDir(), "tillproof")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	_, noStock := exec.LookPath("tesseract")
	var stock time.Duration
	var peak int64
	for b.Loop() {
		cmd := exec.Command(program, "check", "--plan", planFile, photo)
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		if usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
			peak = max(peak, usage.Maxrss)
		}
		if noStock == nil {
			b.StopTimer()
			began := time.Now()
			if out, err := exec.Command("tesseract", photo, "-", "--psm", "6").CombinedOutput(); err != nil {
				b.Fatalf("%v\n%s", err, out)
			}
			stock += time.Since(began)
			b.StartTimer()
		}
	}
	b.ReportMetric(float64(lines), "lines")
	b.ReportMetric(float64(peak)/1024, "MB")
	if noStock == nil {
		b.ReportMetric(stock.Seconds()/float64(b.N), "stock-s/op")
	}
}
