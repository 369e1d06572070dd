package ocr

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math/rand/v2"
	"strings"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
)

// standIn reads every line as the same words, with the same confidence.
type standIn struct{ confidence float64 }

func (s standIn) ReadLines(_ context.Context, crops []*image.Gray) ([][]Word, error) {
	out := make([][]Word, len(crops))
	for i, c := range crops {
		if s.confidence > 0 {
			out[i] = []Word{{Text: "OATS", Confidence: s.confidence, Box: Box{X: 10, Y: 6, W: 30, H: 30}},
				{Text: "4.29", Confidence: s.confidence, Box: Box{X: c.Rect.Dx() - 40, Y: 6, W: 30, H: 30}}}
		}
	}
	return out, nil
}

func (s standIn) ReadDigits(_ context.Context, crops []*image.Gray) ([][]Word, error) {
	out := make([][]Word, len(crops))
	for i := range crops {
		out[i] = []Word{{Text: "4.79", Confidence: s.confidence, Box: Box{W: 9, H: 9}}}
	}
	return out, nil
}

// photographed is a receipt of 18 items as r photographs it.
func photographed(t *testing.T, r wear.Recipe) []byte {
	t.Helper()
	lines := []draw.Line{{Text: "       HARBOR LANE MARKET"}, {}}
	for i := range 18 {
		lines = append(lines, draw.Line{Text: fmt.Sprintf("ITEM %02d OATS ROLLED%20d.%02d F", i, i*7%30, i*13%100)})
	}
	p := draw.Receipt(lines, draw.DefaultStyle(), rand.New(rand.NewPCG(2, 3)))
	return EncodeGrey(wear.Apply(p, r).Image, "")
}

// What is wrong with a photo that reads badly is measured and said; one that
// reads well needs no advice, however it looks.
func TestAdvice(t *testing.T) {
	plain := func(w, h int) wear.Recipe {
		r := wear.Plain(image.Pt(w, h), 5)
		r.Table, r.Fill = "wood", 0.92
		return r
	}
	dim, blurred := plain(900, 1200), plain(900, 1200)
	dim.Exposure = 0.12
	blurred.Focus = 0.35
	for _, c := range []struct {
		name, want string
		recipe     wear.Recipe
	}{
		{"small print", "hold the camera closer", plain(300, 400)},
		{"in the dark", "more light", dim},
		{"blurred", "hold the camera still", blurred},
		{"nothing to be seen", "in parts that overlap", plain(900, 1200)},
	} {
		data := photographed(t, c.recipe)
		pages, err := Read(context.Background(), [][]byte{data}, standIn{0.55}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(pages[0].Advice, "\n"); !strings.Contains(got, c.want) {
			t.Errorf("%s: advice %q", c.name, got)
		}
		if pages, err = Read(context.Background(), [][]byte{data}, standIn{0.96}, Options{}); err != nil || len(pages[0].Advice) > 0 {
			t.Errorf("%s, read well: advice %q, %v", c.name, pages[0].Advice, err)
		}
	}
}

// Where nothing is read at all the advice is in the error.
func TestAdviceUnreadable(t *testing.T) {
	r := wear.Plain(image.Pt(300, 400), 5)
	r.Table, r.Fill = "wood", 0.92
	_, err := Read(context.Background(), [][]byte{photographed(t, r)}, standIn{}, Options{})
	var unreadable *UnreadableError
	if !errors.As(err, &unreadable) || !strings.Contains(err.Error(), "hold the camera closer") {
		t.Errorf("got %v", err)
	}
	_, err = Read(context.Background(), [][]byte{EncodeGrey(image.NewGray(image.Rect(0, 0, 400, 500)), "")}, standIn{}, Options{})
	if !errors.As(err, &unreadable) || !strings.Contains(err.Error(), "no print was found") {
		t.Errorf("got %v", err)
	}
}

// A second look gives further readings of a line of its page, in its place, and
// none once the page has forgotten its picture.
func TestAgain(t *testing.T) {
	r := wear.Plain(image.Pt(700, 900), 5)
	r.Table, r.Fill = "wood", 0.92
	engine := standIn{0.9}
	pages, err := Read(context.Background(), [][]byte{photographed(t, r)}, engine, Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := &pages[0]
	l := p.Lines[4]
	more, err := p.Again(context.Background(), engine, l)
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, m := range more {
		if !m.Own {
			texts = append(texts, m.Text())
		}
		for _, w := range m.Words {
			if w.Box.X < l.Box.X-5 || w.Box.X+w.Box.W > l.Box.X+l.Box.W+5 || w.Box.Y < l.Box.Y-5 || w.Box.Y+w.Box.H > l.Box.Y+l.Box.H+5 {
				t.Errorf("%q at %v is not in its line at %v", w.Text, w.Box, l.Box)
			}
		}
	}
	if got := strings.Join(texts, ", "); got != "OATS 4.29, OATS 4.79" {
		t.Errorf("read again as %s", got)
	}
	if more, err := p.Again(context.Background(), engine, Line{Box: Box{X: 1, Y: 2, W: 3, H: 4}}); err != nil || more != nil {
		t.Errorf("a line of another page: %v, %v", more, err)
	}
	p.Forget()
	if more, err := p.Again(context.Background(), engine, l); err != nil || more != nil {
		t.Errorf("a page that has forgotten: %v, %v", more, err)
	}
}
