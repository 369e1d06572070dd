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
	"slices"
	"strconv"
	"strings"
	"time"

	"tillproof/fixtures/score/measure"
)

// scan is one whole receipt with its true text boxes cut out.
type scan struct {
	name  string
	boxes []*image.Gray
	texts []string
}

// evaluate reads the true boxes of the scans in sroie/ with the models and, for
// comparison, with the English pack, and prints all as a table.
func evaluate(ctx context.Context, o options, log io.Writer) error {
	scans, err := loadScans(filepath.Join(o.data, "sroie"))
	if err != nil {
		return err
	}
	fmt.Fprintf(log, "%d scans, true boxes stretched to black on white, %s px high, one core\n", len(scans), o.heights)
	fmt.Fprintln(log, "model | psm | words F1 | amounts R | amounts P | receipts with every amount right | s a receipt")
	for model := range strings.SplitSeq(o.eval, ",") {
		if err := evaluateModel(ctx, o, model, o.psm, scans, log); err != nil {
			return err
		}
	}
	return evaluateModel(ctx, o, o.pack, findLine, scans, log)
}

func evaluateModel(ctx context.Context, o options, model string, psm int, scans []scan, log io.Writer) error {
	start := time.Now()
	var readings [][]string // of each height
	for height := range strings.SplitSeq(o.heights, ",") {
		h, err := strconv.Atoi(height)
		if err != nil || h < 8 || h > 200 {
			return fmt.Errorf("height %q: give whole numbers from 8 to 200, joined by commas", height)
		}
		var imgs []*image.Gray
		for _, s := range scans {
			for _, b := range s.boxes {
				imgs = append(imgs, prepared(b, h))
			}
		}
		read, err := readAll(ctx, model, o.work, psm, imgs)
		if err != nil {
			return err
		}
		readings = append(readings, read)
	}
	seconds := time.Since(start).Seconds() / float64(len(scans))
	read := majority(readings)
	var words, amounts measure.Count
	whole := 0
	for _, s := range scans {
		got := read[:len(s.texts)]
		read = read[len(s.texts):]
		truth, text := strings.Join(s.texts, "\n"), strings.Join(got, "\n")
		words.Add(measure.Words(truth, text))
		a := measure.Amounts(truth, text)
		amounts.Add(a)
		if a.Whole() {
			whole++
		}
		if o.verbose {
			s.differences(got, log)
		}
	}
	fmt.Fprintf(log, "%s | %d | %.3f | %.3f | %.3f | %d of %d | %.2f\n", filepath.Base(model), psm, words.F1(), amounts.Recall(), amounts.Precision(), whole, len(scans), seconds)
	return nil
}

// prepared gives the picture of a line as the reader hands it to the engine:
// the print and a margin around it, stretched, on a white border.
func prepared(box *image.Gray, height int) *image.Gray {
	top, bottom := inkRows(box)
	margin := int(0.12*float64(bottom-top) + 0.5)
	line := padded(box, 0, 0, 0, 0, 255).SubImage(image.Rect(0, max(0, top-margin), box.Rect.Dx(), min(box.Rect.Dy(), bottom+margin))).(*image.Gray)
	const side, above = 10, 6
	return padded(stretch(evened(toHeight(line, height))), side, above, side, above, 255)
}

// majority gives for each line the text that most readings have, the first
// reading's where none has most.
func majority(readings [][]string) []string {
	out := slices.Clone(readings[0])
	for i := range out {
		votes := map[string]int{}
		for _, r := range readings {
			votes[r[i]]++
		}
		for _, r := range readings {
			if votes[r[i]] > votes[out[i]] {
				out[i] = r[i]
			}
		}
	}
	return out
}

// differences prints each box that was read otherwise than the truth says.
func (s scan) differences(read []string, log io.Writer) {
	for i, t := range s.texts {
		if !strings.EqualFold(read[i], t) {
			fmt.Fprintf(log, "  %s: %q read as %q\n", s.name, t, read[i])
		}
	}
}

// loadScans reads img/NNN.jpg and box/NNN.csv.
func loadScans(dir string) ([]scan, error) {
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
		s, err := cutBoxes(img, f)
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
func cutBoxes(img *image.Gray, csv string) (scan, error) {
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
		s.boxes = append(s.boxes, cut)
		s.texts = append(s.texts, strings.TrimSpace(fields[8]))
	}
	return s, nil
}
