package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/ocr"
	"tillproof/ocr/worker"
	"tillproof/parse"
)

// readPaper is a receipt and the pages that it was made of.
type readPaper struct {
	pages   []ocr.Page
	receipt *parse.Receipt
}

// readEach reads the files of one receipt; where they are one photo in which
// several receipts lie, each of these.
func (a *app) readEach(ctx context.Context, sources []source, words parse.Words) ([]readPaper, error) {
	if len(photosOf(sources)) == 0 {
		pages, receipt := assemble(sources, nil, words)
		return []readPaper{{pages, receipt}}, nil
	}
	pool, err := worker.New(runtime.NumCPU(), a.model)
	if err != nil {
		return nil, err
	}
	defer pool.Close()
	return (&files{pool, sources, words}).readPapers(ctx)
}

// readPapers is readPhotos for each paper of a photo that shows several. They
// are taken for receipts only where they are, each by itself: what merely looks
// like a seam must not tear one in two. Papers that only the text tells apart,
// where the whole is in two columns, must have closing sums too.
func (f *files) readPapers(ctx context.Context) ([]readPaper, error) {
	single := len(f.sources) == 1 && len(f.sources[0].parts) == 1
	pages, receipt, err := f.readPhotos(ctx, nil, single)
	if err == nil && receipt == nil {
		papers := pages[0].Papers
		each, loose, err := f.readSheets(ctx, papers)
		if err != nil {
			return nil, err
		}
		// Papers beside each other are no two parts of one receipt, whatever else
		// is on the others: read as a whole, their lines would run into each other.
		if len(each) > 0 && allFirm(each) && (len(each) > 1 || beside(papers, each[0].pages[0].Turn)) {
			return leaving(apart(each, loose), len(papers)-len(each)), nil
		}
		pages, receipt, err = f.readPhotos(ctx, nil, false)
		if err == nil && len(each) > 1 && !oneAfterAll(receipt, each) {
			return leaving(apart(each, loose), len(papers)-len(each)), nil
		}
		if err != nil {
			return nil, err
		}
		whole := []readPaper{{pages, receipt}}
		if n := unseen(papers, &pages[0]); n > 0 {
			whole = leaving(apart(whole, true), n)
		}
		return whole, nil
	}
	whole := []readPaper{{pages, receipt}}
	if err != nil || !single || receipt.Firm || len(pages[0].Papers) < 2 {
		return whole, err
	}
	each, loose, err := f.readSheets(ctx, pages[0].Papers)
	if err != nil {
		return nil, err
	}
	if loose || len(each) < 2 || !allFirm(each) {
		what := "the print stands in two columns: where two receipts lie side by side, photograph each by itself"
		pages[0].Advice = append(slices.Clone(pages[0].Advice), what)
		receipt.Warnings = append(receipt.Warnings, what)
		pages[0].Others = 1
		return whole, nil
	}
	return each, nil
}

// leaving is each, with the remark that n further papers of the photo were not
// read: what is in a photo is never left out without a word.
func leaving(each []readPaper, n int) []readPaper {
	if n < 1 || len(each) == 0 {
		return each
	}
	page, r := &each[0].pages[0], each[0].receipt
	page.Others = n
	what := "another paper lies in the photo, and no receipt was read on it: photograph it by itself"
	if n > 1 {
		what = fmt.Sprintf("%d more papers lie in the photo, and no receipt was read on them: photograph each by itself", n)
	}
	page.Advice = append(slices.Clone(page.Advice), what)
	r.Warnings = append(r.Warnings, what)
	return each
}

// unseen counts the papers on which none of the lines stands that were read on
// page.
func unseen(papers []ocr.Sheet, page *ocr.Page) (n int) {
	for _, s := range papers {
		on := 0
		for _, l := range page.Lines {
			if len(l.Readings) > 0 && within(s, unturned(page, float64(l.Box.X)+float64(l.Box.W)/2, float64(l.Box.Y)+float64(l.Box.H)/2)) {
				on++
			}
		}
		if on < 2 {
			n++
		}
	}
	return n
}

// unturned is a point of the upright page as it was before its quarter turns, in
// which papers are looked for.
func unturned(page *ocr.Page, x, y float64) [2]float64 {
	w, h := float64(page.Width), float64(page.Height)
	switch page.Turn {
	case 1:
		return [2]float64{y, w - x}
	case 2:
		return [2]float64{w - x, h - y}
	case 3:
		return [2]float64{h - y, x}
	}
	return [2]float64{x, y}
}

// within reports whether a point lies on a paper, whose corners run clockwise.
func within(s ocr.Sheet, p [2]float64) bool {
	for i, a := range s.Corners {
		b := s.Corners[(i+1)%4]
		if (b.X-a.X)*(p[1]-a.Y)-(b.Y-a.Y)*(p[0]-a.X) < 0 {
			return false
		}
	}
	return true
}

