package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// parts are the components of the English pack, unpacked.
type parts struct{ pack, prefix string }

// unpack takes the English pack apart and writes its network as floats to
// PREFIXfloat.lstm.
func unpack(ctx context.Context, pack, work, name string) (parts, error) {
	p := parts{pack: pack, prefix: filepath.Join(work, name+".")}
	if _, _, err := run(ctx, "combine_tessdata", "-u", pack, p.prefix); err != nil {
		return p, err
	}
	data, err := os.ReadFile(p.prefix + "lstm")
	if err != nil {
		return p, err
	}
	n, err := readNetwork(data)
	if err != nil {
		return p, fmt.Errorf("%s: %w", pack, err)
	}
	return p, os.WriteFile(p.float(), n.bytes(), 0o644)
}

func (p parts) float() string { return p.prefix + "float.lstm" }

// charset gives the single characters the model can write.
func (p parts) charset() (string, error) {
	data, err := os.ReadFile(p.prefix + "lstm-unicharset")
	if err != nil {
		return "", err
	}
	var b strings.Builder
	for line := range strings.Lines(string(data)) {
		if c, _, _ := strings.Cut(line, " "); len([]rune(c)) == 1 {
			b.WriteString(c)
		}
	}
	return b.String(), nil
}

// round is one stretch of training: so many lines at one learning rate.
type round struct {
	lines int
	rate  float64
}

// schedule divides the iterations into rounds. The learning rate falls early:
// on the held-out lines the fall from 0.0008 to 0.0003 alone took away a third
// of the wrong amounts.
func schedule(iterations, length int) []round {
	var rounds []round
	for done := 0; done < iterations; {
		at := float64(done) / float64(iterations)
		rate := 0.0008
		switch {
		case at >= 0.9:
			rate = 0.00005
		case at >= 0.75:
			rate = 0.0001
		case at >= 0.5:
			rate = 0.0002
		case at >= 0.3:
			rate = 0.0004
		}
		n := min(length, iterations-done)
		done += n
		rounds = append(rounds, round{n, rate})
	}
	return rounds
}

// trainer trains round by round and keeps the model that reads the held-out
// lines best.
type trainer struct {
	work   string
	parts  parts
	set    []string // the training files, those that come next first
	resume bool     // go on behind the rounds that work has
	checks []check  // the held-out lines
	log    io.Writer
	out    string
	best   float64
	floats []string // the float networks of the stage's rounds so far
}

// train runs the rounds of a stage, each on lines of its own, and leaves the best
// model of those that are judged, which are the ones from judged on, in t.out.
func (t *trainer) train(ctx context.Context, stage, from string, rounds []round, judged int) error {
	for n, r := range rounds {
		start := time.Now()
		name := filepath.Join(t.work, fmt.Sprintf("%s-%02d", stage, n+1))
		// lstmtraining counts lines and iterations from nought whenever it is
		// given a new learning rate, so each round must bring its own lines.
		list := name + ".list"
		if err := os.WriteFile(list, []byte(strings.Join(t.next(r.lines), "\n")+"\n"), 0o644); err != nil {
			return err
		}
		if float := name + ".float"; t.resume && exists(float) {
			from = name + "_checkpoint"
			t.floats = append(t.floats, float)
			fmt.Fprintf(t.log, "round %d is there\n", n+1)
			continue
		}
		_, errs, err := run(ctx, "lstmtraining", "--traineddata", t.parts.pack, "--continue_from", from,
			"--reset_learning_rate", "--learning_rate", fmt.Sprint(r.rate), "--model_output", name,
			"--train_listfile", list, "--max_iterations", fmt.Sprint(r.lines), "--target_error_rate", "0.001")
		if err != nil {
			return err
		}
		from = name + "_checkpoint"
		fmt.Fprintf(t.log, "round %d: %d lines, rate %g, %.0f s; %s\n", n+1, r.lines, r.rate, time.Since(start).Seconds(), progress(errs))
		if n >= judged {
			model, err := t.runtime(ctx, from, name)
			if err != nil {
				return err
			}
			if err := t.offer(ctx, model); err != nil {
				return err
			}
		}
		float := name + ".float"
		if _, _, err := run(ctx, "lstmtraining", "--stop_training", "--traineddata", t.parts.pack,
			"--continue_from", from, "--model_output", float); err != nil {
			return err
		}
		t.floats = append(t.floats, float)
	}
	return nil
}

