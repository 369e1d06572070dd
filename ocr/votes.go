package ocr

import (
	"cmp"
	"context"
	"image"
	"slices"
	"strings"

	"tillproof/ocr/lines"
)

// tallies are the heights at which lines are read where Options name none. At
// one height alone one amount in twenty is misread, and mostly not the same.
var tallies = []int{40, 32, 48}

// sure is the confidence from which one reading of a line without a number is
// enough.
const sure = 0.88

// readStrips reads each line at the first height, and those that carry a
// number or were read with doubt at the others too. The readings of a line
// come back grouped by text, the one with most votes first.
func readStrips(ctx context.Context, flat *image.Gray, strips []lines.Strip, toPhoto mapping, engine Engine, heights []int) ([][]Reading, error) {
	if len(heights) == 0 {
		heights = tallies
	}
	readings := make([][]Reading, len(strips))
	todo := make([]int, len(strips))
	for i := range todo {
		todo[i] = i
	}
	for round, tall := range heights {
		crops := make([]*image.Gray, len(todo))
		frames := make([]lines.Frame, len(todo))
		for k, i := range todo {
			crops[k], frames[k] = strips[i].Cut(flat, tall)
		}
		words, err := engine.ReadLines(ctx, crops)
		if err != nil {
			return nil, err
		}
		for k, i := range todo {
			if len(words[k]) == 0 {
				continue
			}
			for n := range words[k] {
				b := words[k][n].Box
				words[k][n].Box = toPhoto(frames[k], image.Rect(b.X, b.Y, b.X+b.W, b.Y+b.H))
			}
			readings[i] = vote(readings[i], words[k])
		}
		if round == 0 {
			todo = slices.DeleteFunc(todo, func(i int) bool { return settled(readings[i]) })
		}
	}
	for _, r := range readings {
		rank(r)
	}
	return readings, nil
}

// settled reports whether a line needs no other reading: it has no number in
// it and was read without doubt.
func settled(r []Reading) bool {
	if len(r) == 0 || strings.ContainsAny(r[0].Text(), "0123456789") {
		return false
	}
	for _, w := range r[0].Words {
		if w.Confidence < sure {
			return false
		}
	}
	return true
}

// vote adds one more reading of a line to those there are. Of readings with
// the same text the more confident one stays.
func vote(readings []Reading, words []Word) []Reading {
	fresh := Reading{Words: words, Votes: 1}
	text := fresh.Text()
	for i, r := range readings {
		if r.Text() == text {
			fresh.Votes += r.Votes
			if r.confidence() > fresh.confidence() {
				fresh.Words = r.Words
			}
			readings[i] = fresh
			return readings
		}
	}
	return append(readings, fresh)
}

// confidence is the mean of r's words, each counted by its length.
func (r Reading) confidence() float64 {
	sum, n := 0.0, 0
	for _, w := range r.Words {
		sum += w.Confidence * float64(len(w.Text))
		n += len(w.Text)
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// rank puts the reading with the most votes first, the more confident one
// where votes are equal.
func rank(readings []Reading) {
	slices.SortStableFunc(readings, func(a, b Reading) int {
		return cmp.Or(cmp.Compare(b.Votes, a.Votes), cmp.Compare(b.confidence(), a.confidence()))
	})
}
