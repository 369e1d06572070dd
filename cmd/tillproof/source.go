package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// maxPhotoBytes is above any phone's photo.
const maxPhotoBytes = 64 << 20

// source is one file of a receipt: a photo, or a receipt as text.
type source struct {
	name string
	data []byte
	text bool
}

// sha256 is the hash of the file as it is.
func (s source) sha256() string {
	sum := sha256.Sum256(s.data)
	return hex.EncodeToString(sum[:])
}

// loadSources reads the files of one receipt. All that cannot be read are
// reported, not just the first.
func (a *app) loadSources(names []string) ([]source, error) {
	var all []source
	var bad faults
	for _, name := range names {
		data, err := a.readFile(name, maxPhotoBytes)
		switch {
		case err != nil:
			bad = append(bad, err)
			continue
		case len(data) == 0:
			bad = append(bad, fmt.Errorf("%s: the file is empty; name a photo or a text file", name))
			continue
		}
		text := strings.EqualFold(filepath.Ext(name), ".txt")
		if !text && looksLikeText(data) {
			if name != "-" {
				bad = append(bad, fmt.Errorf("%s: this is text, not a photo; give it a name that ends in .txt, or name the photo", name))
				continue
			}
			text = true
		}
		if text && !utf8.Valid(data) {
			bad = append(bad, fmt.Errorf("%s: is not text in UTF-8; save it as UTF-8, or name the photo", name))
			continue
		}
		all = append(all, source{name, data, text})
	}
	if bad != nil {
		return nil, bad
	}
	return all, nil
}

// looksLikeText tells a receipt in text from a photo on standard input, which
// has no name to go by.
func looksLikeText(data []byte) bool {
	return utf8.Valid(data) && !bytes.ContainsRune(data, 0)
}

// describe gives an operating system's error the file's name and a remedy.
func describe(name string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: there is no such file; check the name", name)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s: may not be read; check its permissions", name)
	}
	return fmt.Errorf("%s: cannot be read: %w", name, err)
}
