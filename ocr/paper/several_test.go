package paper_test

import (
	"fmt"
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

// faint is a receipt of a needle printer whose ribbon is nearly spent.
func faint(n int, seed uint64) draw.Paper {
	all := []draw.Line{{Text: "       THE TALLOW YARD"}, {}}
	for i := range n {
		all = append(all, draw.Line{Text: fmt.Sprintf("SOUP %02d OATS BEANS %20d.%02d F", i, i*7%30, i*13%100)})
	}
	s := draw.DefaultStyle()
	for _, f := range draw.Embedded() {
		if f.Pins {
			s.Font = f
		}
	}
	s.Black, s.Ink = 90, draw.Ink{Gain: 0.35, Strength: 0.5, Uneven: 0.2, Band: 0.2, Grain: 0.35, Round: 0.9}
	return draw.Receipt(all, s, rand.New(rand.NewPCG(seed, 3)))
}

// A paper whose print is too faint to be seen in a look at the whole photo is
// found beside another all the same.
func TestLookFaintBesideAnother(t *testing.T) {
	for i, table := range []string{"wood", "dark", "stone", "grey", "planks"} {
		seed := uint64(i)
		papers := []draw.Paper{receipt(18, seed), faint(22, seed)}
		if i%2 == 1 {
			papers[0], papers[1] = papers[1], papers[0]
		}
		r := wear.Plain(image.Pt(1500, 1100), seed)
		r.Table, r.Noise, r.Fill, r.Gradient = table, 2, 0.9, 0.3
		all := wear.SideBySide(papers, r, false, 0.03)
		all[0].Roll, all[1].Roll = float64(i%3)-1, 2-float64(i%3)
		shots := wear.Several(papers, all)
		got := each(shots[0].Image)
		if len(got) != 2 {
			t.Errorf("%s: %d papers found", table, len(got))
			continue
		}
		for k, s := range got {
			if off := apart(s.Corners, shots[k].Corners); off > 0.06 {
				t.Errorf("%s: the corners of paper %d are off by %.1f%% of the width", table, k, 100*off)
			}
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

// Two papers in line on a table nearly as bright as they are are told apart now and then, and then
// the gap, which is as bright in its midst, makes no one paper of them.
func TestLookInLineOnLight(t *testing.T) {
	told := 0
	for seed := range uint64(4) {
		papers := []draw.Paper{receipt(18, seed), receipt(14, seed+9)}
		r := wear.Plain(image.Pt(700, 1300), seed)
		r.Table, r.Noise, r.Fill, r.Gradient = "light", 2, 0.9, 0.3
		if got := each(wear.Several(papers, wear.SideBySide(papers, r, true, 0.06))[0].Image); len(got) == 2 {
			told++
		}
	}
	if told == 0 {
		t.Error("told apart on no photo")
	}
}

// A bar code across the paper is no gap between two: beside it the paper goes on.
func TestLookAcrossBarCode(t *testing.T) {
	for _, seed := range []uint64{6, 9, 18, 21, 23} {
		var all []draw.Line
		for i := range 24 {
			all = append(all, draw.Line{Text: fmt.Sprintf("ITEM %02d OATS ROLLED%20d.%02d F", i, i*7%30, i*13%100)})
		}
		all = append(all, draw.Line{Text: "0042281050926", Bars: true})
		for range 14 {
			all = append(all, draw.Line{Text: "  TELL US ABOUT YOUR VISIT IN 3 DAYS"})
		}
		p := draw.Receipt(all, draw.DefaultStyle(), rand.New(rand.NewPCG(seed, 3)))
		r := wear.Hard.Recipe(p, rand.New(rand.NewPCG(seed, 8)))
		r.Size = image.Pt(660, 880)
		if got := each(wear.Apply(p, r).Image); got != nil {
			t.Errorf("seed %d: %d papers found", seed, len(got))
		}
	}
}
