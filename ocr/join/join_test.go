package join

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tillproof/ocr"
)

// firstWidth is the width of the first line: that of the others tells which they are.
const firstWidth = 400

// lineOf is a line as it was read.
func lineOf(text string, n, photo int) ocr.Line {
	y := 100 * n * (10 + photo%3) / 10 // no photo is taken from just as far away
	l := ocr.Line{Box: ocr.Box{X: 10, Y: y, W: firstWidth + n, H: 80}, Photo: photo}
	if text == "" {
		return l
	}
	r := ocr.Reading{Votes: 3}
	for i, w := range strings.Fields(text) {
		r.Words = append(r.Words, ocr.Word{Text: w, Confidence: 0.95, Box: ocr.Box{X: 10 + 50*i, Y: y, W: 40, H: 80}})
	}
	l.Readings = []ocr.Reading{r}
	return l
}

// page is a photo of the lines from..to of texts.
func page(photo int, texts []string, from, to int) ocr.Page {
	p := ocr.Page{Photo: photo, Top: from == 0, Bottom: to == len(texts)}
	for i := from; i < to; i++ {
		p.Lines = append(p.Lines, lineOf(texts[i], i, photo))
	}
	return p
}

// order is which lines of the receipt the pages have.
func order(pages []ocr.Page) (got []int) {
	for _, p := range pages {
		for _, l := range p.Lines {
			got = append(got, l.Box.W-firstWidth)
		}
	}
	return got
}

func upTo(n int) (all []int) {
	for i := range n {
		all = append(all, i)
	}
	return all
}

var names = []string{"OATS ROLLED 1KG", "PLUM JAM", "FOIL 25M", "PEARS", "RICE LONG GRAIN", "EGGS L 12", "YOGHURT PLAIN", "TEA GREEN", "SOAP DISH", "BREAD WHOLEMEAL", "CHEDDAR", "MILK 2L",
	"LENTILS RED", "HONEY CLEAR", "COFFEE GROUND", "PENNE RIGATE", "BATTERIES AA", "KITCHEN TOWELS", "APPLES RED", "BUTTER", "CRACKERS", "OLIVE OIL", "SARDINES", "BISCUITS"}

// receipt prints items, some several times, some with a quantity or coupons.
func receipt(rng *rand.Rand, items int) []string {
	lines := []string{"HARBOR LANE MARKET", "12 QUAY STREET FENWICK", "05/09/2026 10:14"}
	for range items {
		k := rng.IntN(len(names))
		name, price := names[k], fmt.Sprintf("%d.%d9", 1+k%7, k*3%10)
		for range 1 + max(rng.IntN(6)-3, 0) {
			if rng.IntN(5) == 0 {
				lines = append(lines, fmt.Sprintf("2 @ %s", price))
			}
			lines = append(lines, name+" "+price+" F")
			if rng.IntN(4) == 0 {
				lines = append(lines, "COUPON 1.00-")
			}
		}
	}
	return append(lines, "SUBTOTAL 84.10", "TAX 1.20", "TOTAL 85.30", "CARD 85.30", "THANK YOU")
}

// misread changes some letters, or loses a line.
func misread(p ocr.Page, rng *rand.Rand) ocr.Page {
	p.Lines = slices.Clone(p.Lines)
	for i := range p.Lines {
		l := &p.Lines[i]
		if rng.IntN(60) == 0 {
			l.Readings = nil
			continue
		}
		l.Readings = slices.Clone(l.Readings)
		r := &l.Readings[0]
		r.Words = slices.Clone(r.Words)
		for k := range r.Words {
			b := []byte(r.Words[k].Text)
			for c := range b {
				if rng.IntN(80) == 0 {
					b[c] = "B8O0I1S5.-"[rng.IntN(10)]
				}
			}
			r.Words[k].Text = string(b)
		}
	}
	return p
}

// A receipt cut into photos that lie over each other comes back line for line,
// or it is said that it does not.
func TestJoinGivesTheReceiptBack(t *testing.T) {
	seams, gaps := 0, 0
	for seed := range uint64(150) {
		rng := rand.New(rand.NewPCG(seed, 5))
		texts := receipt(rng, 12+rng.IntN(20))
		var pages []ocr.Page
		lines := 0
		for from := 0; ; {
			to := min(from+12+rng.IntN(14), len(texts))
			pages = append(pages, misread(page(len(pages)+1, texts, from, to), rng))
			lines += to - from
			if to == len(texts) {
				break
			}
			from = to - 5 - rng.IntN(6)
		}
		got := Pages(pages)
		seams += len(got) - 1
		whole := true
		for _, p := range got {
			if !p.Gap {
				continue
			}
			whole = false
			gaps++
			if len(p.Advice) != 1 {
				t.Errorf("seed %d: a gap without a word: %q", seed, p.Advice)
			}
		}
		if !whole {
			if have := order(got); !slices.Equal(lost(have, len(texts)), nil) {
				t.Errorf("seed %d: lines %v are lost", seed, lost(have, len(texts)))
			}
			continue
		}
		if !slices.Equal(order(got), upTo(len(texts))) {
			t.Errorf("seed %d: %d lines came back as %v\n%s", seed, len(texts), order(got), strings.Join(texts, "\n"))
		}
		if !got[0].Top || !got[len(got)-1].Bottom {
			t.Errorf("seed %d: the ends are gone", seed)
		}
	}
	t.Logf("of %d seams %d were left open", seams, gaps)
	if 7*gaps > seams { // mostly runs of one item that reach from photo to photo
		t.Errorf("of %d seams %d were left open", seams, gaps)
	}
}

