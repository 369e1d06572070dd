package intake

import (
	"bytes"
	"context"
	"errors"
	"image"
	_ "image/jpeg" // sizes of attached pictures
	_ "image/png"
	"strings"

	_ "golang.org/x/image/webp"
)

// maxAttached is how many bytes of pictures an e-mail may come to, its PDFs' pages
// included.
const maxAttached = 256 << 20

// choose decides what of the letter is the receipt. Text and attachment are
// never two parts of one: where the text is a receipt, a PDF that came with it
// is a copy, or the terms, and to read both would ring everything up twice.
func (l *letter) choose(ctx context.Context) ([]Part, error) {
	var receipts, letters []Part
	most := 0
	for _, text := range l.bodies {
		part := Part{Text: text, Name: "the message"}
		if isReceipt(text) {
			receipts = append(receipts, part)
			most = max(most, amountLines(text))
		} else {
			letters = append(letters, part)
		}
	}
	attached, err := l.open(ctx, len(receipts) > 0)
	if err != nil {
		return nil, err
	}
	if len(receipts) > 0 && !fuller(attached, most) {
		for _, p := range attached {
			l.remark("%s was left out: the message itself is a receipt; to read it, save it and name it", p.Name)
		}
		return receipts, nil
	}
	if len(attached) > 0 {
		return withAmounts(attached), nil
	}
	if len(letters) > 0 {
		return letters, nil
	}
	return nil, l.refuse("save the receipt from the mail program, or print it to a PDF", "there is no text, photo or PDF in the e-mail")
}

// fuller reports whether a text among parts has more amounts than most.
func fuller(parts []Part, most int) bool {
	n := 0
	for _, p := range parts {
		n += amountLines(p.Text)
	}
	return n > most
}

// withAmounts leaves out texts without any amount (terms, a covering page),
// unless that is all there is.
func withAmounts(parts []Part) []Part {
	var out []Part
	for _, p := range parts {
		if p.Photo != nil || amountLines(p.Text) > 0 {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return parts
	}
	return out
}

// open opens what is attached. What cannot be opened is bad input, unless there
// is a receipt already: then it is only said.
func (l *letter) open(ctx context.Context, spare bool) ([]Part, error) {
	var parts []Part
	var bad []error
	size := 0
	for _, a := range l.attached {
		switch kind := sniff(a.label, a.data); {
		case kind == kindPhoto && a.small():
			continue
		case kind == kindPhoto, kind == kindHEIC, kind == kindPDF, kind == kindHTML,
			kind == kindText && strings.HasSuffix(strings.ToLower(a.label), ".txt"):
		default:
			if !a.embedded {
				l.remark("%s was left out: no receipt is read from a file of its kind", a.label)
			}
			continue
		}
		opened, err := a.openAttached(ctx)
		switch {
		case err != nil && ctx.Err() != nil:
			return nil, err // nor is there time for the others
		case err != nil && spare && isError(err):
			l.remark("%s was left out: %v", a.label, err)
			continue
		case err != nil:
			bad = append(bad, err)
			continue
		}
		for _, p := range opened {
			size += len(p.Photo)
			parts = append(parts, p)
		}
		if size > maxAttached {
			return nil, l.refuse("save the receipt's attachment and name that", "the pictures in the e-mail are larger than can be read")
		}
	}
	return parts, errors.Join(bad...)
}

// openAttached opens one attachment.
func (a attachment) openAttached(ctx context.Context) ([]Part, error) {
	parts, err := a.file.open(ctx)
	for i := range parts {
		if parts[i].Name == "" {
			parts[i].Name = a.label
		} else {
			parts[i].Name = a.label + ", " + parts[i].Name
		}
	}
	return parts, err
}

// small reports whether a picture can be no receipt: a logo, a button, a banner.
func (a attachment) small() bool {
	c, _, err := image.DecodeConfig(bytes.NewReader(a.data))
	if err != nil {
		return false // what is wrong with it is said when it is read
	}
	if a.embedded {
		return min(c.Width, c.Height) < 400 || c.Width > 2*c.Height
	}
	return max(c.Width, c.Height) < 200
}
