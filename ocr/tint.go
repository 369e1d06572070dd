package ocr

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"

	"golang.org/x/image/webp"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// tintPixels bounds the picture that is decoded in colour, tintSheets how many sheets of
// one colour are looked at.
const tintPixels, tintSheets = 30_000_000, 3

// tints is p in colour: its brightness and two differences of colour, each as a picture
// that is turned as p is and may be smaller; ok is false where the file has none.
func (p *photo) tints() (y, cb, cr *image.Gray, ok bool) {
	if p.width*p.height > tintPixels {
		return nil, nil, nil, false
	}
	var src image.Image
	var err error
	switch p.kind {
	case "JPEG":
		src, err = jpeg.Decode(bytes.NewReader(p.file))
	case "PNG":
		src, err = png.Decode(bytes.NewReader(p.file))
	case "WebP":
		src, err = webp.Decode(bytes.NewReader(p.file))
	default:
		return nil, nil, nil, false
	}
	if err != nil {
		return nil, nil, nil, false
	}
	switch s := src.(type) {
	case *image.Gray, *image.Gray16:
		return nil, nil, nil, false
	case *image.YCbCr:
		y, cb, cr = planesOf(s)
	default:
		y, cb, cr = sampled(src)
	}
	return p.exif.turned(y), p.exif.turned(cb), p.exif.turned(cr), true
}

// planesOf are the planes of s, as they are.
func planesOf(s *image.YCbCr) (y, cb, cr *image.Gray) {
	w, h := s.Rect.Dx(), s.Rect.Dy()
	plane := func(pix []byte, stride, w, h int) *image.Gray {
		return &image.Gray{Pix: pix, Stride: stride, Rect: image.Rect(0, 0, w, h)}
	}
	cw := min(s.CStride, w)
	switch s.SubsampleRatio {
	case image.YCbCrSubsampleRatio422, image.YCbCrSubsampleRatio420:
		cw = (w + 1) / 2
	case image.YCbCrSubsampleRatio411, image.YCbCrSubsampleRatio410:
		cw = (w + 3) / 4
	}
	ch := h
	switch s.SubsampleRatio {
	case image.YCbCrSubsampleRatio420, image.YCbCrSubsampleRatio440, image.YCbCrSubsampleRatio410:
		ch = (h + 1) / 2
	}
	return plane(s.Y, s.YStride, w, h), plane(s.Cb, s.CStride, cw, ch), plane(s.Cr, s.CStride, cw, ch)
}

// sampled are the planes of any picture, of every so many pixels only.
func sampled(src image.Image) (y, cb, cr *image.Gray) {
	const side = 960
	b := src.Bounds()
	step := max(max(b.Dx(), b.Dy())/side, 1)
	w, h := max(b.Dx()/step, 1), max(b.Dy()/step, 1)
	y, cb, cr = raster.New(w, h), raster.New(w, h), raster.New(w, h)
	for v := range h {
		for u := range w {
			c := color.YCbCrModel.Convert(src.At(b.Min.X+u*step, b.Min.Y+v*step)).(color.YCbCr)
			i := v*y.Stride + u
			y.Pix[i], cb.Pix[i], cr.Pix[i] = c.Y, c.Cb, c.Cr
		}
	}
	return y, cb, cr
}

// What print a sheet of one colour must have to be taken for the receipt.
const (
	// tintDoubt is how clear edges of a paper must be not to be doubted.
	tintDoubt = 0.5
	// tintLetters is how many letters stand in lines on a sheet at least, tintWorth how
	// much more its print is worth than what was taken for the receipt's. Of that nothing
	// counts where it has fewer letters than leastPrint.
	tintLetters = 80
	tintWorth   = 1.3
	leastPrint  = 120
	// tintClearer is how much clearer the edges of a sheet must be to be taken where its
	// print is worth no more, tintKeeps the share of the letters that it then has at least.
	tintClearer = 0.2
	tintKeeps   = 0.95
	// A picture with a page of print on which no paper was found has at least pageLetters,
	// and a receipt of its own colour on it offPage.
	pageLetters = 1000
	offPage     = 150
)

// byColour looks for the paper of p by its colour where it is doubtful that f is it, which
// was laid flat as s was seen, and returns what is then seen: a checked cloth has clearer
// edges than a paper and a newspaper more print. ok is false where nothing is better.
func (s sight) byColour(p *photo, with hand, f *flattened) (other sight, ok bool) {
	if f.reads() && !s.onPage(inLines(f.lines())) && (!s.found && !s.isSmall(p) || s.found && s.sheet.Score >= tintDoubt) {
		return s, false
	}
	y, cb, cr, ok := p.tints()
	if !ok {
		return s, false
	}
	sheets := paper.ByColour(y, cb, cr)
	if len(sheets) == 0 {
		return s, false
	}
	small, factor := p.grey, 1.0
	for small.Rect.Dx()*small.Rect.Dy() > surveyPixels {
		small, factor = raster.Halve(small), 2*factor
	}
	show := likelyOn(small, with.follow)
	most, _, before := show(upright(s.print, 1, 1, small.Rect))
	if s.found {
		most, _, before = show(layOut(s.sheet, 1, narrowMargin, small.Rect))
	}
	if most *= tintWorth; before < leastPrint {
		most = 0
	}
	best, better := s, false
	for _, sheet := range sheets[:min(len(sheets), tintSheets)] {
		for _, sheet := range waysToLie(small, scaled(sheet, float64(small.Rect.Dx())/float64(y.Rect.Dx())), with.look) {
			worth, height, letters := show(layOut(sheet, 1, narrowMargin, small.Rect))
			if 2*lettersOn(sheet, s.print.Others) > letters {
				continue // most of it is the page that the receipt lies on
			}
			clearer := !better && len(s.papers) == 0 && (!s.found || sheet.Score >= s.sheet.Score+tintClearer) &&
				float64(letters) >= tintKeeps*float64(before)
			if letters >= tintLetters && (worth > most || clearer) || !best.found && s.onPage(before) && letters >= offPage {
				most = max(most, worth)
				best.sheet, best.found, best.papers, best.factor = sheet, true, nil, factor
				best.beyond = s.endsAs(sheet)
				best.print, best.by, better = lines.Survey{Height: height, Others: s.print.Others}, 1, true
			}
		}
	}
	return best, better
}

