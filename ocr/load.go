package ocr

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"

	"golang.org/x/image/webp"

	"tillproof/ocr/raster"
)

// DecodeGrey decodes the brightness of a JPEG to a picture whose sides are
// the file's divided by shrink (1, 2, 4 or 8), rounded up.
type DecodeGrey func(data []byte, shrink int) (*image.Gray, error)

// maxPixels is the largest picture that is decoded: phones take up to 50
// million pixels, a scan of a long receipt at 600 dpi about 30.
const maxPixels = 100_000_000

// photo is a decoded picture as the camera's own note turns it.
type photo struct {
	grey *image.Gray
	// width and height are those of the upright photo at full size; grey may
	// be smaller by shrink.
	width, height int
	shrink        int
	exif          exif
	file          []byte // what it was decoded from, of this kind
	kind          string
}

func isWebP(b []byte) bool {
	return len(b) >= 12 && string(b[:4]) == "RIFF" && string(b[8:12]) == "WEBP"
}

// refuse makes the error for a file that is not looked at.
func refuse(n int, hint, format string, args ...any) *FileError {
	return &FileError{Photo: n, Msg: fmt.Sprintf(format, args...), Hint: hint}
}

// load decodes photo n, smaller by shrink (0: as small as a first look needs).
// The size is checked from the head of the file before anything as large as
// the picture is made.
func load(n int, data []byte, shrink int, decode DecodeGrey) (*photo, error) {
	const formats = "hand over a JPEG, PNG or WebP picture"
	if len(data) == 0 {
		return nil, refuse(n, formats, "the file is empty")
	}
	var config image.Config
	var err error
	kind, taken := "", ""
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xd8}):
		kind = "JPEG"
		config, err = jpeg.DecodeConfig(bytes.NewReader(data))
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		kind = "PNG"
		config, err = png.DecodeConfig(bytes.NewReader(data))
	case isWebP(data):
		kind = "WebP"
		config, err = webp.DecodeConfig(bytes.NewReader(data))
	case isGrey(data):
		kind = "grey"
		config, taken, _, err = greyHead(data)
	default:
		return nil, refuse(n, formats, "the file is no picture of a known format")
	}
	again := "take or send the photo once more"
	if err != nil {
		return nil, refuse(n, again, "the head of the %s file is damaged: %v", kind, err)
	}
	if config.Width < 1 || config.Height < 1 || config.Width > maxPixels/config.Height {
		return nil, refuse(n, "scale it down or cut it to the receipt",
			"the picture of %d by %d pixels is larger than the %d million that are read", config.Width, config.Height, maxPixels/1_000_000)
	}
	if shrink == 0 {
		for shrink = 1; config.Width*config.Height/(shrink*shrink) > loadPixels && shrink < 8; {
			shrink *= 2
		}
	}
	grey, shrink, err := decodeGrey(data, kind, shrink, decode)
	if err != nil {
		return nil, refuse(n, again, "the %s file does not decode: %v", kind, err)
	}
	p := &photo{grey: grey, width: config.Width, height: config.Height, shrink: shrink, exif: readExif(data), file: data, kind: kind}
	if taken != "" {
		p.exif.taken = taken
	}
	p.upright()
	return p, nil
}

// decodeGrey decodes to grey and to the wanted size; it returns how much
// smaller than the file's picture the result is.
func decodeGrey(data []byte, kind string, shrink int, decode DecodeGrey) (*image.Gray, int, error) {
	var src image.Image
	var err error
	switch kind {
	case "JPEG":
		if decode != nil {
			grey, err := decode(data, shrink)
			return grey, shrink, err
		}
		grey, err := DecodeJPEG(data, shrink)
		return grey, shrink, err
	case "PNG":
		src, err = png.Decode(bytes.NewReader(data))
	case "grey":
		src, err = decodeGreyFile(data)
	default:
		src, err = webp.Decode(bytes.NewReader(data))
	}
	if err != nil {
		return nil, 1, err
	}
	return reduce(toGrey(src), shrink), shrink, nil
}

// DecodeJPEG is the DecodeGrey in pure Go: it decodes at full size and shrinks.
func DecodeJPEG(data []byte, shrink int) (*image.Gray, error) {
	src, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return reduce(toGrey(src), shrink), nil
}

// reduce divides the sides of g by shrink, rounded up as JPEG decoders do.
func reduce(g *image.Gray, shrink int) *image.Gray {
	for ; shrink > 1; shrink /= 2 {
		w, h := g.Rect.Dx(), g.Rect.Dy()
		if w&1 == 1 || h&1 == 1 {
			even := raster.New(w+w&1, h+h&1)
			for y := range even.Rect.Dy() {
				row := even.Pix[y*even.Stride : (y+1)*even.Stride]
				copy(row, g.Pix[min(y, h-1)*g.Stride:min(y, h-1)*g.Stride+w])
				row[len(row)-1] = row[w-1]
			}
			g = even
		}
		g = raster.Halve(g)
	}
	return g
}

// toGrey takes the brightness of src. The Y plane of a JPEG or WebP already is
// it; a transparent PNG is laid on white paper.
func toGrey(src image.Image) *image.Gray {
	b := src.Bounds()
	out := raster.New(b.Dx(), b.Dy())
	switch s := src.(type) {
	case *image.YCbCr:
		for y := range b.Dy() {
			at := s.YOffset(b.Min.X, b.Min.Y+y)
			copy(out.Pix[y*out.Stride:(y+1)*out.Stride], s.Y[at:at+b.Dx()])
		}
		return out
	case *image.Gray:
		for y := range b.Dy() {
			at := s.PixOffset(b.Min.X, b.Min.Y+y)
			copy(out.Pix[y*out.Stride:(y+1)*out.Stride], s.Pix[at:at+b.Dx()])
		}
		return out
	}
	for y := range b.Dy() {
		for x := range b.Dx() {
			r, g, bl, a := src.At(b.Min.X+x, b.Min.Y+y).RGBA()
			v := (299*r + 587*g + 114*bl) / 1000
			out.Pix[y*out.Stride+x] = uint8((v + 0xffff - a) >> 8)
		}
	}
	return out
}

// upright turns the picture as the camera's note asks for.
func (p *photo) upright() {
	p.grey = p.exif.turned(p.grey)
	if turns[p.exif.orientation]%2 != 0 {
		p.width, p.height = p.height, p.width
	}
}

// turns are the quarter turns clockwise that each orientation asks for.
var turns = [9]int{3: 2, 4: 2, 5: 3, 6: 1, 7: 1, 8: 3}

// turned is g as the camera's note asks for.
func (e exif) turned(g *image.Gray) *image.Gray {
	mirrored := [9]bool{2: true, 4: true, 5: true, 7: true}
	if mirrored[e.orientation] {
		g = raster.Mirror(g)
	}
	return raster.Turn(g, turns[e.orientation])
}
