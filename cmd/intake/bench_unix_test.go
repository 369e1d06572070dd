//go:build unix

package intake

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// BenchmarkOpen opens one file of each form, and those named, separated by
// colons, in TILLPROOF_BENCH_FILES. The children's memory is the largest that
// any had so far.
func BenchmarkOpen(b *testing.B) {
	heic, err := os.ReadFile(filepath.Join("testdata", "turned.heic"))
	if err != nil {
		b.Fatal(err)
	}
	files := []struct {
		name string
		data []byte
	}{
		{"text.txt", []byte(receipt)},
		{"mail-100kB.eml", mailOf(longReceipt())},
		{"text.pdf", pdfOf(bill("F1"))},
		{"scan.pdf", scan("")},
		{"small.heic", heic},
	}
	for _, path := range filepath.SplitList(os.Getenv("TILLPROOF_BENCH_FILES")) {
		data, err := os.ReadFile(path)
		if err != nil {
			b.Fatal(err)
		}
		files = append(files, struct {
			name string
			data []byte
		}{filepath.Base(path), data})
	}
	for _, f := range files {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Open(b.Context(), f.name, f.data, Options{}); err != nil {
					b.Fatal(err)
				}
			}
			var used syscall.Rusage
			if err := syscall.Getrusage(syscall.RUSAGE_CHILDREN, &used); err == nil && used.Maxrss > 0 {
				b.ReportMetric(float64(used.Maxrss)/1024, "child-MB")
			}
		})
	}
}
