package main

import (
	"bytes"
	"context"
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
