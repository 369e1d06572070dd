package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"
	"slices"
	"strings"

	"tillproof/cmd/intake"
	"tillproof/ledger"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/report/blackout"
	"tillproof/week"

	"github.com/disintegration/imaging"
	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"

	_ "golang.org/x/image/webp" // photos may be WebP
)

// The pictures of questions are at most this wide and high.
const (
	pictureWidth  = 900
	pictureHeight = 1200
)

// picture is what a question is about, as a PNG: the line on the photo with
// what stands around it, or the whole photo, made small. Text is drawn.
func (a *app) picture(ctx context.Context, l *ledger.Ledger, q week.Question) ([]byte, error) {
	photo, err := l.Photo(ctx, q.File.SHA256)
	if err != nil {
		return nil, err
	}
	if photo == nil || q.Page >= len(photo.Pages) {
		return nil, errors.New("nothing was read of its file")
	}
	page := photo.Pages[q.Page]
	var img image.Image
	if page.Text {
		img = drawText(page, q.Printed)
	} else if img, err = a.cropPhoto(ctx, l, photo, q); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = png.Encode(&b, img)
	return b.Bytes(), err
}

// original is the file as it was: the one that was kept, else the one at the
// place where it lay.
func (a *app) original(l *ledger.Ledger, photo *ledger.Photo) ([]byte, error) {
	if data, err := l.Original(photo.SHA256); err == nil {
		return data, nil
	}
	data, err := a.readFile(photo.Path, maxPhotoBytes)
	if err == nil && (source{data: data}).sha256() != photo.SHA256 {
		err = fmt.Errorf("%s is another file than it was", photo.Path)
	}
	return data, err
}

func (a *app) cropPhoto(ctx context.Context, l *ledger.Ledger, photo *ledger.Photo, q week.Question) (image.Image, error) {
	img, err := a.upright(ctx, l, photo, q.Page)
	if err != nil {
		return nil, err
	}
	img, asked := hidden(img, photo.Pages, q)
	if q.Box == nil {
		return imaging.Fit(img, pictureWidth, pictureHeight, imaging.Linear), nil
	}
	crop, line := asked.level(img, 2*max(asked.h, 12))
	frame(crop, line.Inset(-max(line.Dy()/6, 3)))
	return crop, nil
}

// hidden is img, the photo of q's page, with the numbers blacked out that a page which
// is shown to somebody must not have, and the place of the line that is asked about,
// which stays as it is.
func hidden(img image.Image, pages []ocr.Page, q week.Question) (image.Image, strip) {
	var lines []ocr.Line
	for i := range pages {
		// Several papers of one photo are pages of the same picture.
		if i == q.Page || pages[i].Paper != nil && pages[q.Page].Paper != nil && pages[i].Turn == pages[q.Page].Turn {
			lines = append(lines, pages[i].Lines...)
		}
	}
	run := slopes(lines)
	var asked strip
	if b := q.Box; b != nil {
		box, slope := ocr.Box{X: b[0], Y: b[1], W: b[2], H: b[3]}, 0.0
		if k := slices.IndexFunc(lines, func(l ocr.Line) bool { return l.Box == box }); k >= 0 {
			slope = run[k]
		}
		asked = stripIn(box, slope).asWide(lines, run)
	}
	out := imaging.Clone(img)
	for i := range lines {
		for _, b := range blackout.Boxes(&parse.Receipt{}, 1, lines[i:i+1]) {
			s := stripIn(b, run[i])
			if u, v := asked.along(s.x, s.y); q.Box != nil && 2*math.Abs(v) <= asked.h && math.Abs(u) <= asked.w {
				continue // it stands in that line
			}
			s.blacken(out)
		}
	}
	return out, asked
}

