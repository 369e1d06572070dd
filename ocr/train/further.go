package main

import (
	"context"
	"fmt"
	"image"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"

	"tillproof/fixtures/wear"
)

// lesson is a later stage: a model that knows till print learns it as photos show
// it. Real and invented lines stay in the mix, or it would forget scans.
type lesson struct {
	name   string
	photos int // invented ones to cut lines from
	shooting
	cut, real, drawn int // of each kind of line at most so many
	touched          bool
	rounds           []round
}

// lessons are the later stages. A model made from the English one ends with the first; those
// that -lessons names are what a model given by -from goes on with. After the hard lines
// come scans again, among as many photos: with too few of them it forgets them.
var lessons = []lesson{
	{
		name: "photos", photos: 600, shooting: mixed, cut: 20000, real: 30000, drawn: 12000,
		rounds: []round{
			{5000, 0.0003}, {5000, 0.0003}, {5000, 0.0002}, {5000, 0.0002}, {5000, 0.0002},
			{5000, 0.0001}, {5000, 0.0001}, {5000, 0.0001}, {5000, 0.00005}, {5000, 0.00005},
		},
	},
	{
		name: "hard", photos: 320, shooting: mostlyHard, cut: 28000, real: 18000, drawn: 8000, touched: true,
		rounds: []round{
			{5000, 0.0003}, {5000, 0.0002}, {5000, 0.0002}, {5000, 0.0002}, {5000, 0.0001}, {5000, 0.0001},
			{5000, 0.0001}, {5000, 0.00005}, {5000, 0.00005}, {5000, 0.00005},
		},
	},
	{
		name: "both", photos: 360, shooting: mostlyHard, cut: 30000, real: 42000, drawn: 10000, touched: true,
		rounds: []round{
			{5500, 0.0003}, {5500, 0.0002}, {5500, 0.0002}, {5500, 0.0002}, {5500, 0.0001}, {5500, 0.0001}, {5500, 0.0001},
			{5500, 0.0001}, {5500, 0.00005}, {5500, 0.00005}, {5500, 0.00003}, {5500, 0.00003},
		},
	},
}

// mostlyHard has two thirds of the photos hard.
var mostlyHard = shooting{levels: []wear.Level{
	wear.Hard, wear.Hard, wear.Hard, wear.Hard, wear.Hard, wear.Hard, wear.Hard, wear.Hard,
	wear.Ordinary, wear.Ordinary, wear.Ordinary, wear.Easy,
}, several: true}

// namedLessons are the places in lessons of those that names, divided by commas, name.
func namedLessons(names string) (all []int, err error) {
	for name := range strings.SplitSeq(names, ",") {
		n := slices.IndexFunc(lessons, func(l lesson) bool { return l.name == name })
		if n < 0 {
			return nil, fmt.Errorf("there is no lesson %q: name photos, hard, both, or several divided by commas", name)
		}
		all = append(all, n)
	}
	return all, nil
}

const (
	photosHeld = 30 // photos that judge the rounds
	meaned     = 3  // the last rounds of a lesson, whose mean is kept
)

// photoCheck is what judges the later stages beside the other checks.
func (t *trainer) photoCheck(ctx context.Context, pr printer, seed uint64) error {
	held, err := pr.photoLines(ctx, photosHeld, mixed, ^seed)
	if err != nil {
		return err
	}
	c := check{name: "lines of invented photos"}
	for _, s := range slices.Concat(held...) {
		c.add(s.img, s.text)
	}
	t.checks = append(t.checks, c)
	return nil
}

// further lets the model o.from learn lesson n, and leaves what comes of it in
// t.out.
func (t *trainer) further(ctx context.Context, n int, clean []crop, pr printer, o options) error {
	l := lessons[n]
	from, err := unpack(ctx, o.from, o.work, "from-"+l.name)
	if err != nil {
		return err
	}
	fmt.Fprintln(t.log, "the model so far")
	if _, err = t.judge(ctx, o.from, wholeLine); err != nil {
		return err
	}
	seed := o.seed + uint64(n)
	groups, err := pr.photoLines(ctx, l.photos, l.shooting, seed)
	if err != nil {
		return err
	}
	rng := rand.New(rand.NewPCG(seed, 2))
	rng.Shuffle(len(groups), func(i, j int) { groups[i], groups[j] = groups[j], groups[i] })
	cut, err := legible(ctx, firstOf(groups, l.cut), o.from, o.work)
	if err != nil {
		return err
	}
	jobs := realJobs(clean)
	rng.Shuffle(len(jobs), func(i, j int) { jobs[i], jobs[j] = jobs[j], jobs[i] })
	jobs = append(jobs[:min(l.real, len(jobs))], pr.drawnJobs(l.drawn)...)
	for _, s := range cut {
		if l.touched {
			jobs = append(jobs, func(rng *rand.Rand) sample { return sample{touched(s.img, rng), s.text} })
		} else {
			jobs = append(jobs, func(*rand.Rand) sample { return s })
		}
	}
	fmt.Fprintf(t.log, "%d lines, %d of them from photos\n", len(jobs), len(cut))
	if t.set, err = writeSet(filepath.Join(o.work, l.name), jobs, len(jobs), seed); err != nil {
		return err
	}
	t.floats = nil
	if err := t.train(ctx, l.name, from.float(), l.rounds, max(0, len(l.rounds)-meaned)); err != nil {
		return err
	}
	// A single round may read as well and still give up on a clear line now and then;
	// their mean is steadier, and is taken whatever the held-out lines say.
	t.best = 0
	return t.averaged(ctx, meaned)
}

// firstOf gives groups of lines as long as they hold no more than most together.
func firstOf(groups [][]sample, most int) [][]sample {
	for i, g := range groups {
		if most -= len(g); most < 0 {
			return groups[:i]
		}
	}
	return groups
}

// legible leaves out the lines that the model reads as something else
// altogether: there nobody can read, or the picture is of another line. One
// picture speaks for all of its line.
func legible(ctx context.Context, groups [][]sample, model, work string) ([]sample, error) {
	imgs := make([]*image.Gray, len(groups))
	for i, g := range groups {
		imgs[i] = g[0].img
	}
	texts, err := readAll(ctx, model, work, wholeLine, imgs)
	if err != nil {
		return nil, err
	}
	var kept []sample
	for i, g := range groups {
		if _, wrong := withCase(g[0].text, texts[i]); wrong <= illegible {
			kept = append(kept, g...)
		}
	}
	return kept, nil
}

// illegible is the share of letters misread from which a line is not learnt from.
const illegible = 0.5
