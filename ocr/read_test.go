package ocr

import (
	"context"
	"image"
	"math/rand/v2"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
)

// counting reads every line as words, and counts the lines.
type counting struct {
	words []string
	lines int
}

func (c *counting) ReadLines(_ context.Context, crops []*image.Gray) ([][]Word, error) {
	c.lines += len(crops)
	out := make([][]Word, len(crops))
	for i := range crops {
		for k, text := range c.words {
			out[i] = append(out[i], Word{Text: text, Confidence: 0.75, Box: Box{X: 10 + 60*k, Y: 6, W: 50, H: 30}})
		}
	}
	return out, nil
}

// A page of many lines without an amount is no receipt and is read once; a receipt is
// read again where it is doubtful.
func TestNoReceiptIsReadOnce(t *testing.T) {
	var page []draw.Line
	for range manyLines + 10 {
		page = append(page, draw.Line{Text: "HARBOR LANES ARE LIT BY NIGHT FROM OCTOBER"})
	}
	p := draw.Receipt(page, draw.DefaultStyle(), rand.New(rand.NewPCG(2, 3)))
	r := wear.Plain(image.Pt(900, 1800), 5)
	r.Table, r.Fill = "wood", 0.92
	photo := EncodeGrey(wear.Apply(p, r).Image, "")
	for _, c := range []struct {
		words []string
		again bool
	}{{[]string{"LANES", "NIGHT"}, false}, {[]string{"LANES", "4.29"}, true}} {
		engine := &counting{words: c.words}
		pages, err := Read(context.Background(), [][]byte{photo}, engine, Options{Way: 1})
		if err != nil {
			t.Fatal(err)
		}
		if pages[0].Way != 1 {
			t.Errorf("%v: read in way 1, told as %d", c.words, pages[0].Way)
		}
		lines := len(pages[0].Lines)
		if lines < manyLines || !pages[0].readable() {
			t.Fatalf("%v: only %d lines", c.words, lines)
		}
		if again := 2*engine.lines > 3*lines; again != c.again {
			t.Errorf("%v: %d lines were read %d times in all", c.words, lines, engine.lines)
		}
	}
}