// isSmall reports whether the print in p is too small for all of p to be read as large as it
// should: where the paper is found, it is.
func (s sight) isSmall(p *photo) bool {
	const zoom = 2 // as lieAs does
	return s.print.Height > 0 && s.print.Height*s.factor < lowHeight && zoom*zoom*p.grey.Rect.Dx()*p.grey.Rect.Dy() > flatPixels
}

// endsAs says of each side of sheet, found by its colour, whether the paper may go on beyond
// it: where a colour ends a shadow or the light may, unless the edge seen in s is there too.
func (s sight) endsAs(sheet Sheet) (beyond [4]bool) {
	width := math.Hypot(sheet.Corners[1].X-sheet.Corners[0].X, sheet.Corners[1].Y-sheet.Corners[0].Y)
	for i := range beyond {
		same := s.found && s.sheet.Seen[i] && sheet.Seen[i] && !s.beyond[i]
		for _, k := range [2]int{i, (i + 1) % 4} {
			a, b := sheet.Corners[k], s.sheet.Corners[k]
			same = same && math.Hypot(a.X-b.X, a.Y-b.Y) < sameCorner*width
		}
		beyond[i] = !same
	}
	return beyond
}

// sameCorner is the share of a paper's width within which two corners are the same.
const sameCorner = 0.04

// lettersOn is how many of the letters stand on s.
func lettersOn(s Sheet, letters []raster.Point) (n int) {
	to, ok := raster.PlaneBetween(s.Corners, unitSquare)
	if !ok {
		return 0
	}
	for _, p := range letters {
		if q := to.Map(p); q.X > 0 && q.X < 1 && q.Y > 0 && q.Y < 1 {
			n++
		}
	}
	return n
}

// onPage reports whether so many letters in lines are a page that a receipt may lie on.
func (s sight) onPage(letters int) bool { return !s.found && letters >= pageLetters }

// waysToLie are a sheet of g, turned as its print runs, and where there is one the paper
// that by its edges is around that print: a shadow may have changed the colour of a part.
func waysToLie(g *image.Gray, sheet Sheet, firm float32) []Sheet {
	print := printIn(g, sheet, firm)
	if math.Abs(math.Remainder(print.Angle-angleOf(sheet), math.Pi)) > math.Pi/4 {
		sheet = quarter(sheet)
	}
	if len(print.Letters) >= lines.Few {
		if whole, found := paper.Find(g, print); found {
			return []Sheet{sheet, whole}
		}
	}
	return []Sheet{sheet}
}

// reads reports whether the print found on f is likely to be all that a receipt has.
func (f *flattened) reads() bool {
	l := f.lines()
	_, share := worthOf(l)
	return share >= mostlyInLines && inLines(l) >= tintLetters && l.Height < widePrint*float64(f.grey.Rect.Dx())
}

// widePrint is the share of a receipt's width up to which its letters are high.
const widePrint = 1.0 / 14

// likelyOn is printOn for a receipt that may be faint; print too large for one is worth
// nothing.
func likelyOn(g *image.Gray, firm float32) func(to raster.Plane, w, h float64) (worth, height float64, letters int) {
	return func(to raster.Plane, w, h float64) (worth, height float64, letters int) {
		flat := raster.Warp(g, int(w), int(h), to)
		_, ink := raster.Even(flat, firm)
		l := lines.Find(ink, 1)
		if inLines(l) < tintLetters {
			if faint := lines.Find(raster.Faint(raster.Blur(flat, faintBlur), firm, faintPrint), 1); inLines(faint) > inLines(l) {
				l = faint
			}
		}
		if l.Height > widePrint*w || l.Hollow() {
			return 0, l.Height, 0
		}
		worth, _ = worthOf(l)
		return worth, l.Height, inLines(l)
	}
}

// printIn surveys the print on a sheet of g, in pixels of g.
func printIn(g *image.Gray, sheet Sheet, firm float32) lines.Survey {
	to, w, h := layOut(sheet, 1, narrowMargin, g.Rect)
	print, _ := survey(raster.Warp(g, int(w), int(h), to), firm)
	sin, cos := math.Sincos(print.Angle)
	mid := raster.Point{X: w / 2, Y: h / 2}
	a, b := to.Map(mid), to.Map(raster.Point{X: mid.X + cos, Y: mid.Y + sin})
	print.Angle = math.Atan2(b.Y-a.Y, b.X-a.X)
	if math.Abs(print.Angle) > math.Pi/2 {
		print.Angle = math.Remainder(print.Angle, math.Pi)
	}
	for i, p := range print.Letters {
		print.Letters[i] = to.Map(p)
	}
	print.Others = nil
	return print
}

// angleOf is the direction of the upper side of s.
func angleOf(s Sheet) float64 {
	return math.Atan2(s.Corners[1].Y-s.Corners[0].Y, s.Corners[1].X-s.Corners[0].X)
}
