package paper_test

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

func receipt(n int, seed uint64) draw.Paper {
	all := []draw.Line{{Text: "       HARBOR LANE MARKET"}, {}}
	for i := range n {
		all = append(all, draw.Line{Text: fmt.Sprintf("ITEM %02d OATS ROLLED%20d.%02d F", i, i*7%30, i*13%100)})
	}
	all = append(all, draw.Line{Text: "    TOTAL                        48.07"})
	return draw.Receipt(all, draw.DefaultStyle(), rand.New(rand.NewPCG(seed, 3)))
}

// seen is a photo in grey and its print, as the reader gets to see it.
func seen(img image.Image) (*image.Gray, lines.Survey) {
	b := img.Bounds()
	g := raster.New(b.Dx(), b.Dy())
	for y := range b.Dy() {
		for x := range b.Dx() {
			g.SetGray(x, y, color.GrayModel.Convert(img.At(b.Min.X+x, b.Min.Y+y)).(color.Gray))
		}
	}
	_, ink := raster.Even(g, 0.6)
	return g, lines.Look(ink)
}

// look finds the paper in a photo as the reader does.
func look(img image.Image) (paper.Sheet, bool) { return paper.Find(seen(img)) }

// apart is the mean distance of the corners in parts of the paper's width,
// whichever end was taken for the top.
func apart(got [4]raster.Point, want wear.Quad) float64 {
	best := math.Inf(1)
	for _, turn := range []int{0, 2} {
		sum := 0.0
		for i := range 4 {
			w := want[(i+turn)%4]
			sum += math.Hypot(got[i].X-w.X, got[i].Y-w.Y) / 4
		}
		best = min(best, sum)
	}
	return best / math.Hypot(want[1].X-want[0].X, want[1].Y-want[0].Y)
}

// holds reports whether all of the print lies within the corners.
func holds(c [4]raster.Point, rows []wear.Row) bool {
	for _, row := range rows {
		for _, p := range row.Quad {
			for i := range 4 {
				a, b := c[i], c[(i+1)%4]
				if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) < 0 {
					return false
				}
			}
		}
	}
	return true
}

func TestFind(t *testing.T) {
	size := image.Pt(660, 880)
	rolls := []float64{0, 12, -35, 90, 180}
	for n, table := range []string{"wood", "planks", "dark", "stone", "cloth", "grey", "light", "check", "busy"} {
		for k := range 3 {
			roll := rolls[(n+2*k)%len(rolls)]
			r := wear.Plain(size, 4)
			r.Table, r.Roll, r.Pitch, r.Yaw, r.Near = table, roll, 6, -5, 0.5
			r.Fill, r.Gradient, r.Noise, r.Seed = 0.85, 0.3, 2, uint64(100+roll)
			shot := wear.Apply(receipt(22, 1), r)
			s, ok := look(shot.Image)
			if table == "light" || table == "cloth" || table == "check" {
				// White paper hardly shows on a light table, and checks have edges
				// of their own. Whatever is taken for the paper, no print is lost.
				if ok && !holds(s.Corners, shot.Lines) {
					t.Errorf("%s, turned by %.0f°: print lies outside of what was found", table, roll)
				}
				continue
			}
			if !ok {
				t.Errorf("%s, turned by %.0f°: not found", table, roll)
				continue
			}
			if off := apart(s.Corners, shot.Corners); off > 0.04 {
				t.Errorf("%s, turned by %.0f°: the corners are off by %.1f%% of the width", table, roll, 100*off)
			}
			if s.Seen != [4]bool{true, true, true, true} {
				t.Errorf("%s, turned by %.0f°: edges seen: %v", table, roll, s.Seen)
			}
		}
	}
}

// A shadow's edge is no edge of the paper.
func TestFindInShadows(t *testing.T) {
	for seed := range uint64(6) {
		r := wear.Plain(image.Pt(660, 880), seed)
		r.Table, r.Fill = "wood", 0.85
		r.Shadows, r.Shade, r.Edge = 2, 0.5, 0.004
		shot := wear.Apply(receipt(22, seed), r)
		s, ok := look(shot.Image)
		if !ok || apart(s.Corners, shot.Corners) > 0.04 {
			t.Errorf("seed %d: found %v, off by %.1f%% of the width", seed, ok, 100*apart(s.Corners, shot.Corners))
		}
	}
}

// Which of the paper's ends are in the picture shows in its edges.
func TestFindSeenEnds(t *testing.T) {
	for _, c := range []struct {
		name        string
		from, to    float64
		top, bottom bool
	}{
		{"all of it", 0, 0, true, true},
		{"the lower part", 0.3, 1, false, true},
		{"the upper part", 0.001, 0.7, true, false},
		{"the middle", 0.2, 0.8, false, false},
	} {
		r := wear.Plain(image.Pt(660, 880), 9)
		r.Table, r.From, r.To, r.Fill = "wood", c.from, c.to, 0.98
		if c.from == 0 {
			r.Fill = 0.85
		}
		shot := wear.Apply(receipt(40, 2), r)
		if shot.TopIn != c.top && c.from > 0.1 || shot.BottomIn != c.bottom && c.to < 0.9 && c.to > 0 {
			t.Fatalf("%s: the photo shows top %v, bottom %v", c.name, shot.TopIn, shot.BottomIn)
		}
		s, ok := look(shot.Image)
		if !ok {
			t.Errorf("%s: not found", c.name)
			continue
		}
		if s.Seen[paper.Top] != shot.TopIn || s.Seen[paper.Bottom] != shot.BottomIn {
			t.Errorf("%s: seen top %v, bottom %v; in the picture %v, %v", c.name, s.Seen[paper.Top], s.Seen[paper.Bottom], shot.TopIn, shot.BottomIn)
		}
	}
}

// A scan has no background, so that there is nothing to cut to.
func TestFindNoBackground(t *testing.T) {
	shot := wear.Apply(receipt(25, 3), wear.Recipe{Scale: 1})
	if s, ok := look(shot.Image); ok {
		t.Errorf("found a paper at %v, score %.2f", s.Corners, s.Score)
	}
	if _, ok := look(image.NewGray(image.Rect(0, 0, 800, 600))); ok {
		t.Error("found a paper in the dark")
	}
}
