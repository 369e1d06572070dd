package main

import (
	"context"
	"fmt"
	"image"
)

// check is a set of line pictures with their text, read to judge a model.
type check struct {
	name  string
	imgs  []*image.Gray
	texts []string
}

// result is how well the lines of a check were read.
type result struct {
	words, amounts tally
	lines          tally // whole lines, blanks and case included
}

func (r result) String() string {
	return fmt.Sprintf("words F1 %.3f, amounts R %.3f P %.3f F1 %.3f, whole lines %.3f",
		r.words.f1(), r.amounts.recall(), r.amounts.precision(), r.amounts.f1(), r.lines.recall())
}

// add puts one line into c.
func (c *check) add(img *image.Gray, text string) {
	c.imgs = append(c.imgs, img)
	c.texts = append(c.texts, text)
}

// measure reads all lines with the model.
func (c check) measure(ctx context.Context, model, work string) (result, error) {
	var r result
	read, err := readAll(ctx, model, work, wholeLine, c.imgs)
	if err != nil {
		return r, err
	}
	for i, text := range read {
		r.words.add(multiset(words(text), words(c.texts[i])))
		r.amounts.add(multiset(amounts(text), amounts(c.texts[i])))
		r.lines.add(multiset([]string{text}, []string{c.texts[i]}))
	}
	return r, nil
}
