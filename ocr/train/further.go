package main

import (
	"context"
	"fmt"
	"image"
	"math/rand/v2"
	"path/filepath"
)

// The last stage: a model that knows till print learns it as photos show it.
// Real and invented lines stay in the mix, or it would forget scans.
const (
	photos     = 600   // invented photos to cut lines from
	photosHeld = 30    // and those that judge the rounds
	realLines  = 30000 // of each kind of line so many
	drawnLines = 12000
)

// laterRounds are the rounds of the last stage.
var laterRounds = []round{
	{5000, 0.0003}, {5000, 0.0003}, {5000, 0.0002}, {5000, 0.0002}, {5000, 0.0002},
	{5000, 0.0001}, {5000, 0.0001}, {5000, 0.0001}, {5000, 0.00005}, {5000, 0.00005},
}

// further lets the model o.from learn from lines cut out of photos, and leaves
// the best model in t.out.
func (t *trainer) further(ctx context.Context, clean []crop, pr printer, o options) error {
	from, err := unpack(ctx, o.from, o.work, "from")
	if err != nil {
		return err
	}
	held, err := pr.photoLines(ctx, photosHeld, ^o.seed)
	if err != nil {
		return err
	}
	c := check{name: "lines of invented photos"}
	for _, s := range held {
		c.add(s.img, s.text)
	}
	t.checks = append(t.checks, c)
	fmt.Fprintln(t.log, "the model so far")
	if t.best, err = t.judge(ctx, o.from, wholeLine); err != nil {
		return err
	}
	cut, err := pr.photoLines(ctx, photos, o.seed)
	if err != nil {
		return err
	}
	if cut, err = legible(ctx, cut, o.from, o.work); err != nil {
		return err
	}
	rng := rand.New(rand.NewPCG(o.seed, 2))
	jobs := realJobs(clean)
	rng.Shuffle(len(jobs), func(i, j int) { jobs[i], jobs[j] = jobs[j], jobs[i] })
	jobs = append(jobs[:min(realLines, len(jobs))], pr.drawnJobs(drawnLines)...)
	for _, s := range cut {
		jobs = append(jobs, func(*rand.Rand) sample { return s })
	}
	fmt.Fprintf(t.log, "%d lines, %d of them from photos\n", len(jobs), len(cut))
	if t.set, err = writeSet(filepath.Join(o.work, "photos"), jobs, len(jobs), o.seed); err != nil {
		return err
	}
	t.floats = nil
	if err := t.train(ctx, from.float(), laterRounds); err != nil {
		return err
	}
	// A single round may read as well and still give up on a clear line now and then;
	// their mean is steadier, and is taken whatever the held-out lines say.
	t.best = 0
	return t.averaged(ctx, 3)
}

// legible leaves out what the model reads as something else altogether: there
// nobody can read, or the picture is of another line.
func legible(ctx context.Context, lines []sample, model, work string) ([]sample, error) {
	imgs := make([]*image.Gray, len(lines))
	for i, s := range lines {
		imgs[i] = s.img
	}
	texts, err := readAll(ctx, model, work, wholeLine, imgs)
	if err != nil {
		return nil, err
	}
	var kept []sample
	for i, l := range lines {
		if _, wrong := withCase(l.text, texts[i]); wrong <= illegible {
			kept = append(kept, l)
		}
	}
	return kept, nil
}

// illegible is the share of letters misread from which a line is not learnt from.
const illegible = 0.5
