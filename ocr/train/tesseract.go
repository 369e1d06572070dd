package main

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// run starts one of Tesseract's programs on one core and gives what it printed.
func run(ctx context.Context, name string, args ...string) (stdout, stderr []byte, err error) {
	cmd := exec.CommandContext(ctx, name, args...)
	// More threads make the small networks of text lines slower.
	cmd.Env = append(os.Environ(), "OMP_THREAD_LIMIT=1")
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		return out.Bytes(), errs.Bytes(), fmt.Errorf("%s: %w: %s", name, err, lastLine(errs.Bytes()))
	}
	return out.Bytes(), errs.Bytes(), nil
}

func lastLine(b []byte) string {
	s := strings.TrimSpace(string(b))
	return s[strings.LastIndexByte(s, '\n')+1:]
}

// batch is how many pictures one run of the engine reads.
const batch = 500

// Page segmentation modes. The tuned model is to read the picture as it is:
// with the other mode the engine looks for the line within the picture once
// more and loses dots and signs at the ends. The stock model does not know the
// wide white borders and needs that.
const (
	findLine  = 7
	wholeLine = 13
)

// readAll reads line pictures with the model file.
func readAll(ctx context.Context, model, work string, psm int, imgs []*image.Gray) ([]string, error) {
	dir, err := os.MkdirTemp(work, "read")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	model, err = filepath.Abs(model)
	if err != nil {
		return nil, err
	}
	var texts []string
	for len(imgs) > 0 {
		n := min(batch, len(imgs))
		got, err := readBatch(ctx, model, dir, psm, imgs[:n])
		if err != nil {
			return nil, err
		}
		texts, imgs = append(texts, got...), imgs[n:]
	}
	return texts, nil
}

func readBatch(ctx context.Context, model, dir string, psm int, imgs []*image.Gray) ([]string, error) {
	var list strings.Builder
	for i, img := range imgs {
		name := filepath.Join(dir, fmt.Sprintf("%d.pgm", i))
		if err := writePGM(name, img); err != nil {
			return nil, err
		}
		fmt.Fprintln(&list, name)
	}
	listFile := filepath.Join(dir, "list.txt")
	if err := os.WriteFile(listFile, []byte(list.String()), 0o644); err != nil {
		return nil, err
	}
	lang := strings.TrimSuffix(filepath.Base(model), ".traineddata")
	out, _, err := run(ctx, "tesseract", listFile, "stdout", "--tessdata-dir", filepath.Dir(model), "-l", lang,
		"--psm", fmt.Sprint(psm), "-c", "page_separator=\f")
	if err != nil {
		return nil, err
	}
	pages := strings.Split(string(out), "\f")
	if len(pages) != len(imgs) {
		return nil, fmt.Errorf("tesseract gave %d texts for %d pictures", len(pages), len(imgs))
	}
	for i, p := range pages {
		pages[i] = strings.Join(strings.Fields(p), " ")
	}
	return pages, nil
}
