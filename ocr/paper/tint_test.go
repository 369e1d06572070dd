package paper_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"testing"

	"tillproof/fixtures/wear"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// inColour is a photo as its file holds it: brightness and two differences of colour.
func inColour(t *testing.T, shot wear.Shot) (y, cb, cr *image.Gray) {
	t.Helper()
	file, err := shot.JPEG(0)
	if err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	s := img.(*image.YCbCr)
	w, h := s.Rect.Dx(), s.Rect.Dy()
	small := image.Rect(0, 0, s.CStride, len(s.Cb)/s.CStride)
	return &image.Gray{Pix: s.Y, Stride: s.YStride, Rect: image.Rect(0, 0, w, h)},
		&image.Gray{Pix: s.Cb, Stride: s.CStride, Rect: small}, &image.Gray{Pix: s.Cr, Stride: s.CStride, Rect: small}
}

// TestByColour: on a checked cloth, on wood and on a newspaper one of the first sheets
// is the receipt, in a shadow too.
func TestByColour(t *testing.T) {
	yellow := [3]uint8{246, 236, 180}
	for _, c := range []struct {
		table  string
		paper  [3]uint8
		shadow int
	}{{"check", [3]uint8{}, 0}, {"check", [3]uint8{}, 1}, {"planks", [3]uint8{}, 2}, {"busy", [3]uint8{}, 0}, {"print", yellow, 0}, {"print", yellow, 1}} {
		r := wear.Plain(image.Pt(960, 1280), 5)
		r.Table, r.Roll, r.Fill, r.Pitch, r.Paper = c.table, 24, 0.8, 12, c.paper
		r.Shadows, r.Shade, r.Edge, r.Noise, r.Quality = c.shadow, 0.4, 0.02, 3, 70
		shot := wear.Apply(receipt(24, 3), r)
		best := math.Inf(1)
		sheets := paper.ByColour(inColour(t, shot))
		for _, s := range sheets[:min(len(sheets), 3)] {
			for range 2 {
				best = min(best, apart(s.Corners, shot.Corners))
				k := s.Corners
				s.Corners = [4]raster.Point{k[1], k[2], k[3], k[0]}
			}
		}
		if best > 0.1 {
			t.Errorf("on %s with %d shadows the nearest of %d sheets is %.2f of the paper's width away", c.table, c.shadow, len(sheets), best)
		}
	}
}

// TestNothingByColour: a picture of one colour, whatever is printed on it, has no sheet.
func TestNothingByColour(t *testing.T) {
	r := wear.Recipe{Seed: 4, Scale: 0.8, Border: 0.05, Table: "scanner", Noise: 1}
	if sheets := paper.ByColour(inColour(t, wear.Apply(receipt(30, 3), r))); len(sheets) > 0 {
		t.Errorf("a scan has %d sheets of another colour: %v", len(sheets), sheets)
	}
	img := image.NewRGBA(image.Rect(0, 0, 600, 800))
	for i := range img.Pix {
		img.Pix[i] = 200
	}
	img.Set(0, 0, color.Black)
	if sheets := paper.ByColour(inColour(t, wear.Shot{Image: img, Recipe: wear.Recipe{Quality: 90}})); len(sheets) > 0 {
		t.Errorf("a grey picture has %d sheets: %v", len(sheets), sheets)
	}
}