// beside reports whether papers lie side by side for whoever reads them upright, as
// they do after so many quarter turns, and none above another.
func beside(papers []ocr.Sheet, turn int) bool {
	extent := func(s ocr.Sheet) (from, to float64) {
		from, to = math.Inf(1), math.Inf(-1)
		for _, c := range s.Corners {
			down := c.Y
			if turn%2 != 0 {
				down = c.X
			}
			from, to = min(from, down), max(to, down)
		}
		return from, to
	}
	for i, s := range papers {
		from, to := extent(s)
		for _, o := range papers[i+1:] {
			from2, to2 := extent(o)
			if 2*(min(to, to2)-max(from, from2)) < min(to-from, to2-from2) {
				return false
			}
		}
	}
	return true
}

func allFirm(each []readPaper) bool {
	return !slices.ContainsFunc(each, func(r readPaper) bool { return !r.receipt.Firm })
}

// oneAfterAll reports whether what seemed to be several papers is one: read as a
// whole its sums close, over all the lines that the parts have.
func oneAfterAll(whole *parse.Receipt, each []readPaper) bool {
	lines := 0
	for _, r := range each {
		lines += len(r.receipt.Lines)
	}
	return whole.Firm && 10*len(whole.Lines) >= 9*lines
}

// readSheets reads papers of a photo each by itself, and returns those that are
// receipts; loose says that others are not, and may belong to one that is.
func (f *files) readSheets(ctx context.Context, papers []ocr.Sheet) (each []readPaper, loose bool, err error) {
	for i := range papers {
		pages, r, err := f.readPhotos(ctx, &papers[i], false)
		var unreadable unreadableError
		if errors.As(err, &unreadable) {
			loose = true
			continue
		}
		if err != nil {
			return nil, false, err
		}
		loose = loose || r.Kind == parse.KindSlip
		if r.Kind == parse.KindOther || !standsAlone(r) {
			loose = true
			continue
		}
		each = append(each, readPaper{pages, r})
	}
	return each, loose, nil
}

// apart are receipts of one photo. Where there are loose papers too, what is
// missing on a receipt may stand on one of those: its end is not known.
func apart(each []readPaper, loose bool) []readPaper {
	for i := range each {
		if loose {
			each[i].pages[0].Bottom, each[i].receipt.Complete.Bottom = false, false
		}
	}
	return each
}

// standsAlone reports whether r is more than a piece of a receipt.
func standsAlone(r *parse.Receipt) bool {
	goods := slices.ContainsFunc(r.Lines, func(l parse.Line) bool { return l.Kind == parse.LineItem })
	return r.Kind == parse.KindSlip || goods && r.Total != nil
}

// describeReceipt is what a person knows a receipt by.
func describeReceipt(r *parse.Receipt) string {
	parts := []string{r.Store, r.Date}
	if r.Total != nil {
		parts = append(parts, r.Total.String())
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", ")
}

// checkEach checks the receipts of one photo, and returns the one that is of the
// plan. Where several fit alike nothing is judged: neither may be blamed for
// what the other shows.
func (a *app) checkEach(in audit.Input, each []readPaper) (readPaper, *audit.Result, error) {
	var results []*audit.Result
	for _, r := range each {
		in.Receipt = r.receipt
		result, err := audit.Check(in)
		if err != nil {
			return readPaper{}, nil, err
		}
		results = append(results, result)
	}
	if len(each) == 1 {
		return each[0], results[0], nil
	}
	best, second := -1, 0.0
	for i, r := range results {
		switch fit := fitOf(r); {
		case best < 0 || fit > fitOf(results[best]):
			if best >= 0 {
				second = fitOf(results[best])
			}
			best = i
		default:
			second = max(second, fit)
		}
	}
	name := each[0].receipt.Photos[0].Name
	if fitOf(results[best]) < second+0.2 {
		var all []string
		for _, r := range each {
			all = append(all, describeReceipt(r.receipt))
		}
		return readPaper{}, nil, unreadableError{fmt.Sprintf("%s: there are %d receipts in the photo (%s), and more than one may be of the plan; photograph each alone, or name its transaction with --transaction; tillproof week checks them all",
			name, len(each), strings.Join(all, "; "))}
	}
	fmt.Fprintf(a.err, "tillproof: note: %s: there are %d receipts in the photo; the one that fits the plan is checked (%s); tillproof week checks them all\n",
		name, len(each), describeReceipt(each[best].receipt))
	return each[best], results[best], nil
}

// fitOf is the share of the planned items that a result found on its receipt.
func fitOf(r *audit.Result) float64 {
	if r.Expected == nil || len(r.Expected.Lines) == 0 || r.Receipt.Kind != parse.KindSale {
		return 0
	}
	found := map[string]bool{}
	for _, m := range r.Matches {
		if m.Item != "" && len(m.Lines) > 0 {
			found[m.Item] = true
		}
	}
	return float64(len(found)) / float64(len(r.Expected.Lines))
}
