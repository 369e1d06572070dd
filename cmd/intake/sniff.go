package intake

import (
	"bytes"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// kind is what a file is, by its content.
type kind int

const (
	kindUnknown kind = iota
	kindEmpty
	kindPhoto // JPEG, PNG or WebP
	kindHEIC
	kindPDF
	kindMail
	kindHTML
	kindText
	kindForeign // a format known by sight that holds no receipt, or none that is read
)

// foreign are formats that people hand over and that are not read, by how they
// begin, with what to do instead.
var foreign = []struct{ start, what, hint string }{
	{"GIF8", "a GIF picture", savePhoto},
	{"II*\x00", "a TIFF or raw camera picture", savePhoto},
	{"MM\x00*", "a TIFF or raw camera picture", savePhoto},
	{"\xff\x0a", "a JPEG XL picture", savePhoto},
	{"\x00\x00\x00\x0cJXL ", "a JPEG XL picture", savePhoto},
	{"\xd0\xcf\x11\xe0", "an Outlook message or an old Office document", saveMail},
	{"PK\x03\x04", "a ZIP archive or an Office document", "unpack it, or print the document to a PDF"},
	{"\x1f\x8b", "a compressed file", "unpack it first"},
	{"{\\rtf", "a document in RTF", "print it to a PDF"},
	{"%!PS", "a PostScript document", "print it to a PDF"},
}

const (
	savePhoto = "save or send it as a JPEG or PNG"
	saveMail  = "save the message as .eml, or print it to a PDF"
)

// sniff tells what a file is. The name decides only between things that look
// the same: an e-mail is text, too.
func sniff(name string, data []byte) kind {
	head := bytes.TrimLeft(data[:min(len(data), 1024)], "\xef\xbb\xbf \t\r\n")
	switch {
	case len(data) == 0:
		return kindEmpty
	case bytes.HasPrefix(data, []byte{0xff, 0xd8, 0xff}), bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")),
		len(data) >= 12 && string(data[:4]) == "RIFF" && string(data[8:12]) == "WEBP":
		return kindPhoto
	case heifBrand(data) == "heic":
		return kindHEIC
	case heifBrand(data) != "":
		return kindForeign
	case bytes.HasPrefix(head, []byte("%PDF-")):
		return kindPDF
	}
	for _, f := range foreign {
		if bytes.HasPrefix(data, []byte(f.start)) {
			return kindForeign
		}
	}
	text := looksLikeText(data)
	switch {
	case isMail(name, data):
		return kindMail
	case !text && bytes.Contains(head, []byte("%PDF-")):
		return kindPDF // readers of PDFs take up to 1024 bytes of anything before it
	case text && isHTML(head):
		return kindHTML
	case text, strings.EqualFold(filepath.Ext(name), ".txt"):
		return kindText
	}
	return kindUnknown
}

// heifBrand is what a file in boxes says that it holds: "heic", another brand,
// or "" where it is not in boxes.
func heifBrand(data []byte) string {
	if len(data) < 16 || string(data[4:8]) != "ftyp" {
		return ""
	}
	size := min(uint64(data[0])<<24|uint64(data[1])<<16|uint64(data[2])<<8|uint64(data[3]), uint64(len(data)), 256)
	major := string(data[8:12])
	// A major brand such as mif1 only says that it is a picture in boxes; what
	// the picture is coded in stands among the compatible brands.
	for at := uint64(8); at+4 <= size; at += 4 {
		if at != 12 && slices.Contains(heicBrands, string(data[at:at+4])) {
			return "heic"
		}
	}
	return major
}

// heicBrands are the brands of pictures coded in HEVC (ISO/IEC 23008-12, annex
// B; from memory).
var heicBrands = []string{"heic", "heix", "heim", "heis", "hevc", "hevx"}

// looksLikeText tells text from anything else: UTF-8 without NUL, or UTF-16
// that says so.
func looksLikeText(data []byte) bool {
	return utf8.Valid(data) && bytes.IndexByte(data, 0) < 0 || utf16Order(data) != nil
}

var (
	headerField = regexp.MustCompile(`^([!-9;-~]+)[ \t]*:`)
	htmlStart   = regexp.MustCompile(`(?i)^(<\?xml[^>]*>\s*)?(<!--[^>]*-->\s*)?<(!doctype\s+html|html|head|body|meta|table|div)\b`)
)

func isHTML(head []byte) bool { return htmlStart.Match(head) }

// isMail reports whether data begins with the header of an e-mail. A receipt
// in text may begin with a line like "Date: …", so a file without the name of
// an e-mail must show fields that only e-mails have.
func isMail(name string, data []byte) bool {
	seen := map[string]bool{}
	for n, line := range bytes.SplitN(skipFromLine(data[:min(len(data), 64<<10)]), []byte("\n"), 200) {
		line = bytes.TrimRight(line, "\r")
		if len(line) == 0 || n == 199 {
			break
		}
		if line[0] == ' ' || line[0] == '\t' {
			continue // the field before goes on
		}
		field := headerField.FindSubmatch(line)
		if field == nil {
			return false
		}
		seen[strings.ToLower(string(field[1]))] = true
	}
	if strings.EqualFold(filepath.Ext(name), ".eml") {
		return len(seen) > 0
	}
	return seen["mime-version"] || seen["message-id"] && seen["from"] || seen["received"] && seen["from"] ||
		seen["from"] && seen["subject"] && (seen["to"] || seen["date"])
}

// skipFromLine cuts off the line that mailboxes put before each message.
func skipFromLine(data []byte) []byte {
	data = bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), "\r\n")
	if bytes.HasPrefix(data, []byte("From ")) {
		if i := bytes.IndexByte(data, '\n'); i >= 0 {
			return data[i+1:]
		}
	}
	return data
}

// unknown refuses a file that is in no form that is read.
func (f file) unknown(k kind) error {
	switch k {
	case kindEmpty:
		return f.refuse("name a photo or a text file", "the file is empty")
	case kindForeign:
		for _, known := range foreign {
			if bytes.HasPrefix(f.data, []byte(known.start)) {
				return f.refuse(known.hint, "this is %s, which is not read", known.what)
			}
		}
		switch brand := heifBrand(f.data); brand {
		case "avif", "avis":
			return f.refuse(savePhoto, "this is an AVIF picture, which is not read")
		case "mif1", "msf1", "jpeg":
			return f.refuse(savePhoto, "this is a HEIF picture of a kind that is not read")
		default:
			return f.refuse("name a photo of the receipt", "this is a film or a sound (%q), not a photo", strings.TrimSpace(brand))
		}
	}
	if strings.EqualFold(filepath.Ext(f.name), ".eml") {
		return f.refuse(saveMail, "this is no e-mail: it does not begin with fields like From and Subject")
	}
	return f.refuse("hand over a JPEG, PNG, WebP or HEIC photo, a PDF, an e-mail (.eml) or text (.txt)",
		"the file is in no form that a receipt is read from")
}
