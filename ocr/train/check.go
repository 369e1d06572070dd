package main

import (
	"context"
	"fmt"
	"image"

	"tillproof/fixtures/score/measure"
)

// check is a set of line pictures with their text, read to judge a model.
type check struct {
	name  string
	imgs  []*image.Gray
	texts []string
}

// result is how well the lines of a check were read.
type result struct {
	words, amounts measure.Count
	lines          measure.Count // whole lines, blanks and case included
}

func (r result) String() string {
	return fmt.Sprintf("words F1 %.3f, amounts R %.3f P %.3f F1 %.3f, whole lines %.3f",
		r.words.F1(), r.amounts.Recall(), r.amounts.Precision(), r.amounts.F1(), r.lines.Recall())
}

// add puts one line into c.
func (c *check) add(img *image.Gray, text string) {
	c.imgs = append(c.imgs, img)
	c.texts = append(c.texts, text)
}

// measure reads all lines with the model.
func (c check) measure(ctx context.Context, model, work string, psm int) (result, error) {
	var r result
	read, err := readAll(ctx, model, work, psm, c.imgs)
	if err != nil {
		return r, err
	}
	for i, text := range read {
		r.words.Add(measure.Words(c.texts[i], text))
		r.amounts.Add(measure.Amounts(c.texts[i], text))
		r.lines.Add(measure.Multisets([]string{c.texts[i]}, []string{text}))
	}
	return r, nil
}
