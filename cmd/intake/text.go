package intake

import (
	"bytes"
	"encoding/binary"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// text opens a receipt that is text.
func (f file) text() ([]Part, error) {
	if f.name != "-" && !strings.EqualFold(filepath.Ext(f.name), ".txt") {
		return nil, f.refuse("name it .txt, or name the photo", "this is text, not a photo")
	}
	if err := f.within(maxText, "text", "cut it to the receipt"); err != nil {
		return nil, err
	}
	text, problem := decodeText(f.data)
	if problem != "" {
		return nil, f.refuse("save it as text in UTF-8, or name the photo", "%s", problem)
	}
	if strings.TrimSpace(text) == "" {
		return nil, f.refuse("name a photo or a text file", "the file is empty but for white space")
	}
	return []Part{{Text: text}}, nil
}

// utf16Order is the byte order that a mark at the beginning of UTF-16 text
// tells, nil where there is no such mark.
func utf16Order(data []byte) binary.ByteOrder {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe, 0, 0}):
		return nil // UTF-32, which nobody writes
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		return binary.LittleEndian
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return binary.BigEndian
	}
	return nil
}

// decodeText turns the bytes of a text file into text; problem says why they
// are none.
func decodeText(data []byte) (text, problem string) {
	if order := utf16Order(data); order != nil {
		if text, problem = decodeUTF16(data[2:], order); problem != "" {
			return "", problem
		}
	} else {
		data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
		if bytes.IndexByte(data, 0) >= 0 {
			return "", "this is no text: it holds NUL bytes"
		}
		if !utf8.Valid(data) {
			return "", "this is not text in UTF-8"
		}
		text = string(data)
	}
	// Captured print jobs hold a few control characters; a file full of them is
	// something else.
	controls, all := 0, 0
	text = strings.Map(func(r rune) rune {
		all++
		if unicode.IsControl(r) && !strings.ContainsRune("\t\n\v\f\r", r) {
			controls++
			return ' '
		}
		return r
	}, text)
	if controls*20 > all {
		return "", "this is no text: it is full of control characters"
	}
	return text, ""
}

func decodeUTF16(data []byte, order binary.ByteOrder) (text, problem string) {
	if len(data)%2 != 0 {
		return "", "the UTF-16 text ends in the middle of a character"
	}
	units := make([]uint16, len(data)/2)
	for i := range units {
		if units[i] = order.Uint16(data[2*i:]); units[i] == 0 {
			return "", "this is no text: it holds NUL characters"
		}
	}
	text = string(utf16.Decode(units))
	if strings.ContainsRune(text, utf8.RuneError) {
		return "", "the UTF-16 text is damaged"
	}
	return text, ""
}
