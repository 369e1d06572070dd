// Package ocr turns a photo of a till receipt into lines of words.
//
// The way through it is one direction: an image is decoded and turned upright
// (load), the paper is found on its background, flattened and evenly lit
// (prepare), text lines are found with both their ends (lines), and an Engine
// reads each line. The result, Page, says nothing about any engine: Tesseract
// lives in the leaf ocr/tesseract, recorded readings in ocr/replay. This
// package itself is pure Go without files, network or clock.
package ocr

import (
	"context"
	"image"
)

// Box is a rectangle in pixels of the upright photo: left, top, width, height.
type Box struct{ X, Y, W, H int }

// Page is all that was read in one photo, or in one text file.
type Page struct {
	// Photo counts the photos of one receipt from 1, top to bottom.
	Photo int
	// Text says that the page is text as a program wrote it, not print that was
	// read: every character of it is certain.
	Text bool
	// Width and Height are those of the upright photo in pixels.
	Width, Height int
	// Turn is how many quarter turns clockwise bring the photo, as the camera's
	// own note turns it, upright.
	Turn int
	// Way is the Options.Way in which the photo was read.
	Way int `json:",omitempty"`
	// Lines run from the top of the paper to its bottom. A line that was seen
	// and could not be read is there too, with no readings.
	Lines []Line
	// Top and Bottom say whether the paper's end is in the picture and the
	// text beside it was read: the contract's `complete`.
	Top, Bottom bool
	// Gap says that it is not known how this page follows the one before: lines
	// between them may be missing, or stand in both.
	Gap bool
	// Taken is when the camera says that it took the photo ("2006:01:02
	// 15:04:05"), empty where it does not.
	Taken string
	// Advice is what a person should do so that the next photo reads better
	// ("hold closer: …"), empty for a good photo.
	Advice []string
	// Papers are the papers that seem to lie in the photo, where that are several:
	// each can be read by itself with Options.Paper. Paper is the one that this
	// page is of, nil where the photo was read as a whole.
	Papers []Sheet `json:"-"`
	Paper  *Sheet  `json:",omitempty"`
	// Others counts further papers in the photo of which whoever reads it found no
	// receipt to read: Advice then says so.
	Others int `json:",omitempty"`

	kept *kept
}

// Line is one printed line. Name and amount stand in the same Line however far
// apart they are printed.
type Line struct {
	Box Box
	// Photo is the photo it was read from, counted from 1.
	Photo int
	// Tall is how high its print stands on the flattened paper, in pixels of that, 0 where
	// it is not known: the box of a slanting line is higher the longer the line is.
	Tall int `json:",omitempty"`
	// Readings are the differing ways in which the line was read, the best
	// first; none where the line was seen and could not be read.
	Readings []Reading
}

// Reading is one way to read a line.
type Reading struct {
	// Words run left to right.
	Words []Word
	// Votes counts the preparations of the line (heights, blurs) that gave this
	// very text; 1 also where it was put together of the words that most of
	// them agree on.
	Votes int
	// Own says that the digits of its last amount are those that they are most like among
	// the receipt's other amounts (Word.Digits): no engine read it so.
	Own bool `json:",omitempty"`
}

// Word is a run of print without white space.
type Word struct {
	Text string
	Box  Box
	// Confidence is the engine's, from 0 (none) to 1 (certain).
	Confidence float64
	// Votes counts the preparations of the line that gave this very text at
	// this place.
	Votes int
	// Alternatives are other readings of the whole word made of the engine's
	// runners-up for single characters, cheapest first.
	Alternatives []Alternative

	// Digits has for each digit of the word's last amount, left to right, what each of the
	// ten digits costs there, 0 for the one that the receipt's own are most like; nil where
	// they were not compared.
	Digits [][10]float64 `json:",omitempty"`

	// FlatFrom and FlatTo are its ends in pixels of the flattened paper, 0 where that is not known,
	// as of a page that was kept.
	FlatFrom, FlatTo float64 `json:"-"`
}

// Alternative is another reading of a word.
type Alternative struct {
	Text string
	// Cost is the natural logarithm of how much likelier the engine finds the
	// reading that won: 0 for a tie, 4.6 for a hundred times likelier.
	Cost float64
}

// Text joins the words of r with single spaces.
func (r Reading) Text() string {
	n := 0
	for _, w := range r.Words {
		n += len(w.Text) + 1
	}
	b := make([]byte, 0, n)
	for i, w := range r.Words {
		if i > 0 {
			b = append(b, ' ')
		}
		b = append(b, w.Text...)
	}
	return string(b)
}

// Text is the best reading of l, "" where it could not be read.
func (l Line) Text() string {
	if len(l.Readings) == 0 {
		return ""
	}
	return l.Readings[0].Text()
}

// Crop is the picture of one line, cut from the flattened paper, black print
// on white, and the way back from its pixels to the photo's.
type Crop struct {
	Image *image.Gray
	// ToPhoto maps a box of the crop to the upright photo.
	ToPhoto func(Box) Box
}

// Engine reads the pictures of single lines.
type Engine interface {
	// ReadLines reads each crop and returns its words, with boxes in pixels of
	// the crop; an empty list of words where there is no text. It fails as a
	// whole only where the engine cannot run at all, or ctx ends.
	ReadLines(ctx context.Context, crops []*image.Gray) ([][]Word, error)
}
