package parse

import (
	"regexp"
	"slices"
	"strings"

	"tillproof/ocr"
)

// What the words of lines without an amount say of whether one was lost.

// saysNoGoods reports whether row i, without an amount, is by its words no line of the sums
// that could add to them: the word of a sum or of the count alone, a code under its word, a
// department's heading or the coupons', what the deduction above is for, or the first of two
// lines of a coupon where another coupon is printed so too, or the second says what it is for.
func (p *parser) saysNoGoods(i int) bool {
	w := &p.rows[i]
	switch {
	case w.said.has(markSubtotal|markTotal|markCount) && w.said.unknown == 0:
		return true
	case len(w.lx) == 2 && w.lx[0].kind == lexWord && codeWords[strings.ToUpper(w.lx[0].text)] && isDigits(w.lx[1].text, 14):
		return true
	case w.namesDepartment():
		for k := range p.rows {
			if v := &p.rows[k]; v.tail.ok && v.namesDepartment() {
				return false // a till that rings goods by their department
			}
		}
		return true
	case p.givenAbove(i), p.describesAbove(i), p.headsCoupons(i), strings.HasSuffix(strings.TrimSpace(w.text), ":") && w.said.has(markCoupon) && i+1 < len(p.rows) && p.rows[i+1].kind == LineDeduction:
		return true
	case p.headsDeduction(i):
		if saysWhatFor(p.rows[i+1].text) {
			return true
		}
		for k := range p.rows {
			if k != i && p.headsDeduction(k) {
				return true
			}
		}
	}
	return false
}

// givenAbove reports whether row i says what the deduction above it is for: "on Bananas".
func (p *parser) givenAbove(i int) bool {
	return i > 0 && p.rows[i-1].kind == LineDeduction && p.rows[i-1].has && saysWhatFor(p.rows[i].text)
}

// describesAbove reports whether row i says what the deduction right above it is worth and for,
// "1.30 OFF BAKED BEANS", on a receipt that does so for two at least and tells no amount in such
// a line.
func (p *parser) describesAbove(i int) bool {
	text := strings.ToUpper(p.rows[i].text)
	if !formWorth.MatchString(text) || strings.HasPrefix(text, "FREE RANGE") || strings.HasPrefix(text, "FREE FROM") || strings.HasPrefix(text, "FREE-") {
		return false
	}
	if p.described == 0 {
		p.described = p.describedPairs()
	}
	return p.described >= 2
}

// describedPairs counts the deductions with such a line of an amount or a percentage below
// them, -1 where one stands elsewhere, tells an amount, or there is none.
func (p *parser) describedPairs() (pairs int) {
	for k := range p.rows {
		w := &p.rows[k]
		form := formWorth.FindStringSubmatch(strings.ToUpper(w.text))
		if form == nil {
			continue
		}
		if w.tail.ok || k == 0 || p.rows[k-1].kind != LineDeduction && p.rows[k-1].kind != LineVoid || !p.rows[k-1].tail.ok {
			return -1
		}
		if form[1] != "" {
			pairs++
		}
	}
	if pairs == 0 {
		return -1
	}
	return pairs
}

// formWorth is how a line begins that says what a coupon is worth; goods are called FREE RANGE
// or FREE FROM.
var formWorth = regexp.MustCompile(`^\s*(?:(\$?\d*\.\d\d OFF|\d+% (?:OFF|ON))|FREE) `)

// headsCoupons reports whether row i, which has no amount, is a heading above deductions, or says
// that what stands below it is taken back.
func (p *parser) headsCoupons(i int) bool {
	if i+1 >= len(p.rows) || !p.rows[i+1].tail.ok {
		return false
	}
	w, next := &p.rows[i], p.rows[i+1].kind
	if w.namesMany() && next == LineDeduction || w.said.has(markVoid) && next == LineVoid {
		return true
	}
	if !p.headsValue(i) {
		return false
	}
	for k := range p.rows {
		if k != i && p.headsValue(k) {
			return true
		}
	}
	return false
}

// headsValue reports whether row i is nothing but a coupon's kind, a letter of which may be misread,
// and the row below a deduction that says what it gives and names nothing.
func (p *parser) headsValue(i int) bool {
	w := &p.rows[i]
	if w.tail.ok || i+1 >= len(p.rows) || w.hasNumber() || !w.said.has(markCoupon) || w.said.unknown > 0 && !(w.said.unknown == 1 && w.anyVague()) {
		return false
	}
	next := &p.rows[i+1]
	return next.kind == LineDeduction && next.tail.ok && next.said.unknown == 0 && formValue.MatchString(strings.ToUpper(next.text))
}

