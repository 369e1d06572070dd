package worker

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
	"tillproof/ocr"
)

// smallReceipt is what the receipt of TestSmallPrint says.
var smallReceipt = []string{
	"Harrowfen Corner Shop", "14 Tannery Row", "",
	"Rolled oats 1 kg                      4.29", "Plum jam 340 g                        6.90",
	"Sieved tomatoes                       1.15", "  3 @ 2.38                            7.14",
	"Coupon jam                           -1.50", "Soft rolls 6 ct                       2.75",
	"Cloudy lemonade                       3.09", "Store special                        -0.80",
	"Green grapes 1.32 lb @ 1.99/lb        2.63", "",
	"Subtotal                             25.65", "Tax 6%                                1.54",
	"Total                                27.19", "Card                                 27.19", "",
	"Thank you for shopping",
}

// TestSmallPrint reads drawn receipts whose small letters are under ten pixels high, as
// in a photo that was taken from far away or scaled down by whoever sent it.
func TestSmallPrint(t *testing.T) {
	p, err := New(2, "")
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	var lines []draw.Line
	for _, text := range smallReceipt {
		lines = append(lines, draw.Line{Text: text})
	}
	style := draw.DefaultStyle()
	for _, xHeight := range []float64{9, 8} {
		rng := rand.New(rand.NewPCG(8, 8))
		small := inkHeight(draw.Receipt([]draw.Line{{Text: "xxx"}}, style, rng).Image)
		shot := wear.Apply(draw.Receipt(lines, style, rng), wear.Recipe{
			Seed: 8, Scale: xHeight * float64(style.Dot) / float64(small), Border: 0.06, Table: "wood",
			Roll: 2, Focus: 0.03, Noise: 2, Grain: 1.5,
		})
		var photo bytes.Buffer
		if err := png.Encode(&photo, shot.Image); err != nil {
			t.Fatal(err)
		}
		pages, err := ocr.Read(context.Background(), [][]byte{photo.Bytes()}, p, ocr.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var read strings.Builder
		for _, l := range pages[0].Lines {
			fmt.Fprintln(&read, l.Text())
		}
		amount := regexp.MustCompile(`-?\d+\.\d\d`)
		left := amount.FindAllString(read.String(), -1)
		for _, want := range amount.FindAllString(strings.Join(smallReceipt, "\n"), -1) {
			found := false
			for i, got := range left {
				if got == want {
					left, found = append(left[:i:i], left[i+1:]...), true
					break
				}
			}
			if !found {
				t.Errorf("x-height %.0f px: %s was not read in\n%s", xHeight, want, read.String())
			}
		}
	}
}

// inkHeight is how many rows of g are inked.
func inkHeight(g *image.Gray) int {
	n := 0
	for y := range g.Rect.Dy() {
		if row := g.Pix[y*g.Stride : y*g.Stride+g.Rect.Dx()]; slices.Min(row) < 128 {
			n++
		}
	}
	return n
}
