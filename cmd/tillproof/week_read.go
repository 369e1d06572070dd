package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"tillproof/cmd/intake"
	"tillproof/ledger"
	"tillproof/ocr"
	"tillproof/ocr/worker"
	"tillproof/parse"
	"tillproof/week"

	"github.com/mattn/go-isatty"
)

// readingForm counts the changes to what is kept of a photo: 2 keeps each of
// several receipts, 3 how many papers were not read, 4 no line of a paper beside, 5 the way
// in which it was read.
const readingForm = 5

// reader names what reads photos: what another has read is read again.
func (a *app) reader() string {
	return fmt.Sprintf("%s/%d.%d/%s", version, ocr.PrepVersion, readingForm, a.model)
}

// reading reads the files of one folder into the ledger, each once.
type reading struct {
	a      *app
	l      *ledger.Ledger
	folder string
	keep   bool // the originals too

	pool     *worker.Pool
	poolOnce sync.Once
	poolErr  error

	mu    sync.Mutex
	named []ledger.Named
	asked []week.Aside // files that are not even read
	bar   bar
}

// read reads the files that are not in the ledger yet, as many at a time as
// there are cores. A bad file never stops the others; only a ledger that cannot
// be written, or an interrupt, ends it.
func (b *reading) read(ctx context.Context, names []string) error {
	defer func() {
		if b.pool != nil {
			b.pool.Close()
		}
	}()
	b.named = make([]ledger.Named, len(names))
	b.bar = bar{out: b.a.err, all: len(names), on: isTerminal(b.a.err), start: time.Now()}
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	jobs := make(chan int)
	var wg sync.WaitGroup
	for range runtime.NumCPU() {
		wg.Go(func() {
			for i := range jobs {
				if err := b.one(ctx, i, names[i]); err != nil {
					stop(err)
				}
			}
		})
	}
	for i := range names {
		select {
		case jobs <- i:
			continue
		case <-ctx.Done():
		}
		break
	}
	close(jobs)
	wg.Wait()
	b.bar.end()
	return context.Cause(ctx)
}

// one reads file i, unless the ledger has it. Its error ends the whole.
func (b *reading) one(ctx context.Context, i int, name string) error {
	if ctx.Err() != nil {
		return nil
	}
	label, err := filepath.Rel(b.folder, name)
	if err != nil {
		label = name
	}
	label = filepath.ToSlash(label)
	data, err := b.a.readFile(name, maxPhotoBytes)
	if err != nil {
		b.mu.Lock()
		b.asked = append(b.asked, week.Aside{File: week.File{Name: label}, Why: strings.TrimPrefix(err.Error(), name+": ")})
		b.mu.Unlock()
		b.bar.step(false)
		return nil
	}
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	b.named[i] = ledger.Named{Name: label, SHA256: hash}
	done, err := b.l.HasPhoto(ctx, hash, b.a.reader())
	if err != nil {
		return err
	}
	if !done {
		photo := ledger.Photo{SHA256: hash, Name: label, Path: name, Reader: b.a.reader()}
		photo.Pages, err = b.pages(ctx, name, data)
		if ctx.Err() != nil {
			return nil // not the photo's fault
		}
		if errors.Is(err, worker.ErrNoStart) {
			// Nor is this: the next run reads it.
			b.mu.Lock()
			b.asked = append(b.asked, week.Aside{File: week.File{Name: label}, Why: err.Error() + "; run the same command again"})
			b.named[i] = ledger.Named{}
			b.mu.Unlock()
			b.bar.step(true)
			return nil
		}
		if err != nil {
			photo.Pages, photo.Fault = nil, strings.TrimPrefix(err.Error(), name+": ")
		}
		for _, p := range photo.Pages {
			if photo.Taken == "" {
				photo.Taken = p.Taken
			}
		}
		if b.keep {
			if err := b.l.KeepOriginal(hash, data); err != nil {
				return fmt.Errorf("the original of %s cannot be kept: %w; use --keep=false to do without", label, err)
			}
		}
		if err := b.l.AddPhoto(ctx, photo); err != nil {
			return err
		}
	}
	b.bar.step(!done)
	return nil
}

