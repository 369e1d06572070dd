package week

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/parse/match"
)

// piece is what was read of one receipt, or of a part of one, in one file.
type piece struct {
	file  File
	pages []ocr.Page // nil once it cannot be joined to another
	at    []spot     // of each line
	r     *parse.Receipt
	cold  *cold  // all of r, where that is only its head
	store string // the plan's name of it, or as printed
}

// spot is where a line of a receipt stands: in which file, on which page of it.
type spot struct {
	file       *File
	page, line int32
}

// id makes a short name of what identifies a thing for good.
func id(kind string, of ...any) string {
	h := sha256.New()
	fmt.Fprint(h, kind)
	for _, o := range of {
		fmt.Fprintf(h, "\x00%v", o)
	}
	return kind[:1] + hex.EncodeToString(h.Sum(nil))[:12]
}

func (a *assessor) findStores() {
	for i := range a.in.Plans {
		if name := a.in.Plans[i].Plan.Store.Name; name != "" && !slices.Contains(a.stores, name) {
			a.stores = append(a.stores, name)
		}
	}
}

// readAll makes pieces of the units: one each, but of a photo of several
// receipts.
func (a *assessor) readAll() {
	seen := map[string]string{}
	for _, u := range a.in.Units {
		file := File{u.Name, Part{SHA256: u.SHA256}}
		if first, ok := seen[u.SHA256]; ok {
			a.aside(file, "it is the same file as "+first)
			continue
		}
		seen[u.SHA256] = u.Name
		pages, err := u.Load()
		if err != nil {
			a.aside(file, err.Error())
			continue
		}
		a.read(file, pages)
	}
}

func (a *assessor) aside(f File, why string) { a.w.Aside = append(a.w.Aside, Aside{File: f, Why: why}) }

// read takes one file in: corrections first, then cut into receipts. Papers
// that were read each by itself are each a receipt of its own.
func (a *assessor) read(file File, pages []ocr.Page) {
	var parts []*piece
	for from := 0; from < len(pages) || from == 0; {
		to := len(pages)
		if from < to && pages[from].Paper != nil {
			to = from + 1
		}
		p := &piece{file: file, pages: pages[from:to]}
		for i := range p.pages {
			for k := range p.pages[i].Lines {
				p.at = append(p.at, spot{&file, int32(from + i), int32(k)})
			}
		}
		a.correct(p, from)
		a.parse(p)
		for i := range p.pages {
			a.others[file.SHA256] += p.pages[i].Others
		}
		parts = append(parts, a.split(p)...)
		if from = to; from == 0 {
			break
		}
	}
	for n, part := range parts {
		part.file.N = n
		own := part.file
		for i := range part.at {
			part.at[i].file = &own
		}
		if part.r.Kind == parse.KindOther && part.priced() < 3 {
			a.aside(part.file, notReceipt)
			a.alsoThere(part.file)
			continue
		}
		if !part.openTop() && !part.openBottom() {
			part.pages = nil
			if a.in.Shelve != nil && part.r.Kind == parse.KindSale {
				part.r, part.cold = a.cool(part.r, part.at)
				part.at = nil
			}
		}
		a.pieces = append(a.pieces, part)
	}
}

// alsoThere leaves the papers of a file aside of which no receipt was read, once.
func (a *assessor) alsoThere(f File) {
	n := a.others[f.SHA256]
	delete(a.others, f.SHA256)
	for range n {
		a.aside(f, "another paper lies in the photo, and no receipt was read on it: if it is one, photograph it by itself")
	}
}

// parse makes p's receipt of its pages, with the words of its store where they
// are known, and marks what a person typed.
func (a *assessor) parse(p *piece) {
	p.r = parse.Parse(p.pages, parse.Options{})
	p.store = a.storeOf(p.r)
	for i := range a.in.Plans {
		if s := &a.in.Plans[i].Plan.Store; s.Name == p.store && s.Name != "" && len(s.Prints) > 0 {
			p.r = parse.Parse(p.pages, parse.Options{Words: s.Prints})
			break
		}
	}
	a.markCorrected(p)
	for _, page := range p.pages {
		p.r.Photos = append(p.r.Photos, parse.Photo{Name: p.file.Name, SHA256: p.file.SHA256, Taken: page.Taken})
	}
}

