package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"os"
)

// sample is one line to train on: its picture and what is printed there.
type sample struct {
	img  *image.Gray
	text string
}

// lstmf gives samples as one file of training pages, the way Tesseract's
// DocumentData (src/ccstruct/imagedata.cpp) stores them. Writing many pages at
// once takes a thousandth of the time of one `tesseract lstm.train` a line.
// The pictures are stored as PGM, which is read faster than PNG.
func lstmf(samples []sample) []byte {
	var b []byte
	b = binary.LittleEndian.AppendUint32(b, uint32(len(samples)))
	for i, s := range samples {
		b = append(b, 1)                                   // a page follows
		b = appendText(b, fmt.Sprintf("line-%d", i))       // file name
		b = binary.LittleEndian.AppendUint32(b, uint32(i)) // page number
		b = appendText(b, string(pgm(s.img)))              // picture
		b = appendText(b, "eng")                           // language
		b = appendText(b, s.text)                          // transcription
		b = binary.LittleEndian.AppendUint32(b, 0)         // no boxes
		b = binary.LittleEndian.AppendUint32(b, 0)         // no texts of boxes
		b = append(b, 0)                                   // not vertical
	}
	return b
}

// pgm gives img as a portable grey map.
func pgm(img *image.Gray) []byte {
	var buf bytes.Buffer
	w, h := img.Rect.Dx(), img.Rect.Dy()
	fmt.Fprintf(&buf, "P5\n%d %d\n255\n", w, h)
	for y := range h {
		buf.Write(img.Pix[y*img.Stride : y*img.Stride+w])
	}
	return buf.Bytes()
}

// writePGM writes img as the portable grey map file path.
func writePGM(path string, img *image.Gray) error {
	return os.WriteFile(path, pgm(img), 0o644)
}
