package ocr

import (
	"context"
	"image"
	"testing"

	"tillproof/fixtures/wear"
)

// keeper keeps the pictures that it is handed.
type keeper struct {
	standIn
	crops []*image.Gray
}

func (k *keeper) ReadLines(ctx context.Context, crops []*image.Gray) ([][]Word, error) {
	k.crops = append(k.crops, crops...)
	return k.standIn.ReadLines(ctx, crops)
}

// Weak print that is stretched to black has paper full of grain. A second look
// shows the line without it too, and the strokes stay.
func TestAgainWithoutGrain(t *testing.T) {
	r := wear.Plain(image.Pt(700, 900), 5)
	r.Table, r.Fill, r.Noise, r.Ink = "wood", 0.92, 14, [3]uint8{120, 120, 120}
	pages, err := Read(context.Background(), [][]byte{photographed(t, r)}, standIn{0.9}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	k := &keeper{standIn: standIn{0.9}}
	if _, err := pages[0].Again(context.Background(), k, pages[0].Lines[4]); err != nil {
		t.Fatal(err)
	}
	var grain, strokes []float64 // shares of the picture
	for _, c := range k.crops {
		light, dark := 0, 0
		for _, v := range c.Pix {
			if v > 200 && v < 255 {
				light++
			} else if v < 128 {
				dark++
			}
		}
		n := float64(len(c.Pix))
		grain, strokes = append(grain, float64(light)/n), append(strokes, float64(dark)/n)
	}
	const plain = 0 // the first of the ways, only larger
	if grain[plain] < 0.2 {
		t.Fatalf("the paper has no grain to speak of: %.2f", grain[plain])
	}
	for i := range k.crops {
		if grain[i] < grain[plain]/3 && strokes[i] > 0.6*strokes[plain] {
			return
		}
	}
	t.Errorf("all pictures of the line have grain, or no strokes: grain %.2f, strokes %.2f", grain, strokes)
}
