package audit

import (
	"math/rand/v2"
	"strings"
	"testing"

	"tillproof/money"
	"tillproof/parse"
)

// cleanPaper is the text of a receipt rung as planned, line by line, with which
// of its lines take part in a sum.
func cleanPaper(t *testing.T, seed uint64) (check func(lines []string) *Result, lines []string, inSum []int) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 9))
	p := randomPlan(t, r)
	tx := p.Transactions[0]
	lines = strings.Split(strings.TrimRight(paper(printBill(p, tx, p.PriceAs(tx, nil), randomStyle(r))), "\n"), "\n")
	check = func(lines []string) *Result { return checkedText(t, p, strings.Join(lines, "\n")) }
	res := check(lines)
	if res.Verdict != AsPlanned {
		return check, nil, nil
	}
	at := 0 // lines of text without print are no lines of the receipt
	for i, l := range lines {
		if strings.TrimSpace(l) == "" {
			continue
		}
		at++
		switch res.Receipt.Line(at).Kind {
		case parse.LineItem, parse.LineDeduction, parse.LineFee, parse.LineVoid, parse.LineSubtotal, parse.LineTax, parse.LineTotal:
			if res.Receipt.Line(at).Amount != nil {
				inSum = append(inSum, i)
			}
		}
	}
	return check, lines, inSum
}

func noneFirm(t *testing.T, res *Result, what string) {
	t.Helper()
	for _, f := range res.Findings {
		if f.Certainty.Firm() {
			t.Errorf("%s: a firm finding, %s of %s %v", what, f.Kind, f.Difference, f.Lines)
		}
	}
}

// One digit of one amount of a sum changed, as if it were misread: never a
// firm finding.
func TestChangedDigitIsNeverFirm(t *testing.T) {
	n, tried := 60, 0
	if testing.Short() {
		n = 15
	}
	for seed := range uint64(n) {
		check, lines, inSum := cleanPaper(t, seed)
		r := rand.New(rand.NewPCG(seed, 10))
		for _, i := range inSum {
			was := lines[i]
			end := len(was)
			from := strings.LastIndexByte(was, ' ') + 1
			for at := from; at < end; at++ {
				if was[at] < '0' || was[at] > '9' {
					continue
				}
				digit := byte('0' + (int(was[at]-'0')+1+r.IntN(9))%10)
				lines[i] = was[:at] + string(digit) + was[at+1:]
				res := check(lines)
				noneFirm(t, res, lines[i]+" for "+was)
				tried++
				if res.Verdict != Undecided {
					t.Errorf("seed %d: %q for %q: %s", seed, lines[i], was, res.Verdict)
				}
			}
			lines[i] = was
		}
		if t.Failed() {
			t.Fatalf("seed %d:\n%s", seed, strings.Join(lines, "\n"))
		}
	}
	if tried < 100*n/10 {
		t.Errorf("only %d digits changed", tried)
	}
	t.Logf("%d digits changed", tried)
}

// One line with an amount of a sum dropped, as if it had not been seen: never
// a firm finding. (The total's own line too: then there is no total.)
func TestDroppedLineIsNeverFirm(t *testing.T) {
	n, tried := 150, 0
	if testing.Short() {
		n = 30
	}
	for seed := range uint64(n) {
		check, lines, inSum := cleanPaper(t, seed)
		for _, i := range inSum {
			if strings.HasPrefix(lines[i], "SUBTOTAL") {
				continue // the total holds without it
			}
			rest := append(append([]string{}, lines[:i]...), lines[i+1:]...)
			noneFirm(t, check(rest), "without "+lines[i])
			tried++
		}
		r := rand.New(rand.NewPCG(seed, 14))
		for range 5 {
			tried += dropRun(t, r, check, lines, inSum)
		}
		if t.Failed() {
			t.Fatalf("seed %d:\n%s", seed, strings.Join(lines, "\n"))
		}
	}
	t.Logf("%d lines and runs of lines dropped", tried)
}

// dropRun drops some lines in a row, unless their amounts cancel.
func dropRun(t *testing.T, r *rand.Rand, check func([]string) *Result, lines []string, inSum []int) int {
	if len(inSum) < 3 {
		return 0
	}
	from := inSum[r.IntN(len(inSum)-2)]
	to := min(len(lines), from+2+r.IntN(4))
	var sum money.Amount
	for _, i := range inSum {
		if i >= from && i < to {
			a, err := money.Parse(lines[i][strings.LastIndexByte(lines[i], ' ')+1:])
			if err != nil {
				t.Fatal(err)
			}
			sum = sum.Add(a)
		}
	}
	if sum.IsZero() || strings.Contains(strings.Join(lines[from:to], "\n"), "TOTAL") {
		return 0
	}
	rest := append(append([]string{}, lines[:from]...), lines[to:]...)
	noneFirm(t, check(rest), "without lines "+strings.Join(lines[from:to], " / "))
	return 1
}

// One amount made doubtful: no finding that rests on its line is proved, even
// where the rest is firm.
func TestDoubtfulIsNeverProved(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 13))
		p := randomPlan(t, r)
		tx := p.Transactions[0]
		s := randomStyle(r)
		for name, f := range faults {
			if f.kind == MissingCredit || name == "item missing" {
				continue
			}
			rung := emptyRung()
			style := s
			if _, _, ok := f.put(r, p, rung, &style); !ok {
				continue
			}
			rec := printBill(p, tx, p.PriceAs(tx, rung), style)
			for i := range rec.Lines {
				if rec.Lines[i].Amount == nil {
					continue
				}
				was := rec.Lines[i].Proof
				rec.Lines[i].Proof = parse.Doubtful
				for _, found := range checked(t, p, rec).Findings {
					for _, n := range found.Lines {
						if n == i+1 && found.Certainty != CertainUnsure {
							t.Errorf("seed %d %s: %s is %s although line %d is doubtful", seed, name, found.Kind, found.Certainty, n)
						}
					}
				}
				rec.Lines[i].Proof = was
			}
		}
	}
}
