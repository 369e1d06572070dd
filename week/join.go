package week

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/ocr"
	"tillproof/ocr/join"
	"tillproof/parse"
)

// A long receipt may be photographed in up to this many pieces.
const mostPieces = 4

// longestOverlap is how many lines two photos of one receipt may both show.
const longestOverlap = 60

// joinParts puts the pieces of long receipts together. That two belong together
// is proved by the sums: neither closes by itself, and both do together; or by the
// lines that two photos share, where these leave one way only. Where neither
// tells, neighbours in the folder are asked about.
func (a *assessor) joinParts() {
	for range mostPieces - 1 {
		if !a.joinOnce() {
			break
		}
	}
	a.joinAnswered()
	a.askParts()
	for _, p := range a.pieces {
		p.pages = nil
	}
}

// joinOnce joins each pair that is sure, and reports whether there was one.
// A middle piece is joined to its beginning only where an end closes the sums.
func (a *assessor) joinOnce() bool {
	type pair struct{ top, bottom, middle, whole *piece }
	var pairs []pair
	tops, bottoms := map[*piece]int{}, map[*piece]int{}
	note := func(p pair) {
		pairs = append(pairs, p)
		tops[p.top]++
		bottoms[p.bottom]++
	}
	for _, t := range a.pieces {
		if t.pages == nil || !t.openBottom() {
			continue
		}
		for _, b := range a.pieces {
			if b == t || b.pages == nil || !b.openTop() || b.openBottom() || differ(t.r.Date, b.r.Date) {
				continue
			}
			if b.r.Firm && b.goods() > 0 && !sameSubtotal(t, b) {
				continue // it is whole without t
			}
			if whole, sure := a.joined(t, b); (sure || closes(whole)) && (!b.r.Firm || b.goods() == 0 || whole.goods() == b.goods()) {
				note(pair{t, b, nil, whole})
			}
		}
	}
	if pairs == nil {
		for _, t := range a.pieces {
			if t.pages == nil || !t.openBottom() || t.openTop() {
				continue
			}
			a.eachMiddle(t, func(m, b, whole *piece) { note(pair{t, b, m, whole}) })
		}
	}
	found := false
	for _, p := range pairs {
		if tops[p.top] != 1 || bottoms[p.bottom] != 1 {
			continue
		}
		found = true
		a.replace(p.whole, p.top, p.bottom, p.middle)
	}
	return found
}

// sameSubtotal reports whether both show the same subtotal: the lower one may then
// show all of the upper one's goods, and the upper one only the head besides.
func sameSubtotal(t, b *piece) bool {
	return t.r.Subtotal != nil && b.r.Subtotal != nil && *t.r.Subtotal == *b.r.Subtotal && t.goods() > 1
}

// eachMiddle tries every middle piece and end after top.
func (a *assessor) eachMiddle(top *piece, note func(m, b, whole *piece)) {
	for _, m := range a.pieces {
		if m == top || m.pages == nil || !m.openTop() || !m.openBottom() {
			continue
		}
		upper, _ := a.joined(top, m)
		for _, b := range a.pieces {
			if b == top || b == m || b.pages == nil || !b.openTop() || b.openBottom() || b.r.Firm && b.goods() > 0 {
				continue
			}
			if whole, _ := a.joined(upper, b); closes(whole) {
				note(m, b, whole)
			}
		}
	}
}

func closes(p *piece) bool { return p.r.Firm && p.r.Total != nil && p.goods() > 0 }

// joined is top with bottom under it, what both show once: by lines that are
// the very same, else, on photos, by lines that were read alike. It is sure where
// the latter leave one way only, whether or not the sums close then.
func (a *assessor) joined(top, bottom *piece) (whole *piece, sure bool) {
	p := a.under(top, bottom, overlap(top, bottom))
	if closes(p) || isText(top.r) {
		return p, false
	}
	if q := a.overlaid(top, bottom); q != nil {
		return q, q.r.Total != nil
	}
	return p, false
}

// under is top with bottom under it, without bottom's first k lines.
func (a *assessor) under(top, bottom *piece, k int) *piece {
	p := &piece{file: top.file, at: append(slices.Clone(top.at), bottom.at[k:]...)}
	p.pages = renumbered(slices.Concat(top.pages, dropLines(bottom.pages, k)))
	a.parse(p)
	p.r.Photos = append(slices.Clone(top.r.Photos), bottom.r.Photos...)
	return p
}

// renumbered are copies of pages that count their photos from 1.
func renumbered(pages []ocr.Page) (out []ocr.Page) {
	for i, page := range pages {
		page.Photo = i + 1
		page.Lines = slices.Clone(page.Lines)
		for k := range page.Lines {
			page.Lines[k].Photo = page.Photo
		}
		out = append(out, page)
	}
	return out
}

// overlaid is top with bottom laid over it; nil where their lines do not say
// how they lie.
func (a *assessor) overlaid(top, bottom *piece) *piece {
	type place struct {
		photo int
		box   ocr.Box
	}
	pages := renumbered(slices.Concat(top.pages, bottom.pages))
	spots, n := map[place]spot{}, 0
	at := slices.Concat(top.at, bottom.at)
	for i := range pages {
		for k := range pages[i].Lines {
			if n < len(at) {
				spots[place{i + 1, pages[i].Lines[k].Box}] = at[n]
			}
			n++
		}
	}
	pages = join.Pages(pages)
	if pages[len(top.pages)].Gap {
		return nil
	}
	p := &piece{file: top.file, pages: pages}
	for i := range pages {
		for _, l := range pages[i].Lines {
			p.at = append(p.at, spots[place{l.Photo, l.Box}])
		}
	}
	a.parse(p)
	p.r.Photos = append(slices.Clone(top.r.Photos), bottom.r.Photos...)
	return p
}

