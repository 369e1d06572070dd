package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tillproof/fixtures/wear"
	"tillproof/ocr"
)

// Lines cut out of photos carry what is printed there: what is printed there
// stands on a line of the receipt, and has room in the picture.
func TestPhotoLines(t *testing.T) {
	pr, _ := newPrinter()
	groups, err := pr.photo(context.Background(), mixed, rand.New(rand.NewPCG(3, 1)))
	if err != nil {
		t.Fatal(err)
	}
	lines := slices.Concat(groups...)
	if len(lines) < 10 {
		t.Fatalf("%d lines were cut out of a photo of 20 and more", len(lines))
	}
	for _, l := range lines {
		if n := len(strings.ReplaceAll(l.text, " ", "")); float64(l.img.Rect.Dx()) < 0.2*float64(n*l.img.Rect.Dy()) {
			t.Errorf("%q stands on a picture of %v", l.text, l.img.Rect.Size())
		}
	}
}

func TestPrintedAt(t *testing.T) {
	word := func(text string, x, y, w float64) wear.Word {
		return wear.Word{Text: text, Quad: wear.Quad{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + 20}, {X: x, Y: y + 20}}}
	}
	shot := wear.Shot{Lines: []wear.Row{
		{Words: []wear.Word{word("OATS", 10, 100, 60), word("4.29", 200, 104, 60)}},
		{Words: []wear.Word{word("MILK", 10, 130, 60), word("1.19", 200, 134, 60)}},
	}}
	along := func(x0, y0, x1, y1 float64) []ocr.Word {
		var out []ocr.Word
		const n = 12
		for i := range n {
			at := float64(i) / (n - 1)
			out = append(out, ocr.Word{Box: ocr.Box{X: int(x0 + at*(x1-x0)), Y: int(y0 + at*(y1-y0)), W: 0, H: 0}})
		}
		return out
	}
	for _, c := range []struct {
		name  string
		marks []ocr.Word
		want  string
	}{
		{"a line", along(5, 110, 265, 114), "OATS 4.29"},
		{"its end alone", along(195, 113, 265, 114), "4.29"},
		{"a word is cut", along(30, 110, 265, 114), ""},
		{"from one line to the next", along(5, 110, 265, 144), ""},
		{"between two lines", along(5, 125, 265, 129), ""},
		{"no line", along(5, 300, 265, 300), ""},
	} {
		if got := printedAt(shot, c.marks); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestNumberOf(t *testing.T) {
	reading := func(words ...string) (r ocr.Reading) {
		for _, w := range words {
			r.Words = append(r.Words, ocr.Word{Text: w})
		}
		return r
	}
	for _, c := range []struct {
		r    ocr.Reading
		want int
	}{{reading("mark12", "mark12"), 12}, {reading("mark12", "mark13"), -1}, {reading("OATS"), -1}, {reading(), -1}} {
		if got := numberOf(c.r); got != c.want {
			t.Errorf("%q: %d, want %d", c.r.Text(), got, c.want)
		}
	}
}

// Groups are cut off whole, and never beyond the limit.
func TestFirstOf(t *testing.T) {
	groups := [][]sample{make([]sample, 2), make([]sample, 3), make([]sample, 1)}
	for most, want := range map[int]int{0: 0, 1: 0, 2: 1, 4: 1, 5: 2, 6: 3, 9: 3} {
		if got := len(firstOf(groups, most)); got != want {
			t.Errorf("of at most %d lines %d groups, want %d", most, got, want)
		}
	}
}

// TestNamedLessons: lessons are told by their names, in the order given.
func TestNamedLessons(t *testing.T) {
	for names, want := range map[string]string{"photos": "0", "hard,both": "1 2", "both,photos": "2 0", "soft": "", "": ""} {
		got, err := namedLessons(names)
		if s := strings.Trim(fmt.Sprint(got), "[]"); s != want || (err == nil) == (want == "") {
			t.Errorf("%q: %q, %v, want %q", names, s, err, want)
		}
	}
}
