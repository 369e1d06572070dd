package main

import (
	"bufio"
	"context"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// scan is one whole receipt with its true text boxes cut out and prepared.
type scan struct {
	name  string
	boxes []*image.Gray
	texts []string
}

// evaluate reads the true boxes of the scans in sroie/ with the model and, for
// comparison, with the English pack, and prints both as a table.
func evaluate(ctx context.Context, o options, log io.Writer) error {
	scans, err := loadScans(filepath.Join(o.data, "sroie"), o.height)
	if err != nil {
		return err
	}
	fmt.Fprintf(log, "%d scans, true boxes stretched to black on white, %d px high, psm %d\n", len(scans), o.height, o.psm)
	fmt.Fprintln(log, "model | words F1 | amounts R | amounts P | receipts with every amount right | s a receipt")
	for _, model := range append(strings.Split(o.eval, ","), o.pack) {
		if err := evaluateModel(ctx, o, model, scans, log); err != nil {
			return err
		}
	}
	return nil
}

func evaluateModel(ctx context.Context, o options, model string, scans []scan, log io.Writer) error {
	var imgs []*image.Gray
	for _, s := range scans {
		imgs = append(imgs, s.boxes...)
	}
	start := time.Now()
	read, err := readAll(ctx, model, o.work, o.psm, imgs)
	if err != nil {
		return err
	}
	seconds := time.Since(start).Seconds() / float64(len(scans))
	var word, money tally
	whole := 0
	for _, s := range scans {
		got := read[:len(s.texts)]
		read = read[len(s.texts):]
		word.add(multiset(words(strings.Join(got, " ")), words(strings.Join(s.texts, " "))))
		m := multiset(amounts(strings.Join(got, "\n")), amounts(strings.Join(s.texts, "\n")))
		money.add(m)
		if m.hit == m.truth && m.hit == m.read {
			whole++
		}
		if o.verbose {
			for i, t := range s.texts {
				if strings.ToUpper(got[i]) != strings.ToUpper(t) {
					fmt.Fprintf(log, "  %s: %q read as %q\n", s.name, t, got[i])
				}
			}
		}
	}
	fmt.Fprintf(log, "%s | %.3f | %.3f | %.3f | %d of %d | %.2f\n", model, word.f1(), money.recall(), money.precision(), whole, len(scans), seconds)
	return nil
}

// loadScans reads img/NNN.jpg and box/NNN.csv.
func loadScans(dir string, height int) ([]scan, error) {
	files, err := filepath.Glob(filepath.Join(dir, "box", "*.csv"))
	if err != nil {
		return nil, err
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("no box files under %s: name the folder that holds sroie/ by -data", dir)
	}
	var scans []scan
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".csv")
		img, err := openGray(filepath.Join(dir, "img", name+".jpg"))
		if err != nil {
			return nil, err
		}
		s, err := cutBoxes(img, f, height)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f, err)
		}
		s.name = name
		scans = append(scans, s)
	}
	return scans, nil
}

func openGray(name string) (*image.Gray, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	out := image.NewGray(img.Bounds())
	draw.Draw(out, out.Rect, img, out.Rect.Min, draw.Src)
	return out, nil
}

// cutBoxes reads x1,y1,x2,y2,x3,y3,x4,y4,TEXT lines and cuts each box out.
func cutBoxes(img *image.Gray, csv string, height int) (scan, error) {
	var s scan
	f, err := os.Open(csv)
	if err != nil {
		return s, err
	}
	defer f.Close()
	for in := bufio.NewScanner(f); in.Scan(); {
		fields := strings.SplitN(strings.TrimPrefix(in.Text(), "\ufeff"), ",", 9)
		if len(fields) < 9 || strings.TrimSpace(fields[8]) == "" {
			continue
		}
		box := image.Rectangle{}
		for i := 0; i < 8; i += 2 {
			x, errX := strconv.Atoi(fields[i])
			y, errY := strconv.Atoi(fields[i+1])
			if errX != nil || errY != nil {
				return s, fmt.Errorf("box %q has no whole numbers", in.Text())
			}
			box = box.Union(image.Rect(x, y, x+1, y+1))
		}
		box = box.Intersect(img.Rect)
		if box.Empty() {
			continue
		}
		cut := image.NewGray(image.Rect(0, 0, box.Dx(), box.Dy()))
		draw.Draw(cut, cut.Rect, img, box.Min, draw.Src)
		s.boxes = append(s.boxes, padded(stretch(toHeight(cut, height)), border, border, border, border, 255))
		s.texts = append(s.texts, strings.TrimSpace(fields[8]))
	}
	return s, nil
}
