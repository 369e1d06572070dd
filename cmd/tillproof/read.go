package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tillproof/ocr"
	"tillproof/ocr/fastjpeg"
	"tillproof/ocr/join"
	"tillproof/ocr/worker"
	"tillproof/parse"
	"tillproof/report"

	"github.com/spf13/cobra"
)

func (a *app) readCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "read PHOTO...",
		Short: "Read a receipt and check its own sums",
		Long: `Read the photos of one receipt (several are one long receipt, top to bottom), say
what each line is, and prove its amounts by the receipt's own sums. A file that
ends in .txt is read as text; PDFs and e-mails (.eml) are opened; - is standard
input.

Exit codes: 0 done, 2 a file cannot be used, 3 no receipt can be read in it.`,
		Example: "  tillproof read receipt.jpg\n  tillproof read --json top.jpg bottom.jpg",
		Args:    atLeastOne("the photos of a receipt"),
		RunE: func(cmd *cobra.Command, args []string) error {
			sources, err := a.loadSources(cmd.Context(), args)
			if err != nil {
				return err
			}
			each, err := a.readEach(cmd.Context(), sources, nil)
			if err != nil {
				return err
			}
			a.advise(each)
			receipts := make([]*parse.Receipt, len(each))
			for i, r := range each {
				receipts[i] = r.receipt
			}
			if a.asJSON {
				return a.printJSON(struct {
					Version int              `json:"version"`
					Receipt *parse.Receipt   `json:"receipt"`
					Others  []*parse.Receipt `json:"others,omitempty"`
				}{1, receipts[0], receipts[1:]})
			}
			for i, r := range receipts {
				if len(receipts) > 1 {
					fmt.Fprintf(&a.result, "Receipt %d of %d in the photo.\n\n", i+1, len(receipts))
				}
				a.result.WriteString(report.Receipt(r))
				if i+1 < len(receipts) {
					a.result.WriteString("\n")
				}
			}
			return nil
		},
	}
	a.modelFlag(cmd)
	return cmd
}

// advise says how photos of receipts that are not firm could be taken better.
func (a *app) advise(each []readPaper) {
	for _, r := range each {
		if r.receipt.Firm {
			continue
		}
		for i := range r.pages {
			for _, advice := range r.pages[i].Advice {
				fmt.Fprintf(a.err, "tillproof: note: %s: %s\n", r.receipt.Photos[i].Name, advice)
			}
		}
	}
}

// files are the files of one receipt, and what they are read with.
type files struct {
	pool    *worker.Pool
	sources []source
	words   parse.Words // the store's own for the kinds of line, nil where not known
}

// looking are the settings to read a photo, or one paper of it, in one way.
func looking(way int, only *ocr.Sheet) ocr.Options {
	return ocr.Options{Way: way, Paper: only, DecodeJPEG: fastjpeg.Decode}
}

// readPhotos reads the photos that f holds, or only one paper of them, and
// returns the pages of the way in which they were read best with the receipt
// they make. Where apart is set and papers are seen apart in the one photo,
// nothing is read and they are returned, without a receipt.
//
// Photos whose sums do not close are read again in the other ways there are: a
// receipt whose sums close was read right, whichever way that was. Where they
// close in none, the way that proves the most amounts is taken.
func (f *files) readPhotos(ctx context.Context, only *ocr.Sheet, apart bool) ([]ocr.Page, *parse.Receipt, error) {
	var best *parse.Receipt
	var bestPages []ocr.Page
	for way := range ocr.Ways {
		options := looking(way, only)
		options.Apart = apart && way == 0
		read, err := ocr.Read(ctx, photosOf(f.sources), f.pool, options)
		if err != nil {
			if best != nil {
				break
			}
			return nil, nil, photoFaults(f.sources, err)
		}
		if options.Apart && len(read[0].Lines) == 0 && len(read[0].Papers) > 1 {
			return read, nil, nil
		}
		var seen looks
		pages, receipt := assembleWith(f.sources, read, f.words, func(pages []ocr.Page) parse.SecondLook {
			return seen.noting(secondLook(ctx, f.pool, pages))
		})
		seen.keepIn(pages)
		for i := range pages {
			pages[i].Forget()
		}
		if receipt.Firm {
			for i := range bestPages {
				if pages[i].Beyond(&bestPages[i]) {
					// What was seen before and is not seen now may tell of a credit.
					pages[i].Top, pages[i].Bottom, receipt.Complete = false, false, parse.Complete{}
				}
			}
			return pages, receipt, nil
		}
		if best == nil || receipt.Proved() > best.Proved() {
			bestPages, best = pages, receipt
		}
		// A letter or a menu does not become a receipt by looking again.
		if !slices.ContainsFunc(receipt.Lines, func(l parse.Line) bool { return l.Amount != nil }) {
			break
		}
	}
	return bestPages, best, ctx.Err()
}

