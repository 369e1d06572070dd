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
)

// options are the command's flags.
type options struct {
	data, work, out, pack, eval string
	seed                        uint64
	iterations                  int
}

func main() {
	var o options
	flag.StringVar(&o.data, "data", "", "folder with sroie-lines.zip (training) or sroie/ (-eval)")
	flag.StringVar(&o.work, "work", "", "folder for intermediate files (about 3 GB)")
	flag.StringVar(&o.out, "out", "receipts.traineddata", "the model to write")
	flag.StringVar(&o.pack, "pack", "/usr/share/tesseract-ocr/5/tessdata/eng.traineddata", "the English pack to start from")
	flag.StringVar(&o.eval, "eval", "", "measure this model on the true boxes of sroie/ instead of training")
	flag.Uint64Var(&o.seed, "seed", 1, "seed of all random choices")
	flag.IntVar(&o.iterations, "iterations", 100000, "training iterations, one line each")
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

func trainModel(ctx context.Context, o options, log io.Writer) error {
	p, err := unpack(ctx, o.pack, o.work)
	if err != nil {
		return err
	}
	charset, err := p.charset()
	if err != nil {
		return err
	}
	crops, err := loadCrops(filepath.Join(o.data, "sroie-lines.zip"))
	if err != nil {
		return err
	}
	known, unseen := split(crops)
	t := &trainer{work: o.work, parts: p, log: log, out: o.out, check: heldOutLines(unseen)}
	fmt.Fprintf(log, "%d real lines to learn from, %d of other shops held out\n", len(known), len(unseen))
	clean, err := cleaned(ctx, known, o.pack, o.work, charset, 0.6)
	if err != nil {
		return err
	}
	if t.list, err = writeSet(filepath.Join(o.work, "set-1"), lineJobs(clean), o.seed); err != nil {
		return err
	}
	if err := t.offer(ctx, o.pack); err != nil {
		return err
	}
	t.best = 0 // the stock model is only for comparison
	if _, err = t.train(ctx, p.float(), schedule(o.iterations, max(1, min(6000, o.iterations)))); err != nil {
		return err
	}
	for _, n := range []int{2, 3, 5} {
		if err := t.averaged(ctx, n); err != nil {
			return err
		}
	}
	return nil
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
	var c check
	for _, x := range crops {
		c.add(padded(stretch(x.img), border, border, border, border, 255), x.text)
	}
	return c
}

// lineJobs are all lines to learn from.
func lineJobs(crops []crop) []job { return realJobs(crops) }

func evaluate(ctx context.Context, o options, log io.Writer) error { return nil }
