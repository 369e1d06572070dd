// Package tesseract reads lines with Tesseract, through gosseract.
//
// Read Engine first. One Engine belongs to one goroutine. It should live in a
// child process (package worker): while it starts, gosseract points the
// standard error of the whole process elsewhere, a crash in the C++ code takes
// the process with it, and memory it leaks comes back only when the process
// ends. The environment must hold OMP_THREAD_LIMIT=1 before the process
// starts, or Tesseract spends three times as long.
package tesseract

import (
	"context"
	"errors"
	"fmt"
	"image"
	"path/filepath"
	"strings"

	"github.com/otiai10/gosseract/v2"

	"tillproof/ocr"
)

// Digits are the characters of an amount: what a second look at one is
// restricted to.
const Digits = "0123456789.,-$%"

// rawLine is the page segmentation mode in which the whole picture is one line
// and goes to the network as it is. The mode for a single line (7) looks for
// letters first and loses those behind a gap.
const rawLine = "13"

// Engine is an ocr.Engine on one Tesseract client.
type Engine struct {
	client *gosseract.Client
}

// New starts an engine with a model, the path of a .traineddata file.
func New(model string) (*Engine, error) {
	name, ok := strings.CutSuffix(filepath.Base(model), ".traineddata")
	if !ok {
		return nil, fmt.Errorf("the model %q is no .traineddata file; name one", model)
	}
	client := gosseract.NewClient()
	err := errors.Join(
		client.SetTessdataPrefix(filepath.Dir(model)),
		client.SetLanguage(name),
		// As a variable, for the client sets these again when it has loaded the
		// model; a mode set by its own method before that is forgotten.
		client.SetVariable("tessedit_pageseg_mode", rawLine),
		client.SetVariable("lstm_choice_mode", "2"),
		// Dictionaries would turn the shortened words of a till into others.
		client.SetVariable("load_system_dawg", "0"),
		client.SetVariable("load_freq_dawg", "0"),
	)
	if err != nil {
		client.Close()
		return nil, err
	}
	e := &Engine{client: client}
	// The client loads its model with the first picture; load it now, so that
	// a missing model is found here.
	blank := image.NewGray(image.Rect(0, 0, 64, 48))
	for i := range blank.Pix {
		blank.Pix[i] = 255
	}
	if _, err := e.readLine(blank); err != nil {
		client.Close()
		return nil, fmt.Errorf("tesseract does not start with the model %s: %w", model, err)
	}
	return e, nil
}

// Close frees what the engine holds.
func (e *Engine) Close() error { return e.client.Close() }

// ReadLines reads each crop as one line.
func (e *Engine) ReadLines(ctx context.Context, crops []*image.Gray) ([][]ocr.Word, error) {
	out := make([][]ocr.Word, len(crops))
	for i, crop := range crops {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		words, err := e.readLine(crop)
		if err != nil {
			return nil, err
		}
		out[i] = words
	}
	return out, nil
}

// ReadDigits reads each crop as one line that holds nothing but an amount.
func (e *Engine) ReadDigits(ctx context.Context, crops []*image.Gray) ([][]ocr.Word, error) {
	if err := e.client.SetWhitelist(Digits); err != nil {
		return nil, err
	}
	words, err := e.ReadLines(ctx, crops)
	return words, errors.Join(err, e.client.SetWhitelist(""))
}

// readLine hands one picture over without compression and reads it.
func (e *Engine) readLine(crop *image.Gray) ([]ocr.Word, error) {
	if err := e.client.SetImageFromBytes(pgm(crop)); err != nil {
		return nil, err
	}
	hocr, err := e.client.HOCRText()
	if err != nil {
		return nil, err
	}
	return parseHOCR(hocr), nil
}

// pgm writes a picture as a raw portable grey map.
func pgm(g *image.Gray) []byte {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	out := make([]byte, 0, w*h+32)
	out = fmt.Appendf(out, "P5\n%d %d\n255\n", w, h)
	for y := range h {
		at := g.PixOffset(g.Rect.Min.X, g.Rect.Min.Y+y)
		out = append(out, g.Pix[at:at+w]...)
	}
	return out
}