// storeOf is the store of r: a plan's where it is one, else as printed. A name
// that is the very same goes before one that is alike, and that before one that
// stands anywhere in the head: there only where hardly any of it is missing, since
// a town that a store is called after is the beginning of its name.
func (a *assessor) storeOf(r *parse.Receipt) string {
	if r.Store == "" {
		return ""
	}
	alone := &parse.Receipt{Store: r.Store}
	for _, is := range []func(s string) bool{
		func(s string) bool { return fold(s) == fold(r.Store) },
		func(s string) bool { return match.SameStore(s, alone) },
		func(s string) bool { return inHead(s, r) },
	} {
		if i := slices.IndexFunc(a.stores, is); i >= 0 {
			return a.stores[i]
		}
	}
	if len(a.stores) > 0 && !r.Complete.Top && !isText(r) {
		return "" // the head is cut off: what stands first is no store's name
	}
	return r.Store
}

// inHead reports whether a line of r's head is the name of store, nearly all of it.
func inHead(store string, r *parse.Receipt) bool {
	const head = 12
	for i := range r.Lines[:min(len(r.Lines), head)] {
		l := &r.Lines[i]
		if l.Kind == parse.LineItem {
			break
		}
		if 5*len(squeeze(l.Text)) >= 4*len(squeeze(store)) && match.SameStore(store, &parse.Receipt{Store: l.Text}) {
			return true
		}
	}
	return false
}

// correct lays what a person typed over the lines that were read, where the
// first page of p is that many in its file.
func (a *assessor) correct(p *piece, first int) {
	if len(a.in.Answers) == 0 {
		return
	}
	for _, s := range p.at {
		if answer, ok := a.in.Answers[amountID(s)]; ok {
			retype(&p.pages[int(s.page)-first].Lines[s.line], answer)
		}
	}
}

func amountID(s spot) string { return id("question", "amount", s.file.SHA256, s.page, s.line) }

// retype makes line read as a person says: with another amount, or, where the
// answer is no amount, as that text.
func retype(line *ocr.Line, answer string) {
	var words []ocr.Word
	if amount, err := money.Parse(answer); err == nil {
		if len(line.Readings) > 0 {
			words = slices.Clone(line.Readings[0].Words)
		}
		k := amountWord(words)
		if k < 0 {
			words, k = append(words, ocr.Word{Box: line.Box}), len(words)
		}
		words[k].Text = withAmount(words[k].Text, amount)
	} else {
		for i, w := range strings.Fields(answer) {
			words = append(words, ocr.Word{Text: w, Box: ocr.Box{X: line.Box.X + i, Y: line.Box.Y, W: line.Box.W, H: line.Box.H}})
		}
	}
	for i := range words {
		words[i].Confidence, words[i].Alternatives, words[i].Votes = 1, nil, 1
	}
	line.Readings = []ocr.Reading{{Words: words, Votes: 1}}
}

// amountWord is the word that the line's amount stands in, -1 for none: the
// last with a decimal sign in it, else the last with a digit.
func amountWord(words []ocr.Word) int {
	for _, signs := range []string{".,?", "0123456789"} {
		for k := len(words) - 1; k >= 0; k-- {
			if t := words[k].Text; strings.ContainsAny(t, signs) && strings.ContainsAny(t, "0123456789") {
				return k
			}
		}
	}
	return -1
}

// withAmount puts amount in the place of the number in text, and leaves signs
// and flags around it as they are.
func withAmount(text string, amount money.Amount) string {
	from, to := strings.IndexAny(text, "0123456789?"), strings.LastIndexAny(text, "0123456789?")
	before, after := "", ""
	if from >= 0 {
		before, after = text[:from], text[to+1:]
	}
	if amount.Sign() < 0 && !strings.Contains(before+after, "-") {
		before = "-" + before
	}
	return before + amount.Abs().String() + after
}

// markCorrected gives typed amounts their proof.
func (a *assessor) markCorrected(p *piece) {
	if len(a.in.Answers) == 0 {
		return
	}
	for i, s := range p.at {
		answer, ok := a.in.Answers[amountID(s)]
		if !ok || i >= len(p.r.Lines) {
			continue
		}
		l := &p.r.Lines[i]
		amount, err := money.Parse(answer)
		switch {
		case err != nil:
			if l.Amount == nil {
				continue
			}
		case l.Amount == nil:
			l.Amount = &amount
		case l.Amount.Abs() != amount.Abs():
			continue // the sums chose another: what was typed does not fit them
		}
		l.Proof, l.Unread = parse.Corrected, false
	}
}

