package ocr

import (
	"encoding/json"
	"image"
	"math"
	"os"
	"testing"

	"tillproof/ocr/raster"
)

// TestFlatBoxesHoldTheLines lays drawn photos flat and looks for print where
// the drawing says that the lines are: dark rows in the middle of each box, and
// paper between it and the next.
func TestFlatBoxesHoldTheLines(t *testing.T) {
	for _, name := range []string{"supper", "breakfast", "cleaning", "pantry"} {
		photo, err := os.ReadFile("../fixtures/demo/" + name + ".jpg")
		if err != nil {
			t.Fatal(err)
		}
		src, err := os.ReadFile("../fixtures/demo/" + name + ".truth.json")
		if err != nil {
			t.Fatal(err)
		}
		var truth struct{ Photo struct{ Boxes [][4]float64 } }
		if err := json.Unmarshal(src, &truth); err != nil {
			t.Fatal(err)
		}
		flat, err := Flatten(photo, 0, Options{})
		if err != nil {
			t.Fatal(err)
		}
		good := 0
		all := 0
		for _, b := range truth.Photo.Boxes {
			if b[2] == 0 {
				continue // a line that is not in the picture
			}
			all++
			r := flat.Box(Box{X: int(b[0]), Y: int(b[1]), W: int(b[2]), H: int(b[3])})
			h := r.Dy()
			inside := inked(flat.Image, image.Rect(r.Min.X, r.Min.Y+h/4, r.Max.X, r.Max.Y-h/4))
			above := inked(flat.Image, image.Rect(r.Min.X, r.Min.Y-h/6, r.Max.X, r.Min.Y))
			below := inked(flat.Image, image.Rect(r.Min.X, r.Max.Y, r.Max.X, r.Max.Y+h/6))
			if inside > 4*max(above, below) {
				good++
			} else {
				t.Logf("%s %v: ink %.3f above, %.3f inside, %.3f below", name, r, above, inside, below)
			}
		}
		if 100*good < 80*all || all == 0 {
			t.Errorf("%s: print in %d of %d boxes", name, good, all)
		}
	}
}

// inked is the share of dark pixels in r.
func inked(g *image.Gray, r image.Rectangle) float64 {
	r = r.Intersect(g.Rect)
	dark := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if g.GrayAt(x, y).Y < 128 {
				dark++
			}
		}
	}
	return float64(dark) / float64(max(1, r.Dx()*r.Dy()))
}

func TestFlattenRefusesWhatIsNoPhoto(t *testing.T) {
	if _, err := Flatten([]byte("no picture"), 0, Options{}); err == nil {
		t.Error("flattened what is no picture")
	}
	photo, err := os.ReadFile("../fixtures/demo/supper.jpg")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Flatten(photo, 1, Options{}); err == nil {
		t.Error("laid flat sideways")
	}
	up, err := Flatten(photo, 0, Options{})
	if err != nil {
		t.Fatal(err)
	}
	down, err := Flatten(photo, 2, Options{})
	if err != nil {
		t.Fatal(err)
	}
	w, h := up.Image.Rect.Dx(), up.Image.Rect.Dy()
	if got, want := down.Image.GrayAt(w-11, h-501), up.Image.GrayAt(10, 500); got != want {
		t.Errorf("upside down it is another picture: %v, want %v", got, want)
	}
}

// TestBoxOfATurnedLine: the upright box that a long line has on a turned photo leads
// back to the line, not to the lines above and below as well.
func TestBoxOfATurnedLine(t *testing.T) {
	for _, degrees := range []float64{0, 5, -12, 20, -30} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		turn := raster.Plane{cos, -sin, 500, sin, cos, 500, 0, 0, 1}
		f := &Flat{Image: raster.New(700, 900), toPhoto: turn, toFlat: turn.Inverse()}
		line := image.Rect(60, 300, 620, 322)
		all := newExtent()
		for _, x := range []int{line.Min.X, line.Max.X} {
			for _, y := range []int{line.Min.Y, line.Max.Y} {
				p := turn.Map(raster.Point{X: float64(x), Y: float64(y)})
				all.add(p.X, p.Y)
			}
		}
		got := f.Box(Box{X: int(math.Round(all.x0)), Y: int(math.Round(all.y0)), W: int(math.Round(all.w())), H: int(math.Round(all.h()))})
		off := max(got.Min.X-line.Min.X, line.Min.X-got.Min.X, got.Max.X-line.Max.X, line.Max.X-got.Max.X,
			got.Min.Y-line.Min.Y, line.Min.Y-got.Min.Y, got.Max.Y-line.Max.Y, line.Max.Y-got.Max.Y)
		if off > 4 {
			t.Errorf("turned by %.0f°: the line %v came back as %v", degrees, line, got)
		}
	}
}
