package ocr

import (
	"image"
	"math"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// flattened is the paper of a photo, seen from straight above and evenly lit.
type flattened struct {
	grey, even *image.Gray
	// dark is grey with all print darker than its ground.
	dark *image.Gray
	// ink marks the print in the paper shrunk by coarse.
	ink    *image.Gray
	coarse int
	layout *lines.Layout // of ink, once it was asked for
	hand   hand
	// faint is how the paper is prepared for its print to be found, where that is too
	// faint or broken to be found as it is.
	faint *preparation
	// sides are the edges of the paper, nil where it was not found.
	sides *sides
	// page are letters of the page that the paper lies on, pageHeight is how high those of
	// the paper are.
	page       []raster.Point
	pageHeight float64
	// toPhoto maps its pixels to those of the photo at full size, upright.
	toPhoto raster.Plane
	// seen says of each side (paper.Top and so on) whether the paper's edge is
	// in the picture, cut whether the picture was cut along the paper at all.
	seen [4]bool
	cut  bool
	// beyond says of each side that the paper may go on beyond it.
	beyond [4]bool
	// papers are those of the photo, where there are several.
	papers []Sheet
	// turn is how many quarter turns clockwise the photo needs to be upright.
	turn int
}

// Sizes that decide at which scale a photo is looked at.
const (
	// surveyPixels bounds the picture in which paper and print are looked for.
	surveyPixels = 2_000_000
	// loadPixels bounds the picture that is decoded at first.
	loadPixels = 4_500_000
	// flatPixels bounds the flattened paper.
	flatPixels = 8_000_000
	// goodHeight is the height of letters in pixels from which more detail does
	// not help; lowHeight is the height below which they fall apart.
	goodHeight = 22
	lowHeight  = 15
	// largeHeight is the height from which letters are found in a smaller picture;
	// in a finer one the letters of bold totals fall apart.
	largeHeight = 28
	// smallHeight is the height below which a survey misses some of the letters that lie
	// on other print.
	smallHeight = 9
	// surePrint is how many letters a survey finds of a receipt where it finds all
	// that is print.
	surePrint = 200
)

// hand is how far between paper and print ink begins: look, where print is
// looked for, follow, where lines are followed.
type hand struct{ look, follow float32 }

// hands are the ways to look at a photo, the best on the whole first: the grain
// of a table must not count as print, and thin strokes must. What one way cuts
// in two or loses another mostly has.
var hands = [...]hand{{0.6, 0.45}, {0.4, 0.4}}

// flatten finds the paper in p, or takes the one that is given, lays it flat
// and evens the light. It decodes
// the photo again, larger, through reload where print is too small at the
// scale of p and the file has more.
func flatten(p *photo, with hand, only *Sheet, reload func(shrink int) (*photo, error)) (*flattened, error) {
	seen := lookAt(p, with, only)
	f, err := lieAs(seen, p, with, reload)
	if err != nil || only != nil {
		return f, err
	}
	if other, ok := seen.byColour(p, with, f); ok {
		return lieAs(other, p, with, reload)
	}
	return f, nil
}

// largeEnough is p, decoded larger through reload where the print that was seen in it is small
// and the file has more; how high its letters are then, by how much it is larger than what was
// looked at, and how many times larger still it is shown.
func (s sight) largeEnough(p *photo, with hand, reload func(shrink int) (*photo, error)) (larger *photo, height, factor, zoom float64, err error) {
	height, factor, zoom = s.print.Height*s.factor, s.factor, 1
	if s.found && s.sizeUnsure() {
		if worth, measured, _ := printOn(p.grey, with.follow)(layOut(scaled(s.sheet, factor), 1, narrowMargin, p.grey.Rect)); worth > 0 {
			height = measured
		}
	}
	for p.shrink > 1 && height > 0 && height < goodHeight {
		if p, err = reload(p.shrink / 2); err != nil {
			return nil, 0, 0, 0, err
		}
		height, factor = 2*height, 2*factor
	}
	if height > 0 && height < lowHeight {
		zoom = 2
	}
	return p, height, factor, zoom, nil
}

// lieAs is flatten of the paper and print that were seen in p.
func lieAs(seen sight, p *photo, with hand, reload func(shrink int) (*photo, error)) (*flattened, error) {
	print, by, sheet, found := seen.print, seen.by, seen.sheet, seen.found
	p, height, factor, zoom, err := seen.largeEnough(p, with, reload)
	if err != nil {
		return nil, err
	}
	f := &flattened{hand: with, cut: found, seen: sheet.Seen, beyond: seen.beyond, papers: seen.papers}
	page := seen.page()
	edges := found             // the sides are those of a sheet, and near the picture's
	var toPicture raster.Plane // from the flat paper to the picture of p
	mark := func() { f.mark(height*zoom, by*factor*zoom, by > 1) }
	lay := func(to raster.Plane, w, h float64) {
		toPicture = to
		f.grey = raster.Warp(p.grey, int(w), int(h), to)
		if f.sides != nil {
			f.sides = f.sides.onto(to.Inverse(), int(h))
		} else if edges {
			f.sides = sidesOf(f.grey, to, sideReach)
		}
		f.page, f.pageHeight = onFlat(page, factor, to.Inverse()), height*zoom
		mark()
	}
	// relay is lay where no less print stands in lines then.
	relay := func(to raster.Plane, w, h float64) bool {
		was, before, from := *f, inLines(f.lines()), toPicture
		if lay(to, w, h); inLines(f.lines()) < before {
			*f, toPicture = was, from
			return false
		}
		return true
	}
	if found {
		lay(layOut(scaled(sheet, factor), zoom, narrowMargin, p.grey.Rect))
		for _, wider := range margins {
			if f.linesAtSide() < wider.cut {
				break
			}
			f.sides, edges = nil, false
			lay(layOut(scaled(sheet, factor), zoom, wider.margin, p.grey.Rect))
			f.endAt(toPicture, sideReach, mark)
		}
		if top, bottom := f.linesAtEnds(); top+bottom > 0 && seen.alone() {
			w, h := float64(f.grey.Rect.Dx()), float64(f.grey.Rect.Dy())
			if relay(toPicture.After(raster.Plane{1, 0, 0, 0, 1, -top, 0, 0, 1}), w, h+top+bottom) {
				f.seen[paper.Top], f.seen[paper.Bottom] = f.seen[paper.Top] && top == 0, f.seen[paper.Bottom] && bottom == 0
			}
		}
	} else {
		lay(upright(print, factor, zoom, p.grey.Rect))
		blank := blankLetters * height * zoom / float64(f.grey.Rect.Dx())
		f.endAt(toPicture, min(blank+sideReach/2, mostBlank), mark)
	}
	f.markFaint()
	if !found && len(print.Letters) < surePrint && len(print.Others) == 0 && f.goesOn() {
		lay(upright(lines.Survey{Angle: print.Angle}, factor, zoom, p.grey.Rect))
	}
	for range 2 {
		back, w, h, crooked := f.straighten()
		if !crooked {
			break
		}
		if !relay(toPicture.After(back), w, h) {
			break
		}
	}
	f.toPhoto = toPicture.Scaled(float64(p.shrink))
	f.turnPhoto(p.width, p.height)
	return f, nil
}

// mark evens the light and finds the print, where letters are height pixels
// high. Large letters are found as well in a smaller picture, and broken ones
// only in one as small as the survey found them in.
func (f *flattened) mark(height, surveyed float64, broken bool) {
	f.dark = turnedBars(f.grey, height)
	f.even, f.ink = raster.Even(f.dark, f.hand.follow)
	f.wipe(f.ink, 1)
	f.coarse, f.layout = 1, nil
	if f.faint != nil {
		f.ink, f.coarse = f.markAs(*f.faint), f.faint.coarse
		return
	}
	small, larger := f.dark, f.dark
	for height/float64(f.coarse) > largeHeight || broken && 2*float64(f.coarse) <= surveyed {
		small, larger = raster.Halve(small), small
		f.coarse *= 2
	}
	if f.coarse == 1 {
		return
	}
	finer := f.ink
	_, f.ink = raster.Even(small, f.hand.follow)
	f.wipe(f.ink, f.coarse)
	if !broken {
		return
	}
	// What seemed to be broken letters that grow together may be whole lines.
	if f.coarse > 2 {
		_, finer = raster.Even(larger, f.hand.follow)
		f.wipe(finer, f.coarse/2)
	}
	if other := lines.Find(finer, f.coarse/2); inLines(other) > inLines(f.lines()) {
		f.ink, f.coarse, f.layout = finer, f.coarse/2, other
	}
}

// inLines is the number of letters that stand in lines that look like print.
func inLines(l *lines.Layout) int {
	n := 0
	for _, s := range l.Strips() {
		if s.Regular {
			n += s.Letters
		}
	}
	return n
}

// lines are the lines of print on f.
func (f *flattened) lines() *lines.Layout {
	if f.layout == nil {
		f.layout = lines.Find(f.ink, f.coarse)
	}
	return f.layout
}

// narrowMargin, wideMargin and widestMargin are those around a sheet, as shares of its width: its
// edges are not known to the pixel, and may be bent, or what was taken for one is a shadow's on
// the paper.
const narrowMargin, wideMargin, widestMargin = 0.015, 0.05, 0.15

// sideReach is how far from the picture's side the edge of a paper that was found is at most,
// as a share of the width.
const sideReach = 0.15

// linesCut is how many lines that begin or end at a side of the picture of the paper tell that
// the paper goes on there, manyCut how many that it goes on far.
const linesCut, manyCut = 4, 12

// margins are those that are tried where so many lines are cut.
var margins = [...]struct {
	margin float64
	cut    int
}{{wideMargin, linesCut}, {widestMargin, manyCut}}

// linesAtSide counts the lines that reach the left side of the picture of the paper, or the right
// one if they are more: it ends in the midst of them.
func (f *flattened) linesAtSide() int {
	left, right := 0, 0
	for _, s := range f.lines().Strips() {
		if !s.Regular {
			continue
		}
		if s.X0 < s.Height {
			left++
		}
		if s.X1 > float64(f.even.Rect.Dx())-s.Height {
			right++
		}
	}
	return max(left, right)
}

// endMargin is how far the picture of the paper is shown beyond an end at which a line is cut, as a
// share of its width.
const endMargin = 0.25

// alone reports whether nothing but the receipt itself prints beyond the ends of its paper.
func (s sight) alone() bool { return !s.given && len(s.papers) == 0 && len(s.print.Others) == 0 }

// linesAtEnds is by how many pixels the picture of the paper should be higher at its upper and its
// lower end: lines lie at its very edge, since what was taken for the paper's is a shadow's.
func (f *flattened) linesAtEnds() (top, bottom float64) {
	w, h := float64(f.grey.Rect.Dx()), float64(f.grey.Rect.Dy())
	for _, s := range f.lines().Strips() {
		if !s.Regular {
			continue
		}
		switch base := s.Base((s.X0 + s.X1) / 2); {
		case base-s.Up < s.Height/2:
			top = endMargin * w
		case base+s.Down > h-s.Height/2:
			bottom = endMargin * w
		}
	}
	return top, bottom
}

// layOut maps a rectangle to the sheet, with a margin around it that is a share of its width.
func layOut(s paper.Sheet, zoom, margin float64, r image.Rectangle) (toPicture raster.Plane, w, h float64) {
	c := s.Corners
	side := func(i, j int) float64 { return math.Hypot(c[i].X-c[j].X, c[i].Y-c[j].Y) }
	w, h = zoom*(side(0, 1)+side(3, 2))/2, zoom*(side(0, 3)+side(1, 2))/2
	if w*h > flatPixels {
		shrink := math.Sqrt(flatPixels / (w * h))
		w, h = w*shrink, h*shrink
	}
	m := margin * w
	flat := [4]raster.Point{{X: m, Y: m}, {X: w + m, Y: m}, {X: w + m, Y: h + m}, {X: m, Y: h + m}}
	toPicture, ok := raster.PlaneBetween(flat, c)
	if !ok {
		return raster.Identity, float64(r.Dx()), float64(r.Dy())
	}
	return toPicture, w + 2*m, h + 2*m
}

// turnPhoto finds the quarter turns that bring the photo of w by h pixels
// upright, and maps to the photo so turned.
func (f *flattened) turnPhoto(w, h int) {
	mid := raster.Point{X: float64(f.grey.Rect.Dx()) / 2, Y: float64(f.grey.Rect.Dy()) / 2}
	a, b := f.toPhoto.Map(mid), f.toPhoto.Map(raster.Point{X: mid.X + 1, Y: mid.Y})
	quarters := int(math.Round(math.Atan2(b.Y-a.Y, b.X-a.X) / (math.Pi / 2)))
	f.turn = ((-quarters)%4 + 4) % 4
	f.toPhoto = quarterTurns(f.turn, w, h).After(f.toPhoto)
}

// quarterTurns turns the points of a picture of w by h pixels clockwise.
func quarterTurns(n, w, h int) raster.Plane {
	switch n {
	case 1:
		return raster.Plane{0, -1, float64(h), 1, 0, 0, 0, 0, 1}
	case 2:
		return raster.Plane{-1, 0, float64(w), 0, -1, float64(h), 0, 0, 1}
	case 3:
		return raster.Plane{0, 1, 0, -1, 0, float64(w), 0, 0, 1}
	}
	return raster.Identity
}

// overhead turns the flat paper upside down.
func (f *flattened) overhead(w, h int) {
	fw, fh := f.grey.Rect.Dx(), f.grey.Rect.Dy()
	f.grey, f.even, f.ink = raster.Turn(f.grey, 2), raster.Turn(f.even, 2), raster.Turn(f.ink, 2)
	f.layout = nil
	half := func(b [4]bool) [4]bool { return [4]bool{b[paper.Bottom], b[paper.Left], b[paper.Top], b[paper.Right]} }
	f.seen, f.beyond = half(f.seen), half(f.beyond)
	if f.turn%2 != 0 {
		w, h = h, w
	}
	f.toPhoto = quarterTurns(2, w, h).After(f.toPhoto.After(quarterTurns(2, fw, fh)))
	f.turn = (f.turn + 2) % 4
}
