package ocr

import (
	"context"
	"errors"
	"image"
	"math"

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
	l := findLines(raster.Ink(flat))
	strips := l.strips()
	if page.Lines, err = readStrips(ctx, n, flat, strips, float64(p.shrink), engine, opts); err != nil {
		return nil, err
	}
	page.Top, page.Bottom = blankEnds(strips, flat)
	return page, nil
}

// blankEnds says whether two lines' height is blank above the first line and
// below the last one.
func blankEnds(strips []strip, flat *image.Gray) (top, bottom bool) {
	if len(strips) == 0 {
		return false, false
	}
	first, last := strips[0], strips[len(strips)-1]
	top = first.base(first.x0)-first.up > 2*first.height
	bottom = float64(flat.Rect.Dy())-last.base(last.x0)-last.down > 2*last.height
	return top, bottom
}

// readStrips reads each line at the first height and groups what was read.
func readStrips(ctx context.Context, n int, flat *image.Gray, strips []strip, shrink float64, engine Engine, opts Options) ([]Line, error) {
	tall := 40
	if len(opts.Heights) > 0 {
		tall = opts.Heights[0]
	}
	crops := make([]*image.Gray, len(strips))
	frames := make([]frame, len(strips))
	for i, s := range strips {
		crops[i], frames[i] = s.cut(flat, tall)
	}
	words, err := engine.ReadLines(ctx, crops)
	if err != nil {
		return nil, err
	}
	lines := make([]Line, len(strips))
	for i, f := range frames {
		toPhoto := func(b Box) Box {
			x0, y0, x1, y1 := f.toFlat(b)
			return boxOf(x0*shrink, y0*shrink, x1*shrink, y1*shrink)
		}
		lines[i] = Line{Photo: n, Box: toPhoto(Box{f.pad, f.pad, crops[i].Rect.Dx() - 2*f.pad, crops[i].Rect.Dy() - 2*f.pad})}
		if len(words[i]) == 0 {
			continue
		}
		for k := range words[i] {
			words[i][k].Box = toPhoto(words[i][k].Box)
		}
		lines[i].Readings = []Reading{{Words: words[i], Votes: 1}}
	}
	return lines, nil
}

// boxOf is the smallest box of whole pixels around a rectangle.
func boxOf(x0, y0, x1, y1 float64) Box {
	x, y := int(math.Floor(x0)), int(math.Floor(y0))
	return Box{X: x, Y: y, W: int(math.Ceil(x1)) - x, H: int(math.Ceil(y1)) - y}
}
