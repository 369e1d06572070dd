package main

import (
	"archive/zip"
	"bufio"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"path"
	"strconv"
	"strings"
	"unicode"
)

// crop is one text box cut from a real receipt.
type crop struct {
	receipt string
	number  int // its place in the receipt
	img     *image.Gray
	text    string // the label, upper case; after withCase as printed
	read    string // what the stock model reads
}

// border is the white that the archive's crops have around the box.
const border = 8

// loadCrops reads the archive of line crops: labels.tsv with file, tab, text,
// and the pictures, named RECEIPT_NUMBER.jpg.
func loadCrops(name string) ([]crop, error) {
	z, err := zip.OpenReader(name)
	if err != nil {
		return nil, fmt.Errorf("the line crops cannot be opened: %w; put sroie-lines.zip into the folder given with -data", err)
	}
	defer z.Close()
	files := map[string]*zip.File{}
	var labels *zip.File
	for _, f := range z.File {
		files[path.Base(f.Name)] = f
		if path.Base(f.Name) == "labels.tsv" {
			labels = f
		}
	}
	if labels == nil {
		return nil, fmt.Errorf("%s has no labels.tsv", name)
	}
	r, err := labels.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var crops []crop
	for in := bufio.NewScanner(r); in.Scan(); {
		file, text, ok := strings.Cut(in.Text(), "\t")
		receipt, number, _ := strings.Cut(strings.TrimSuffix(file, ".jpg"), "_")
		n, err := strconv.Atoi(number)
		if !ok || err != nil || files[file] == nil {
			continue
		}
		img, err := decodeGray(files[file])
		if err != nil {
			return nil, fmt.Errorf("%s in %s: %w", file, name, err)
		}
		crops = append(crops, crop{receipt: receipt, number: n, img: img, text: strings.Join(strings.Fields(text), " ")})
	}
	return crops, nil
}

// decodeGray reads one crop and takes its white border off.
func decodeGray(f *zip.File) (*image.Gray, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	img, err := jpeg.Decode(r)
	if err != nil {
		return nil, err
	}
	b := img.Bounds().Inset(border)
	out := image.NewGray(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(out, out.Rect, img, b.Min, draw.Src)
	return out, nil
}

// withCase gives label, which is all upper case, the case that read has where
// the two agree, and says how much of the label they disagree on (0 to 1).
func withCase(label, read string) (string, float64) {
	a, b := []rune(label), []rune(read)
	pair := align(upper(a), upper(b))
	out := make([]rune, len(a))
	wrong := 0
	lower := false // the case of the letter before, for letters that were misread
	for i, r := range a {
		out[i] = r
		switch j := pair[i]; {
		case j >= 0 && unicode.ToUpper(b[j]) == unicode.ToUpper(r):
			out[i] = b[j]
			if unicode.IsLetter(r) {
				lower = unicode.IsLower(b[j])
			}
			continue
		case r == ' ':
			lower = false
			continue
		case lower && unicode.IsLetter(r):
			out[i] = unicode.ToLower(r)
		}
		wrong++
	}
	return string(out), share(wrong, len(a))
}

// squeezed gives s with single blanks between its words.
func squeezed(s string) string { return strings.Join(strings.Fields(s), " ") }

// share is n of so many, all where there is nothing.
func share(n, of int) float64 {
	if of == 0 {
		return 1
	}
	return float64(n) / float64(of)
}

func upper(s []rune) []rune {
	out := make([]rune, len(s))
	for i, r := range s {
		out[i] = unicode.ToUpper(r)
	}
	return out
}

// align gives for each rune of a the index of the rune of b that stands against
// it in a cheapest alignment, -1 where none does.
func align(a, b []rune) []int {
	n, m := len(a), len(b)
	cost := make([][]int, n+1)
	for i := range cost {
		cost[i] = make([]int, m+1)
		cost[i][0] = i
	}
	for j := range m + 1 {
		cost[0][j] = j
	}
	differ := func(i, j int) int {
		if a[i] == b[j] {
			return 0
		}
		return 1
	}
	for i := range n {
		for j := range m {
			cost[i+1][j+1] = min(cost[i][j]+differ(i, j), cost[i][j+1]+1, cost[i+1][j]+1)
		}
	}
	pair := make([]int, n)
	for i := range pair {
		pair[i] = -1
	}
	for i, j := n, m; i > 0 && j > 0; {
		switch {
		case cost[i][j] == cost[i-1][j-1]+differ(i-1, j-1):
			i, j = i-1, j-1
			pair[i] = j
		case cost[i][j] == cost[i-1][j]+1:
			i--
		default:
			j--
		}
	}
	return pair
}

// spaced gives label the blanks of the picture where label and read are the
// same but for blanks: labels often lack them.
func spaced(label, read string) string {
	squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
	if strings.EqualFold(squeeze(label), squeeze(read)) {
		return read
	}
	return label
}
