package ocr

import (
	"context"
	"errors"
	"image"
	"math"
	"slices"
	"strings"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// PrepVersion counts the changes to the preparation of pictures that can
// change what an engine reads; recorded readings name it.
const PrepVersion = 18

// Options are the settings of Read. The zero value is good.
type Options struct {
	// DecodeJPEG decodes and shrinks JPEGs; nil: DecodeJPEG of this package.
	DecodeJPEG DecodeGrey
	// Way is the way to look for print and its lines, below Ways. Where a
	// receipt's sums do not close as read in one way they may in another.
	Way int
	// Paper is the only paper of the photo to be read, of those that a Page
	// names; nil for the whole photo.
	Paper *Sheet
	// Apart has nothing read of a photo in which several papers are seen: its
	// page has Papers and no lines.
	Apart bool
}

// Ways is how many ways there are to look at a photo.
const Ways = len(hands)

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
		if p.readable() || opts.Apart && len(p.Papers) > 1 {
			return pages, nil
		}
	}
	hint := "take it again from straight above, closer, in even light"
	for _, p := range pages {
		if len(p.Advice) > 0 {
			hint = strings.Join(p.Advice, "; ")
		}
	}
	return pages, &UnreadableError{Msg: "no receipt can be read in the photo", Hint: hint}
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
	p, err := load(n, data, 0, opts.DecodeJPEG)
	if err != nil {
		return nil, err
	}
	page := &Page{Photo: n, Width: p.width, Height: p.height, Way: opts.Way, Taken: p.exif.taken}
	if p.width < 48 || p.height < 48 {
		return page, nil
	}
	f, err := flatten(p, hands[opts.Way%Ways], opts.Paper, func(shrink int) (*photo, error) { return load(n, data, shrink, opts.DecodeJPEG) })
	if err != nil {
		return nil, err
	}
	if opts.Apart && len(f.papers) > 1 {
		page.Papers = f.papers
		return page, nil
	}
	strips, readings, err := readFlat(ctx, f, p, engine)
	if err != nil {
		return nil, err
	}
	if page.Turn = f.turn; f.turn%2 != 0 {
		page.Width, page.Height = page.Height, page.Width
	}
	toPhoto := toPhoto(f.toPhoto)
	again := &kept{flat: f.even, toPhoto: toPhoto}
	page.kept = again
	var print []lines.Strip
	verdicts := judgeAll(strips, readings)
	for i, s := range strips {
		frame := s.Frame(100)
		line := Line{Photo: n, Box: toPhoto(frame, frame.Inner()), Tall: int(s.Up + s.Down)}
		switch verdicts[i] {
		case noPrint:
			continue
		case isPrint:
			line.Readings = readings[i]
		case unread:
			if s.Bars(f.even) || s.Repeats(f.even) || f.atEnd(s) {
				continue
			}
		}
		page.Lines = append(page.Lines, line)
		again.lines = append(again.lines, line)
		again.strips = append(again.strips, s)
		print = append(print, s)
	}
	page.Top, page.Bottom = ends(f, print)
	page.Paper, page.Papers = opts.Paper, f.papersOf(p, page)
	page.Advice = advise(f, print, page.Lines, scaleOf(f))
	return page, nil
}

// readFlat finds and reads the lines of a flat paper, and turns the paper
// upside down where they read better so.
func readFlat(ctx context.Context, f *flattened, p *photo, engine Engine) ([]lines.Strip, [][]Reading, error) {
	strips := f.lines().Strips()
	r := reader{engine: engine, flat: f.even, strips: strips, toPhoto: toPhoto(f.toPhoto)}
	if err := r.first(ctx); err != nil {
		return nil, nil, err
	}
	over, err := r.overhead(ctx)
	if err != nil {
		return nil, nil, err
	}
	if over {
		f.overhead(p.width, p.height)
		r.flat, r.strips, r.toPhoto = f.even, f.lines().Strips(), toPhoto(f.toPhoto)
		if err := r.first(ctx); err != nil {
			return nil, nil, err
		}
	}
	if noReceipt(r.readings) {
		for i, readings := range r.readings {
			r.readings[i] = rank(readings)
		}
		return r.strips, r.readings, nil
	}
	err = r.rest(ctx)
	return r.strips, r.readings, err
}

// manyLines is from how many lines that were read on a receipt has an amount.
const manyLines = 40

// noReceipt reports whether lines that were read once are many and none has an amount:
// another page than a receipt, which is worth no closer look.
func noReceipt(all [][]Reading) bool {
	read := 0
	for _, readings := range all {
		if slices.ContainsFunc(readings, hasAmount) {
			return false
		}
		if len(readings) > 0 {
			read++
		}
	}
	return read >= manyLines
}

// ends says whether the paper's upper and lower end are in the picture: its
// edge was seen, or no background is seen there and two lines' height is blank, and
// nothing says that it goes on.
func ends(f *flattened, strips []lines.Strip) (top, bottom bool) {
	if len(strips) == 0 {
		return false, false
	}
	first, last := strips[0], strips[len(strips)-1]
	// Of the lines' height most lines count, not a large heading.
	heights := make([]float64, len(strips))
	for i, s := range strips {
		heights[i] = s.Height
	}
	slices.Sort(heights)
	blank := 2 * heights[len(heights)/2]
	top = !f.beyond[paper.Top] && (f.seen[paper.Top] || first.Base(first.X0)-first.Up > blank)
	bottom = !f.beyond[paper.Bottom] && (f.seen[paper.Bottom] || float64(f.even.Rect.Dy())-last.Base(last.X0)-last.Down > blank)
	return top, bottom
}

// mapping is the way of a rectangle from a cut line to the photo.
type mapping func(lines.Frame, image.Rectangle) Box

// place says where w, whose box is in pixels of a cut line, stands in the photo and on the
// flattened paper.
func (m mapping) place(f lines.Frame, w *Word) {
	b := w.Box
	w.FlatFrom, w.FlatTo = f.X(float64(b.X)), f.X(float64(b.X+b.W))
	w.Box = m(f, image.Rect(b.X, b.Y, b.X+b.W, b.Y+b.H))
}

// atEnd reports whether s is grain of the table: it lies at an end of the paper that was seen,
// where the flat picture reaches beyond it, and begins or ends at the picture's side, as no print
// does that a tear runs through. What looks like print has to lie on that end.
func (f *flattened) atEnd(s lines.Strip) bool {
	foot, tall, h := s.Base((s.X0+s.X1)/2), s.Up+s.Down, float64(f.even.Rect.Dy())
	if s.X0 > tall && s.X1 < float64(f.even.Rect.Dx())-tall {
		return false
	}
	near := tall
	if s.Regular {
		near = tall / 4
	}
	return f.seen[paper.Top] && !f.beyond[paper.Top] && foot < tall+near || f.seen[paper.Bottom] && !f.beyond[paper.Bottom] && foot > h-near
}

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
