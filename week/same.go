package week

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
)

// print is what tells a receipt from all others.
type print struct {
	store, date, other, time, register, transaction string
	total                                           *money.Amount
	headless                                        bool // its upper edge is not in the photo
}

func (r *Receipt) print() print {
	return print{r.Store, r.Date, r.Read.DateOther, r.Time, r.Read.Register, r.Read.Transaction, r.Total, !r.Read.Complete.Top && !r.isText()}
}

func (e *Earlier) print() print {
	return print{e.Store, e.Date, "", e.Time, e.Register, e.Transaction, e.Total, false}
}

// likeness says how far two receipts are the same.
type likeness int

const (
	different likeness = iota
	perhaps
	identical
)

// compare says what the printed numbers tell. Store, date, register,
// transaction and total all the same: one receipt. A register that neither has
// and a time that both have do as well, since a till prints no two receipts of
// one number in one minute. Where a number could not be read in one of them,
// they may be the same.
func (p print) compare(q print) likeness {
	if p.total == nil || q.total == nil || *p.total != *q.total || differ(fold(p.store), fold(q.store)) {
		return different
	}
	if p.date != "" && q.date != "" && p.date != q.date && p.other != q.date && p.date != q.other {
		return different
	}
	sameTime := p.time != "" && q.time != "" && (strings.HasPrefix(p.time, q.time) || strings.HasPrefix(q.time, p.time))
	if differ(p.transaction, q.transaction) || differ(p.register, q.register) || p.time != "" && q.time != "" && !sameTime {
		return different
	}
	sure := p.date != "" && q.date != "" && p.transaction != "" && q.transaction != ""
	if p.store == "" || q.store == "" {
		// The head may be cut off: all else has to be the same then.
		if sure && (p.headless || q.headless) && p.register != "" && q.register != "" && sameTime {
			return identical
		}
		return perhaps
	}
	switch {
	case sure && p.register != "" && q.register != "":
		return identical
	case sure && p.register == "" && q.register == "" && sameTime:
		return identical
	}
	return perhaps
}

// differ reports whether both were read and are not the same.
func differ(a, b string) bool { return a != "" && b != "" && a != b }

func fold(s string) string { return strings.ToUpper(strings.Join(strings.Fields(s), " ")) }

// misread reports whether p and q, which differ in their numbers, may be one
// receipt of which a photo was misread: all else is the same to the minute.
func (p print) misread(q print) bool {
	a, b := p, q
	a.transaction, b.transaction, a.register, b.register = "", "", "", ""
	return p.time != "" && q.time != "" && p.date != "" && q.date != "" && a.compare(b) != different
}

// sameTwice finds receipts photographed twice.
func (a *assessor) sameTwice() {
	byTotal := map[money.Amount][]*Receipt{}
	for _, r := range a.w.Receipts {
		if r.Total == nil || r.SameAs != "" {
			continue
		}
		of := byTotal[*r.Total]
		if !a.sameAsOne(r, of) {
			byTotal[*r.Total] = append(of, r)
		}
	}
	a.w.Receipts = slices.DeleteFunc(a.w.Receipts, func(r *Receipt) bool { return r.Files == nil })
}

// sameAsOne finds out whether r is one of those before it: a copy of it is
// taken in, one that may be is marked. Its files are gone where it was a copy.
func (a *assessor) sameAsOne(r *Receipt, before []*Receipt) bool {
	for _, o := range before {
		how := o.print().compare(r.print())
		photos := !r.isText() || !o.isText()
		if how == different && photos && o.print().misread(r.print()) && alike(o, r) >= 0.8 {
			how = perhaps
		}
		if how == perhaps && alike(o, r) < 0.6 || how == identical && alike(o, r) < 0.3 {
			how = different
		}
		if how == perhaps {
			q := id("question", "same", o.Files[0].Part, r.Files[0].Part)
			switch a.in.Answers[q] {
			case "yes":
				how = identical
			case "no":
				how = different
			default:
				r.SameAs = o.ID
				r.Notes = append(r.Notes, "it may be the receipt in "+o.Files[0].Name+", and is not counted until that is answered")
				a.question(Question{ID: q, Kind: "same", Amount: *r.Total, File: r.Files[0], Receipt: r.ID, Choices: []string{"yes", "no"},
					Text: "Is the receipt in " + r.Files[0].Name + " the one in " + o.Files[0].Name + "? Both come to " + r.Total.String() + ", and a number that would tell was not read."})
				return true
			}
		}
		if how == identical {
			if a.known[r.ID] && !a.known[o.ID] {
				o.ID, r.ID = r.ID, o.ID
			}
			merge(o, r)
			return true
		}
	}
	return false
}

