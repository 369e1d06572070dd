package parse

import (
	"flag"
	"slices"
	"strings"
	"testing"
)

// receipts is how many are drawn: the more, the rarer the coincidence that is
// still found.
var receipts = flag.Int("receipts", 2000, "how many random receipts the property tests draw")

// randomReceipts calls f with n receipts drawn at random.
func randomReceipts(t *testing.T, n int, f func(seed uint64, p *printer)) {
	for seed := range uint64(n) {
		p := newPrinter(seed)
		p.print()
		if p.sensible() {
			f(seed, p)
		}
		if t.Failed() {
			return
		}
	}
}

// A clean receipt is read as it was meant: every line's kind and amount, and
// every amount of its sums proved.
func TestRandomReceiptsAreRead(t *testing.T) {
	randomReceipts(t, *receipts, func(seed uint64, p *printer) {
		r := parseText(textOf(p.lines))
		if len(r.Lines) != len(p.lines) || !r.FirmBody() {
			t.Errorf("seed %d: %d lines of %d, firm %v\n%s%s", seed, len(r.Lines), len(p.lines), r.FirmBody(), dump(r), strings.Join(r.Warnings, "\n"))
			return
		}
		for i, want := range p.lines {
			l := r.Lines[i]
			if l.Kind != want.kind {
				t.Errorf("seed %d line %d %q: %s, want %s\n%s", seed, i+1, want.text, l.Kind, want.kind, dump(r))
			}
			if want.means == meansTold {
				continue
			}
			cents := want.cents
			if want.means == meansChange {
				cents = max(cents, -cents)
			}
			if l.Amount == nil || l.Amount.Cents() != cents || l.Proof != Proved {
				t.Errorf("seed %d line %d %q: amount %v %s, want %d proved\n%s", seed, i+1, want.text, l.Amount, l.Proof, cents, dump(r))
			}
		}
	})
}

// Whatever digit of an amount in the sums is wrong, the receipt is not firm,
// and the wrong amount is not proved.
func TestOneWrongDigitIsNeverProved(t *testing.T) {
	randomReceipts(t, *receipts/10, func(seed uint64, p *printer) {
		for i, l := range p.lines {
			if l.means == meansTold {
				continue
			}
			for _, at := range amountDigits(l.text) {
				for d := byte('0'); d <= '9'; d++ {
					if l.text[at] == d {
						continue
					}
					lines := slices.Clone(p.lines)
					lines[i].text = l.text[:at] + string(d) + l.text[at+1:]
					r := parseText(textOf(lines))
					if r.FirmBody() || r.Lines[i].Proof.Firm() {
						t.Errorf("seed %d: line %d %q for %q: firm %v, %s\n%s", seed, i+1, lines[i].text, l.text, r.FirmBody(), r.Lines[i].Proof, dump(r))
						return
					}
				}
			}
		}
	})
}

// amountDigits are the places of the digits of the last amount in s.
func amountDigits(s string) (places []int) {
	dot := strings.LastIndexByte(s, '.')
	from := dot
	for from > 0 && s[from-1] >= '0' && s[from-1] <= '9' {
		from--
	}
	for i := from; i < dot+3; i++ {
		if i != dot {
			places = append(places, i)
		}
	}
	return places
}

// A receipt of which a run of lines was not seen is not firm, unless what was
// lost cancels out or only told.
func TestUnseenLinesAreNoticed(t *testing.T) {
	randomReceipts(t, *receipts/10, func(seed uint64, p *printer) {
		for i := range p.lines {
			for j := i + 1; j <= min(len(p.lines), i+6); j++ {
				lost, kept := p.lines[i:j], slices.Concat(p.lines[:i], p.lines[j:])
				if !matters(lost, kept) {
					continue
				}
				if r := parseText(textOf(kept)); r.FirmBody() {
					t.Errorf("seed %d without lines %d to %d: firm\nlost:\n%s%s", seed, i+1, j, textOf(lost), dump(r))
					return
				}
			}
		}
	})
}

// matters reports whether lost lines leave the sums of what is kept open.
func matters(lost, kept []printedLine) bool {
	effect := int64(0)
	for _, l := range lost {
		switch l.means {
		case meansAdds:
			effect += l.cents
		case meansPays:
			effect -= l.cents
		}
	}
	totals, tenders := 0, 0
	for _, l := range kept {
		if l.kind == LineTotal {
			totals++
		}
		if l.means == meansPays {
			tenders++
		}
	}
	return effect != 0 && !endsPaid(lost, effect) || totals == 0 || tenders == 0
}

// endsPaid reports whether the change was lost together with what it was
// given for, so that the rest closes.
func endsPaid(lost []printedLine, effect int64) bool {
	for _, l := range lost {
		if l.means == meansChange && l.cents == effect {
			return true
		}
	}
	return false
}

func dump(r *Receipt) string {
	var b strings.Builder
	for _, l := range r.Lines {
		amount := ""
		if l.Amount != nil {
			amount = l.Amount.String()
		}
		b.WriteString(strings.Join([]string{string(l.Kind), amount, string(l.Proof), "|", l.Text, "\n"}, " "))
	}
	return b.String()
}
