// Package intake opens every form of file that a receipt comes in: text, photos,
// PDFs and e-mails. Start with Open: it tells what a file is by its content and
// hands back what package parse reads as text and package ocr reads as photos.
//
// HEIC photos and PDFs are complicated formats, read by large C and C++
// libraries. They are opened in a child process of the same program with limits
// on time and memory: a program that uses this package calls Maybe first thing
// in main, a test binary in TestMain. Nothing of that is started for a JPEG.
package intake

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Limits of one file. They are above anything that a phone, a scanner or a shop
// sends, and keep a file made to harm from taking the machine.
const (
	maxText   = 1 << 20
	maxHTML   = 2 << 20
	maxMail   = 25 << 20
	maxPDF    = 64 << 20
	maxPhoto  = 64 << 20
	maxPages  = 20
	maxPixels = 64_000_000 // of one picture
)

// Part is one page or picture of a receipt: either Text or Photo is set.
type Part struct {
	// Text is a receipt as text, lines separated by line feeds. What stands side
	// by side on a page stands side by side here.
	Text string
	// Photo is a picture that package ocr decodes: a JPEG, PNG or WebP file as it
	// is, or a grey picture as ocr.EncodeGrey makes it.
	Photo []byte
	// Name says where in the file the part stands ("page 2", "attachment
	// receipt.pdf"), empty where the file is the part.
	Name string
}

// Options are the settings of Open. The zero value is good.
type Options struct {
	// Remark is told, in a sentence, what a person should know of a file that
	// opens: which attachment was left out, and why. nil: nobody is told.
	Remark func(sentence string)
	// CacheDir is where the PDF renderer is kept in the machine's own code, so
	// that only the first scanned PDF waits for it; "": the folder tillproof of the user's cache.
	CacheDir string
	// Timeout is how long one file may take, all that is in it included; 0: a
	// minute.
	Timeout time.Duration
}

// Error says that a file cannot be used.
type Error struct {
	// Name is the file's, with the place in it where that matters.
	Name string
	// Msg says what is wrong, Hint what a person can do about it.
	Msg, Hint string
}

// Error is what is wrong with which file, and what to do.
func (e *Error) Error() string { return e.Name + ": " + e.Msg + "; " + e.Hint }

// file is what is being opened.
type file struct {
	name string
	data []byte
	opts Options
}

// refuse makes the error for a file that cannot be used.
func (f file) refuse(hint, format string, args ...any) *Error {
	return &Error{Name: f.name, Msg: fmt.Sprintf(format, args...), Hint: hint}
}

// within refuses a file that is larger than its kind may be.
func (f file) within(limit int, kind, hint string) error {
	if len(f.data) > limit {
		return f.refuse(hint, "the %s of %d MB is larger than the %d MB that are read", kind, len(f.data)>>20, limit>>20)
	}
	return nil
}

// remark tells a person what to know of the file.
func (f file) remark(format string, args ...any) {
	if f.opts.Remark != nil {
		f.opts.Remark(f.name + ": " + fmt.Sprintf(format, args...))
	}
}

// Open turns the bytes of a file into the parts of a receipt, top to bottom;
// there is at least one. name is for messages, and tells two things: text is
// taken only from a file that ends in .txt (or from "-", standard input), and a
// file that ends in .eml is an e-mail. The error is, or joins, an *Error for
// everything that is wrong with the file, or it is ctx's.
func Open(ctx context.Context, name string, data []byte, opts Options) ([]Part, error) {
	if opts.Timeout <= 0 {
		opts.Timeout = time.Minute
	}
	f := file{name: name, data: data, opts: opts}
	inTime, cancel := context.WithTimeout(ctx, opts.Timeout)
	defer cancel()
	parts, err := f.open(inTime)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return nil, err
	}
	return parts, nil
}

// open opens f as what it is.
func (f file) open(ctx context.Context) ([]Part, error) {
	switch kind := sniff(f.name, f.data); kind {
	case kindPhoto:
		if err := f.within(maxPhoto, "photo", "scale the picture down, or cut it to the receipt"); err != nil {
			return nil, err
		}
		return []Part{{Photo: f.data}}, nil
	case kindHEIC:
		return f.heic(ctx)
	case kindPDF:
		return f.pdf(ctx)
	case kindMail:
		return f.mail(ctx)
	case kindHTML:
		return f.page(ctx)
	case kindText:
		return f.text()
	default:
		return nil, f.unknown(kind)
	}
}

// page opens a saved web page.
func (f file) page(ctx context.Context) ([]Part, error) {
	if err := f.within(maxHTML, "web page", savePage); err != nil {
		return nil, err
	}
	text, err := f.htmlLines(ctx)
	if err != nil {
		return nil, err
	}
	if text == "" {
		return nil, f.refuse(savePage, "there is no text in the web page")
	}
	return []Part{{Text: text}}, nil
}

// isError reports whether err says what is wrong with a file, as against a
// context that ended.
func isError(err error) bool {
	var e *Error
	return errors.As(err, &e)
}
