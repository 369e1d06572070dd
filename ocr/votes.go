package ocr

import (
	"cmp"
	"context"
	"image"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"tillproof/ocr/lines"
	"tillproof/ocr/raster"
)

// tallies are the heights in pixels at which a line is read, one after the other
// while they differ: at one height alone one amount in twenty is misread, and
// mostly not the same.
var tallies = [...]int{40, 32, 48}

// sure is the confidence from which one reading of a line without a number is
// enough.
const sure = 0.88

// reader reads the lines of one flat paper.
type reader struct {
	engine  Engine
	flat    *image.Gray
	strips  []lines.Strip
	toPhoto mapping

	readings [][]Reading
}

// first reads every line once.
func (r *reader) first(ctx context.Context) error {
	r.readings = make([][]Reading, len(r.strips))
	all := make([]int, len(r.strips))
	for i := range all {
		all[i] = i
	}
	return r.read(ctx, all, tallies[0])
}

// rest reads again the lines that carry a number or were read with doubt, once
// more those that differ, and ranks the readings of each line.
func (r *reader) rest(ctx context.Context) error {
	var todo []int
	for i, readings := range r.readings {
		// A table's grain is not read three times over.
		if !settled(readings) && (len(readings) > 0 && judge(r.strips[i], readings) == isPrint || r.strips[i].Regular) {
			todo = append(todo, i)
		}
	}
	for _, tall := range tallies[1:] {
		if err := r.read(ctx, todo, tall); err != nil {
			return err
		}
		todo = slices.DeleteFunc(todo, func(i int) bool { return len(r.readings[i]) == 1 && r.readings[i][0].Votes > 1 })
	}
	for i, readings := range r.readings {
		r.readings[i] = rank(whole(readings, r.strips[i].Letters))
	}
	return nil
}

// whole leaves out the readings that gave up after a part of the line's letters, where
// another has nearly all.
func whole(readings []Reading, letters int) []Reading {
	size := func(r Reading) (n int) {
		for _, w := range r.Words {
			n += utf8.RuneCountInString(w.Text)
		}
		return n
	}
	if !slices.ContainsFunc(readings, func(r Reading) bool { return 10*size(r) >= 8*letters }) {
		return readings
	}
	return slices.DeleteFunc(readings, func(r Reading) bool { return 2*size(r) < letters })
}

// read reads some of the lines at one height; the readings of a line come grouped
// by text.
func (r *reader) read(ctx context.Context, which []int, tall int) error {
	crops := make([]*image.Gray, len(which))
	frames := make([]lines.Frame, len(which))
	var wg sync.WaitGroup
	for half := range 2 {
		wg.Go(func() {
			for k := half; k < len(which); k += 2 {
				crops[k], frames[k] = r.strips[which[k]].Cut(r.flat, tall)
			}
		})
	}
	wg.Wait()
	words, err := r.engine.ReadLines(ctx, crops)
	if err != nil {
		return err
	}
	for k, i := range which {
		if len(words[k]) == 0 {
			continue
		}
		line := mend(words[k], frames[k].Gaps())
		for n := range line {
			r.toPhoto.place(frames[k], &line[n])
		}
		r.readings[i] = vote(r.readings[i], line)
	}
	return nil
}

// overhead reports whether the lines read better upside down. It asks only
// where they read badly, and tries the lines that look most like print.
func (r *reader) overhead(ctx context.Context) (bool, error) {
	const enough, tries = 0.7, 8
	if mean(r.readings) >= enough {
		return false, nil
	}
	var order []int
	for i := range r.strips {
		if len(r.readings[i]) == 0 || !isRule(r.readings[i][0].Text()) {
			order = append(order, i)
		}
	}
	if len(order) == 0 {
		return false, nil // nothing but rules
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(r.strips[b].Letters, r.strips[a].Letters) })
	order = order[:min(len(order), tries)]
	var crops []*image.Gray
	var asIs [][]Reading
	for _, i := range order {
		crop, _ := r.strips[i].Cut(r.flat, tallies[0])
		crops = append(crops, raster.Turn(crop, 2))
		asIs = append(asIs, r.readings[i])
	}
	words, err := r.engine.ReadLines(ctx, crops)
	if err != nil {
		return false, err
	}
	var turned [][]Reading
	for _, w := range words {
		turned = append(turned, []Reading{{Words: w}})
	}
	// Print that can hardly be read either way differs by less, but by as much of what was read.
	better, was := mean(turned), mean(asIs)
	return better > 0.1 && better > was+min(0.1, was/2), nil
}

// isRule reports whether a text is one sign repeated, and another at most: a rule of stars reads
// alike either way up.
func isRule(text string) bool {
	signs := map[rune]int{}
	n := 0
	for _, r := range text {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			return false
		case r != ' ':
			signs[r]++
			n++
		}
	}
	return n >= 8 && len(signs) <= 2
}

// mean is the mean confidence of the lines' first readings, each counted by
// its length.
func mean(lines [][]Reading) float64 {
	sum, n := 0.0, 0.0
	for _, r := range lines {
		if len(r) == 0 {
			n += 4 // a line that does not read at all counts too
			continue
		}
		long := float64(len(r[0].Text()))
		sum += r[0].confidence() * long
		n += long
	}
	return sum / max(n, 1)
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
// where votes are equal. Where no text has most votes, a reading goes first
// whose every word most preparations agree on at its place.
func rank(readings []Reading) []Reading {
	if len(readings) == 0 {
		return nil
	}
	total := 0
	for _, r := range readings {
		total += r.Votes
	}
	countWords(readings)
	slices.SortStableFunc(readings, func(a, b Reading) int {
		return cmp.Or(cmp.Compare(b.Votes, a.Votes), cmp.Compare(b.confidence(), a.confidence()))
	})
	if 2*readings[0].Votes > total {
		return readings
	}
	best := compose(readings)
	for i, r := range readings {
		if r.Text() == best.Text() {
			return append(append([]Reading{r}, readings[:i]...), readings[i+1:]...)
		}
	}
	return append([]Reading{best}, readings...)
}

// countWords counts for each word the preparations that read the same at its
// place.
func countWords(readings []Reading) {
	for _, r := range readings {
		for i := range r.Words {
			w := &r.Words[i]
			w.Votes = 0
			for _, other := range readings {
				if v, ok := other.at(w.Box); ok && v.Text == w.Text {
					w.Votes += other.Votes
				}
			}
		}
	}
}

// at is the word of r that stands in the place of box and nowhere else.
func (r Reading) at(box Box) (Word, bool) {
	for _, w := range r.Words {
		across := min(w.Box.X+w.Box.W, box.X+box.W) - max(w.Box.X, box.X)
		if 10*across > 6*max(w.Box.W, box.W) {
			return w, true
		}
	}
	return Word{}, false
}

// compose takes the most confident reading and puts, word by word, what more
// preparations read at that place. No preparation gave this very text, so that
// it counts one vote.
func compose(readings []Reading) Reading {
	base := readings[0]
	out := Reading{Votes: 1}
	for _, w := range base.Words {
		for _, other := range readings[1:] {
			if v, ok := other.at(w.Box); ok && v.Votes > w.Votes {
				w = v
			}
		}
		out.Words = append(out.Words, w)
	}
	return out
}
