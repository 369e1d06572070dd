package ledger

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"tillproof/plan"
)

// large makes a ledger of n receipts, a thousand a folder.
func large(tb testing.TB, n int) *Ledger {
	l := open(tb, filepath.Join(tb.TempDir(), "ledger.db"))
	for i := 0; i < n; i += 1000 {
		all := Folder{Folder: fmt.Sprint(i)}
		for k := i; k < i+1000; k++ {
			f := folder(k)
			all.Receipts, all.Dues = append(all.Receipts, f.Receipts...), append(all.Dues, f.Dues...)
			all.Findings, all.Toward = append(all.Findings, f.Findings...), append(all.Toward, f.Toward...)
		}
		if err := l.Save(context.Background(), all); err != nil {
			tb.Fatal(err)
		}
	}
	return l
}

// BenchmarkDue and BenchmarkWeek: over 100,000 receipts each in under a second.
func BenchmarkDue(b *testing.B) {
	l := large(b, 100_000)
	for b.Loop() {
		open := 0
		if err := l.EachOpenDue(context.Background(), func(*Due) { open++ }); err != nil || open != 100_000 {
			b.Fatal(open, err)
		}
	}
}

func BenchmarkWeek(b *testing.B) {
	l, ctx := large(b, 100_000), context.Background()
	from, _ := plan.ParseDate("2026-03-02")
	week := plan.Span{From: from, Through: from.AddDays(6)}
	for b.Loop() {
		rs, err := l.Receipts(ctx, week)
		if err != nil || len(rs) == 0 {
			b.Fatal(len(rs), err)
		}
		if _, err := l.Findings(ctx, week); err != nil {
			b.Fatal(err)
		}
		if _, err := l.OpenDuesBetween(ctx, week); err != nil {
			b.Fatal(err)
		}
		if _, err := l.Totals(ctx); err != nil {
			b.Fatal(err)
		}
	}
}
