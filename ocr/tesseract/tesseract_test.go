package tesseract

import (
	"cmp"
	"context"
	"errors"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/ocr"
	"tillproof/ocr/model"
	"tillproof/ocr/raster"
)

// engine starts one with the built-in model.
func engine(t *testing.T) *Engine {
	t.Helper()
	file := filepath.Join(t.TempDir(), "receipts.traineddata")
	if err := os.WriteFile(file, model.Default(), 0o600); err != nil {
		t.Fatal(err)
	}
	e, err := New(file)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := e.Close(); err != nil {
			t.Error(err)
		}
	})
	return e
}

// line is text as printed, 48 pixels high with some paper around, and the
// pixels of its words.
func line(text string, seed uint64) (*image.Gray, []image.Rectangle) {
	p := draw.Receipt([]draw.Line{{Text: text}}, draw.DefaultStyle(), rand.New(rand.NewPCG(seed, 1)))
	around := p.Lines[0].Box.Inset(-p.Lines[0].Box.Dy() / 4)
	scale := 48 / float64(around.Dy())
	cut := raster.New(around.Dx(), around.Dy())
	for y := range around.Dy() {
		for x := range around.Dx() {
			cut.SetGray(x, y, p.Image.GrayAt(around.Min.X+x, around.Min.Y+y))
		}
	}
	var words []image.Rectangle
	for _, w := range p.Lines[0].Words {
		b := w.Box.Sub(around.Min)
		at := func(v int) int { return int(float64(v) * scale) }
		words = append(words, image.Rect(at(b.Min.X), at(b.Min.Y), at(b.Max.X), at(b.Max.Y)))
	}
	return raster.Resize(cut, int(float64(around.Dx())*scale), 48), words
}

// Lines are read as they were printed, gaps included, and each word stands where
// it was printed.
func TestReadLines(t *testing.T) {
	e := engine(t)
	for i, text := range []string{
		"OATS ROLLED 1KG        4.29 F", "JAM PLUM      6.90", "MFR CPN       1.25-", "TOTAL  19.18", "2 @ 3.45   6.90", "40% OFF -5.15",
	} {
		crop, printed := line(text, uint64(i))
		lines, err := e.ReadLines(t.Context(), []*image.Gray{crop})
		if err != nil || len(lines) != 1 {
			t.Fatalf("%q: %d lines, %v", text, len(lines), err)
		}
		if got, want := (ocr.Reading{Words: lines[0]}).Text(), strings.Join(strings.Fields(text), " "); got != want {
			t.Errorf("%q was read as %q", want, got)
			continue
		}
		for j, w := range lines[0] {
			box := image.Rect(w.Box.X, w.Box.Y, w.Box.X+w.Box.W, w.Box.Y+w.Box.H)
			if middle := printed[j].Min.Add(printed[j].Max).Div(2); !middle.In(box) || !box.In(crop.Rect) {
				t.Errorf("%q is at %v of %v, was printed at %v", w.Text, box, crop.Rect, printed[j])
			}
			if w.Confidence < 0.5 || w.Confidence > 1 {
				t.Errorf("%q is sure by %.2f", w.Text, w.Confidence)
			}
			checkAlternatives(t, w)
		}
	}
}

// Bare paper holds no word, and no crop no line.
func TestReadNothing(t *testing.T) {
	e := engine(t)
	paper := raster.New(200, 48)
	raster.Fill(paper, 240)
	lines, err := e.ReadLines(t.Context(), []*image.Gray{paper})
	if err != nil || len(lines) != 1 || len(lines[0]) != 0 {
		t.Errorf("%v, %v", lines, err)
	}
	if lines, err := e.ReadLines(t.Context(), nil); err != nil || len(lines) != 0 {
		t.Errorf("%v, %v", lines, err)
	}
}

// A second look at an amount gives nothing but what amounts are made of, even of
// letters; after it letters are read again.
func TestReadDigits(t *testing.T) {
	e := engine(t)
	amount, _ := line("12.87", 1)
	letters, _ := line("SOLO BOIL", 2)
	crops := []*image.Gray{amount, letters}
	lines, err := e.ReadDigits(t.Context(), crops)
	if err != nil || len(lines) != 2 {
		t.Fatalf("%v, %v", lines, err)
	}
	if got := (ocr.Reading{Words: lines[0]}).Text(); got != "12.87" {
		t.Errorf("12.87 was read as %q", got)
	}
	if got := (ocr.Reading{Words: lines[1]}).Text(); strings.Trim(got, Digits+" ") != "" {
		t.Errorf("letters were read as %q", got)
	}
	lines, err = e.ReadLines(t.Context(), crops)
	if err != nil || (ocr.Reading{Words: lines[1]}).Text() != "SOLO BOIL" {
		t.Errorf("then they were read as %v, %v", lines, err)
	}
}

func TestGivingUp(t *testing.T) {
	e := engine(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	crop, _ := line("TOTAL 1.00", 1)
	if lines, err := e.ReadLines(ctx, []*image.Gray{crop}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, %v", lines, err)
	}
	if lines, err := e.ReadDigits(ctx, []*image.Gray{crop}); !errors.Is(err, context.Canceled) {
		t.Errorf("digits: %v, %v", lines, err)
	}
	if lines, err := e.ReadLines(t.Context(), []*image.Gray{crop}); err != nil || (ocr.Reading{Words: lines[0]}).Text() != "TOTAL 1.00" {
		t.Errorf("after that: %v, %v", lines, err)
	}
}

func TestNoModel(t *testing.T) {
	dir := t.TempDir()
	broken := filepath.Join(dir, "broken.traineddata")
	if err := os.WriteFile(broken, []byte("no model"), 0o600); err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]string{
		filepath.Join(dir, "model.bin"):        "no .traineddata file",
		filepath.Join(dir, "none.traineddata"): "none.traineddata",
		broken:                                 "broken.traineddata",
	} {
		e, err := New(file)
		if err == nil {
			e.Close()
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q in it", file, err, want)
		}
	}
}

// A part of a larger picture is written as that part alone.
func TestPGM(t *testing.T) {
	g := image.NewGray(image.Rect(0, 0, 4, 3))
	for i := range g.Pix {
		g.Pix[i] = byte('a' + i)
	}
	part := g.SubImage(image.Rect(1, 1, 3, 3)).(*image.Gray)
	if got := string(pgm(part)); got != "P5\n2 2\n255\nfgjk" {
		t.Errorf("%q", got)
	}
}

// checkAlternatives holds the runners-up of a word to what their users rely on.
func checkAlternatives(t *testing.T, w ocr.Word) {
	t.Helper()
	if len(w.Alternatives) > maxAlternatives {
		t.Errorf("%q has %d alternatives", w.Text, len(w.Alternatives))
	}
	if !slices.IsSortedFunc(w.Alternatives, func(a, b ocr.Alternative) int { return cmp.Compare(a.Cost, b.Cost) }) {
		t.Errorf("%q: not the cheapest first: %v", w.Text, w.Alternatives)
	}
	for _, a := range w.Alternatives {
		if a.Text == "" || a.Text == w.Text || !(a.Cost >= 0) || math.IsInf(a.Cost, 0) {
			t.Errorf("%q may be %q at %g", w.Text, a.Text, a.Cost)
		}
	}
}