// next are the files of the next lines; when all were used the first come again.
func (t *trainer) next(lines int) []string {
	n := min(len(t.set), (lines+perFile-1)/perFile)
	files := slices.Clone(t.set[:n])
	t.set = append(t.set[n:], files...)
	return files
}

func exists(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}

// progress is what lstmtraining said last about its error.
func progress(log []byte) string {
	at := strings.LastIndex(string(log), "At iteration")
	if at < 0 {
		return ""
	}
	line, _, _ := strings.Cut(string(log[at:]), "\n")
	return line
}

// averaged makes a model of the mean of the last n rounds and offers it.
func (t *trainer) averaged(ctx context.Context, n int) error {
	var ns []*network
	for _, f := range t.floats[max(0, len(t.floats)-n):] {
		prefix := f + "."
		if _, _, err := run(ctx, "combine_tessdata", "-u", f, prefix); err != nil {
			return err
		}
		data, err := os.ReadFile(prefix + "lstm")
		if err != nil {
			return err
		}
		net, err := readNetwork(data)
		if err != nil {
			return err
		}
		ns = append(ns, net)
	}
	mean, err := average(ns)
	if err != nil {
		return err
	}
	name := filepath.Join(t.work, fmt.Sprintf("mean-%d", n))
	if err := os.WriteFile(name+".lstm", mean.bytes(), 0o644); err != nil {
		return err
	}
	model, err := t.runtime(ctx, name+".lstm", name)
	if err != nil {
		return err
	}
	fmt.Fprintf(t.log, "mean of the last %d rounds\n", n)
	return t.offer(ctx, model)
}

// runtime turns a checkpoint into a model of whole numbers without
// dictionaries: on a receipt they change good readings into words.
func (t *trainer) runtime(ctx context.Context, checkpoint, name string) (string, error) {
	full := name + ".full"
	if _, _, err := run(ctx, "lstmtraining", "--stop_training", "--convert_to_int", "--traineddata", t.parts.pack,
		"--continue_from", checkpoint, "--model_output", full); err != nil {
		return "", err
	}
	prefix := name + ".parts/x."
	if err := os.MkdirAll(filepath.Dir(prefix), 0o755); err != nil {
		return "", err
	}
	if _, _, err := run(ctx, "combine_tessdata", "-u", full, prefix); err != nil {
		return "", err
	}
	for _, dawg := range []string{"lstm-punc-dawg", "lstm-word-dawg", "lstm-number-dawg"} {
		if err := os.Remove(prefix + dawg); err != nil && !os.IsNotExist(err) {
			return "", err
		}
	}
	if _, _, err := run(ctx, "combine_tessdata", prefix); err != nil {
		return "", err
	}
	return prefix + "traineddata", nil
}

// offer measures model on the held-out lines and takes it if it is the best.
func (t *trainer) offer(ctx context.Context, model string) error {
	value, err := t.judge(ctx, model, wholeLine)
	if err != nil || value <= t.best {
		return err
	}
	t.best = value
	fmt.Fprintln(t.log, "  the best so far")
	return replace(model, t.out)
}

// judge measures model on all checks. The more the better; amounts count twice.
func (t *trainer) judge(ctx context.Context, model string, psm int) (value float64, err error) {
	for _, c := range t.checks {
		got, err := c.measure(ctx, model, t.work, psm)
		if err != nil {
			return 0, err
		}
		value += 2*got.amounts.F1() + got.words.F1()
		fmt.Fprintf(t.log, "  %s: %s\n", c.name, got)
	}
	return value, nil
}

// replace copies from to to in one step, so that nobody reads half a model.
func replace(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	if err := os.WriteFile(to+".new", data, 0o644); err != nil {
		return err
	}
	return os.Rename(to+".new", to)
}
