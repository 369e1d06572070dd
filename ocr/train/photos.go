package main

import (
	"context"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/score/measure"
	"tillproof/fixtures/wear"
	"tillproof/ocr"
	"tillproof/ocr/fastjpeg"
)

// photoLines photographs receipts of invented lines and gives the lines as the
// reader cuts them out: what bends, blurs and evens print on that way is not to
// be imitated by wearing lines one by one. Pictures of one line stand together.
func (p printer) photoLines(ctx context.Context, photos int, how shooting, seed uint64) ([][]sample, error) {
	found, errs := make([][][]sample, photos), make([]error, photos)
	var wg sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range photos {
		wg.Go(func() {
			free <- struct{}{}
			defer func() { <-free }()
			found[i], errs[i] = p.photo(ctx, how, rand.New(rand.NewPCG(seed, uint64(i)<<8|1)))
		})
	}
	wg.Wait()
	var all [][]sample
	for i := range found {
		if errs[i] != nil {
			return nil, fmt.Errorf("invented photo %d: %w", i, errs[i])
		}
		all = append(all, found[i]...)
	}
	return all, ctx.Err()
}

// shooting is how photos to learn from are taken and read.
type shooting struct {
	levels []wear.Level // each as often as it stands here
	// several has each photo looked at in all the reader's ways, and a line with
	// an amount kept at two heights. What a photo costs is its drawing.
	several bool
}

// mixed has half of the photos hard, and one picture of each line.
var mixed = shooting{levels: []wear.Level{wear.Hard, wear.Hard, wear.Hard, wear.Ordinary, wear.Ordinary, wear.Easy}}

// photo gives the lines of one invented photo.
func (p printer) photo(ctx context.Context, how shooting, rng *rand.Rand) ([][]sample, error) {
	style := draw.RandomStyle(p.fonts, 0, rng)
	var printed []draw.Line
	for n := 20 + rng.IntN(25); len(printed) < n; {
		if text := invented(rng); len(text) <= style.Columns {
			printed = append(printed, draw.Line{Text: text, Bold: rng.IntN(12) == 0})
		}
	}
	paper := draw.Receipt(printed, style, rng)
	level := how.levels[rng.IntN(len(how.levels))]
	r := level.Recipe(paper, rng)
	if math.Abs(r.Roll) > 45 {
		r.Roll /= 10 // nobody here tells the reader which side is up
	}
	shot := wear.Apply(paper, r)
	data, err := shot.JPEG(0)
	if err != nil {
		return nil, err
	}
	var out [][]sample
	way := rng.IntN(ocr.Ways)
	for n := range ocr.Ways {
		if n == 0 || how.several {
			out = append(out, how.cut(ctx, shot, data, (way+n)%ocr.Ways, rng)...)
		}
	}
	return out, ctx.Err()
}

// cut gives the lines of a photo as the reader cuts them out, looking at it in
// one way.
func (how shooting) cut(ctx context.Context, shot wear.Shot, data []byte, way int, rng *rand.Rand) [][]sample {
	cut := &cutter{}
	pages, err := ocr.Read(ctx, [][]byte{data}, cut, ocr.Options{DecodeJPEG: fastjpeg.Decode, Way: way})
	if err != nil {
		return nil // nothing found, nothing to learn
	}
	var out [][]sample
	for _, line := range pages[0].Lines {
		if len(line.Readings) == 0 {
			continue
		}
		some := line.Readings
		most := 1
		if how.several {
			most = 2
			rng.Shuffle(len(some), func(i, j int) { some[i], some[j] = some[j], some[i] })
		} else {
			first := rng.IntN(len(some))
			some = some[first : first+1]
		}
		var same []sample
		var numbers []int
		for _, reading := range some {
			text, n := printedAt(shot, reading.Words), numberOf(reading)
			if text == "" || n < 0 || n >= len(cut.crops) || slices.Contains(numbers, n) {
				continue
			}
			numbers = append(numbers, n)
			same = append(same, sample{cut.crops[n], text})
			if len(same) == most || measure.Amounts(text, "").Truth == 0 {
				break
			}
		}
		if len(same) > 0 {
			out = append(out, same)
		}
	}
	return out
}

// cutter is an engine that keeps the pictures of lines and, in place of words,
// marks places along them, which the reader maps to the photo.
type cutter struct {
	mu    sync.Mutex
	crops []*image.Gray
}

// marked is how sure the marks are: enough that the line counts as print and
// nobody asks whether it stands on its head.
const marked = 0.95

func (c *cutter) ReadLines(_ context.Context, crops []*image.Gray) ([][]ocr.Word, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	out := make([][]ocr.Word, len(crops))
	for i, crop := range crops {
		const wide = 12
		w, h := crop.Rect.Dx(), crop.Rect.Dy()
		for x := 0; x+wide <= w; x += wide {
			out[i] = append(out[i], ocr.Word{
				// With a digit, so that the line is read at all heights.
				Text:       fmt.Sprintf("mark%d", len(c.crops)),
				Box:        ocr.Box{X: x, Y: h/2 - 1, W: wide, H: 2},
				Confidence: marked,
			})
		}
		c.crops = append(c.crops, crop)
	}
	return out, nil
}

// numberOf is which of the kept pictures r was made from, -1 where it was put
// together of several.
func numberOf(r ocr.Reading) int {
	n := -1
	for i, w := range r.Words {
		var k int
		if _, err := fmt.Sscanf(w.Text, "mark%d", &k); err != nil || i > 0 && k != n {
			return -1
		}
		n = k
	}
	return n
}

// printedAt is what is printed along the marks of a line, "" where they are not
// all on one line, or a word is cut.
func printedAt(shot wear.Shot, marks []ocr.Word) string {
	at := make([]wear.Point, len(marks))
	for i, m := range marks {
		at[i] = wear.Point{X: float64(m.Box.X) + float64(m.Box.W)/2, Y: float64(m.Box.Y) + float64(m.Box.H)/2}
	}
	if len(at) < 3 {
		return ""
	}
	var words []string
	rows := 0
	for _, row := range shot.Lines {
		var here []string
		for _, w := range row.Words {
			q := w.Quad
			tall := math.Hypot(q[3].X-q[0].X, q[3].Y-q[0].Y)
			left, right := half(q[0], q[3]), half(q[1], q[2])
			middle := half(left, right)
			if away(at, middle) > 0.35*tall {
				continue
			}
			// The marks end with the print or a little beyond it.
			if away(at, left) > 0.5*tall || away(at, right) > 0.5*tall {
				return ""
			}
			here = append(here, w.Text)
		}
		if len(here) > 0 {
			rows++
			words = here
		}
	}
	if rows != 1 {
		return ""
	}
	return strings.Join(words, " ")
}

func half(a, b wear.Point) wear.Point { return wear.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2} }

// away is how far p lies from the way along points.
func away(points []wear.Point, p wear.Point) float64 {
	best := math.Inf(1)
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		dx, dy := b.X-a.X, b.Y-a.Y
		t := ((p.X-a.X)*dx + (p.Y-a.Y)*dy) / max(dx*dx+dy*dy, 1e-9)
		t = min(1, max(0, t))
		best = min(best, math.Hypot(a.X+t*dx-p.X, a.Y+t*dy-p.Y))
	}
	return best
}