// pages reads one file as a receipt of its own.
func (b *reading) pages(ctx context.Context, name string, data []byte) ([]ocr.Page, error) {
	parts, err := intake.Open(ctx, name, data, intake.Options{})
	if err != nil {
		return nil, err
	}
	one := []source{{name, data, parts}}
	if len(photosOf(one)) == 0 {
		pages, _ := assemble(one, nil, nil)
		return pages, nil
	}
	b.poolOnce.Do(func() { b.pool, b.poolErr = worker.New(runtime.NumCPU(), b.a.model) })
	if b.poolErr != nil {
		return nil, b.poolErr
	}
	each, err := (&files{b.pool, one, nil}).readPapers(ctx)
	var pages []ocr.Page
	for _, r := range each {
		pages = append(pages, r.pages...)
	}
	return pages, err
}

// units are the files as the ledger has them.
func units(ctx context.Context, l *ledger.Ledger, named []ledger.Named) []week.Unit {
	var all []week.Unit
	for _, n := range named {
		if n.SHA256 == "" {
			continue
		}
		all = append(all, week.Unit{Name: n.Name, SHA256: n.SHA256, Load: func() ([]ocr.Page, error) {
			p, err := l.Photo(ctx, n.SHA256)
			switch {
			case err != nil:
				return nil, err
			case p == nil:
				return nil, errors.New("the ledger has nothing of it; run tillproof week on the folder again")
			case p.Fault != "":
				return nil, errors.New(p.Fault)
			}
			return p.Pages, nil
		}})
	}
	return all
}

// isTerminal reports whether w is a terminal, where a bar can be drawn.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}

// bar shows how far a long run has got, on a terminal only.
type bar struct {
	mu        sync.Mutex
	out       io.Writer
	on        bool
	start     time.Time
	all, done int
	read      int // those that took time
}

const barWidth = 30

// step counts one file; slow says that it was read now, and not before.
func (b *bar) step(slow bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.done++
	if slow {
		b.read++
	}
	if !b.on {
		return
	}
	full := barWidth * b.done / max(b.all, 1)
	left := ""
	if b.read > 0 && b.done < b.all {
		each := time.Since(b.start) / time.Duration(b.read)
		left = ", " + about(each*time.Duration(b.all-b.done)) + " left"
	}
	fmt.Fprintf(b.out, "\r[%s%s] %d of %d%s\x1b[K", strings.Repeat("#", full), strings.Repeat(".", barWidth-full), b.done, b.all, left)
}

func (b *bar) end() {
	if b.on {
		fmt.Fprint(b.out, "\r\x1b[K")
	}
}

// about is a duration as a person says it.
func about(d time.Duration) string {
	if d < 90*time.Second {
		return fmt.Sprintf("about %d s", max(1, int(d.Seconds()+0.5)))
	}
	return fmt.Sprintf("about %d min", int(d.Minutes()+0.5))
}

// looks are what second looks at lines have shown.
type looks struct {
	lines    []ocr.Line
	readings [][]ocr.Reading
}

// noting is look, with what it shows noted.
func (k *looks) noting(look parse.SecondLook) parse.SecondLook {
	return func(l ocr.Line) []ocr.Reading {
		more := look(l)
		k.lines, k.readings = append(k.lines, l), append(k.readings, more)
		return more
	}
}

// keepIn adds what was shown to the lines of pages, so that a receipt made of
// them later, without the photo, knows it too.
func (k *looks) keepIn(pages []ocr.Page) {
	for i, seen := range k.lines {
		for p := range pages {
			for n := range pages[p].Lines {
				if l := &pages[p].Lines[n]; l.Photo == seen.Photo && l.Box == seen.Box {
					l.Readings = append(slices.Clone(l.Readings), k.readings[i]...)
				}
			}
		}
	}
}