// anyVague reports whether the letters of a word of the line may be misread.
func (w *row) anyVague() bool {
	return slices.ContainsFunc(w.words, func(word ocr.Word) bool { return !isPlain(&word) })
}

// formValue is how the second line of a coupon begins that says what it gives, below its kind.
var formValue = regexp.MustCompile(`^\s*(?:\$?\d*\.\d\d OFF|\d+%|FREE|FOR) `)

// saysWhatFor reports whether a line begins as the second of a coupon does.
func saysWhatFor(text string) bool {
	text = strings.ToUpper(text)
	return strings.HasPrefix(text, "ON ") || strings.HasPrefix(text, "FOR ") || strings.HasPrefix(text, "OFF ")
}

// namesDepartment reports whether all words before the amount are a department's,
// "PRODUCE/DELI"; beside one that is, others may have letters misread.
func (w *row) namesDepartment() bool {
	words := foldWords(w.beforeAmount(), nil)
	known := func(s string) bool { return departments[s] }
	return slices.ContainsFunc(words, known) && !slices.ContainsFunc(words, func(s string) bool { return !known(s) && !(!w.exact && departmentRead(s)) })
}

// departmentRead reports whether a folded word is a department's but for O and D, the letters
// that worn print makes alike and fold does not: "MOSE" for MDSE.
func departmentRead(word string) bool { return departmentsAlike[strings.ReplaceAll(word, "D", "O")] }

// departments are words of the headings above groups of goods; common practice, no source.
var departments = foldedSet("grocery groceries produce deli delicatessen dairy bakery meat meats seafood frozen household home health beauty pharmacy general merchandise gen mdse gm non foods nonfood nonfoods floral garden pet pets baby fresh and")

// departmentsAlike are departments with O for D.
var departmentsAlike = func() map[string]bool {
	set := map[string]bool{}
	for d := range departments {
		set[strings.ReplaceAll(d, "D", "O")] = true
	}
	return set
}()

// foldedSet is the set of the words of s, folded.
func foldedSet(s string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(s) {
		set[fold(word)] = true
	}
	return set
}

// codeWords stand before the code of the goods on a line of their own.
var codeWords = map[string]bool{"UPC": true, "EAN": true, "GTIN": true, "PLU": true, "SKU": true}

// headsDeduction reports whether row i has a coupon's word and no amount, and the next row is a
// deduction with a name.
func (p *parser) headsDeduction(i int) bool {
	w := &p.rows[i]
	if w.part != partNone || w.tail.ok || !w.said.has(markCoupon) || i+1 >= len(p.rows) {
		return false
	}
	next := &p.rows[i+1]
	return next.kind == LineDeduction && next.part == partAdd && next.hasName() && !next.said.has(markCoupon)
}

// formMember is the number of whoever buys: "MEMBER 8800558709".
var formMember = regexp.MustCompile(`(?i)^\W*(member|customer|owner|club|card|acct|account|household|rewards?|pass)(\s*(no|nr|id|number|card)\b)*\W*\d[\d\s-]*$`)

// goodsLostAbove reports whether right above row first stands a quantity without goods, a
// code, or what is left of an amount: the first goods, whose amount was not read.
func (p *parser) goodsLostAbove(first int) bool {
	for i := first - 1; i >= max(0, first-3); i-- {
		w := &p.rows[i]
		if w.part == partNone && w.of == 0 && p.rows[first].of != i+1 && !w.said.has(markDate|markRegister|markTransaction) && !formMember.MatchString(w.text) && (w.damaged || w.kind == LineQuantity || w.kind != LineMessage && w.hasCode() && w.hasName()) {
			return true
		}
	}
	return false
}

// heads reports whether a line is a heading: dashes or the like stand before it and where
// its amount would. Behind a name alone they may be what is left of one.
func (w *row) heads() bool {
	n := len(w.lx)
	return n > 2 && w.lx[0].kind == lexSign && w.lx[n-1].kind == lexSign && w.lx[n-1].isRun() && !w.lx[n-1].glued
}
