package parse

import (
	"testing"

	"tillproof/ocr"
)

// BenchmarkParseText parses the text of a receipt of about 40 lines.
func BenchmarkParseText(b *testing.B) {
	var p *printer
	for seed := uint64(0); ; seed++ {
		p = newPrinter(seed)
		p.print()
		if n := len(p.lines); p.sensible() && n >= 28 {
			break
		}
	}
	text := textOf(p.lines)
	b.ReportAllocs()
	for b.Loop() {
		if r := Parse([]ocr.Page{TextPage(text)}, Options{}); !r.Firm {
			b.Fatal("not firm")
		}
	}
	b.ReportMetric(float64(len(p.lines)), "lines")
}
