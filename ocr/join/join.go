// Package join puts photos of one long receipt together by the lines that they
// share.
//
// Read Pages first. It compares what was read, not pictures: the end of one
// photo and the beginning of the next are laid over each other (align.go) so
// that lines agree one after the other, and a line that both show becomes one,
// with the readings of both. Where the lines do not say how the photos lie
// over each other, none is left out, and the page says so in Gap: a line too
// many or too few would send a shopper back to the till for nothing.
package join

import (
	"fmt"
	"slices"

	"tillproof/ocr"
)

// Pages joins the pages read from photos of one receipt, top to bottom. Lines
// that a page shares with those before it are left out of it; what it has of
// them is added to the line that stays. The pages handed over are not changed.
func Pages(pages []ocr.Page) []ocr.Page {
	out := slices.Clone(pages)
	var all []spot // every line so far
	for i := range out {
		p := &out[i]
		p.Advice = slices.Clone(p.Advice)
		fresh := entries(p.Lines, p.Photo)
		if i > 0 {
			out[i].Gap = false
			joined, how := overlay(all, fresh)
			switch {
			case how.sure:
				if s := joined[0]; s.a == 0 && s.b > 0 { // it begins above the first
					out[0].Top = p.Top
				}
				if joined[len(joined)-1].a < len(all)-1 { // it ends above the last one
					p.Bottom = out[i-1].Bottom
				}
				p.Lines = merge(out, all, p.Lines, joined)
			case len(all) == 0 || len(fresh) == 0:
				p.Gap = true // nothing was read there, which is said elsewhere
			default:
				p.Gap = true
				p.Advice = append(p.Advice, how.advice(out[i-1].Photo, p.Photo))
			}
		}
		all = all[:0]
		for page := range i + 1 {
			for line := range out[page].Lines {
				all = append(all, spot{page, line, entryOf(&out[page].Lines[line], out[page].Lines[line].Photo)})
			}
		}
	}
	return out
}

// spot is a line and where it stands: line of page.
type spot struct {
	page, line int
	entry
}

// advice tells a person what to do about photos that were not joined.
func (f fit) advice(a, b int) string {
	const again = "take them again so that each shows the last five lines of the one before"
	if f.several {
		return fmt.Sprintf("photos %d and %d fit together in more than one way, so that lines may be missing or doubled where they meet: %s", a, b, again)
	}
	return fmt.Sprintf("photos %d and %d have too few lines in common to be joined, so that lines between them may be missing or doubled: %s", a, b, again)
}

// merge gives the lines of pages what fresh has of them, and returns those of
// fresh that are new. Lines of fresh that stand between shared ones and were
// missed before go where they belong.
func merge(pages []ocr.Page, all []spot, fresh []ocr.Line, shared []pair) []ocr.Line {
	owned := map[int]bool{} // pages whose lines are ours to change
	own := func(page int) []ocr.Line {
		if !owned[page] {
			pages[page].Lines = slices.Clone(pages[page].Lines)
			owned[page] = true
		}
		return pages[page].Lines
	}
	last := -1
	type extra struct {
		before spot
		lines  []ocr.Line
	}
	var extras []extra
	for _, s := range shared {
		at := all[s.a]
		lines := own(at.page)
		lines[at.line] = both(lines[at.line], fresh[s.b])
		if missed := readable(fresh[last+1 : s.b]); len(missed) > 0 {
			extras = append(extras, extra{at, missed})
		}
		last = s.b
	}
	slices.Reverse(extras)
	for _, e := range extras {
		pages[e.before.page].Lines = slices.Insert(own(e.before.page), e.before.line, e.lines...)
	}
	if end := shared[len(shared)-1]; end.a < len(all)-1 {
		// The photo ends before those before it do: what it has below is new to
		// them only where it was read.
		return readable(fresh[last+1:])
	}
	return slices.Clone(fresh[last+1:])
}

// readable are the lines that were read.
func readable(lines []ocr.Line) []ocr.Line {
	var out []ocr.Line
	for _, l := range lines {
		if len(l.Readings) > 0 {
			out = append(out, l)
		}
	}
	return out
}

// both is the line a with what b, the same line in another photo, reads. It
// stays in the place that it has in a.
func both(a, b ocr.Line) ocr.Line {
	moved := make([]ocr.Reading, len(b.Readings))
	for i, r := range b.Readings {
		moved[i] = ocr.Reading{Words: slices.Clone(r.Words), Votes: r.Votes}
		for k := range moved[i].Words {
			w := &moved[i].Words[k]
			w.Box = move(w.Box, b.Box, a.Box)
		}
	}
	first, second := slices.Clone(a.Readings), moved
	if clearness(b) > clearness(a) {
		first, second = moved, first
	}
	for _, r := range second {
		i := slices.IndexFunc(first, func(f ocr.Reading) bool { return f.Text() == r.Text() })
		if i < 0 {
			first = append(first, r)
			continue
		}
		first[i].Votes += r.Votes
	}
	a.Readings = first
	return a
}

// move takes a box in the line from to the same place in the line to.
func move(box, from, to ocr.Box) ocr.Box {
	if from.W <= 0 || from.H <= 0 {
		return to
	}
	x := func(v int) int { return to.X + (v-from.X)*to.W/from.W }
	y := func(v int) int { return to.Y + (v-from.Y)*to.H/from.H }
	return ocr.Box{X: x(box.X), Y: y(box.Y), W: x(box.X+box.W) - x(box.X), H: y(box.Y+box.H) - y(box.Y)}
}
