package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/cmd/intake"
	"tillproof/ocr"
	"tillproof/ocr/worker"
	"tillproof/parse"
	"tillproof/plan"
	"tillproof/report/blackout"
	"tillproof/report/overlay"
	"tillproof/report/packet"

	"github.com/disintegration/imaging"
)

// packetPictures makes the pictures of a packet. The photos are read anew, in
// every way there is, since a number that one way misses another may see.
func (a *app) packetPictures(ctx context.Context, in *packet.Input, found []audit.Finding, sources []source, f *packetFlags) error {
	pool, err := worker.New(runtime.NumCPU(), a.model)
	if err != nil {
		return err
	}
	defer pool.Close()
	var sheets []overlay.Sheet
	var captions []string
	for _, s := range sources {
		for _, part := range s.parts {
			n := len(sheets) + 1
			sheet, err := packetSheet(ctx, pool, part, in.Result.Receipt, n)
			if err != nil {
				return fmt.Errorf("%s: %w", s.name, err)
			}
			sheets = append(sheets, sheet)
			captions = append(captions, strings.TrimSpace(filepath.Base(s.name)+" "+part.Name))
		}
	}
	marks := packetMarks(in, found)
	for i, sheet := range sheets {
		p, err := asJPEG(overlay.Draw([]overlay.Sheet{sheet}, marks, "").Image)
		if err != nil {
			return err
		}
		p.File, p.Caption = fmt.Sprintf("receipt-%d.jpg", i+1), "The receipt: a copy of "+captions[i]
		in.Receipt = append(in.Receipt, p)
	}
	return a.proofs(ctx, pool, in, found, f)
}

// packetMarks are the marks with the numbers that the packet gives its findings.
func packetMarks(in *packet.Input, found []audit.Finding) []overlay.Mark {
	only := *in.Result
	only.Findings = found
	marks := marksOf(in.Plan, &only)
	for _, d := range packet.Dues(in.To, in.Result) {
		title := d.Offer
		for _, o := range in.Plan.Offers {
			if o.ID == d.Offer {
				title = o.Title
			}
		}
		marks = append(marks, overlay.Mark{Kind: audit.MissingRebate, Lines: d.Lines, Text: title + ": " + d.Value.String() + " to be paid"})
	}
	return marks
}

// packetSheet is part n of a receipt as a picture with the numbers blacked out.
func packetSheet(ctx context.Context, pool *worker.Pool, part intake.Part, receipt *parse.Receipt, n int) (overlay.Sheet, error) {
	if part.Photo == nil {
		return textSheet(blackout.Receipt(receipt), n, len(receipt.Photos) == 1), nil
	}
	page, lines, err := readEveryWay(ctx, pool, part.Photo, receipt, n)
	if err != nil {
		return overlay.Sheet{}, err
	}
	flat, err := flattenAs(part.Photo, []ocr.Page{*page}, page.Photo)
	if err != nil {
		return overlay.Sheet{}, fmt.Errorf("the paper cannot be laid flat: %w", err)
	}
	for _, box := range blackout.Boxes(receipt, n, lines) {
		draw.Draw(flat.Image, flat.Box(box), image.NewUniform(color.Black), image.Point{}, draw.Src)
	}
	return overlay.Sheet{Image: flat.Image, Lines: flatLines(flat, receipt, n)}, nil
}

// readEveryWay reads a photo in all ways. It returns the page whose lines are
// those of photo n of receipt, and the lines of all pages that stand as it does.
func readEveryWay(ctx context.Context, pool *worker.Pool, photo []byte, receipt *parse.Receipt, n int) (*ocr.Page, []ocr.Line, error) {
	var pages []ocr.Page
	for way := range ocr.Ways {
		papers := []*ocr.Sheet{nil} // the whole photo, then each of its papers
		for i := 0; i < len(papers); i++ {
			read, err := ocr.Read(ctx, [][]byte{photo}, pool, looking(way, papers[i]))
			var unreadable *ocr.UnreadableError
			if err != nil && !errors.As(err, &unreadable) {
				return nil, nil, err
			}
			pages = append(pages, read...)
			for p := range read {
				for k := range read[p].Papers {
					papers = append(papers, &read[p].Papers[k])
				}
			}
		}
	}
	best, most := 0, -1
	for i, p := range pages {
		same := 0
		for _, l := range p.Lines {
			b := parse.Box{l.Box.X, l.Box.Y, l.Box.W, l.Box.H}
			if slices.ContainsFunc(receipt.Lines, func(r parse.Line) bool { return r.Photo == n && r.Box != nil && *r.Box == b }) {
				same++
			}
		}
		if same > most {
			best, most = i, same
		}
	}
	if most == 0 && slices.ContainsFunc(receipt.Lines, func(r parse.Line) bool { return r.Photo == n && r.Box != nil }) {
		return nil, nil, errors.New("its lines are not where the result has them, as with another version or model; check the receipt again")
	}
	var lines []ocr.Line
	for _, p := range pages {
		if p.Turn == pages[best].Turn {
			lines = append(lines, p.Lines...)
		}
	}
	return &pages[best], lines, nil
}

