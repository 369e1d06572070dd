package overlay

import (
	"image"
	"image/color"
	"image/draw"
	"testing"

	"tillproof/audit"
)

// sheet is a blank paper with one line of print, grey as no frame is.
func sheet() (Sheet, image.Rectangle) {
	img := image.NewGray(image.Rect(0, 0, 700, 300))
	draw.Draw(img, img.Rect, image.NewUniform(color.Gray{235}), image.Point{}, draw.Src)
	line := image.Rect(100, 120, 600, 160)
	draw.Draw(img, line, image.NewUniform(color.Gray{90}), image.Point{}, draw.Src)
	return Sheet{Image: img, Lines: map[int]image.Rectangle{1: line}}, line
}

// dark says whether a pixel is dark, whatever its colour.
func dark(img image.Image, x, y int) bool {
	return color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y < 80
}

func TestKindsDifferWithoutColour(t *testing.T) {
	drawn := map[audit.Kind]*Drawing{}
	for _, k := range kinds {
		s, _ := sheet()
		drawn[k] = Draw([]Sheet{s}, []Mark{{Kind: k, Lines: []int{1}, Loss: true, Text: "same"}}, "")
	}
	for i, a := range kinds {
		for _, b := range kinds[i+1:] {
			// Either the hatching beside the paper or the frame on it must
			// differ in much of its ink; the legend does not count.
			x, y := drawn[a], drawn[b]
			frame := x.Frames[0].Rect
			beside := image.Rect(x.Paper.Min.X/2, frame.Min.Y, x.Paper.Min.X, frame.Max.Y)
			if h, f := share(x, y, beside), share(x, y, frame); h < 0.3 && f < 0.15 {
				t.Errorf("%s and %s differ in %.2f of the hatching and %.2f of the frame", a, b, h, f)
			}
		}
	}
}

// share is how much of what is dark in r in x or y is not dark in both.
func share(x, y *Drawing, r image.Rectangle) float64 {
	differ, ink := 0, 0
	for py := r.Min.Y; py < r.Max.Y; py++ {
		for px := r.Min.X; px < r.Max.X; px++ {
			p, q := dark(x.Image, px, py), dark(y.Image, px, py)
			if p || q {
				ink++
			}
			if p != q {
				differ++
			}
		}
	}
	return float64(differ) / float64(max(ink, 1))
}

func TestEveryKindHasItsPlace(t *testing.T) {
	// The table of finding kinds in the result format has sixteen.
	if len(kinds) != 16 || len(dashes)*len(hatchings) < len(kinds) {
		t.Fatalf("%d kinds for %d patterns", len(kinds), len(dashes)*len(hatchings))
	}
}

func TestColourIsOnlyDecoration(t *testing.T) {
	s, _ := sheet()
	mark := Mark{Kind: audit.Overcharge, Lines: []int{1}, Text: "x"}
	gain := Draw([]Sheet{s}, []Mark{mark}, "")
	mark.Loss = true
	loss := Draw([]Sheet{s}, []Mark{mark}, "")
	coloured := 0
	for y := range gain.Image.Rect.Max.Y {
		for x := range gain.Image.Rect.Max.X {
			if dark(gain.Image, x, y) != dark(loss.Image, x, y) {
				t.Fatalf("at %d,%d one is dark and the other is not", x, y)
			}
			if gain.Image.At(x, y) != loss.Image.At(x, y) {
				coloured++
			}
		}
	}
	if coloured == 0 {
		t.Error("money lost and gained look alike")
	}
}

func TestFramesLeaveThePrintAlone(t *testing.T) {
	s, line := sheet()
	marks := []Mark{
		{Kind: audit.Overcharge, Lines: []int{1}, Text: "first"},
		{Kind: audit.TaxFinding, Lines: []int{1, 7}, Text: "second, also on a line that is not here"},
	}
	d := Draw([]Sheet{s, s}, marks, "foot")
	if len(d.Frames) != 4 {
		t.Fatalf("%d frames, want two on each sheet", len(d.Frames))
	}
	at := line.Add(d.Paper.Min) // this paper is drawn at its own size
	for _, f := range d.Frames[:1] {
		if !at.In(f.Rect) {
			t.Errorf("frame %v does not surround the line at %v", f.Rect, at)
		}
	}
	for y := at.Min.Y; y < at.Max.Y; y++ {
		for x := at.Min.X; x < at.Max.X; x++ {
			if got := color.GrayModel.Convert(d.Image.At(x, y)).(color.Gray).Y; got != 90 {
				t.Fatalf("print at %d,%d became %d", x, y, got)
			}
		}
	}
	if !dark(d.Image, d.Frames[0].Rect.Min.X+1, d.Frames[0].Rect.Min.Y+1) {
		t.Error("the frame's corner has no ink")
	}
}

func TestTextSheetKnowsItsLines(t *testing.T) {
	s := TextSheet([]string{"OATS 4.29", "", "TOTAL 4.29"}, []int{4, 5, 9})
	ink := func(n int) (dots int) {
		for y := s.Lines[n].Min.Y; y < s.Lines[n].Max.Y; y++ {
			for x := s.Lines[n].Min.X; x < s.Lines[n].Max.X; x++ {
				if dark(s.Image, x, y) {
					dots++
				}
			}
		}
		return dots
	}
	if ink(4) == 0 || ink(9) == 0 || ink(5) != 0 {
		t.Errorf("dark pixels in the lines: %d, %d (empty), %d", ink(4), ink(5), ink(9))
	}
}
