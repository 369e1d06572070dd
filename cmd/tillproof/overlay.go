package main

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"strings"

	"tillproof/audit"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/plan"
	"tillproof/report"
	"tillproof/report/overlay"
)

// drawOverlay draws a result's findings on its receipt, into the file name.
func (a *app) drawOverlay(name string, p *plan.Plan, r *audit.Result, sources []source, pages []ocr.Page, inputs ...string) error {
	sheets, err := sheetsOf(sources, pages, r.Receipt)
	if err != nil {
		return err
	}
	foot := "tillproof found no difference from the plan."
	if len(r.Findings) > 0 {
		foot = report.Caution
	}
	drawn := overlay.Draw(sheets, marksOf(p, r), foot)
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, drawn.Image); err != nil {
		return err
	}
	for _, s := range sources {
		inputs = append(inputs, s.name)
	}
	return writeNew(name, b.Bytes(), inputs)
}

// writeNew writes a file, but over none of those that it was made of.
func writeNew(name string, data []byte, inputs []string) error {
	if target, err := os.Stat(name); err == nil {
		for _, in := range inputs {
			if info, err := os.Stat(in); err == nil && os.SameFile(info, target) {
				return fmt.Errorf("%s: is one of the files it would be made of; give it another name", name)
			}
		}
	}
	if err := os.WriteFile(name, data, 0o644); err != nil {
		return fmt.Errorf("%s: cannot be written: %w", name, err)
	}
	return nil
}

// marksOf are the findings as they are drawn.
func marksOf(p *plan.Plan, r *audit.Result) []overlay.Mark {
	marks := make([]overlay.Mark, len(r.Findings))
	for i, f := range r.Findings {
		text := fmt.Sprintf("%s, %s (%s)", report.Headline(p, f), f.Effect.Signed(), f.Certainty)
		if len(f.Lines) == 0 {
			text += "; no line of the receipt shows it"
		}
		marks[i] = overlay.Mark{Kind: f.Kind, Lines: f.Lines, Loss: f.Effect.Sign() < 0, Text: text}
	}
	return marks
}

// sheetsOf are the receipt's photos, each flattened, and its text as a page.
func sheetsOf(sources []source, pages []ocr.Page, receipt *parse.Receipt) ([]overlay.Sheet, error) {
	var sheets []overlay.Sheet
	for _, s := range sources {
		for _, part := range s.parts {
			n := len(sheets) + 1
			if part.Photo == nil {
				sheets = append(sheets, textSheet(receipt, n, len(pages) == 1))
				continue
			}
			flat, err := flattenAs(part.Photo, pages, n)
			if err != nil {
				return nil, fmt.Errorf("%s: the paper cannot be laid flat: %w", s.name, err)
			}
			sheets = append(sheets, overlay.Sheet{Image: flat.Image, Lines: flatLines(flat, receipt, n)})
		}
	}
	return sheets, nil
}

// flattenAs lays a photo flat the way up, and in the way, in which page n was read.
func flattenAs(photo []byte, pages []ocr.Page, n int) (flat *ocr.Flat, err error) {
	turn, way := 0, 0
	var only *ocr.Sheet
	for _, p := range pages {
		if p.Photo == n {
			turn, way, only = p.Turn, p.Way, p.Paper
		}
	}
	for k := range ocr.Ways {
		if flat, err = ocr.Flatten(photo, turn, looking(way+k, only)); err == nil {
			break
		}
	}
	return flat, err
}

// flatLines are the places of a receipt's lines on the flattened photo n.
func flatLines(flat *ocr.Flat, receipt *parse.Receipt, n int) map[int]image.Rectangle {
	lines := map[int]image.Rectangle{}
	for _, l := range receipt.Lines {
		if l.Photo == n && l.Box != nil {
			lines[l.N] = flat.Box(ocr.Box{X: l.Box[0], Y: l.Box[1], W: l.Box[2], H: l.Box[3]})
		}
	}
	return lines
}

// textSheet draws the lines of page n, which is text.
func textSheet(receipt *parse.Receipt, n int, only bool) overlay.Sheet {
	var text []string
	var numbers []int
	for _, l := range receipt.Lines {
		if l.Photo == n || only {
			text, numbers = append(text, strings.TrimRight(l.Text, " ")), append(numbers, l.N)
		}
	}
	return overlay.TextSheet(text, numbers)
}