// photosOf are the pictures among the parts of sources, in order.
func photosOf(sources []source) (photos [][]byte) {
	for _, s := range sources {
		for _, p := range s.parts {
			if p.Photo != nil {
				photos = append(photos, p.Photo)
			}
		}
	}
	return photos
}

// secondLook is how the parser has lines of pages read once more, in the photo
// that they are from. A look that fails shows nothing new.
func secondLook(ctx context.Context, engine ocr.DigitEngine, pages []ocr.Page) parse.SecondLook {
	return func(l ocr.Line) []ocr.Reading {
		for i := range pages {
			if pages[i].Photo != l.Photo {
				continue
			}
			if more, err := pages[i].Again(ctx, engine, l); err == nil {
				return more
			}
		}
		return nil
	}
}

// assemble makes a receipt of the pages read from photos, in order, and of the
// text that the other sources hold, and returns it with all the pages.
func assemble(sources []source, read []ocr.Page, words parse.Words) ([]ocr.Page, *parse.Receipt) {
	return assembleWith(sources, read, words, func([]ocr.Page) parse.SecondLook { return nil })
}

// assembleWith is assemble with a second look at the pages.
func assembleWith(sources []source, read []ocr.Page, words parse.Words, look func([]ocr.Page) parse.SecondLook) ([]ocr.Page, *parse.Receipt) {
	pages := make([]ocr.Page, 0, len(sources))
	var of []parse.Photo // an entry a page, since lines name their page by number
	for _, s := range sources {
		for _, p := range s.parts {
			page := ocr.Page{}
			if p.Photo == nil {
				page = parse.TextPage(p.Text)
			} else {
				page, read = read[0], read[1:]
			}
			page.Photo = len(pages) + 1
			for i := range page.Lines {
				page.Lines[i].Photo = page.Photo // the reader counts photos only
			}
			pages = append(pages, page)
			of = append(of, parse.Photo{Name: strings.TrimSpace(s.name + " " + p.Name), SHA256: s.sha256(), Taken: page.Taken})
		}
	}
	if severalPhotos(sources) {
		pages = join.Pages(pages)
	}
	receipt := parse.Parse(pages, parse.Options{Words: words, Again: look(pages)})
	receipt.Photos = of
	return pages, receipt
}

// severalPhotos reports whether the receipt is in several photos, which may
// show the same lines. The pages of one document follow each other.
func severalPhotos(sources []source) bool {
	for _, s := range sources {
		if len(s.parts) != 1 || s.parts[0].Photo == nil {
			return false
		}
	}
	return len(sources) > 1
}

// photoFaults names the files in what the reader says of its photos, which it
// counts from 1.
func photoFaults(sources []source, err error) error {
	var names []string
	for _, s := range sources {
		for _, p := range s.parts {
			if p.Photo != nil {
				names = append(names, s.name)
			}
		}
	}
	var unreadable *ocr.UnreadableError
	if errors.As(err, &unreadable) {
		return unreadableError{fmt.Sprintf("%s: %v", names[0], err)}
	}
	all := []error{err}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		all = joined.Unwrap()
	}
	var bad faults
	for _, one := range all {
		var file *ocr.FileError
		if errors.As(one, &file) && file.Photo >= 1 && file.Photo <= len(names) {
			one = fmt.Errorf("%s: %s; %s", names[file.Photo-1], file.Msg, file.Hint)
		}
		bad = append(bad, one)
	}
	return bad
}
