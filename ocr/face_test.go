package ocr

import (
	"fmt"
	"image"
	"math/rand/v2"
	"strings"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// receiptOf is a receipt of amounts as a page keeps it for a second look, in print blurred by so
// much of a capital's height, and its lines as they are read where nothing is misread.
func receiptOf(style uint64, amounts []string, blur float64) *kept {
	rng := rand.New(rand.NewPCG(style, 9))
	var text []draw.Line
	for i, a := range amounts {
		text = append(text, draw.Line{Text: fmt.Sprintf("%-24s%8s", []string{"OATS", "BATH TISSUE", "HAM", "MINT TEA"}[i%4], a)})
	}
	s := draw.DefaultStyle()
	s.Columns = 32
	if style > 0 {
		s = draw.RandomStyle(draw.Embedded(), 32, rng)
	}
	paper := draw.Receipt(text, s, rng)
	tall := float64(paper.Lines[0].Box.Dy())
	k := &kept{flat: raster.Blur(paper.Image, blur*tall)}
	for _, l := range paper.Lines {
		base := float64(l.Box.Max.Y)
		k.strips = append(k.strips, lines.Strip{
			X0: float64(l.Box.Min.X), X1: float64(l.Box.Max.X), Up: tall, Height: tall, Widen: 1,
			Base: func(float64) float64 { return base },
		})
		r := Reading{Votes: 3}
		for _, w := range l.Words {
			r.Words = append(r.Words, Word{Text: w.Text, Votes: 3, Confidence: 0.9, FlatFrom: float64(w.Box.Min.X), FlatTo: float64(w.Box.Max.X)})
		}
		k.lines = append(k.lines, Line{Readings: []Reading{r}})
	}
	return k
}

// misread has the last word of a line read as text, and not by all looks alike: what is printed
// is a runner-up.
func (k *kept) misread(line int, text string) []Reading {
	r := &k.lines[line].Readings[0]
	r.Words = append([]Word(nil), r.Words...)
	w := &r.Words[len(r.Words)-1]
	w.Text, w.Votes, w.Alternatives = text, 2, []Alternative{{Text: w.Text, Cost: 0.8}}
	return k.lines[line].Readings
}

var manyAmounts = strings.Fields("4.29 12.38 0.60 3.75 8.09 1.64 20.97 5.50 6.18 7.43 2.80 9.26 0.80 34.15 1.08 16.90")

// TestAsOwn: a digit that engines take for another is told by the receipt's own, in several
// faces and blurred as phones blur; and where the engine was right it stays.
func TestAsOwn(t *testing.T) {
	for style := range uint64(6) {
		k := receiptOf(style, manyAmounts, 0.08)
		for _, c := range []struct {
			line       int
			read, want string
		}{
			{2, "0.68", "0.60"}, {12, "0.88", "0.80"}, {4, "0.09", "8.09"}, {3, "8.75", "3.75"}, {8, "6.10", "6.18"},
			{1, "12.36", "12.38"}, {0, "4.29", "4.29"}, {13, "34.15", "34.15"},
		} {
			was := k.lines[c.line].Readings[0].Words
			r, ok := k.asOwn(c.line, k.misread(c.line, c.read))
			k.lines[c.line].Readings[0].Words = was
			if !ok {
				t.Errorf("style %d: %s read as %s cannot be told", style, c.want, c.read)
				continue
			}
			w := r.Words[len(r.Words)-1]
			if w.Text != c.want || !r.Own {
				t.Errorf("style %d: %s read as %s is most like %s", style, c.want, c.read, w.Text)
			}
			if len(w.Digits) != len(c.want)-1 {
				t.Fatalf("style %d: %d digits of %s compared", style, len(w.Digits), c.want)
			}
			digits := strings.Replace(c.read, ".", "", 1)
			for i, d := range strings.Replace(c.want, ".", "", 1) {
				if w.Digits[i][d-'0'] != 0 {
					t.Errorf("style %d: digit %d of %s costs %.1f", style, i, c.want, w.Digits[i][d-'0'])
				}
				if cost := w.Digits[i][digits[i]-'0']; digits[i] != byte(d) && cost < 0.5 {
					t.Errorf("style %d: %s for %s costs only %.2f", style, c.read, c.want, cost)
				}
			}
		}
	}
}

// TestAsOwnNotTold: nothing is told from a few amounts, from a line in larger print, of a line
// without an amount, or where what was read does not stand.
func TestAsOwnNotTold(t *testing.T) {
	few := receiptOf(0, manyAmounts[:fewSpecimens], 0.1)
	if r, ok := few.asOwn(1, few.misread(1, "12.36")); ok {
		t.Errorf("told from %d amounts: %s", fewSpecimens-1, r.Text())
	}
	large := receiptOf(0, manyAmounts, 0.1)
	large.strips[1].Height *= 2
	if r, ok := large.asOwn(1, large.misread(1, "12.36")); ok {
		t.Errorf("told of print twice as high: %s", r.Text())
	}
	none := receiptOf(0, manyAmounts, 0.1)
	if r, ok := none.asOwn(1, none.misread(1, "TEA")); ok {
		t.Errorf("told of a line without an amount: %s", r.Text())
	}
	blank := receiptOf(0, manyAmounts, 0.1)
	raster.Fill(blank.flat.SubImage(image.Rect(0, int(blank.strips[1].Base(0))-30, blank.flat.Rect.Dx(), int(blank.strips[1].Base(0))+6)).(*image.Gray), 255)
	if r, ok := blank.asOwn(1, blank.misread(1, "12.36")); ok {
		t.Errorf("told of blank paper: %s", r.Text())
	}
}

// TestAsOwnNotRead: what no engine read at a place is not brought in by likeness alone.
func TestAsOwnNotRead(t *testing.T) {
	k := receiptOf(0, manyAmounts, 0.1)
	all := k.misread(2, "0.68")
	all[0].Words[len(all[0].Words)-1].Alternatives = []Alternative{{Text: "0.60", Cost: 5}, {Text: "0.66", Cost: 0.5}}
	r, ok := k.asOwn(2, all)
	if !ok {
		t.Fatal("cannot be told")
	}
	if w := r.Words[len(r.Words)-1]; w.Text != "0.68" || w.Digits[2] != [10]float64{} || w.Alternatives != nil {
		t.Errorf("%s by %v, or %v", w.Text, w.Digits[2], w.Alternatives)
	}
}

// TestAsOwnUnseen: a digit that no amount of the receipt has says nothing at its place.
func TestAsOwnUnseen(t *testing.T) {
	k := receiptOf(0, strings.Fields("4.29 12.31 0.62 3.15 2.09 1.64 20.91 5.50 6.13 7.43"), 0.1)
	r, ok := k.asOwn(4, k.misread(4, "8.09"))
	if !ok {
		t.Fatal("cannot be told")
	}
	w := r.Words[len(r.Words)-1]
	if w.Text != "8.09" || w.Digits[0] != [10]float64{} {
		t.Errorf("no 8 was seen, and 8.09 is taken for %s by %v", w.Text, w.Digits[0])
	}
}

// BenchmarkFace learns the digits of a receipt of sixteen amounts.
func BenchmarkFace(b *testing.B) {
	k := receiptOf(0, manyAmounts, 0.1)
	for b.Loop() {
		k.learned = false
		if k.face() == nil {
			b.Fatal("no face")
		}
	}
}
