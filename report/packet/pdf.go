package packet

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

// Measures of a page, in millimetres.
const (
	paperWidth, paperHeight = 210.0, 297.0
	margin                  = 18.0
	textWidth               = paperWidth - 2*margin
	rightColumn             = 42.0
)

// PDF writes the document as a PDF. made is the date that the file gives.
func (d *Document) PDF(w io.Writer, made time.Time) error {
	f := fpdf.New("P", "mm", "A4", "")
	f.SetCatalogSort(true)
	f.SetCreationDate(made)
	f.SetModificationDate(made)
	f.SetTitle(clean(d.Title), true)
	f.SetProducer("tillproof", true)
	f.AddUTF8FontFromBytes("go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	f.AddUTF8FontFromBytes("mono", "", gomono.TTF)
	f.SetMargins(margin, margin, margin)
	f.SetAutoPageBreak(true, margin)
	f.AliasNbPages("{pages}")
	f.SetFooterFunc(func() {
		f.SetY(paperHeight - margin + 4)
		f.SetFont("go", "", 8)
		f.CellFormat(textWidth, 5, fmt.Sprintf("%s, page %d of {pages}", clean(d.Title), f.PageNo()), "", 0, "C", false, 0, "")
	})
	f.AddPage()
	for i, b := range d.blocks {
		// A picture stays with its heading, which says what the caption would.
		switch {
		case b.kind == headingBlock && i+1 < len(d.blocks) && d.blocks[i+1].kind == pictureBlock:
			_, h := sizeOf(d.blocks[i+1].picture)
			room(f, h+20)
		case b.kind == pictureBlock && i > 0 && d.blocks[i-1].text == b.picture.Caption:
			b.picture.Caption = ""
		}
		drawBlock(f, i, b)
	}
	return f.Output(w)
}

func drawBlock(f *fpdf.Fpdf, i int, b block) {
	text := clean(b.text)
	switch b.kind {
	case titleBlock:
		f.SetFont("go", "B", 16)
		f.MultiCell(textWidth, 8, text, "", "L", false)
		f.Ln(3)
	case headingBlock:
		room(f, 24)
		f.Ln(5)
		f.SetFont("go", "B", 12)
		f.MultiCell(textWidth, 6, text, "", "L", false)
		f.Ln(1)
	case paraBlock:
		f.SetFont("go", "", 10)
		f.MultiCell(textWidth, 5, text, "", "L", false)
		f.Ln(1)
	case rowBlock:
		f.SetFont("go", "", 10)
		indent := 3 * float64(len(b.text)-len(strings.TrimLeft(b.text, " "))) / 2
		lines := f.SplitText(strings.TrimSpace(text), textWidth-rightColumn-indent)
		for n, line := range lines {
			room(f, 5)
			f.SetX(margin + indent)
			right := ""
			if n == len(lines)-1 {
				right = clean(b.right)
			}
			f.CellFormat(textWidth-rightColumn-indent, 5, line, "", 0, "L", false, 0, "")
			f.CellFormat(rightColumn, 5, right, "", 1, "R", false, 0, "")
		}
	case monoBlock:
		f.SetFont("mono", "", 8.5)
		f.MultiCell(textWidth, 4.2, text, "", "L", false)
	case pictureBlock:
		drawPicture(f, i, b.picture)
	}
}

// room starts a new page where less than height is left of this one.
func room(f *fpdf.Fpdf, height float64) {
	if f.GetY()+height > paperHeight-margin {
		f.AddPage()
	}
}

// sizeOf is how large a picture is drawn, with room for a heading over it.
func sizeOf(p Picture) (w, h float64) {
	const most = paperHeight - 2*margin - 22
	w = min(textWidth, float64(p.Width)/5)
	h = w * float64(p.Height) / float64(max(1, p.Width))
	if h > most {
		w, h = w*most/h, most
	}
	return w, h
}

// drawPicture draws a picture as large as the page allows.
func drawPicture(f *fpdf.Fpdf, i int, p Picture) {
	name := fmt.Sprintf("picture %d", i)
	opts := fpdf.ImageOptions{ImageType: "JPG"}
	f.RegisterImageOptionsReader(name, opts, bytes.NewReader(p.JPEG))
	w, h := sizeOf(p)
	room(f, h+7)
	if p.Caption != "" {
		f.SetFont("go", "", 8)
		f.CellFormat(textWidth, 6, clean(p.Caption), "", 1, "C", false, 0, "")
	}
	f.ImageOptions(name, margin+(textWidth-w)/2, f.GetY(), w, h, false, opts, 0, "")
	f.SetY(f.GetY() + h + 2)
}

// clean leaves out what the fonts cannot draw, such as emoji, and what is no
// text at all: the PDF library takes neither.
func clean(s string) string {
	var b strings.Builder
	for _, r := range strings.ToValidUTF8(s, "?") {
		switch {
		case r == '\t':
			b.WriteByte(' ')
		case r == '█':
			b.WriteRune(r)
		case r == utf8.RuneError || r >= 0x2190 || r < ' ' && r != '\n':
			b.WriteByte('?')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
