package intake

import (
	"fmt"
	"math"
	"unicode"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

const (
	// mostGlyphs and mostObjects are far above any receipt's page.
	mostGlyphs  = 50_000
	mostObjects = 20_000
	// formDepth is how deep drawings in drawings are looked into.
	formDepth = 6
)

// read looks at page i: its text, where every character of it is certain.
// Otherwise the page is to be drawn and read like a photo. Text that lies
// invisible under a scan is what some program once read in it, with its
// misreadings; so is, most likely, text on a page that is one large picture.
func (d *document) read(i int) (pdfPage, error) {
	page, w, h, err := d.load(i)
	if err != nil {
		return pdfPage{}, err
	}
	what, err := d.survey(page)
	if err != nil {
		return pdfPage{}, err
	}
	if what.objects == 0 {
		return pdfPage{}, nil
	}
	if what.invisible || what.pictures > w*h/2 {
		return pdfPage{draw: true}, nil
	}
	glyphs, certain, err := d.glyphs(page)
	if err != nil || !certain {
		return pdfPage{draw: true}, err
	}
	return pdfPage{text: layOut(glyphs)}, nil
}

// contents is what is drawn on a page.
type contents struct {
	objects   int
	invisible bool    // some of its text is not drawn
	pictures  float64 // area of its pictures in square points
}

// survey looks through the objects of a page.
func (d *document) survey(page requests.Page) (contents, error) {
	var c contents
	count, err := d.engine.FPDFPage_CountObjects(&requests.FPDFPage_CountObjects{Page: page})
	if err != nil {
		return c, err
	}
	for i := range min(count.Count, mostObjects) {
		object, err := d.engine.FPDFPage_GetObject(&requests.FPDFPage_GetObject{Page: page, Index: i})
		if err != nil {
			return c, err
		}
		picture, err := d.look(object.PageObject, &c, 0)
		if err != nil {
			return c, err
		}
		if picture {
			// An object's bounds are the page's, also where the picture stands in
			// a drawing with measures of its own.
			b, err := d.engine.FPDFPageObj_GetBounds(&requests.FPDFPageObj_GetBounds{PageObject: object.PageObject})
			if err == nil { // a picture without extent is none
				c.pictures += math.Abs(float64(b.Right-b.Left) * float64(b.Top-b.Bottom))
			}
		}
	}
	return c, nil
}

// look notes what object is, and reports whether it is or holds a picture.
func (d *document) look(object references.FPDF_PAGEOBJECT, c *contents, depth int) (picture bool, err error) {
	if c.objects++; c.objects > mostObjects {
		return false, nil
	}
	kind, err := d.engine.FPDFPageObj_GetType(&requests.FPDFPageObj_GetType{PageObject: object})
	if err != nil {
		return false, err
	}
	switch kind.Type {
	case enums.FPDF_PAGEOBJ_IMAGE:
		return true, nil
	case enums.FPDF_PAGEOBJ_TEXT:
		mode, err := d.engine.FPDFTextObj_GetTextRenderMode(&requests.FPDFTextObj_GetTextRenderMode{PageObject: object})
		if err == nil && mode.TextRenderMode == enums.FPDF_TEXTRENDERMODE_INVISIBLE {
			c.invisible = true
		}
	case enums.FPDF_PAGEOBJ_FORM:
		count, err := d.engine.FPDFFormObj_CountObjects(&requests.FPDFFormObj_CountObjects{PageObject: object})
		if err != nil || depth == formDepth {
			return false, err
		}
		for i := range min(count.Count, mostObjects) {
			inner, err := d.engine.FPDFFormObj_GetObject(&requests.FPDFFormObj_GetObject{PageObject: object, Index: uint64(i)})
			if err != nil {
				return false, err
			}
			found, err := d.look(inner.PageObject, c, depth+1)
			if err != nil {
				return false, err
			}
			picture = picture || found
		}
	}
	return picture, nil
}

// glyphs are the characters of a page's text layer, turned upright; certain
// says that there are some and that each is a known character.
func (d *document) glyphs(page requests.Page) (all []glyph, certain bool, err error) {
	text, err := d.engine.FPDFText_LoadPage(&requests.FPDFText_LoadPage{Page: page})
	if err != nil {
		return nil, false, err
	}
	count, err := d.engine.FPDFText_CountChars(&requests.FPDFText_CountChars{TextPage: text.TextPage})
	if err != nil {
		return nil, false, err
	}
	if count.Count > mostGlyphs {
		return nil, false, file{}.refuse("name the receipt alone", "a page of the PDF holds %d characters, which is no receipt", count.Count)
	}
	var turned [4][]glyph // by quarter turns clockwise
	askew, spaced := 0, false
	for i := range count.Count {
		r, known, err := d.char(text.TextPage, i)
		if err != nil {
			return nil, false, err
		}
		if unicode.IsSpace(r) {
			spaced = true
			continue
		}
		if !known {
			return nil, false, nil
		}
		g, quarter, err := d.place(text.TextPage, i)
		if err != nil {
			return nil, false, err
		}
		if quarter < 0 {
			askew++
			continue
		}
		g.r, g.spaced, spaced = r, spaced, false
		turned[quarter] = append(turned[quarter], g)
	}
	best, total := 0, askew
	for q := range turned {
		total += len(turned[q])
		if len(turned[q]) > len(turned[best]) {
			best = q
		}
	}
	// A few letters along an edge or across the page are no part of the receipt.
	return turned[best], len(turned[best])*10 > total*9, nil
}

// char is character i, and whether the PDF really tells which one it is.
func (d *document) char(text references.FPDF_TEXTPAGE, i int) (r rune, known bool, err error) {
	code, err := d.engine.FPDFText_GetUnicode(&requests.FPDFText_GetUnicode{TextPage: text, Index: i})
	if err != nil {
		return 0, false, err
	}
	r = rune(code.Unicode)
	if r == 2 {
		return '-', true, nil // a hyphen at the end of a line, as PDFium marks it
	}
	failed, err := d.engine.FPDFText_HasUnicodeMapError(&requests.FPDFText_HasUnicodeMapError{TextPage: text, Index: i})
	if err != nil {
		return 0, false, fmt.Errorf("character %d: %w", i, err)
	}
	known = !failed.HasUnicodeMapError && unicode.IsGraphic(r) && !unicode.Is(unicode.Co, r) && r != unicode.ReplacementChar
	return r, known, nil
}

// place is where character i stands, turned upright, and by how many quarter
// turns clockwise it stood; -1 where it stands askew.
func (d *document) place(text references.FPDF_TEXTPAGE, i int) (g glyph, quarter int, err error) {
	angle, err := d.engine.FPDFText_GetCharAngle(&requests.FPDFText_GetCharAngle{TextPage: text, Index: i})
	if err != nil {
		return g, 0, err
	}
	turns := float64(angle.CharAngle) / (math.Pi / 2)
	near := math.Round(turns)
	if !(math.Abs(turns-near) < 0.1) {
		return g, -1, nil
	}
	box, err := d.engine.FPDFText_GetLooseCharBox(&requests.FPDFText_GetLooseCharBox{TextPage: text, Index: i})
	if err != nil {
		return g, 0, err
	}
	quarter = (int(near)%4 + 4) % 4
	sin := [4]float64{0, 1, 0, -1}[quarter]
	cos := [4]float64{1, 0, -1, 0}[quarter]
	turn := func(x, y float64) (float64, float64) { return x*cos - y*sin, -x*sin - y*cos }
	xa, ya := turn(float64(box.Rect.Left), float64(box.Rect.Top))
	xb, yb := turn(float64(box.Rect.Right), float64(box.Rect.Bottom))
	return glyph{x0: min(xa, xb), y0: min(ya, yb), x1: max(xa, xb), y1: max(ya, yb), seq: i}, quarter, nil
}
