package lines_test

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// follow is how firm ink is where lines are followed, as the reader has it.
const follow = 0.45

// till prints n item lines between a head and a total. Names and amounts are
// of many lengths, amounts far to the right.
func till(n int, seed uint64) draw.Paper {
	all := []draw.Line{{Text: "       HARBOR LANE MARKET"}, {Text: "      12 Quay Street, Fenwick"}, {}}
	names := []string{"OATS ROLLED 1KG", "JAM", "FOIL 25M", "Gypsy pears, each", "RICE LG", "EGGS L 12", "yoghurt plain"}
	for i := range n {
		name := names[i%len(names)]
		if i%5 == 4 {
			all = append(all, draw.Line{Text: fmt.Sprintf("  %d @ %d.%02d", i%3+2, i%4, i*37%100)})
			continue
		}
		amount := fmt.Sprintf("%d.%02d", i*7%40, i*13%100)
		if i%7 == 3 {
			amount += "-"
		}
		all = append(all, draw.Line{Text: fmt.Sprintf("%-22s%*s", name, 18, amount+" F")})
	}
	all = append(all, draw.Line{Text: strings.Repeat(" ", 4) + "TOTAL" + strings.Repeat(" ", 24) + "48.07"})
	return draw.Receipt(all, draw.DefaultStyle(), rand.New(rand.NewPCG(seed, 7)))
}

// grey is the brightness of img.
func grey(img image.Image) *image.Gray {
	b := img.Bounds()
	g := raster.New(b.Dx(), b.Dy())
	for y := range b.Dy() {
		for x := range b.Dx() {
			g.SetGray(x, y, color.GrayModel.Convert(img.At(b.Min.X+x, b.Min.Y+y)).(color.Gray))
		}
	}
	return g
}

// found holds the strips against the lines that were printed: each has one
// strip, and its ends reach to the ends of the print and not much further.
func found(t *testing.T, shot wear.Shot, strips []lines.Strip) {
	t.Helper()
	used := make([]bool, len(strips))
	for _, row := range shot.Lines {
		q := row.Quad
		left, right := (q[0].X+q[3].X)/2, (q[1].X+q[2].X)/2
		of := 0
		for i, s := range strips {
			// Where the strip runs at both of its ends, in the row.
			hit := 0
			if s.Letters < 2 && len([]rune(row.Text)) > 2 {
				continue
			}
			for _, share := range []float64{0.1, 0.5, 0.9} {
				x := s.X0 + (s.X1-s.X0)*share
				k := (x - left) / (right - left)
				top, foot := q[0].Y+(q[1].Y-q[0].Y)*k, q[3].Y+(q[2].Y-q[3].Y)*k
				if mid := s.Base(x) - s.Height/2; mid > top && mid < foot && k > -0.1 && k < 1.1 {
					hit++
				}
			}
			if hit < 2 {
				continue
			}
			used[i] = true
			if of++; of > 1 {
				t.Errorf("line %q was found %d times", row.Text, of)
			}
			// A speck beside a line costs little, a letter that is cut off much.
			if off := s.X0 - left; off > 0.8*s.Height || off < -4*s.Height {
				t.Errorf("line %q begins at %.0f and was found from %.0f", row.Text, left, s.X0)
			}
			if off := right - s.X1; off > 0.8*s.Height || off < -4*s.Height {
				t.Errorf("line %q ends at %.0f and was found to %.0f", row.Text, right, s.X1)
			}
		}
		if of == 0 {
			t.Errorf("line %q at %.0f was not found", row.Text, q[0].Y)
		}
	}
	for i, ok := range used {
		if !ok {
			s := strips[i]
			if s.Letters < 2 {
				continue // a speck, which what it reads as tells
			}
			t.Errorf("a line from %.0f to %.0f at %.0f was never printed", s.X0, s.X1, s.Base(s.X0))
		}
	}
}

func TestFindEveryLineOnce(t *testing.T) {
	dot := 0.0
	for _, c := range []struct {
		name   string
		recipe wear.Recipe
		height float64 // of the print in pixels
	}{
		{"flat", wear.Recipe{}, 24},
		{"small", wear.Recipe{}, 14},
		{"large", wear.Recipe{}, 48},
		{"curled", wear.Recipe{CurlTop: 25, CurlBottom: -15}, 24},
		{"bowed", wear.Recipe{Bow: 18}, 24},
		{"turned a little", wear.Recipe{Roll: 2}, 24},
		{"crumpled", wear.Recipe{Crumple: 0.008, Side: 0.4}, 24},
		{"folded", wear.Recipe{FoldHeight: 0.03, Folds: 2, Side: 0.4}, 24},
		{"shadows", wear.Recipe{Shadows: 2, Shade: 0.5, Edge: 0.01, Gradient: 0.5}, 24},
		{"weak and blurred", wear.Recipe{Weak: 0.3, Focus: 0.05, Noise: 4}, 24},
		{"shows through", wear.Recipe{Through: 0.12}, 24},
	} {
		t.Run(c.name, func(t *testing.T) {
			for seed := range uint64(2) {
				p := till(20, seed)
				if dot == 0 {
					one := c.recipe
					one.Scale = 1
					dot = wear.Apply(p, one).TextHeight
				}
				r := c.recipe
				r.Seed, r.Scale, r.Border = seed, c.height/dot, 0
				shot := wear.Apply(p, r)
				_, ink := raster.Even(grey(shot.Image), follow)
				coarse := 1
				if c.height > 40 {
					coarse = 2
					_, ink = raster.Even(raster.Halve(grey(shot.Image)), follow)
				}
				found(t, shot, lines.Find(ink, coarse).Strips())
			}
		})
	}
}

