package paper_test

import (
	"image"
	"math/rand/v2"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
	"tillproof/ocr/paper"
)

// each finds the papers in a photo as the reader does.
func each(img image.Image) []paper.Sheet {
	_, _, several := paper.Look(seen(img))
	return several
}

// Papers that lie apart on a table are found each by itself, in the order in
// which they are read.
func TestLookSeveral(t *testing.T) {
	for _, table := range []string{"wood", "dark", "grey"} {
		for _, c := range []struct {
			name  string
			n     int
			above bool
			size  image.Point
			roll  [3]float64
		}{
			{"side by side", 2, false, image.Pt(1100, 880), [3]float64{}},
			{"aslant", 2, false, image.Pt(1200, 880), [3]float64{3, -4}},
			{"one above the other", 2, true, image.Pt(700, 1300), [3]float64{2, 0}},
			{"three", 3, false, image.Pt(1500, 900), [3]float64{0, 2, -2}},
		} {
			t.Run(table+" "+c.name, func(t *testing.T) {
				var papers []draw.Paper
				for i := range c.n {
					papers = append(papers, receipt(14+4*i, uint64(i)))
				}
				r := wear.Plain(c.size, 5)
				r.Table, r.Noise, r.Fill, r.Gradient = table, 2, 0.9, 0.3
				all := wear.SideBySide(papers, r, c.above, 0.06)
				for i := range all {
					all[i].Roll = c.roll[i]
				}
				shots := wear.Several(papers, all)
				got := each(shots[0].Image)
				if len(got) != c.n {
					t.Fatalf("%d papers found: %v", len(got), got)
				}
				for i, s := range got {
					if off := apart(s.Corners, shots[i].Corners); off > 0.06 {
						t.Errorf("paper %d: the corners are off by %.1f%% of the width", i, 100*off)
					}
				}
			})
		}
	}
}

// One paper is one paper, whatever lies on it: folds, shadows, a stripe.
func TestLookOne(t *testing.T) {
	for seed := range uint64(5) {
		for _, level := range []wear.Level{wear.Easy, wear.Ordinary, wear.Hard} {
			p := receipt(20+2*int(seed), seed)
			r := level.Recipe(p, rand.New(rand.NewPCG(seed, 8)))
			r.Size = image.Pt(660, 880)
			if r.Folds == 0 && seed%2 == 0 {
				r.Folds, r.FoldHeight = 2, 0.05
			}
			if got := each(wear.Apply(p, r).Image); got != nil {
				t.Errorf("%s %d: %d papers found", level, seed, len(got))
			}
		}
	}
}
