package ocr

import (
	"image"
	"math"

	"tillproof/ocr/lines"
	"tillproof/ocr/paper"
	"tillproof/ocr/raster"
)

// sight is what a first look at a photo shows.
type sight struct {
	// print is that of the picture looked at, which is smaller than the photo's by factor;
	// by is how much smaller still it was found best.
	print      lines.Survey
	by, factor float64
	// sheet is the paper in that picture, where one was found, papers those of the photo
	// where there are several.
	sheet  Sheet
	found  bool
	papers []Sheet
	// beyond says of each side (paper.Top and so on) that the receipt may go on beyond it.
	beyond [4]bool
	// given: the sheet is one of several that an earlier look has seen.
	given bool
}

// lookAt looks for print and paper in p; only is taken for the paper where it is given.
func lookAt(p *photo, with hand, only *Sheet) (s sight) {
	small := p.grey
	s.factor, s.given = 1, only != nil
	for small.Rect.Dx()*small.Rect.Dy() > surveyPixels {
		small, s.factor = raster.Halve(small), 2*s.factor
	}
	s.print, s.by = survey(small, with.look)
	if len(s.print.Letters) < fewLetters {
		s.print, s.by = surveyFaint(p.grey, s.factor, with.look, s.print, s.by)
	}
	if s.factor > 1 && mayMiss(s.print) {
		s.print, s.by = surveyFiner(p.grey, s.factor, with.look, s.print, s.by)
	}
	print, plainSheet, onCloth := onPlain(small, p.grey, s.factor, with.look, s.print)
	if onCloth {
		s.print, s.by = print, 1
	}
	s.sheet, s.found, s.papers = paperIn(small, s.print, only, s.factor*float64(p.shrink))
	if onCloth && only == nil && !(s.found && nearSheet(s.sheet, plainSheet)) {
		s.sheet, s.found, s.papers = plainSheet, true, nil
	}
	if !s.found && len(s.print.Letters) < surePrint && len(s.print.Others) == 0 {
		if sheet, height, ok := blindly(small, s.print, with.follow); ok {
			s.sheet, s.found = sheet, true
			s.print, s.by = lines.Survey{Height: height}, 1
		}
	}
	s.standUp(p.grey, with.follow)
	s.turnOver(p.grey, with.follow)
	amid := false
	if !s.found && len(s.print.Others) >= pageLetters {
		s.sheet, s.found = paper.Amid(s.print, small.Rect)
		amid = s.found
	}
	if s.found && only == nil && len(s.papers) == 0 {
		s.beyond = beyondEnds(s.sheet, s.print.Letters)
	}
	for _, side := range [2]int{paper.Top, paper.Bottom} {
		// Bold rows of the paper itself may have looked like a page's.
		s.beyond[side] = s.beyond[side] || amid && !s.sheet.Seen[side]
	}
	return s
}

// turnOver turns the direction in which lines seem to run, where no paper was found and a survey saw
// few letters, if clearly more stand in lines that run across.
func (s *sight) turnOver(g *image.Gray, firm float32) {
	if s.found || len(s.print.Letters) >= fewLetters || len(s.print.Letters) < lines.Few || len(s.print.Others) > 0 {
		return
	}
	turned, on := s.print, printOn(g, firm)
	turned.Angle = math.Remainder(turned.Angle+math.Pi/2, math.Pi)
	_, _, along := on(upright(s.print, s.factor, 1, g.Rect))
	if _, height, across := on(upright(turned, s.factor, 1, g.Rect)); s.runsAcross(along, across, turning) {
		turned.Height = height / s.factor
		s.print, s.by = turned, 1
	}
}

// runsAcross reports whether the letters in lines across the direction that a survey found are
// print, so many times as many as those along it, and it saw little of them.
func (s *sight) runsAcross(along, across int, times float64) bool {
	return across >= lines.Few && float64(across) >= times*float64(along) && float64(len(s.print.Letters)) <= seenLess*float64(across)
}

// lyingDown is from how many times as wide as high a sheet is taken for one that lies on its side,
// standing how many times as many letters must stand in lines that run the other way, turning how
// many where no paper tells which way a receipt lies, seenLess how many of those the survey saw at
// most: one that saw the print knows how it runs.
const lyingDown, standing, turning, seenLess = 1.2, 1.5, 2, 0.6

// standUp turns the sheet that was found in a photo g if its print seems to run along it, and
// clearly more letters stand in lines that run across: receipts are longer than they are wide, and
// the columns of blurred print look like lines. How large the print is, is then known from those.
func (s *sight) standUp(g *image.Gray, firm float32) {
	if !s.found || s.given || len(s.papers) > 0 {
		return
	}
	sheet, on := scaled(s.sheet, s.factor), printOn(g, firm)
	to, w, h := layOut(sheet, 1, narrowMargin, g.Rect)
	if w < lyingDown*h {
		return
	}
	_, _, along := on(to, w, h)
	_, height, across := on(layOut(quarter(sheet), 1, narrowMargin, g.Rect))
	if !s.runsAcross(along, across, standing) {
		return
	}
	s.sheet = quarter(s.sheet)
	if c := s.sheet.Corners; c[0].Y+c[1].Y > c[2].Y+c[3].Y {
		s.sheet = quarter(quarter(s.sheet)) // who photographs a receipt mostly sees it upright
	}
	s.print.Height, s.by = height/s.factor, 1
}