// lost are the lines below n that got has not.
func lost(got []int, n int) (out []int) {
	for i := range n {
		if !slices.Contains(got, i) {
			out = append(out, i)
		}
	}
	return out
}

func TestJoinNothingInCommon(t *testing.T) {
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 6))
		texts := receipt(rng, 20)
		cut := 8 + rng.IntN(len(texts)-16)
		got := Pages([]ocr.Page{page(1, texts, 0, cut), page(2, texts, cut, len(texts))})
		if !got[1].Gap || len(order(got)) != len(texts) {
			t.Errorf("seed %d: cut at %d without overlap, gap %v, %v\n%s", seed, cut, got[1].Gap, order(got), strings.Join(texts, "\n"))
		}
	}
}

// The same thing bought many times over: where a photo ends within the run and
// the next begins within it, nobody can tell how many there are.
func TestJoinRuns(t *testing.T) {
	run := func(n int) []string {
		lines := []string{"HARBOR LANE MARKET", "TEA GREEN 2.19"}
		for range n {
			lines = append(lines, "OATS ROLLED 4.29 F", "COUPON 1.00-")
		}
		return append(lines, "MILK 2L 1.89", "SUBTOTAL 30.10", "TAX 1.20", "TOTAL 31.30")
	}
	texts := run(8)
	for _, c := range []struct {
		name    string
		to      int // the first photo's end
		from    int // the second's beginning
		several bool
	}{
		{"the end of the run in both", 20, 10, false},
		{"the beginning of the run in both", 12, 1, false},
		{"both ends in the first", 21, 8, false},
		{"neither end", 12, 8, true},
		{"neither end, one line off", 13, 8, true},
	} {
		got := Pages([]ocr.Page{page(1, texts, 0, c.to), page(2, texts, c.from, len(texts))})
		if got[1].Gap != c.several {
			t.Errorf("%s: gap %v, lines %v", c.name, got[1].Gap, order(got))
		}
		if !c.several && !slices.Equal(order(got), upTo(len(texts))) {
			t.Errorf("%s: %v", c.name, order(got))
		}
	}
}

func TestJoinInAnyOrder(t *testing.T) {
	texts := receipt(rand.New(rand.NewPCG(3, 3)), 20)
	n := len(texts)
	got := Pages([]ocr.Page{page(1, texts, 0, n), page(2, texts, 8, 20)})
	if got[1].Gap || !slices.Equal(order(got), upTo(n)) || !got[1].Bottom {
		t.Errorf("a photo within the other: gap %v, bottom %v, %v", got[1].Gap, got[1].Bottom, order(got))
	}
	got = Pages([]ocr.Page{page(1, texts, 14, n), page(2, texts, 0, 20)})
	if got[1].Gap || !slices.Equal(order(got), upTo(n)) || !got[0].Top || !got[1].Bottom {
		t.Errorf("in the wrong order: gap %v, ends %v, %v; %v", got[1].Gap, got[0].Top, got[1].Bottom, order(got))
	}
	got = Pages([]ocr.Page{page(1, texts, 0, n)})
	if got[0].Gap || len(got[0].Lines) != n {
		t.Error("one photo is changed")
	}
	empty := Pages([]ocr.Page{page(1, texts, 0, n), {Photo: 2}})
	if !empty[1].Gap {
		t.Error("a photo in which nothing was read follows without a gap")
	}
}

// A line that one photo could not read has the reading of the other, in its
// own place, and what both read counts twice.
func TestJoinReadings(t *testing.T) {
	texts := receipt(rand.New(rand.NewPCG(3, 9)), 14)
	a, b := page(1, texts, 0, 16), page(2, texts, 10, len(texts))
	a.Lines[13].Readings = nil
	b.Lines[2].Box.X += 1000 // line 12, further right in its photo
	for i := range b.Lines[2].Readings[0].Words {
		b.Lines[2].Readings[0].Words[i].Box.X += 1000
	}
	before := fmt.Sprint(a, b)
	got := Pages([]ocr.Page{a, b})
	if got[1].Gap || !slices.Equal(order(got), upTo(len(texts))) {
		t.Fatalf("gap %v, %v", got[1].Gap, order(got))
	}
	if fmt.Sprint(a, b) != before {
		t.Error("the pages handed over were changed")
	}
	if l := got[0].Lines[13]; l.Text() != texts[13] || l.Photo != 1 {
		t.Errorf("line 13 reads %q, photo %d", l.Text(), l.Photo)
	}
	l := got[0].Lines[12]
	if l.Readings[0].Votes != 6 {
		t.Errorf("line 12 has %d votes", l.Readings[0].Votes)
	}
	for _, r := range l.Readings {
		for _, w := range r.Words {
			if w.Box.X > 500 {
				t.Errorf("the word %q lies at %v, outside of its line at %v", w.Text, w.Box, l.Box)
			}
		}
	}
}
