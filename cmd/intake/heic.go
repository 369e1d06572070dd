package intake

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/gen2brain/heic"

	"tillproof/ocr"
)

// heic opens a HEIC photo: its size is read from the head of the file here,
// the rest is the child's.
func (f file) heic(ctx context.Context) ([]Part, error) {
	if err := f.within(maxPhoto, "photo", "scale the picture down, or cut it to the receipt"); err != nil {
		return nil, err
	}
	w, h, err := heicSize(f.data)
	if err != nil {
		return nil, f.refuse("take or send the photo once more, or as a JPEG", "the head of the HEIC photo is damaged: %v", err)
	}
	if tooLarge(w, h) {
		return nil, f.refuse("scale it down or cut it to the receipt",
			"the picture of %d by %d pixels is larger than the %d million that are read", w, h, maxPixels/1_000_000)
	}
	return f.inChild(ctx, childHEIC, "HEIC photo")
}

func tooLarge(w, h int) bool { return w < 1 || h < 1 || w > maxPixels/h }

// box is one box of a file in the ISO base media file format.
type box struct {
	kind string
	body []byte
}

// boxes splits data into boxes. The last may be cut off: what is there of it
// is its body.
func boxes(data []byte) (all []box) {
	for len(data) >= 8 {
		size, head := uint64(binary.BigEndian.Uint32(data)), uint64(8)
		switch {
		case size == 0: // to the end of the file
			size = uint64(len(data))
		case size == 1 && len(data) >= 16:
			size, head = binary.BigEndian.Uint64(data[8:]), 16
		}
		if size < head {
			return all
		}
		size = min(size, uint64(len(data)))
		all = append(all, box{string(data[4:8]), data[head:size]})
		data = data[size:]
	}
	return all
}

// find is the body of the first box of that kind.
func find(all []box, kind string) []byte {
	for _, b := range all {
		if b.kind == kind {
			return b.body
		}
	}
	return nil
}

// heicSize is the size of the largest picture that the head of the file speaks
// of: the photo itself, the tiles it is made of and smaller copies all have an
// ispe box. The library's own way to ask reads only the first 32 kB, and fails
// where a camera's notes fill them.
func heicSize(data []byte) (w, h int, err error) {
	meta := find(boxes(data), "meta")
	if len(meta) < 4 {
		return 0, 0, errors.New("it does not say what is in the file")
	}
	properties := find(boxes(find(boxes(meta[4:]), "iprp")), "ipco")
	for _, b := range boxes(properties) {
		if b.kind != "ispe" || len(b.body) < 12 {
			continue
		}
		bw, bh := uint64(binary.BigEndian.Uint32(b.body[4:])), uint64(binary.BigEndian.Uint32(b.body[8:]))
		if bw*bh > uint64(w)*uint64(h) {
			w, h = int(bw), int(bh)
		}
	}
	if w == 0 {
		return 0, 0, errors.New("it does not say how large the picture is")
	}
	return w, h, nil
}

// decodeHEIC decodes a HEIC photo to grey; it runs in the child. The library
// turns the picture as the file asks for, so the camera's note about that,
// which says the same once more, is left alone; when the photo was taken is kept.
func decodeHEIC(data []byte) reply {
	const hint = "take or send the photo once more, or as a JPEG"
	taken := heicTaken(data)
	if string(data[8:12]) == "mif1" || string(data[8:12]) == "msf1" {
		// The library looks at the major brand only.
		data = bytes.Clone(data)
		copy(data[8:], "heic")
	}
	img, err := heic.Decode(bytes.NewReader(data))
	if err != nil {
		return reply{Msg: fmt.Sprintf("the HEIC photo does not decode: %v", err), Hint: hint}
	}
	b := img.Bounds()
	if tooLarge(b.Dx(), b.Dy()) {
		return reply{Msg: "the HEIC photo is larger than its head says", Hint: hint}
	}
	return reply{Parts: []Part{{Photo: ocr.EncodeGrey(img, taken)}}}
}

// heicTaken finds in the camera's notes when the photo was taken. They lie
// somewhere in the file, where three tables point; but they begin like nothing
// else does (TIFF 6.0, section 2: byte order, 42, and, as all cameras have it,
// the first table right behind).
func heicTaken(data []byte) string {
	for _, start := range []string{"MM\x00*\x00\x00\x00\x08", "II*\x00\x08\x00\x00\x00"} {
		for rest := data; ; rest = rest[1:] {
			i := bytes.Index(rest, []byte(start))
			if i < 0 {
				break
			}
			rest = rest[i:]
			if taken := ocr.Taken(rest); taken != "" {
				return taken
			}
		}
	}
	return ""
}