// overlap is the number of lines at the end of top that bottom begins with.
func overlap(top, bottom *piece) int {
	t, b := top.r.Lines, bottom.r.Lines
	for k := min(len(t), len(b), longestOverlap); k > 0; k-- {
		same := true
		for i := range k {
			if squeeze(t[len(t)-k+i].Text) != squeeze(b[i].Text) {
				same = false
				break
			}
		}
		// A single line in common may be the same product rung twice.
		if same && k >= 2 {
			return k
		}
	}
	return 0
}

func squeeze(s string) string { return strings.ToUpper(strings.Join(strings.Fields(s), "")) }

// dropLines leaves the first k lines of pages out.
func dropLines(pages []ocr.Page, k int) []ocr.Page {
	var out []ocr.Page
	for _, p := range pages {
		n := min(k, len(p.Lines))
		k -= n
		p.Lines = p.Lines[n:]
		out = append(out, p)
	}
	return out
}

// replace puts whole in the place of its parts.
func (a *assessor) replace(whole *piece, parts ...*piece) {
	at := slices.Index(a.pieces, parts[0])
	if at < 0 {
		return // it is part of something already
	}
	for _, p := range parts[1:] {
		if p != nil && !slices.Contains(a.pieces, p) {
			return
		}
	}
	a.pieces[at] = whole
	a.pieces = slices.DeleteFunc(a.pieces, func(p *piece) bool { return slices.Contains(parts, p) })
}

// neighbours are a beginning and an end that may belong together: next to each
// other in the folder, with nothing else that either may belong to.
func (a *assessor) neighbours() (pairs [][2]*piece) {
	for i := 0; i+1 < len(a.pieces); i++ {
		t, b := a.pieces[i], a.pieces[i+1]
		if t.pages != nil && b.pages != nil && t.openBottom() && b.openTop() && !b.openBottom() && !closes(b) && t.file.SHA256 != b.file.SHA256 {
			pairs = append(pairs, [2]*piece{t, b})
		}
	}
	return pairs
}

func joinID(t, b *piece) string { return id("question", "join", t.file.Part, b.file.Part) }

// joinAnswered joins what a person said belongs together.
func (a *assessor) joinAnswered() {
	for _, n := range a.neighbours() {
		if a.in.Answers[joinID(n[0], n[1])] == "yes" {
			whole, _ := a.joined(n[0], n[1])
			a.replace(whole, n[0], n[1])
		}
	}
}

// askParts asks about neighbours that the sums leave open.
func (a *assessor) askParts() {
	for _, n := range a.neighbours() {
		q := joinID(n[0], n[1])
		if _, done := a.in.Answers[q]; done {
			continue
		}
		stake := money.Amount{}
		if n[1].r.Total != nil {
			stake = *n[1].r.Total
		}
		a.question(Question{ID: q, Kind: "join", Amount: stake, File: n[1].file, Choices: []string{"yes", "no"},
			Text: "Is " + n[1].file.Name + " the lower part of the receipt in " + n[0].file.Name + "? Their sums do not tell."})
	}
}

// pendingTop is the piece that b may be the lower part of, nil for none.
func (a *assessor) pendingTop(b *piece) *piece {
	for i, p := range a.pieces {
		if p == b && i > 0 && a.asked(joinID(a.pieces[i-1], b)) {
			return a.pieces[i-1]
		}
	}
	return nil
}

// receipts makes receipts of the pieces.
func (a *assessor) receipts() {
	of := map[*piece]*Receipt{}
	for _, p := range a.pieces {
		if p.r.Kind == parse.KindOther {
			a.aside(p.file, notReceipt)
			a.alsoThere(p.file)
			continue
		}
		r := &Receipt{Kind: p.r.Kind, Store: p.store, Date: p.r.Date, Time: p.r.Time, Total: p.r.Total, Read: p.r, cold: p.cold, at: p.at, Score: 0}
		for _, s := range p.at {
			if !slices.Contains(r.Files, *s.file) {
				r.Files = append(r.Files, *s.file)
			}
		}
		if len(r.Files) == 0 {
			r.Files = []File{p.file}
		}
		r.ID = a.receiptID(r.Files)
		for _, f := range r.Files {
			a.alsoThere(f)
		}
		if answer, ok := a.in.Answers[dateID(r)]; ok {
			p.r.Date, p.r.DateOther = answer, ""
			r.Date = answer
		}
		of[p] = r
		a.w.Receipts = append(a.w.Receipts, r)
		if t := a.pendingTop(p); t != nil && of[t] != nil {
			r.SameAs = of[t].ID
			r.Notes = append(r.Notes, "it may be the lower part of another receipt, and is not counted until that is answered")
		}
	}
	a.pieces = nil
}

// receiptID is the id that one of the files had before, else one of the first.
func (a *assessor) receiptID(files []File) string {
	best := ""
	for _, f := range files {
		if was := a.in.IDs[f.Part]; was != "" && !a.used[was] && (best == "" || was < best) {
			best = was
		}
	}
	if best == "" {
		best = id("receipt", files[0].Part)
	} else {
		a.known[best] = true
	}
	a.used[best] = true
	return best
}

func dateID(r *Receipt) string { return id("question", "date", r.Files[0].Part) }
