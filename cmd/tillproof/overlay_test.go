package main

import (
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"tillproof/fixtures/draw"
	"tillproof/fixtures/wear"
	"tillproof/ocr"
)

// truth is what is known of a drawn photo: where its paper's corners and its
// lines are.
type truth struct {
	Photo struct {
		Width, Height int
		Corners       [4][2]float64
		Boxes         [][4]float64
	}
}

// height is how far down the paper a point of the photo lies, from 0 to 1: the
// share of the way from the paper's upper edge to its lower one. The demo's flat
// receipts are scans, so that this is how far down they lie when laid flat.
func (tr truth) height(x, y float64) float64 {
	edge := func(a, b [2]float64) float64 { // of the edge a-b, the y at x
		return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
	}
	c := tr.Photo.Corners
	top, bottom := edge(c[0], c[1]), edge(c[3], c[2])
	return (y - top) / (bottom - top)
}

// TestOverlayFramesTheLines checks the frames in the written picture against
// where the photo was drawn: nothing here knows how the paper was laid flat.
func TestOverlayFramesTheLines(t *testing.T) {
	demo, err := filepath.Abs("../../fixtures/demo/flat")
	if err != nil {
		t.Fatal(err)
	}
	// The lines of the goods that each photo's finding is about, from 1.
	for photo, lines := range map[string][]int{"supper": {13, 14}, "cleaning": {7, 8, 9, 10, 11}} {
		t.Run(photo, func(t *testing.T) {
			t.Parallel()
			var tr truth
			b, err := os.ReadFile(filepath.Join(demo, photo+".truth.json"))
			if err == nil {
				err = json.Unmarshal(b, &tr)
			}
			if err != nil {
				t.Fatal(err)
			}
			file := filepath.Join(t.TempDir(), "found.png")
			out, err := exec.Command("tillproof", "check", "--plan", filepath.Join(demo, "../plan.yaml"), "--overlay", file, filepath.Join(demo, photo+".jpg")).CombinedOutput()
			if exit, ok := err.(*exec.ExitError); !ok || exit.ExitCode() != exitDifferent {
				t.Fatalf("%v\n%s", err, out)
			}
			f, err := os.Open(file)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			img, err := png.Decode(f)
			if err != nil {
				t.Fatal(err)
			}
			frames := colouredRows(img)
			if len(frames) == 0 {
				t.Fatal("no frame in the picture")
			}
			paper := paperHeight(img)
			for _, n := range lines {
				box := tr.Photo.Boxes[n-1]
				want := tr.height(box[0]+box[2]/2, box[1]+box[3]/2)
				best := math.Inf(1)
				for _, y := range frames {
					best = min(best, math.Abs(y/paper-want))
				}
				if best > 0.0115 { // half of the lines' pitch: the next line's frame would be nearer
					t.Errorf("line %d lies at %.3f of the paper's height, the nearest frame is %.3f off (%v of %v)", n, want, best, frames, paper)
				}
			}
			if len(frames) != len(lines) {
				t.Errorf("%d frames for %d lines", len(frames), len(lines))
			}
		})
	}
}

// colouredRows are the middles of the hatched bands beside the paper: one for
// each frame. The photo is grey, so what has a colour was drawn.
func colouredRows(img image.Image) (middles []float64) {
	from := -1
	for y := range paperRows(img) {
		n := 0
		for x := range img.Bounds().Dx() / 8 {
			if r, g, _, _ := img.At(x, y).RGBA(); r > g+0x4000 {
				n++
			}
		}
		switch {
		case n > 0 && from < 0:
			from = y
		case n == 0 && from >= 0:
			if y-from > 8 {
				middles = append(middles, float64(from+y)/2)
			}
			from = -1
		}
	}
	return middles
}

// paperRows is how many rows there are above the legend's rule, which is the
// first that is black from edge to edge.
func paperRows(img image.Image) int {
	b := img.Bounds()
	for y := range b.Dy() {
		black := 0
		for x := range b.Dx() {
			if r, g, bl, _ := img.At(x, y).RGBA(); r+g+bl == 0 {
				black++
			}
		}
		if black == b.Dx() {
			return y
		}
	}
	return b.Dy()
}

func paperHeight(img image.Image) float64 { return float64(paperRows(img)) }

// TestFlattenedAsRead: findings are drawn on the paper as it was laid flat when it was read; on
// a photo that the two ways lay otherwise the frames would else stand beside their lines.
func TestFlattenedAsRead(t *testing.T) {
	var receipt []draw.Line
	for i := range 20 {
		receipt = append(receipt, draw.Line{Text: fmt.Sprintf("ITEM %02d OATS ROLLED%20d.%02d F", i, i*7%30, i*13%100)})
	}
	rng := rand.New(rand.NewPCG(7, 3))
	paper := draw.Receipt(receipt, draw.DefaultStyle(), rng)
	photo, err := wear.Apply(paper, wear.Hard.Recipe(paper, rng)).JPEG(1)
	if err != nil {
		t.Fatal(err)
	}
	sizes := map[image.Point]bool{}
	for way := range ocr.Ways {
		want, err := ocr.Flatten(photo, 0, looking(way, nil))
		if err != nil {
			t.Fatal(err)
		}
		got, err := flattenAs(photo, []ocr.Page{{Photo: 1, Way: way}}, 1)
		if err != nil || got.Image.Rect != want.Image.Rect {
			t.Errorf("read in way %d, drawn %v on %v, want %v", way, err, got.Image.Rect, want.Image.Rect)
		}
		sizes[want.Image.Rect.Max] = true
	}
	if len(sizes) < 2 {
		t.Error("the ways lay this photo alike, and tell nothing")
	}
}
