package intake

import (
	"bytes"
	"context"
	"errors"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/emersion/go-message"
	_ "github.com/emersion/go-message/charset" // the character sets of older mail programs
	"golang.org/x/text/encoding/charmap"
)

const (
	mailDepth = 10
	mailParts = 50
	maxHeader = 256 << 10
	saveAgain = "save the message once more, or print it to a PDF"
)

// letter is what was found in an e-mail.
type letter struct {
	file
	parts  int
	bodies []string
	// attached are the files that came with it, with names for messages.
	attached []attachment
}

// attachment is a file that came with an e-mail.
type attachment struct {
	file
	label string // "attachment receipt.pdf"
	// embedded says that it is shown within the text: a logo as a rule.
	embedded bool
}

// mail opens an e-mail.
func (f file) mail(ctx context.Context) ([]Part, error) {
	if err := f.within(maxMail, "e-mail", "save its attachment and name that"); err != nil {
		return nil, err
	}
	l := letter{file: f}
	if err := l.message(ctx, f.data, 0, nil); err != nil {
		return nil, err
	}
	return l.choose(ctx)
}

// message reads a whole message, the outermost or one that was sent on.
func (l *letter) message(ctx context.Context, data []byte, depth int, alt *alternative) error {
	e, err := message.ReadWithOptions(bytes.NewReader(skipFromLine(data)), &message.ReadOptions{MaxHeaderBytes: maxHeader})
	if e == nil || err != nil && !message.IsUnknownCharset(err) && !message.IsUnknownEncoding(err) {
		return l.refuse(saveAgain, "the head of the e-mail is damaged: %v", err)
	}
	return l.walk(ctx, e, depth, alt)
}

// alternative is one text in two forms.
type alternative struct{ plain, html string }

// walk looks through a part of a message and the parts in it. alt is where
// texts go that are the same in another form, nil where they are no such.
func (l *letter) walk(ctx context.Context, e *message.Entity, depth int, alt *alternative) error {
	if depth > mailDepth {
		return l.refuse(saveAgain, "the e-mail has parts in parts more than %d deep", mailDepth)
	}
	if l.parts++; l.parts > mailParts {
		return l.refuse(saveAgain, "the e-mail has more than %d parts", mailParts)
	}
	kind, _, err := e.Header.ContentType()
	if err != nil {
		kind = "text/plain" // as RFC 2045, 5.2 has it for what cannot be made out
	}
	if parts := e.MultipartReader(); parts != nil {
		own := alt
		if kind == "multipart/alternative" && alt == nil {
			own = &alternative{}
			defer func() { l.body(own.choose()) }()
		}
		return l.each(ctx, parts, depth, own)
	}
	data, err := io.ReadAll(e.Body)
	if err != nil {
		return l.refuse(saveAgain, "a part of the e-mail (%s) is damaged: %v", kind, err)
	}
	disposition, params, _ := e.Header.ContentDisposition() // what cannot be made out is as good as missing
	name := params["filename"]
	if name == "" {
		_, params, _ = e.Header.ContentType()
		name = params["name"]
	}
	if kind == "message/rfc822" || kind == "message/global" {
		return l.message(ctx, data, depth+1, nil)
	}
	if disposition != "attachment" && (kind == "text/plain" || kind == "text/html") {
		return l.text(ctx, kind, decodeMail(data), alt)
	}
	label := "attachment " + oneLine(name)
	if name == "" {
		label = "attachment of type " + oneLine(kind)
	}
	l.attached = append(l.attached, attachment{
		file:     file{name: l.name + ": " + label, data: data, opts: l.opts},
		label:    label,
		embedded: disposition != "attachment" && e.Header.Get("Content-Id") != "",
	})
	return nil
}

// each walks through the parts of a part.
func (l *letter) each(ctx context.Context, parts message.MultipartReader, depth int, alt *alternative) error {
	for {
		p, err := parts.NextPart()
		if errors.Is(err, io.EOF) && p == nil {
			return nil
		}
		if p == nil || err != nil && !message.IsUnknownCharset(err) && !message.IsUnknownEncoding(err) {
			return l.refuse(saveAgain, "the e-mail is cut off or damaged: %v", err)
		}
		if err := l.walk(ctx, p, depth+1, alt); err != nil {
			return err
		}
	}
}

// text takes in a text part.
func (l *letter) text(ctx context.Context, kind, text string, alt *alternative) error {
	if len(text) > maxHTML {
		return l.refuse(saveAgain, "a text of %d MB is no receipt", len(text)>>20)
	}
	one := alt
	if alt == nil {
		one = &alternative{}
	}
	if kind == "text/html" {
		lines, err := file{name: l.name, data: []byte(text), opts: l.opts}.htmlLines(ctx)
		if err != nil {
			return err
		}
		one.html += lines + "\n"
	} else {
		one.plain += unquote(text) + "\n"
	}
	if alt == nil {
		l.body(one.choose())
	}
	return nil
}

// body notes a text, where there is any.
func (l *letter) body(text string) {
	if text = strings.Trim(text, "\r\n"); strings.TrimSpace(text) != "" {
		l.bodies = append(l.bodies, text)
	}
}

// choose is the plain form, since it is what was written and needs no laying
// out, unless it is a shadow of the other ("your program cannot show this").
func (a *alternative) choose() string {
	if strings.TrimSpace(a.plain) == "" || 2*amountLines(a.plain) < amountLines(a.html) {
		return a.html
	}
	return a.plain
}

var quoted = regexp.MustCompile(`(?m)^(> ?)+`)

// unquote takes the marks off that a forwarded text has before its lines.
func unquote(text string) string { return quoted.ReplaceAllString(text, "") }

// decodeMail takes text whose character set was not told, or told wrongly, as
// UTF-8 where it is that and as Windows-1252 where not. What matters most, the
// digits, is the same in all of them.
func decodeMail(data []byte) string {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if utf8.Valid(data) {
		return strings.ReplaceAll(string(data), "\x00", " ")
	}
	text, err := charmap.Windows1252.NewDecoder().Bytes(data)
	if err != nil {
		return strings.ToValidUTF8(string(data), "?") // cannot be: every byte has a meaning, or U+FFFD
	}
	return strings.ReplaceAll(string(text), "\x00", " ")
}

// oneLine makes a name from a file fit for a message.
func oneLine(name string) string {
	name = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return -1
		}
		return r
	}, strings.ToValidUTF8(name, "?"))
	if r := []rune(name); len(r) > 80 {
		name = string(r[:80]) + "…"
	}
	return name
}

var (
	amountAtEnd = regexp.MustCompile(`(?m)[0-9][.,][0-9]{2}-?[ \t]*(?:[A-Z*€$£]{1,3})?[ \t\r]*$`)
	totalWord   = regexp.MustCompile(`(?i)\b(total|sum|summe|gesamt|betrag|montant|importe|suma|razem|totaal|amount|balance)\b`)
)

// amountLines counts the lines that end in an amount.
func amountLines(text string) int { return len(amountAtEnd.FindAllStringIndex(text, -1)) }

// isReceipt tells a receipt from a letter that goes with one.
func isReceipt(text string) bool {
	n := amountLines(text)
	return n >= 3 || n == 2 && totalWord.MatchString(text)
}