// badCopy asks whether r, of which too little was read to tell it from o by its
// numbers, is another photo of o, whose transaction it would fit best.
func (a *assessor) badCopy(r, o *Receipt) {
	if r.isText() || r.Total != nil || r.Date != "" && !a.strayDate(r) && differ(r.Date, o.Date) || !mostlyOf(o, r) {
		return
	}
	q := id("question", "same", o.Files[0].Part, r.Files[0].Part)
	switch a.in.Answers[q] {
	case "yes":
		o.Copies, r.Files = append(o.Copies, r.Files...), nil
	case "":
		r.SameAs = o.ID
		r.Notes = append(r.Notes, "it may be the receipt in "+o.Files[0].Name+", and is not counted until that is answered")
		stake := money.Amount{}
		if o.Total != nil {
			stake = *o.Total
		}
		a.question(Question{ID: q, Kind: "same", Amount: stake, File: r.Files[0], Receipt: r.ID, Choices: []string{"yes", "no"},
			Text: "Is the receipt in " + r.Files[0].Name + " the one in " + o.Files[0].Name + "? Its total was not read; its goods are much the same."})
	}
}

// merge takes the copy r into o; the better photo is the one that counts.
func merge(o, r *Receipt) {
	if quality(r.full()) > quality(o.full()) {
		id, copies := o.ID, o.Copies
		o.Files, r.Files = r.Files, o.Files
		o.cold, r.cold = r.cold, nil
		o.Read, o.at, o.Store, o.Date, o.Time, o.Total, o.Kind = r.Read, r.at, r.Store, r.Date, r.Time, r.Total, r.Kind
		o.ID, o.Copies = id, copies
	}
	o.Copies = append(o.Copies, r.Files...)
	r.Files = nil
}

// quality says how much of a receipt was read for sure.
func quality(r *parse.Receipt) int {
	n := 0
	for i := range r.Lines {
		if p := r.Lines[i].Proof; p == parse.Proved || p == parse.Corrected {
			n++
		}
	}
	for _, s := range []string{r.Store, r.Date, r.Time, r.Register, r.Transaction} {
		if s != "" {
			n++
		}
	}
	if r.Firm {
		n += 1000
	}
	return n
}

func isText(r *parse.Receipt) bool {
	for i := range r.Lines {
		if r.Lines[i].Photo != 0 {
			return false
		}
	}
	return true
}

// alike is the share of item lines, by amount, that two receipts have in common.
func alike(a, b *Receipt) float64 {
	count := map[money.Amount]int{}
	n, same := 0, 0
	for _, x := range amountsOf(a.full()) {
		count[x]++
		n++
	}
	for _, x := range amountsOf(b.full()) {
		n++
		if count[x] > 0 {
			count[x]--
			same += 2
		}
	}
	if n == 0 {
		return 0
	}
	return float64(same) / float64(n)
}

// mostlyOf reports whether hardly any of r's amounts, of a few at least, is not on
// o. What kind of line they are in does not count: of a bad photo it is a guess.
func mostlyOf(o, r *Receipt) bool {
	there := map[money.Amount]int{}
	for _, l := range o.full().Lines {
		if l.Amount != nil {
			there[*l.Amount]++
		}
	}
	n, same := 0, 0
	for _, l := range r.full().Lines {
		if l.Amount == nil {
			continue
		}
		n++
		if there[*l.Amount] > 0 {
			there[*l.Amount]--
			same++
		}
	}
	return n >= 4 && 4*same >= 3*n
}

// amountsOf are the amounts of a receipt's items and deductions.
func amountsOf(r *parse.Receipt) (all []money.Amount) {
	for i := range r.Lines {
		if l := &r.Lines[i]; (l.Kind == parse.LineItem || l.Kind == parse.LineDeduction) && l.Amount != nil {
			all = append(all, *l.Amount)
		}
	}
	return all
}

// sameEarlier finds receipts that another folder has shown before.
func (a *assessor) sameEarlier() {
	if a.in.Find != nil {
		var totals []money.Amount
		for _, r := range a.w.Receipts {
			if r.Total != nil && !slices.Contains(totals, *r.Total) {
				totals = append(totals, *r.Total)
			}
		}
		a.in.Earlier = append(slices.Clone(a.in.Earlier), a.in.Find(totals)...)
	}
	for _, r := range a.w.Receipts {
		if r.SameAs != "" {
			continue
		}
		for i := range a.in.Earlier {
			e := &a.in.Earlier[i]
			how := e.print().compare(r.print())
			if how == perhaps {
				q := id("question", "same", e.ID, r.Files[0].Part)
				switch a.in.Answers[q] {
				case "yes":
					how = identical
				case "no":
					how = different
				default:
					a.question(Question{ID: q, Kind: "same", Amount: *r.Total, File: r.Files[0], Receipt: r.ID, Choices: []string{"yes", "no"},
						Text: "Is the receipt in " + r.Files[0].Name + " one that was booked before (" + e.ID + ", " + e.Date + ")? Both come to " + r.Total.String() + ", and a number that would tell was not read."})
				}
			}
			if how == different {
				continue
			}
			r.SameAs = e.ID
			if how == identical {
				r.Notes = append(r.Notes, "it was booked before, of another folder")
			} else {
				r.Notes = append(r.Notes, "it may have been booked before, and is not counted until that is answered")
			}
			break
		}
	}
}
