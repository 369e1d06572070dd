package main

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"tillproof/ledger"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/plan"
	"tillproof/week"
)

// The picture of a question shows the line on the photo: its print is dark,
// and what is drawn of it is a small part of the photo.
func TestPictureOfALine(t *testing.T) {
	dir := t.TempDir()
	box, file := filepath.Join(dir, "box"), filepath.Join(dir, "ledger.db")
	photo, err := os.ReadFile("../../fixtures/demo/supper.jpg")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(box, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(box, "supper.jpg"), photo, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := program("week", box, "--plans", "../../fixtures/demo/plan.yaml", "--ledger", file).CombinedOutput(); err == nil {
		t.Fatalf("the demo's supper is short\n%s", out)
	}
	// The ledger has its own copy: the folder may go.
	if err := os.RemoveAll(box); err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	l, err := ledger.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	rs, err := l.Receipts(ctx, plan.Span{})
	if err != nil || len(rs) != 1 {
		t.Fatal(rs, err)
	}
	_, result, err := l.Result(ctx, rs[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	var line *parse.Line
	for i := range result.Receipt.Lines {
		if l := &result.Receipt.Lines[i]; l.Kind == parse.LineTotal && line == nil {
			line = l
		}
	}
	a := &app{streams: streams{os.Stdin, os.Stdout, os.Stderr}}
	b, err := a.picture(ctx, l, week.Question{ID: "q", File: week.File{Name: "supper.jpg", Part: week.Part{SHA256: result.Receipt.Photos[0].SHA256}}, Box: line.Box})
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	if size := img.Bounds().Size(); size.X > pictureWidth || size.Y > size.X {
		t.Errorf("%v for a box of %v", size, *line.Box)
	}
	whole, err := a.picture(ctx, l, week.Question{ID: "q", File: week.File{Part: week.Part{SHA256: result.Receipt.Photos[0].SHA256}}})
	if err != nil || len(whole) <= len(b) {
		t.Errorf("the whole photo: %d bytes, %v", len(whole), err)
	}
}

// In the picture of a question long numbers are black, but on the line that is asked
// about.
func TestHiddenNumbers(t *testing.T) {
	word := func(text string, x, y, w int) ocr.Word {
		return ocr.Word{Text: text, Box: ocr.Box{X: x, Y: y, W: w, H: 20}, Confidence: 1}
	}
	line := func(y int, words ...ocr.Word) ocr.Line {
		return ocr.Line{Box: ocr.Box{X: 10, Y: y, W: 280, H: 20}, Photo: 1, Readings: []ocr.Reading{{Words: words, Votes: 1}}}
	}
	pages := []ocr.Page{{Photo: 1, Lines: []ocr.Line{
		line(20, word("MEMBER", 10, 20, 80), word("60412233445566", 120, 20, 170)),
		line(60, word("OATS", 10, 60, 60), word("4.29", 240, 60, 50)),
		line(100, word("MEMBER", 10, 100, 80), word("70412233445566", 120, 100, 170)),
	}}}
	paper := image.NewGray(image.Rect(0, 0, 300, 140))
	for i := range paper.Pix {
		paper.Pix[i] = 230
	}
	dark := func(img image.Image, x, y int) bool {
		r, _, _, _ := img.At(x, y).RGBA()
		return r>>8 < 20
	}
	whole, _ := hidden(paper, pages, week.Question{})
	for _, c := range []struct {
		what string
		x, y int
		want bool
	}{{"a member's number", 150, 30, true}, {"another", 150, 110, true}, {"a word", 40, 30, false}, {"an amount", 265, 70, false}} {
		if dark(whole, c.x, c.y) != c.want {
			t.Errorf("%s: blacked out is %v, want %v", c.what, !c.want, c.want)
		}
	}
	asked, _ := hidden(paper, pages, week.Question{Box: &parse.Box{10, 20, 280, 20}})
	if dark(asked, 150, 30) || !dark(asked, 150, 110) {
		t.Error("of two numbers not just that one is hidden that is not asked about")
	}
	if dark(paper, 150, 30) {
		t.Error("the photo itself was changed")
	}
}

// A picture that came as grey pixels with comments in its head.
func TestDecodeGrey(t *testing.T) {
	src := []byte("P5\n# taken 2026\n3 2\n255\n\x00\x10\x20\x30\x40\x50")
	img, err := decodePicture(src)
	if err != nil || img.Bounds().Dx() != 3 || img.Bounds().Dy() != 2 {
		t.Fatal(img, err)
	}
	if r, _, _, _ := img.At(2, 1).RGBA(); r>>8 != 0x50 {
		t.Errorf("%x", r)
	}
	if _, err := decodePicture(src[:len(src)-1]); err == nil {
		t.Error("cut short and taken")
	}
	made := ocr.EncodeGrey(img, "2026:05:09 10:00:00")
	again, err := decodePicture(made)
	if err != nil || again.At(1, 1) != img.At(1, 1) {
		t.Errorf("what EncodeGrey makes: %v", err)
	}
}
