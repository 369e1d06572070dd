package worker

import (
	"context"
	"errors"
	"fmt"
	"image"
	"os"
	"sync"
	"time"

	"tillproof/ocr"
	builtin "tillproof/ocr/model"
)

// recycleAfter is how many lines a worker reads before a fresh one takes its
// place: Tesseract's C interface leaks a little with each.
const recycleAfter = 3000

// Pool is an ocr.Engine that shares the lines out among worker processes.
type Pool struct {
	path  string // of a model that lies in a file
	model []byte // the embedded one otherwise
	jobs  chan job
	done  sync.WaitGroup
	once  sync.Once

	// The limits of a worker; tests have less patience.
	lineLimit    time.Duration
	recycleAfter int
}

// job is one crop to read and where its words go.
type job struct {
	ctx    context.Context
	op     byte
	crop   *image.Gray
	words  *[]ocr.Word
	failed chan<- error
}

// New starts n workers in the background; model is the path of a
// .traineddata file, "" for the built-in model. That they cannot run shows
// with the first reading. The caller closes the Pool.
func New(n int, model string) (*Pool, error) {
	p := &Pool{path: model, model: builtin.Default(), jobs: make(chan job), lineLimit: lineLimit, recycleAfter: recycleAfter}
	if p.path != "" {
		if _, err := os.Stat(p.path); err != nil {
			return nil, fmt.Errorf("no model to read with: %w; name the path of a .traineddata file", err)
		}
	}
	for range max(n, 1) {
		p.done.Add(1)
		go p.work()
	}
	return p, nil
}

// Close ends the workers.
func (p *Pool) Close() error {
	p.once.Do(func() { close(p.jobs) })
	p.done.Wait()
	return nil
}

// work runs one worker process after the other and feeds it with jobs.
func (p *Pool) work() {
	defer p.done.Done()
	c, err := p.start()
	for j := range p.jobs {
		if j.ctx.Err() != nil {
			j.failed <- j.ctx.Err()
			continue
		}
		if c != nil && c.lines >= p.recycleAfter {
			c.stop()
			c = nil
		}
		c, err = p.read(c, j)
		j.failed <- err
	}
	if c != nil {
		c.stop()
	}
}

// read does one job. A line that ends its worker is tried once more with a
// fresh one; where that ends too the line stays without words. Only that no
// worker starts is an error.
func (p *Pool) read(c *child, j job) (*child, error) {
	for range 2 {
		if c == nil {
			var err error
			if c, err = p.start(); err != nil {
				return nil, err
			}
		}
		words, err := c.read(j.op, j.crop, p.lineLimit)
		if err == nil {
			*j.words = words
			return c, nil
		}
		c.kill()
		c = nil
	}
	return nil, nil
}

// ReadLines reads each crop as one line, all workers at the same time.
func (p *Pool) ReadLines(ctx context.Context, crops []*image.Gray) ([][]ocr.Word, error) {
	return p.spread(ctx, opRead, crops)
}

// ReadDigits reads each crop as one line that holds nothing but an amount.
func (p *Pool) ReadDigits(ctx context.Context, crops []*image.Gray) ([][]ocr.Word, error) {
	return p.spread(ctx, opDigits, crops)
}

func (p *Pool) spread(ctx context.Context, op byte, crops []*image.Gray) ([][]ocr.Word, error) {
	out := make([][]ocr.Word, len(crops))
	failed := make(chan error, len(crops))
	sent := 0
	for i, crop := range crops {
		w, h := crop.Rect.Dx(), crop.Rect.Dy()
		if w < 1 || h < 1 || w > maxSide || h > maxSide || w*h > maxCrop {
			continue // no line of print has that shape
		}
		p.jobs <- job{ctx, op, crop, &out[i], failed}
		sent++
	}
	var errs []error
	for range sent {
		if err := <-failed; err != nil {
			errs = append(errs, err)
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs[0], ctx.Err())
	}
	return out, nil
}
