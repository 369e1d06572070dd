package ocr

import "strings"

// What a line must have to be print that another look missed: so sure a reading of so many
// words, and so many such lines.
const (
	beyondSure  = 0.7
	beyondWords = 2
	beyondLines = 2
)

// Beyond reports whether other, another look at the same photo, read print where p has no
// line: p is then not all of the receipt, whatever it took for the paper's ends.
func (p *Page) Beyond(other *Page) bool {
	if p.Turn != other.Turn {
		return true
	}
	n := 0
	for i := range other.Lines {
		if l := &other.Lines[i]; l.isSure() && !p.covers(l.Box) {
			n++
		}
	}
	return n >= beyondLines
}

// isSure reports whether the line was read as words without much doubt.
func (l *Line) isSure() bool {
	if len(l.Readings) == 0 || l.Readings[0].confidence() < beyondSure {
		return false
	}
	words := 0
	for _, w := range l.Readings[0].Words {
		if len(strings.Trim(w.Text, "*-=_.# ")) >= 3 {
			words++
		}
	}
	return words >= beyondWords
}

// covers reports whether a line of p lies where the middle of box is.
func (p *Page) covers(box Box) bool {
	x, y := box.X+box.W/2, box.Y+box.H/2
	for i := range p.Lines {
		b := p.Lines[i].Box
		if grace := b.H / 2; b.X-grace <= x && x <= b.X+b.W+grace && b.Y-grace <= y && y <= b.Y+b.H+grace {
			return true
		}
	}
	return false
}
