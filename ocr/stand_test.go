package ocr

import (
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// TestStandUp: a paper whose columns were taken for its lines is turned to where more letters stand
// in lines, its top up; one that is wider than high, and one that lies right, stay.
func TestStandUp(t *testing.T) {
	for _, c := range []struct {
		why   string
		lines int
		lies  int // quarter turns that the sheet was found at
		seen  int // letters by a survey
	}{
		{"on its side", 36, 1, 60},
		{"on its other side", 36, 3, 60},
		{"its lines were seen", 36, 1, 900},
		{"upright", 36, 0, 900},
		{"wide, and so it is", 5, 0, 130},
	} {
		shot := slanted(c.lines)
		g := toGrey(shot.Image)
		var upright paper.Sheet
		for i, q := range shot.Corners {
			upright.Corners[i] = raster.Point{X: q.X, Y: q.Y}
		}
		s := sight{found: true, sheet: upright, factor: 1}
		s.print.Letters = make([]raster.Point, c.seen)
		for range c.lies {
			s.sheet = quarter(s.sheet)
		}
		s.standUp(g, hands[0].follow)
		if turned := c.seen < 100; turned || c.lies == 0 {
			if s.sheet.Corners != upright.Corners {
				t.Errorf("%s: %.0f, want %.0f", c.why, s.sheet.Corners, upright.Corners)
			}
		} else if s.sheet.Corners == upright.Corners {
			t.Errorf("%s: turned", c.why)
		}
		if c.seen < 100 && (s.print.Height < 5 || s.by != 1) {
			t.Errorf("%s: letters of %.1f pixels in a picture smaller by %v", c.why, s.print.Height, s.by)
		}
	}
}

// slanted photographs a receipt of so many lines in words of many lengths, turned by 15 degrees.
func slanted(n int) wear.Shot {
	words := strings.Fields("orchard jam of plums harbour oats and a wholemeal loaf Quarrow lemonade 1l mild soap for dishes")
	var all []draw.Line
	rng := rand.New(rand.NewPCG(1, 5))
	for i := range n {
		text := ""
		for len(text) < 34 {
			text += words[rng.IntN(len(words))] + " "
		}
		all = append(all, draw.Line{Text: fmt.Sprintf("%s %d.%02d", text, i*7%30, i*13%100)})
	}
	style := draw.DefaultStyle()
	style.Font = draw.Embedded()[slices.IndexFunc(draw.Embedded(), func(f *draw.Font) bool { return f.Proportional })]
	style.Top, style.Bottom = 30, 30
	r := wear.Plain(image.Pt(900, 1200), 5)
	r.Roll = 15
	return wear.Apply(draw.Receipt(all, style, rand.New(rand.NewPCG(1, 3))), r)
}

// TestTurnOver: where no paper was found the lines run across what a survey took for them, if it saw
// little of the print and more stands in lines so.
func TestTurnOver(t *testing.T) {
	const slant = 15 * math.Pi / 180
	shot := slanted(36)
	g := toGrey(shot.Image)
	var middles []raster.Point
	for _, row := range shot.Lines {
		for _, w := range row.Words {
			middles = append(middles, raster.Point{X: (w.Quad[0].X + w.Quad[2].X) / 2, Y: (w.Quad[0].Y + w.Quad[2].Y) / 2})
		}
	}
	for _, c := range []struct {
		why         string
		angle, want float64
		seen        int
	}{
		{"columns", slant - math.Pi/2, slant, 70},
		{"columns, most letters seen", slant - math.Pi/2, slant - math.Pi/2, 200},
		{"lines", slant, slant, 70},
	} {
		s := sight{factor: 1, print: lines.Survey{Angle: c.angle, Height: 20, Letters: middles[:c.seen]}}
		if s.turnOver(g, hands[0].follow); math.Abs(s.print.Angle-c.want) > 1e-9 {
			t.Errorf("%s: lines run at %.2f, want %.2f", c.why, s.print.Angle, c.want)
		}
	}
}

// TestLineAtEnd: a paper whose upper end was seen too low is shown farther, and its end is not known
// then; not one of several, whose neighbour's lines may stand there.
func TestLineAtEnd(t *testing.T) {
	shot := slanted(20)
	g := toGrey(shot.Image)
	first := shot.Lines[0].Words[0].Quad
	short := paper.Sheet{Seen: [4]bool{true, true, true, true}}
	for i, q := range shot.Corners {
		short.Corners[i] = raster.Point{X: q.X, Y: q.Y}
	}
	// The upper side goes through the middle of the first line.
	c := short.Corners
	side := math.Hypot(c[3].X-c[0].X, c[3].Y-c[0].Y)
	down := raster.Point{X: (c[3].X - c[0].X) / side, Y: (c[3].Y - c[0].Y) / side}
	off := ((first[0].X+first[3].X)/2-c[0].X)*down.X + ((first[0].Y+first[3].Y)/2-c[0].Y)*down.Y
	for i := range 2 {
		short.Corners[i].X += off * down.X
		short.Corners[i].Y += off * down.Y
	}
	for _, given := range []bool{false, true} {
		s := sight{found: true, sheet: short, factor: 1, by: 1, given: given, print: lines.Survey{Height: 20, Letters: make([]raster.Point, 200)}}
		f, err := lieAs(s, &photo{grey: g, width: g.Rect.Dx(), height: g.Rect.Dy(), shrink: 1}, hands[0], nil)
		if err != nil {
			t.Fatal(err)
		}
		above := f.toPhoto.Inverse().Map(raster.Point{X: first[0].X, Y: first[0].Y}).Y
		if shown := above > 2; shown == given || f.seen[paper.Top] != given {
			t.Errorf("one of several %v: the first line begins at %.0f, its end seen: %v", given, above, f.seen[paper.Top])
		}
	}
}