// A picture without print has no lines, whatever its grain.
func TestFindNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, noise := range []int{0, 3, 12} {
		g := raster.New(600, 800)
		for i := range g.Pix {
			g.Pix[i] = uint8(200 + i%600/20)
			if noise > 0 {
				g.Pix[i] += uint8(rng.IntN(noise))
			}
		}
		_, ink := raster.Even(g, follow)
		for _, s := range lines.Find(ink, 1).Strips() {
			if s.Regular && s.Letters >= 4 {
				t.Errorf("noise %d: %d regular letters at %.0f", noise, s.Letters, s.Base(s.X0))
			}
		}
	}
}

// A cut line is black on white, and its pixels lead back to where they came
// from, also behind a gap that is left out.
func TestCut(t *testing.T) {
	p := till(12, 3)
	shot := wear.Apply(p, wear.Recipe{Scale: 1.2, Gradient: 0.4, CurlTop: 12})
	g := grey(shot.Image)
	even, ink := raster.Even(g, follow)
	narrow := 0
	for _, s := range lines.Find(ink, 1).Strips() {
		crop, f := s.Cut(even, 40)
		if crop.Pix[0] != 255 {
			t.Errorf("the border is %d, not white", crop.Pix[0])
		}
		in := f.Inner()
		if float64(in.Dx())*(s.Up+s.Down)/40 < 0.9*(s.X1-s.X0) {
			narrow++
		}
		hist, n := raster.Histogram(crop, in)
		if ink, paper := raster.Percentile(&hist, n, 0.02), raster.Percentile(&hist, n, 0.8); ink > 60 || paper < 230 {
			t.Errorf("ink is %d and paper %d", ink, paper)
		}
		// Where the crop is black the paper is dark, for all but a few pixels of
		// rounding.
		black, dark := 0, 0
		for y := in.Min.Y; y < in.Max.Y; y += 2 {
			for x := in.Min.X; x < in.Max.X; x += 2 {
				if crop.GrayAt(x, y).Y > 40 {
					continue
				}
				black++
				at := f.Flat(image.Rect(x, y, x+1, y+1))
				if raster.At(even, at[0].X, (at[0].Y+at[1].Y)/2-0.5) < 150 {
					dark++
				}
			}
		}
		if black == 0 || float64(dark) < 0.95*float64(black) {
			t.Errorf("of %d black pixels %d lead back to ink", black, dark)
		}
	}
	if narrow < 8 {
		t.Errorf("of the lines with a wide gap %d were cut narrower", narrow)
	}
}

// A survey tells how print runs, whichever way the picture is turned.
func TestLookAngle(t *testing.T) {
	p := till(18, 5)
	for _, roll := range []float64{0, 7, -20, 35, 60, 90, -75, 180} {
		shot := wear.Apply(p, wear.Recipe{Scale: 0.8, Roll: roll, Border: 0.3, Table: "dark"})
		_, ink := raster.Even(grey(shot.Image), 0.6)
		s := lines.Look(ink)
		a, b := shot.Lines[0].Quad[0], shot.Lines[0].Quad[1]
		want := math.Atan2(b.Y-a.Y, b.X-a.X)
		off := math.Mod(math.Abs(s.Angle-want), math.Pi)
		if off = min(off, math.Pi-off); off > 2*math.Pi/180 {
			t.Errorf("turned by %.0f°: print was seen to run at %.1f°, it does at %.1f°", roll, s.Angle*180/math.Pi, want*180/math.Pi)
		}
		if math.Abs(s.Height/shot.TextHeight-1) > 0.45 {
			t.Errorf("turned by %.0f°: letters are %.0f high, seen as %.0f", roll, shot.TextHeight, s.Height)
		}
	}
}

// The squares of a checked table are larger than letters and as regular.
func TestLookOnChecks(t *testing.T) {
	r := wear.Plain(image.Pt(864, 1152), 3)
	r.Table, r.Fill, r.Roll = "check", 0.75, 5
	shot := wear.Apply(till(20, 6), r)
	_, ink := raster.Even(grey(shot.Image), 0.6)
	s := lines.Look(ink)
	if math.Abs(s.Height/shot.TextHeight-1) > 0.45 || math.Abs(s.Angle-5*math.Pi/180) > 2*math.Pi/180 || len(s.Letters) < 100 {
		t.Errorf("%d letters of %.0f pixels at %.1f°, printed are some of %.0f at 5°", len(s.Letters), s.Height, s.Angle*180/math.Pi, shot.TextHeight)
	}
}
