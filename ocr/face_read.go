package ocr

import "math"

// Of comparing the digits of an amount with the receipt's own: how alike the whole has to be
// for that to mean anything, what a digit costs that no specimen has, the most that any costs,
// and how many parts of a digit's print count as seen by themselves, neighbouring dots being
// blurred into each other. Measured on hard photos of which the truth is known: where the
// engine's digit costs the most, the liker one was right 11 times of 11; where it costs
// less, about as often as the engine's.
const (
	ownFit    = 0.6
	ownUnseen = 1.0
	ownMost   = 3.0
	ownWeight = 10.0
	ownVotes  = 3
	ownReach  = 1.2 // digits' widths that an engine's box may be off
	ownNear   = 2.5 // alternatives cost no more
	// engineNear is what a runner-up of an engine costs at most to count as read.
	engineNear = 2.0
)

// asOwn reads the last amount of line at by the receipt's own face: a reading of the line with
// each digit of that amount the one it is most like. ok is false where it cannot be told.
func (k *kept) asOwn(at int, all []Reading) (r Reading, ok bool) {
	f := k.face()
	if f == nil || !f.suits(k.strips[at]) {
		return r, false
	}
	// The line is compared with the others, not with what it was read as itself.
	for _, s := range f.specimens {
		if s.line == at {
			f.count(s, -1)
			defer f.count(s, 1)
		}
	}
	best, n, from := -1.0, 0, 0
	var placed specimen
	for i := range all {
		j, a, b := amountWord(&all[i])
		if j < 0 || all[i].Words[j].FlatTo <= all[i].Words[j].FlatFrom {
			continue
		}
		w := all[i].Words[j]
		s := specimen{piece: f.piece(k, k.strips[at], w, a, b), text: w.Text[a:b]}
		var fit float64
		s.at, s.down, fit = f.place(&s.piece, s.text, s.middle-f.long(s.text)/2, ownReach, 1)
		if fit > best {
			best, placed, r, n, from = fit, s, all[i], j, a
		}
	}
	if best < ownFit {
		return r, false
	}
	words := append([]Word(nil), r.Words...)
	f.compare(&placed, &words[n], from, readBy(all, len(placed.text)))
	return Reading{Words: words, Votes: ownVotes, Own: true}, true
}

// amountWord is the word of r with its last amount, and where in it that stands; -1 where r has
// none.
func amountWord(r *Reading) (n, from, to int) {
	for n := len(r.Words) - 1; n >= 0; n-- {
		if from, to, ok := lastAmount(r.Words[n].Text); ok {
			return n, from, to
		}
	}
	return -1, 0, 0
}

// readBy are the digits that engines read at each place of amounts of so many signs in all, or
// hold for about as likely.
func readBy(all []Reading, signs int) [][10]bool {
	out := make([][10]bool, signs)
	note := func(text string) {
		a, b, ok := lastAmount(text)
		if !ok || b-a != signs {
			return
		}
		for i := range signs {
			if c := text[a+i]; isDigit(c) {
				out[i][c-'0'] = true
			}
		}
	}
	for i := range all {
		if j, _, _ := amountWord(&all[i]); j >= 0 {
			note(all[i].Words[j].Text)
			for _, a := range all[i].Words[j].Alternatives {
				if a.Cost < engineNear {
					note(a.Text)
				}
			}
		}
	}
	return out
}

// compare gives w, whose amount begins with its sign number from and is placed, the digits that
// it is most like, and the others that come near as its alternatives. It only decides between
// digits that engines read there: what none of them saw is more likely a cell that is cut badly.
func (f *face) compare(s *specimen, w *Word, from int, read [][10]bool) {
	text, at := []byte(w.Text), s.at
	w.Digits = make([][10]float64, 0, len(s.text))
	for i := range len(s.text) {
		if s.text[i] != '.' {
			cost := f.digit(s, s.text[i], at)
			if !decides(&cost, &read[i]) {
				cost = [10]float64{}
			}
			w.Digits = append(w.Digits, cost)
			for d, c := range cost {
				if c == 0 && cost[text[from+i]-'0'] > 0 {
					text[from+i] = byte('0' + d)
				}
			}
		}
		at += f.advance(s.text[i])
	}
	w.Text, w.Alternatives = string(text), nil
	digit := 0
	for i := range len(s.text) {
		if s.text[i] == '.' {
			continue
		}
		for d, c := range w.Digits[digit] {
			if byte('0'+d) != text[from+i] && c > 0 && c < ownNear && read[i][d] {
				other := append([]byte(nil), text...)
				other[from+i] = byte('0' + d)
				w.Alternatives = append(w.Alternatives, Alternative{string(other), c})
			}
		}
		digit++
	}
}

// decides reports whether what is likest was read there, and another digit too.
func decides(cost *[10]float64, read *[10]bool) bool {
	likest, others := false, false
	for d, c := range cost {
		if read[d] {
			likest, others = likest || c == 0, others || c > 0
		}
	}
	return likest && others
}

// seen reports whether a specimen has c.
func (f *face) seen(c byte) bool { g := f.glyphs[c]; return g != nil && g.n > 0 }

// digit is what each of the ten digits costs at column at of s, where c was read: 0 for the
// likest. All cost nothing where no specimen has c: then nothing can be told.
func (f *face) digit(s *specimen, c byte, at float64) (cost [10]float64) {
	if !f.seen(c) {
		return cost
	}
	var like [10]float64
	most := -1.0
	for d := range like {
		like[d] = -1
		if f.seen(byte('0' + d)) {
			for dx := -1.0; dx <= 1; dx++ {
				var t tally
				if f.compareCell(&t, &s.piece, byte('0'+d), at+dx, s.down, 1) {
					like[d] = max(like[d], t.correlation())
				}
			}
			most = max(most, like[d])
		}
	}
	for d, l := range like {
		if cost[d] = ownUnseen; f.seen(byte('0' + d)) {
			cost[d] = min(ownMost, ownWeight/2*math.Log((1-l*max(l, 0))/(1-most*most)))
		}
	}
	return cost
}
