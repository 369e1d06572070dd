// Command train makes the line model of package ocr/model from Debian's
// English one, with Tesseract's own training programs. Read trainer.train
// first; samples.go says what it learns from, network.go how an integer model
// becomes one that can be trained further.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
)

// options are the command's flags.
type options struct {
	data, work, out, pack, eval, from, lessons string
	seed                                       uint64
	iterations, psm                            int
	heights                                    string
	verbose, resume                            bool
}

func main() {
	var o options
	flag.StringVar(&o.data, "data", "", "folder with sroie-lines.zip (training) or sroie/ (-eval)")
	flag.StringVar(&o.work, "work", "", "folder for intermediate files (about 2 GB), kept; default: one that is removed at the end")
	flag.StringVar(&o.out, "out", "receipts.traineddata", "the model to write")
	flag.StringVar(&o.pack, "pack", "/usr/share/tesseract-ocr/5/tessdata/eng.traineddata", "the English pack to start from")
	flag.StringVar(&o.from, "from", "", "a model made by this command: it goes on with the -lessons")
	flag.StringVar(&o.lessons, "lessons", "photos", "what is learnt after the first stage, or from the model of -from: photos, hard, both, or several divided by commas")
	flag.StringVar(&o.eval, "eval", "", "measure this model (several: joined by commas) on the true boxes of sroie/ instead of training")
	flag.StringVar(&o.heights, "heights", "40", "with -eval: heights of the boxes in pixels; of several (32,40,48) the text read most often counts")
	flag.IntVar(&o.psm, "psm", wholeLine, "with -eval: page segmentation mode, 13 (the picture as it is) or 7")
	flag.BoolVar(&o.verbose, "v", false, "with -eval: print each box that was read differently")
	flag.Uint64Var(&o.seed, "seed", 1, "seed of all random choices")
	flag.BoolVar(&o.resume, "resume", false, "go on where training stopped that was started with the same -work, -seed and -iterations")
	flag.IntVar(&o.iterations, "iterations", 75000, "training iterations, one line each")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := start(ctx, o, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "train:", err)
		os.Exit(1)
	}
}

func start(ctx context.Context, o options, log io.Writer) error {
	if o.data == "" {
		return errors.New("no data: name the folder with the receipts by -data")
	}
	if o.work == "" {
		dir, err := os.MkdirTemp("", "train")
		if err != nil {
			return err
		}
		defer os.RemoveAll(dir)
		o.work = dir
	}
	if err := os.MkdirAll(o.work, 0o755); err != nil {
		return err
	}
	if o.eval != "" {
		return evaluate(ctx, o, log)
	}
	return trainModel(ctx, o, log)
}

// roundsAll is how many rounds the training is cut into, and drawnHeldOut how
// many invented lines stand beside the real ones that judge each round.
const (
	roundsAll    = 10
	drawnHeldOut = 500
)

// realShare to inventedShare is the mix that is learnt from. With as many
// invented lines as real ones the model read real receipts worse.
const (
	realShare     = 3
	inventedShare = 2
)

// trainModel writes the lines to learn from, trains round by round, and tries
// the means of the last rounds too.
func trainModel(ctx context.Context, o options, log io.Writer) error {
	next, err := namedLessons(o.lessons)
	if err != nil {
		return err
	}
	p, err := unpack(ctx, o.pack, o.work, "eng")
	if err != nil {
		return err
	}
	crops, err := loadCrops(filepath.Join(o.data, "sroie-lines.zip"))
	if err != nil {
		return err
	}
	known, unseen := split(crops)
	pr, missing := newPrinter()
	fmt.Fprintf(log, "%d real lines to learn from, %d of other shops held out; %d fonts", len(known), len(unseen), len(pr.fonts))
	if len(missing) > 0 {
		fmt.Fprintf(log, "; for more install %s", strings.Join(missing, " "))
	}
	fmt.Fprintln(log)
	t := &trainer{work: o.work, parts: p, log: log, out: o.out, resume: o.resume, checks: []check{heldOutLines(unseen), pr.check(drawnHeldOut, o.seed)}}
	clean, err := t.believed(ctx, known, o)
	if err != nil {
		return err
	}
	if o.from == "" {
		fmt.Fprintln(log, "the stock model, for comparison")
		if _, err := t.judge(ctx, o.pack, findLine); err != nil {
			return err
		}
		if err := t.collect(clean, pr, o); err != nil {
			return err
		}
		if err := t.train(ctx, "round", p.float(), schedule(o.iterations, max(1, o.iterations/roundsAll)), 0); err != nil {
			return err
		}
		for _, n := range []int{2, 3, 4} {
			if err := t.averaged(ctx, n); err != nil {
				return err
			}
		}
		o.from = o.out
	}
	if err := t.photoCheck(ctx, pr, o.seed); err != nil {
		return err
	}
	for _, n := range next {
		if err := t.further(ctx, n, clean, pr, o); err != nil {
			return err
		}
		o.from = o.out
	}
	return nil
}

// believed are the real lines whose labels the stock model does not contradict.
func (t *trainer) believed(ctx context.Context, crops []crop, o options) ([]crop, error) {
	charset, err := t.parts.charset()
	if err != nil {
		return nil, err
	}
	clean, err := cleaned(ctx, crops, o.pack, o.work, charset)
	fmt.Fprintf(t.log, "%d of %d labels believed\n", len(clean), len(crops))
	return clean, err
}

// collect writes the training set: real lines and invented ones.
func (t *trainer) collect(clean []crop, pr printer, o options) (err error) {
	jobs := realJobs(clean)
	fmt.Fprintf(t.log, "%d real lines and rows, %d invented\n", len(jobs), len(jobs)*inventedShare/realShare)
	jobs = append(jobs, pr.drawnJobs(len(jobs)*inventedShare/realShare)...)
	t.set, err = writeSet(filepath.Join(o.work, "set"), jobs, o.iterations, o.seed)
	return err
}

// split parts the crops into those to learn from and those of other shops.
func split(crops []crop) (known, unseen []crop) {
	shop := shops(crops)
	for _, c := range crops {
		if heldOut(shop[c.receipt]) {
			unseen = append(unseen, c)
		} else {
			known = append(known, c)
		}
	}
	return known, unseen
}

// heldOutLines prepares lines as the reader does.
func heldOutLines(crops []crop) check {
	c := check{name: "unseen shops"}
	for _, x := range crops {
		c.add(prepared(x.img, x.img.Rect.Dy()), x.text)
	}
	return c
}
