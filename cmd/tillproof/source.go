package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"tillproof/cmd/intake"
)

// maxPhotoBytes is above any phone's photo.
const maxPhotoBytes = 64 << 20

// source is one file of a receipt, and what it holds.
type source struct {
	name  string
	data  []byte
	parts []intake.Part
}

// sha256 is the hash of the file as it is.
func (s source) sha256() string {
	sum := sha256.Sum256(s.data)
	return hex.EncodeToString(sum[:])
}

// loadSources reads the files of one receipt. All that cannot be read are
// reported, not just the first.
func (a *app) loadSources(ctx context.Context, names []string) ([]source, error) {
	return a.openSources(ctx, names, func(i int) ([]byte, error) { return a.readFile(names[i], maxPhotoBytes) })
}

// openSources opens the files of one receipt, whose bytes read gives by their
// place in names.
func (a *app) openSources(ctx context.Context, names []string, read func(i int) ([]byte, error)) ([]source, error) {
	var all []source
	var bad faults
	for i, name := range names {
		data, err := read(i)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		parts, err := intake.Open(ctx, name, data, intake.Options{Remark: func(s string) { fmt.Fprintln(a.err, "tillproof: note:", s) }})
		if err != nil {
			bad = append(bad, err)
			continue
		}
		all = append(all, source{name, data, parts})
	}
	if bad != nil {
		return nil, bad
	}
	return all, nil
}

// describe gives an operating system's error the file's name and a remedy.
func describe(name string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: there is no such file; check the name", name)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s: may not be read; check its permissions", name)
	}
	if i, statErr := os.Stat(name); statErr == nil && i.IsDir() {
		return fmt.Errorf("%s: is a folder; name a file in it, or see tillproof week for whole folders", name)
	}
	return fmt.Errorf("%s: cannot be read: %w", name, err)
}