// nearSheet reports whether the corners of two sheets lie near each other's, by a sixth of the
// second's width, whichever of them is called the first.
func nearSheet(a, b Sheet) bool {
	reach := math.Hypot(b.Corners[0].X-b.Corners[1].X, b.Corners[0].Y-b.Corners[1].Y) / 6
	for range 4 {
		if paper.Near(a, b, reach) {
			return true
		}
		a = quarter(a)
	}
	return false
}

// sizeUnsure reports whether the print that was seen is too little to tell how large it is,
// where the edges alone told the paper: the grain of a table may be among it.
func (s sight) sizeUnsure() bool {
	return s.print.Height == 0 || len(s.print.Letters) > 0 && len(s.print.Letters) < 2*lines.Few
}

// lettersBeyond is how many letters of the receipt's print must lie beyond an end of a sheet
// for that not to be the paper's: the edge of a bar code looks like one.
const lettersBeyond = 8

// unitSquare are the corners of a sheet seen from straight above, one wide and one high.
var unitSquare = [4]raster.Point{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 1, Y: 1}, {X: 0, Y: 1}}

// beyondEnds says of the upper and lower side of s whether print goes on beyond it, as wide
// as s is. The grain of a table, which lies beside s as well, is none.
func beyondEnds(s Sheet, letters []raster.Point) (beyond [4]bool) {
	to, ok := raster.PlaneBetween(s.Corners, unitSquare)
	if !ok {
		return beyond
	}
	above, below, beside := 0, 0, 0
	for _, p := range letters {
		switch q := to.Map(p); {
		case q.X < -0.02 || q.X > 1.02:
			beside++
		case q.Y < -0.005 && q.Y > -0.5:
			above++
		case q.Y > 1.005 && q.Y < 1.5:
			below++
		}
	}
	least := max(lettersBeyond, 2*beside)
	beyond[paper.Top], beyond[paper.Bottom] = above >= least, below >= least
	return beyond
}

// survey looks for print in g as it is, at half the size and at a quarter,
// where print of dots has grown together, and takes what shows most of it, but
// not the few large things that a table may have; by
// is how much smaller that was. Broken letters are many and small, so letters
// count by the square of their height.
func survey(g *image.Gray, firm float32) (best lines.Survey, by float64) {
	by = 1
	seen := 0.0
	for at := 1.0; at <= 4 && g.Rect.Dx() >= 100; at *= 2 {
		even, ink := raster.Even(g, firm)
		s := lines.LookAt(ink, even)
		s.Height *= at
		for i := range s.Letters {
			s.Letters[i].X *= at
			s.Letters[i].Y *= at
		}
		for i := range s.Others {
			s.Others[i].X *= at
			s.Others[i].Y *= at
		}
		// The finer picture is better where it shows about as much, and any in which
		// a receipt is told from the print that it lies on.
		on, off := len(s.Others) > 0, len(best.Others) > 0
		print := float64(len(s.Letters)) * s.Height * s.Height
		more := print > 1.15*seen && (at == 1 || len(s.Letters) >= 20 && 5*len(s.Letters) >= 3*len(best.Letters))
		if on && !off || on == off && more {
			best, by, seen = s, at, print
		}
		g = raster.Halve(g)
	}
	return best, by
}

// fewLetters is how many letters a survey finds at least of a receipt whose print is
// firm.
const fewLetters = 150

// surveyFaint looks for print that is too faint or broken for survey, which found s in a
// picture smaller than g by factor, in g blurred. It returns what shows more print, but
// no page of print for the receipt that was told from it.
func surveyFaint(g *image.Gray, factor float64, firm float32, s lines.Survey, by float64) (lines.Survey, float64) {
	seen := float64(len(s.Letters)) * s.Height * s.Height
	other := lines.Look(raster.Faint(raster.Blur(g, faintBlur), firm, faintPrint))
	shrink(&other, factor)
	if len(s.Others) > 0 && len(other.Others) == 0 {
		return s, by
	}
	if print := float64(len(other.Letters)) * other.Height * other.Height; print > 1.5*seen && len(other.Letters) > len(s.Letters) {
		return other, 1
	}
	return s, by
}

// mayMiss reports whether s, of a picture that was shrunk, may have missed letters of a
// receipt that lies on other print, or all of them: a page's are mostly larger.
func mayMiss(s lines.Survey) bool {
	if len(s.Others) == 0 {
		return len(s.Letters) >= pageLetters
	}
	return s.Height < smallHeight || len(s.Letters) < fewLetters
}

// surveyFiner is survey of g, which is larger than the picture that s was found in by
// factor; it returns what shows more letters on other print.
func surveyFiner(g *image.Gray, factor float64, firm float32, s lines.Survey, by float64) (lines.Survey, float64) {
	even, ink := raster.Even(g, firm)
	other := lines.LookAt(ink, even)
	shrink(&other, factor)
	if len(other.Others) > 0 && (len(s.Others) == 0 || len(other.Letters) > len(s.Letters)) {
		return other, 1
	}
	return s, by
}

// shrink brings s to a picture that is smaller by factor.
func shrink(s *lines.Survey, factor float64) {
	s.Height /= factor
	for _, all := range [2][]raster.Point{s.Letters, s.Others} {
		for i := range all {
			all[i].X /= factor
			all[i].Y /= factor
		}
	}
}
