package ocr

import (
	"context"
	"errors"
	"image"
	"math"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// PrepVersion counts the changes to the preparation of pictures that can
// change what an engine reads; recorded readings name it.
const PrepVersion = 1

// Options are the settings of Read. The zero value is good.
type Options struct {
	// DecodeJPEG decodes and shrinks JPEGs; nil: DecodeJPEG of this package.
	DecodeJPEG DecodeGrey
	// Heights are the heights in pixels at which each line is read, the first
	// for every line; nil: 40, 32 and 48.
	Heights []int
}

// Read reads the photos of one receipt, in the order they are given, and
// returns a Page for each. The error is, or joins, a *FileError for every file
// that is refused or does not decode, or it is an *UnreadableError where all
// decode and nothing can be read; the pages are returned with the latter too,
// for their advice. Any other error comes from ctx or the engine.
func Read(ctx context.Context, photos [][]byte, engine Engine, opts Options) ([]Page, error) {
	if len(photos) == 0 {
		return nil, refuse(1, "name at least one", "no photo was given")
	}
	var refused []error
	pages := make([]Page, 0, len(photos))
	for i, data := range photos {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		page, err := readPhoto(ctx, i+1, data, engine, opts)
		var file *FileError
		if errors.As(err, &file) {
			refused = append(refused, err)
			continue
		}
		if err != nil {
			return nil, err
		}
		pages = append(pages, *page)
	}
	if len(refused) > 0 {
		return nil, errors.Join(refused...)
	}
	for _, p := range pages {
		if p.readable() {
			return pages, nil
		}
	}
	return pages, &UnreadableError{
		Msg:  "no receipt can be read in the photo",
		Hint: "take it again from straight above, closer, in even light",
	}
}

// readable reports whether any line of p was read.
func (p *Page) readable() bool {
	for _, l := range p.Lines {
		if len(l.Readings) > 0 {
			return true
		}
	}
	return false
}

// readPhoto reads photo n.
func readPhoto(ctx context.Context, n int, data []byte, engine Engine, opts Options) (*Page, error) {
	p, err := load(n, data, 1, opts.DecodeJPEG)
	if err != nil {
		return nil, err
	}
	page := &Page{Photo: n, Width: p.width, Height: p.height, Taken: p.exif.taken}
	if p.width < 16 || p.height < 16 {
		return page, nil
	}
	for p.grey.Rect.Dx()*p.grey.Rect.Dy() > 6_000_000 {
		p.grey = raster.Halve(p.grey)
		p.shrink *= 2
	}
	flat := raster.Even(p.grey)
	strips := lines.Find(raster.Ink(flat)).Strips()
	toPhoto := toPhoto(raster.Identity.Scaled(float64(p.shrink)))
	readings, err := readStrips(ctx, flat, strips, toPhoto, engine, opts.Heights)
	if err != nil {
		return nil, err
	}
	for i, s := range strips {
		f := s.Frame(100)
		page.Lines = append(page.Lines, Line{Photo: n, Box: toPhoto(f, f.Inner()), Readings: readings[i]})
	}
	page.Top, page.Bottom = blankEnds(strips, flat)
	return page, nil
}

// blankEnds says whether two lines' height is blank above the first line and
// below the last one.
func blankEnds(strips []lines.Strip, flat *image.Gray) (top, bottom bool) {
	if len(strips) == 0 {
		return false, false
	}
	first, last := strips[0], strips[len(strips)-1]
	top = first.Base(first.X0)-first.Up > 2*first.Height
	bottom = float64(flat.Rect.Dy())-last.Base(last.X0)-last.Down > 2*last.Height
	return top, bottom
}

// mapping is the way of a rectangle from a cut line to the photo.
type mapping func(lines.Frame, image.Rectangle) Box

// toPhoto maps through the flattened paper, which plane maps to the photo.
func toPhoto(plane raster.Plane) mapping {
	return func(f lines.Frame, r image.Rectangle) Box {
		x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
		for _, p := range f.Flat(r) {
			q := plane.Map(p)
			x0, y0, x1, y1 = min(x0, q.X), min(y0, q.Y), max(x1, q.X), max(y1, q.Y)
		}
		x, y := int(math.Floor(x0)), int(math.Floor(y0))
		return Box{X: x, Y: y, W: int(math.Ceil(x1)) - x, H: int(math.Ceil(y1)) - y}
	}
}
