package week

import (
	"fmt"

	"tillproof/parse"
)

// PageSize is the width and height of a photo in pixels, zero for text.
type PageSize struct{ W, H int }

// clear is the confidence from which print counts as legible to others too.
const clear = 0.6

// Legible says what whoever pays a claim could not read on a receipt's photos:
// store, date, time, the qualifying lines, the total, and whether all edges are
// in the picture. Nothing is returned where all can be read.
func Legible(r *parse.Receipt, lines []int, pages []PageSize) (faults []string) {
	say := func(bad bool, format string, args ...any) {
		if bad {
			faults = append(faults, fmt.Sprintf(format, args...))
		}
	}
	say(r.Store == "", "the store's name was not read")
	say(r.Date == "", "the date was not read")
	say(r.DateOther != "", "the date can be read both ways, %s or %s", r.Date, r.DateOther)
	say(r.Time == "", "the time was not read")
	for _, n := range lines {
		if n < 1 || n > len(r.Lines) {
			continue
		}
		l := r.Line(n)
		say(l.Unread || l.Proof == parse.Doubtful || l.Photo > 0 && l.Confidence < clear, "line %d, which qualifies, cannot be read for sure", n)
	}
	say(r.Total == nil, "the total was not read")
	for i := range r.Lines {
		l := &r.Lines[i]
		say(l.Kind == parse.LineTotal && l.Proof == parse.Doubtful, "the total in line %d is doubtful", l.N)
	}
	say(!r.Complete.Top, "the upper edge is not in the picture")
	say(!r.Complete.Bottom, "the lower edge is not in the picture")
	left, right := false, false
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.Box == nil || l.Photo < 1 || l.Photo > len(pages) || pages[l.Photo-1].W == 0 {
			continue
		}
		const rim = 2
		left = left || l.Box[0] <= rim
		right = right || l.Box[0]+l.Box[2] >= pages[l.Photo-1].W-rim
	}
	say(left, "print runs over the left side of the picture")
	say(right, "print runs over the right side of the picture")
	return faults
}
