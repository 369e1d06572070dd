package main

import (
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"image"
	"image/draw"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"tillproof/fixtures/score/measure"
)

// rowWidth is the widest row, in pixels at a box height of 40, that is made
// of neighbouring boxes: 48 characters of a till's smaller font.
const rowWidth = 1100

// heldOut tells whether a receipt is kept back to decide when to stop. All
// receipts of one shop go the same way, since what counts is unseen shops.
func heldOut(shop string) bool {
	h := fnv.New32a()
	h.Write([]byte(shop))
	return h.Sum32()%10 == 0
}

// shops names the shop of each receipt: the first box near its head that looks
// like a firm's name, else the first box.
func shops(crops []crop) map[string]string {
	shop := map[string]string{}
	named := map[string]bool{}
	for _, c := range crops {
		if c.number > 4 || named[c.receipt] {
			continue
		}
		name := strings.ToUpper(c.text)
		if shop[c.receipt] == "" {
			shop[c.receipt] = name
		}
		for _, mark := range []string{"SDN", "BHD", "ENTERPRISE", "TRADING", "RESTORAN", "RESTAURANT", "SHOP", "MART", "STATIONERY", "HARDWARE", "CAFE"} {
			if strings.Contains(name, mark) {
				shop[c.receipt], named[c.receipt] = name, true
			}
		}
	}
	return shop
}

// grossly is the share of letters from which a label of four letters or more is
// not believed when the stock model reads others.
const grossly = 0.6

// cleaned gives the crops with labels in the case that is printed, without
// those whose label is clearly not what is printed or cannot be written with
// the model's characters.
func cleaned(ctx context.Context, crops []crop, model, work, charset string) ([]crop, error) {
	imgs := make([]*image.Gray, len(crops))
	for i, c := range crops {
		imgs[i] = prepared(c.img, c.img.Rect.Dy())
	}
	texts, err := readAll(ctx, model, work, findLine, imgs)
	if err != nil {
		return nil, err
	}
	var kept []crop
	for i, c := range crops {
		label := spaced(c.text, texts[i])
		label, wrong := withCase(label, texts[i])
		if len(label) == 0 || strings.Trim(label, charset+" ") != "" || len(label) >= 4 && wrong > grossly {
			continue
		}
		c.text, c.read = label, texts[i]
		kept = append(kept, c)
	}
	return kept, nil
}

// job makes one training line from its own random numbers.
type job func(rng *rand.Rand) sample

// realJobs are the lines cut from receipts: each box once, with an amount once
// more, and rows of neighbouring boxes.
func realJobs(crops []crop) []job {
	var jobs []job
	for i, c := range crops {
		one := func(rng *rand.Rand) sample { return sample{vary(c.img, rng), c.text} }
		jobs = append(jobs, one)
		if measure.Amounts(c.text, "").Truth > 0 {
			jobs = append(jobs, one)
		}
		if i > 0 && crops[i-1].receipt == c.receipt && crops[i-1].number == c.number-1 {
			jobs = append(jobs, func(rng *rand.Rand) sample { return row(crops, i, rng) })
		}
	}
	return jobs
}

// row joins the box i with one or two before it, wide gaps between them.
func row(crops []crop, i int, rng *rand.Rand) sample {
	boxes := []crop{crops[i]}
	width := crops[i].img.Rect.Dx()
	for k := i - 1; k >= 0 && len(boxes) < 2+rng.IntN(2); k-- {
		next := crops[k]
		if next.receipt != boxes[0].receipt || next.number != boxes[0].number-1 || width+next.img.Rect.Dx() > rowWidth {
			break
		}
		boxes = append([]crop{next}, boxes...)
		width += next.img.Rect.Dx()
	}
	var texts []string
	x, spans := 0, []int{}
	for n, b := range boxes {
		if n > 0 {
			gap := 14 + rng.IntN(40)
			if rng.Float64() < 0.4 {
				gap = 54 + rng.IntN(60) // wider ones the reader closes
			}
			x += gap
		}
		spans = append(spans, x)
		x += b.img.Rect.Dx()
		texts = append(texts, b.text)
	}
	sheet := padded(image.NewGray(image.Rect(0, 0, 1, 1)), 0, 0, x-1, boxes[0].img.Rect.Dy()-1, 255)
	for n, b := range boxes {
		part := stretch(b.img)
		draw.Draw(sheet, part.Rect.Add(image.Pt(spans[n], 0)), part, image.Point{}, draw.Src)
	}
	return sample{vary(sheet, rng), strings.Join(texts, " ")}
}

// perFile is how many lines stand in one file of training pages.
const perFile = 200

// writeSet mixes the jobs, makes the samples of at most limit of them, and
// writes these as training files under dir, whose names are returned.
// The result depends on the seed alone, not on the number of cores.
func writeSet(dir string, jobs []job, limit int, seed uint64) ([]string, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	order := rand.New(rand.NewPCG(seed, 0)).Perm(len(jobs))
	order = order[:min(limit, len(order))]
	files := (len(order) + perFile - 1) / perFile
	names := make([]string, files)
	errs := make([]error, files)
	var wg sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for f := range files {
		names[f] = filepath.Join(dir, fmt.Sprintf("%04d.lstmf", f))
		wg.Go(func() {
			free <- struct{}{}
			defer func() { <-free }()
			var lines []sample
			for _, n := range order[f*perFile : min(len(order), (f+1)*perFile)] {
				s := jobs[n](rand.New(rand.NewPCG(seed, uint64(n)+1)))
				if s.img != nil && s.text != "" {
					lines = append(lines, s)
				}
			}
			errs[f] = os.WriteFile(names[f], lstmf(lines), 0o644)
		})
	}
	wg.Wait()
	return names, errors.Join(errs...)
}