// asJPEG encodes a picture, and nothing but the picture.
func asJPEG(img image.Image) (packet.Picture, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 85})
	return packet.Picture{JPEG: b.Bytes(), Width: img.Bounds().Dx(), Height: img.Bounds().Dy()}, err
}

// proofs adds the offers' own pictures, where the plan names one.
func (a *app) proofs(ctx context.Context, pool *worker.Pool, in *packet.Input, found []audit.Finding, f *packetFlags) error {
	var about []string
	for _, fi := range found {
		about = append(about, fi.Offer)
	}
	for _, d := range packet.Dues(in.To, in.Result) {
		about = append(about, d.Offer)
	}
	in.Proofs = map[string]packet.Picture{}
	for _, o := range in.Plan.Offers {
		if o.Proof == "" || !slices.Contains(about, o.ID) {
			continue
		}
		p, sum, err := a.proof(ctx, pool, o, in.Result.Plan.File, f)
		if err != nil {
			// The rest of the packet is worth having without it.
			fmt.Fprintf(a.err, "tillproof: note: the picture of offer %s is left out: %v\n", o.ID, err)
			continue
		}
		in.Proofs[o.ID] = p
		in.Hashes = append(in.Hashes, packet.Hash{File: filepath.Base(o.Proof), SHA256: sum})
	}
	return ctx.Err()
}

// proof is an offer's picture with the numbers blacked out that stand in it: it
// may be a picture of a telephone's screen, with the account on it.
func (a *app) proof(ctx context.Context, pool *worker.Pool, o *plan.Offer, planFile string, f *packetFlags) (packet.Picture, string, error) {
	if f.plan != "" {
		planFile = f.plan
	}
	name := o.Proof
	if !filepath.IsAbs(name) {
		name = filepath.Join(filepath.Dir(planFile), name)
	}
	sources, err := a.loadSources(ctx, []string{name})
	if err != nil {
		return packet.Picture{}, "", err
	}
	data := sources[0].parts[0].Photo
	if data == nil {
		return packet.Picture{}, "", errors.New("it is no picture")
	}
	page, lines, err := readEveryWay(ctx, pool, data, &parse.Receipt{}, 1)
	if err != nil {
		return packet.Picture{}, "", err
	}
	src, err := decodePicture(data)
	if err != nil {
		return packet.Picture{}, "", err
	}
	img := turned(src, page.Turn)
	lines = slices.DeleteFunc(lines, func(l ocr.Line) bool { return len(l.Readings) == 0 }) // drawings, mostly
	for _, b := range blackout.Boxes(&parse.Receipt{}, 1, lines) {
		draw.Draw(img, image.Rect(b.X, b.Y, b.X+b.W, b.Y+b.H), image.NewUniform(color.Black), image.Point{}, draw.Src)
	}
	p, err := asJPEG(imaging.Fit(img, 1200, 1600, imaging.Linear))
	p.File, p.Caption = "offer-"+fileName(o.ID)+".jpg", o.Title
	return p, sources[0].sha256(), err
}

// turned is a copy of img turned clockwise by n quarter turns.
func turned(img image.Image, n int) *image.NRGBA {
	switch n % 4 { // imaging turns the other way
	case 1:
		return imaging.Rotate270(img)
	case 2:
		return imaging.Rotate180(img)
	case 3:
		return imaging.Rotate90(img)
	}
	return imaging.Clone(img)
}

// fileName is id with only what every system allows in a file's name.
func fileName(id string) string {
	return strings.Map(func(r rune) rune {
		if r == '-' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			return r
		}
		return '_'
	}, id)
}
