package intake

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/enums"
	pdferrors "github.com/klippa-app/go-pdfium/errors"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"

	"tillproof/ocr"
)

const (
	// dpi is the resolution at which a page is drawn: that of a good scan.
	dpi = 300
	// pagePixels is the most that one page is drawn with; a larger page is
	// drawn coarser. A metre of till paper at 300 dpi is 11 million.
	pagePixels = 25_000_000
	// allPixels is the most that all pages together are drawn with.
	allPixels = 200_000_000

	savePDF = "name a photo of the receipt, or save the PDF anew (print it to a PDF)"
)

// pdf opens a PDF; the child does all of it.
func (f file) pdf(ctx context.Context) ([]Part, error) {
	if err := f.within(maxPDF, "PDF", "keep only the receipt's pages"); err != nil {
		return nil, err
	}
	return f.inChild(ctx, childPDF, "PDF")
}

// document is an open PDF.
type document struct {
	pool   pdfium.Pool
	engine pdfium.Pdfium
	ref    references.FPDF_DOCUMENT
}

// openPDF opens a PDF with a PDFium of its own. To draw pages that one is
// translated to the machine's code, which takes seconds where cache does not
// hold it yet; to get at text it is interpreted, which starts at once.
func openPDF(data []byte, toDraw bool, cache string) (*document, error) {
	config := wazero.NewRuntimeConfigInterpreter()
	if toDraw {
		config = wazero.NewRuntimeConfig()
		if c, err := wazero.NewCompilationCacheWithDir(cache); cache != "" && err == nil {
			config = config.WithCompilationCache(c)
		}
	}
	// PDFium's module uses exceptions; without the feature it panics.
	config = config.WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling)
	pool, err := webassembly.Init(webassembly.Config{
		MaxTotal: 1, MaxIdle: 1, RuntimeConfig: config,
		FSConfig: wazero.NewFSConfig(), // no folder of the machine is to be seen; the default is all of them
		Stdout:   io.Discard, Stderr: io.Discard,
	})
	if err != nil {
		return nil, err
	}
	d := &document{pool: pool}
	if d.engine, err = pool.GetInstance(time.Minute); err == nil {
		var doc, openErr = d.engine.OpenDocument(&requests.OpenDocument{File: &data})
		if err = openErr; err == nil {
			d.ref = doc.Document
			return d, nil
		}
	}
	_ = pool.Close() // the process ends soon; what went wrong is err
	return nil, err
}

// close lets go of everything.
func (d *document) close() { _ = d.pool.Close() } // the process ends with it

// readPDF opens a PDF; it runs in the child. A page that has a text layer to
// trust becomes text, another is drawn.
func readPDF(data []byte, cache string) reply {
	parts, err := pdfParts(data, cache)
	var bad *Error
	switch {
	case errors.As(err, &bad):
		return reply{Msg: bad.Msg, Hint: bad.Hint}
	case errors.Is(err, pdferrors.ErrPassword), errors.Is(err, pdferrors.ErrSecurity):
		return reply{Msg: "the PDF is locked with a password", Hint: "open it and print it to a new PDF"}
	case err != nil:
		return reply{Msg: fmt.Sprintf("the PDF is damaged (%v)", err), Hint: savePDF}
	case len(parts) == 0:
		return reply{Msg: "there is nothing on the pages of the PDF", Hint: savePDF}
	}
	return reply{Parts: parts}
}

func pdfParts(data []byte, cache string) ([]Part, error) {
	pages, err := readPages(data)
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(pages, func(p pdfPage) bool { return p.draw }) {
		if err := drawPages(data, cache, pages); err != nil {
			return nil, err
		}
	}
	var parts []Part
	for i, p := range pages {
		part := Part{Text: withoutPrintMarks(p.text), Photo: p.photo}
		if len(pages) > 1 {
			part.Name = fmt.Sprintf("page %d", i+1)
		}
		if strings.TrimSpace(part.Text) != "" || p.photo != nil {
			parts = append(parts, part)
		}
	}
	return parts, nil
}