// openTop reports whether p may be the continuation of another piece: it does
// not begin with a store's name. Where the paper's upper end is not in a photo,
// what stands first is a name only if a plan has it.
func (p *piece) openTop() bool { return p.store == "" && p.r.Kind != parse.KindSlip }

// openBottom reports whether p may go on in another piece: it has goods and no
// total.
func (p *piece) openBottom() bool {
	return p.r.Total == nil && (p.goods() > 0 || p.r.Kind == parse.KindOther && p.priced() > 0)
}

const notReceipt = "nothing on it reads like a receipt"

var priceAtEnd = regexp.MustCompile(`\d[.,]\d\d(\D{0,4})$`)

// priced counts the lines that end in a price: a part of a receipt has them
// even where so much is missing that it reads like none.
func (p *piece) priced() int {
	n := 0
	for i := range p.r.Lines {
		if priceAtEnd.MatchString(strings.TrimSpace(p.r.Lines[i].Text)) {
			n++
		}
	}
	return n
}

// goods counts the item lines.
func (p *piece) goods() int {
	n := 0
	for i := range p.r.Lines {
		if p.r.Lines[i].Kind == parse.LineItem {
			n++
		}
	}
	return n
}

// sub is the piece of p's lines from one to another.
func (a *assessor) sub(p *piece, from, to int) *piece {
	q := &piece{file: p.file, at: slices.Clone(p.at[from:to])}
	k := 0
	for i := range p.pages {
		page := p.pages[i]
		page.Lines = nil
		for _, l := range p.pages[i].Lines {
			if k >= from && k < to {
				page.Lines = append(page.Lines, l)
			}
			k++
		}
		page.Top, page.Bottom = page.Top || from > 0, page.Bottom || to < len(p.at)
		if len(page.Lines) > 0 {
			q.pages = append(q.pages, page)
		}
	}
	a.parse(q)
	return q
}

// split cuts a piece in which several receipts lie one under the other.
func (a *assessor) split(p *piece) []*piece {
	paid := slices.IndexFunc(p.r.Lines, func(l parse.Line) bool { return l.Kind == parse.LineTotal || l.Kind == parse.LineTender })
	if paid < 0 || len(p.at) != len(p.r.Lines) {
		return []*piece{p}
	}
	var upper, lower *piece
	best := 0
	for cut := paid + 1; cut < len(p.at); cut++ {
		if !a.beginsReceipt(p, cut) {
			continue
		}
		u, l := a.sub(p, 0, cut), a.sub(p, cut, len(p.at))
		if u.r.Total == nil || l.r.Total == nil || u.goods() == 0 || l.goods() == 0 || !u.r.Firm {
			continue
		}
		score := 1
		if l.r.Firm {
			score++
		}
		if score > best {
			best, upper, lower = score, u, l
		}
		if best == 2 {
			break
		}
	}
	if upper == nil {
		return []*piece{p}
	}
	return append([]*piece{upper}, a.split(lower)...)
}

// beginsReceipt reports whether a receipt may begin in line n of p: with the
// name of a planned store, or just as the first did.
func (a *assessor) beginsReceipt(p *piece, n int) bool {
	text := strings.TrimSpace(p.r.Lines[n].Text)
	if letters := strings.Count(text, "") - 1; letters < 3 {
		return false
	}
	if strings.EqualFold(text, strings.TrimSpace(p.r.Lines[0].Text)) {
		return true
	}
	one := &parse.Receipt{Store: text}
	return slices.ContainsFunc(a.stores, func(s string) bool { return match.SameStore(s, one) })
}

func sortReceipts(all []*Receipt) {
	slices.SortStableFunc(all, func(x, y *Receipt) int {
		return cmp.Or(cmp.Compare(x.Date, y.Date), cmp.Compare(x.Time, y.Time), cmp.Compare(x.Files[0].Name, y.Files[0].Name), cmp.Compare(x.Files[0].N, y.Files[0].N))
	})
}