// frame draws a frame of two lines, one dark and one light, so that it shows on
// any photo.
func frame(img draw.Image, r image.Rectangle) {
	for i, c := range []color.Color{color.Black, color.White} {
		r := r.Inset(-2 * i)
		for _, side := range []image.Rectangle{
			{r.Min, image.Pt(r.Max.X, r.Min.Y+2)}, {image.Pt(r.Min.X, r.Max.Y-2), r.Max},
			{r.Min, image.Pt(r.Min.X+2, r.Max.Y)}, {image.Pt(r.Max.X-2, r.Min.Y), r.Max},
		} {
			draw.Draw(img, side, image.NewUniform(c), image.Point{}, draw.Src)
		}
	}
}

// upright is a page of a file as a picture that stands upright, as boxes count.
func (a *app) upright(ctx context.Context, l *ledger.Ledger, photo *ledger.Photo, page int) (image.Image, error) {
	data, err := a.original(l, photo)
	if err != nil {
		return nil, err
	}
	parts, err := intake.Open(ctx, photo.Name, data, intake.Options{})
	if err != nil {
		return nil, err
	}
	part := page
	if photo.Pages[page].Paper != nil {
		part = 0 // all pages are papers of the one photo
	}
	if part >= len(parts) || parts[part].Photo == nil {
		return nil, errors.New("its file holds no picture there")
	}
	img, err := decodePicture(parts[part].Photo)
	if err != nil {
		return nil, err
	}
	switch photo.Pages[page].Turn % 4 { // quarter turns clockwise; imaging turns the other way
	case 1:
		img = imaging.Rotate270(img)
	case 2:
		img = imaging.Rotate180(img)
	case 3:
		img = imaging.Rotate90(img)
	}
	return img, nil
}

// decodePicture decodes what package ocr does, turned as the camera says.
func decodePicture(data []byte) (image.Image, error) {
	if bytes.HasPrefix(data, []byte("P5")) {
		return decodeGrey(data)
	}
	return imaging.Decode(bytes.NewReader(data), imaging.AutoOrientation(true))
}

// decodeGrey decodes what ocr.EncodeGrey makes: a PGM with comments.
func decodeGrey(data []byte) (image.Image, error) {
	var head []int
	rest := data[2:]
	for len(head) < 3 {
		rest = bytes.TrimLeft(rest, " \t\r\n")
		if bytes.HasPrefix(rest, []byte("#")) {
			_, rest, _ = bytes.Cut(rest, []byte("\n"))
			continue
		}
		n := 0
		if _, err := fmt.Fscan(io.LimitReader(bytes.NewReader(rest), 12), &n); err != nil || n <= 0 {
			return nil, errors.New("the picture's head cannot be read")
		}
		head = append(head, n)
		rest = rest[len(fmt.Sprint(n)):]
	}
	if len(rest) < 1 || len(rest)-1 < head[0]*head[1] {
		return nil, errors.New("the picture is cut short")
	}
	return &image.Gray{Pix: rest[1 : 1+head[0]*head[1]], Stride: head[0], Rect: image.Rect(0, 0, head[0], head[1])}, nil
}

// drawText draws the lines around the one printed, which has a mark, or the
// head of the page.
func drawText(page ocr.Page, printed string) image.Image {
	at, around := 0, 30
	for i, l := range page.Lines {
		if printed != "" && strings.Join(strings.Fields(l.Text()), " ") == printed {
			at, around = i, 4
		}
	}
	from, to := max(0, at-around), min(len(page.Lines), at+around+1)
	const lineHeight, charWidth, margin = 16, 7, 8
	img := image.NewGray(image.Rect(0, 0, 64*charWidth+2*margin, (to-from)*lineHeight+2*margin))
	draw.Draw(img, img.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	d := font.Drawer{Dst: img, Src: image.NewUniform(color.Black), Face: basicfont.Face7x13}
	for i := from; i < to; i++ {
		text := "> " + page.Lines[i].Text()
		if i != at || around != 4 {
			text = "  " + blackout.Text(page.Lines[i].Text())
		}
		d.Dot = fixed.P(margin, margin+(i-from)*lineHeight+12)
		d.DrawString(text)
	}
	return img
}
