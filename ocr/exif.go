package ocr

import (
	"bytes"
	"encoding/binary"
)

// exif is what a camera notes beside the picture that matters here.
type exif struct {
	// orientation is that of the EXIF standard, 1 to 8; 1 is upright.
	orientation int
	// taken is the time the photo was taken, "2006:01:02 15:04:05" as noted.
	taken string
}

// readExif finds the EXIF block of a JPEG, PNG or WebP file. Whatever is
// missing or cut off leaves the picture as it is.
func readExif(data []byte) exif {
	none := exif{orientation: 1}
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xd8}):
		for i := 2; i+4 <= len(data) && data[i] == 0xff; {
			size := int(binary.BigEndian.Uint16(data[i+2:]))
			if data[i+1] == 0xda || size < 2 || i+2+size > len(data) {
				return none
			}
			if body := data[i+4 : i+2+size]; data[i+1] == 0xe1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
				return readTIFF(body[6:])
			}
			i += 2 + size
		}
	case bytes.HasPrefix(data, []byte("\x89PNG")):
		for i := 8; i+12 <= len(data); {
			size := int(binary.BigEndian.Uint32(data[i:]))
			if size < 0 || size > len(data)-i-12 {
				return none
			}
			if string(data[i+4:i+8]) == "eXIf" {
				return readTIFF(data[i+8 : i+8+size])
			}
			i += 12 + size
		}
	case isWebP(data):
		for i := 12; i+8 <= len(data); {
			size := int(binary.LittleEndian.Uint32(data[i+4:]))
			if size < 0 || size > len(data)-i-8 {
				return none
			}
			if string(data[i:i+4]) == "EXIF" {
				return readTIFF(bytes.TrimPrefix(data[i+8:i+8+size], []byte("Exif\x00\x00")))
			}
			i += 8 + size + size&1
		}
	}
	return none
}

// takenLength is that of the time a photo was taken: "2006:01:02 15:04:05".
const takenLength = 19

// Taken is when the photo was taken that the EXIF block (without the "Exif" in
// front of it) belongs to, as the camera notes it; "" where it does not.
func Taken(block []byte) string { return readTIFF(block).taken }

// readTIFF reads the orientation (tag 0x0112) and the time the photo was taken
// (tag 0x9003 in the block that tag 0x8769 points to).
func readTIFF(b []byte) exif {
	out := exif{orientation: 1}
	if len(b) < 8 {
		return out
	}
	var order binary.ByteOrder = binary.LittleEndian
	if b[0] == 'M' {
		order = binary.BigEndian
	}
	directory := func(at uint32, each func(tag uint16, count, value uint32, short uint16)) {
		if uint64(at)+2 > uint64(len(b)) {
			return
		}
		n := int(order.Uint16(b[at:]))
		for i := range n {
			e := int(at) + 2 + 12*i
			if e+12 > len(b) {
				return
			}
			each(order.Uint16(b[e:]), order.Uint32(b[e+4:]), order.Uint32(b[e+8:]), order.Uint16(b[e+8:]))
		}
	}
	directory(order.Uint32(b[4:]), func(tag uint16, _, value uint32, short uint16) {
		switch {
		case tag == 0x0112 && short >= 1 && short <= 8:
			out.orientation = int(short)
		case tag == 0x8769:
			directory(value, func(tag uint16, count, value uint32, _ uint16) {
				if tag == 0x9003 && count >= takenLength && uint64(value)+takenLength <= uint64(len(b)) {
					out.taken = string(b[value : value+takenLength])
				}
			})
		}
	})
	return out
}