// readPages looks at every page.
func readPages(data []byte) ([]pdfPage, error) {
	d, err := openPDF(data, false, "")
	if err != nil {
		return nil, err
	}
	defer d.close()
	count, err := d.engine.FPDF_GetPageCount(&requests.FPDF_GetPageCount{Document: d.ref})
	if err != nil {
		return nil, err
	}
	if count.PageCount > maxPages {
		return nil, file{}.refuse("keep only the receipt's pages", "the PDF has %d pages, more than the %d that are read", count.PageCount, maxPages)
	}
	pages := make([]pdfPage, count.PageCount)
	for i := range pages {
		if pages[i], err = d.read(i); err != nil {
			return nil, err
		}
	}
	return pages, nil
}

// pdfPage is what a page becomes: text, or a picture once it is drawn, or
// nothing where it is blank.
type pdfPage struct {
	text  string
	draw  bool
	photo []byte
}

// drawPages draws the pages that are to be drawn.
func drawPages(data []byte, cache string, pages []pdfPage) error {
	d, err := openPDF(data, true, cache)
	if err != nil && cache != "" {
		d, err = openPDF(data, true, "") // what is kept there may be damaged
	}
	if err != nil {
		return err
	}
	defer d.close()
	left := allPixels
	for i := range pages {
		if !pages[i].draw {
			continue
		}
		g, err := d.draw(i)
		if err != nil {
			return err
		}
		if left -= len(g.Pix); left < 0 {
			return file{}.refuse("keep only the receipt's pages", "the pages of the PDF are larger than can be read")
		}
		pages[i].photo = ocr.EncodeGrey(g, "")
	}
	return nil
}

// load loads page i and tells its size in points as it is shown.
func (d *document) load(i int) (page requests.Page, w, h float64, err error) {
	loaded, err := d.engine.FPDF_LoadPage(&requests.FPDF_LoadPage{Document: d.ref, Index: i})
	if err != nil {
		return page, 0, 0, err
	}
	page = requests.Page{ByReference: &loaded.Page}
	size, err := d.engine.FPDF_GetPageSizeByIndex(&requests.FPDF_GetPageSizeByIndex{Document: d.ref, Index: i})
	if err != nil {
		return page, 0, 0, err
	}
	if !(size.Width > 0 && size.Height > 0 && size.Width < 1e6 && size.Height < 1e6) {
		return page, 0, 0, fmt.Errorf("page %d has no size", i+1)
	}
	return page, size.Width, size.Height, nil
}

// draw draws page i in grey.
func (d *document) draw(i int) (*image.Gray, error) {
	page, pw, ph, err := d.load(i)
	if err != nil {
		return nil, err
	}
	scale := min(float64(dpi)/72, math.Sqrt(pagePixels/(pw*ph)))
	w, h := max(int(pw*scale), 1), max(int(ph*scale), 1)
	if w > pagePixels/h {
		return nil, file{}.refuse(savePDF, "page %d of the PDF is %.0f by %.0f points, which is no page", i+1, pw, ph)
	}
	made, err := d.engine.FPDFBitmap_Create(&requests.FPDFBitmap_Create{Width: w, Height: h})
	if err != nil {
		return nil, err
	}
	bitmap := made.Bitmap
	if _, err := d.engine.FPDFBitmap_FillRect(&requests.FPDFBitmap_FillRect{Bitmap: bitmap, Width: w, Height: h, Color: 0xffffffff}); err != nil {
		return nil, err
	}
	if _, err := d.engine.FPDF_RenderPageBitmap(&requests.FPDF_RenderPageBitmap{
		Bitmap: bitmap, Page: page, SizeX: w, SizeY: h,
		Flags: enums.FPDF_RENDER_FLAG_GRAYSCALE | enums.FPDF_RENDER_FLAG_ANNOT,
	}); err != nil {
		return nil, err
	}
	pixels, err := d.engine.FPDFBitmap_GetBuffer(&requests.FPDFBitmap_GetBuffer{Bitmap: bitmap})
	if err != nil {
		return nil, err
	}
	if len(pixels.Buffer) < 4*w*h {
		return nil, fmt.Errorf("page %d was drawn too small", i+1)
	}
	g := image.NewGray(image.Rect(0, 0, w, h))
	for j := range g.Pix {
		g.Pix[j] = pixels.Buffer[4*j] // blue, green and red are the same
	}
	_, err = d.engine.FPDFBitmap_Destroy(&requests.FPDFBitmap_Destroy{Bitmap: bitmap})
	return g, err
}
