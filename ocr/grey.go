package ocr

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"strconv"
	"strings"

	"tillproof/ocr/raster"
)

// A grey picture that something else decoded is handed over as a PGM file (Netpbm's
// "portable graymap", raw form, https://netpbm.sourceforge.net/doc/pgm.html):
// a head in ASCII, then a byte for each pixel. It is written and read in no
// time, and is a []byte like any other photo.
const (
	greyStart = "P5\n"
	takenNote = "# taken "
)

// EncodeGrey makes a photo for Read out of a picture that is decoded already:
// upright, and taken when the camera says ("2006:01:02 15:04:05", "" where it
// does not).
func EncodeGrey(img image.Image, taken string) []byte {
	g := toGrey(img)
	var b bytes.Buffer
	b.Grow(len(g.Pix) + 64)
	b.WriteString(greyStart)
	if len(taken) == takenLength && strings.Trim(taken, "0123456789: ") == "" {
		b.WriteString(takenNote + taken + "\n")
	}
	w, h := g.Rect.Dx(), g.Rect.Dy()
	fmt.Fprintf(&b, "%d %d\n255\n", w, h)
	for y := range h {
		b.Write(g.Pix[y*g.Stride : y*g.Stride+w])
	}
	return b.Bytes()
}

func isGrey(data []byte) bool { return bytes.HasPrefix(data, []byte(greyStart)) }

// greyHead reads the head of a grey picture as EncodeGrey writes it; pixels is
// what comes after it.
func greyHead(data []byte) (config image.Config, taken string, pixels []byte, err error) {
	line := func() string {
		at := bytes.IndexByte(data[:min(len(data), 64)], '\n')
		l := string(data[:max(at, 0)])
		data = data[at+1:]
		return l
	}
	line() // P5
	size := line()
	if note, ok := strings.CutPrefix(size, takenNote); ok {
		taken, size = note, line()
	}
	w, h, _ := strings.Cut(size, " ")
	if config.Width, err = strconv.Atoi(w); err == nil {
		config.Height, err = strconv.Atoi(h)
	}
	if most := line(); err == nil && most != "255" {
		err = errors.New("it is not of 255 greys")
	}
	return config, taken, data, err
}

// decodeGreyFile takes the pixels of a grey picture. They are copied: what is
// handed over stays as it is.
func decodeGreyFile(data []byte) (*image.Gray, error) {
	config, _, pixels, err := greyHead(data)
	if err != nil {
		return nil, err
	}
	if len(pixels)/config.Width < config.Height {
		return nil, errors.New("it is cut off")
	}
	g := raster.New(config.Width, config.Height)
	copy(g.Pix, pixels)
	return g, nil
}
