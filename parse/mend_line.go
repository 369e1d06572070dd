package parse

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tillproof/money"
	"tillproof/ocr"
)

// mendTail puts right the end of a photo's line where it departs from how the receipt
// prints amounts. What it makes is thought little of: the sums decide.
func (p *parser) mendTail(words []ocr.Word) []ocr.Word {
	n := len(words) - 1
	if n < 1 {
		return words
	}
	flag := ""
	if isFlagText(words[n].Text) && p.habits.flags[words[n].Text] {
		flag = words[n].Text
		n--
	}
	if n < 1 {
		return words
	}
	s := words[n].Text
	put := func(from int, text string) []ocr.Word {
		w := words[n]
		w.Text, w.Alternatives, w.Confidence = text, nil, min(w.Confidence, misformedConfidence)
		if from < n {
			w.Box.X, w.Box.W = words[from].Box.X, w.Box.X+w.Box.W-words[from].Box.X
		}
		return slices.Concat(words[:from:from], []ocr.Word{w}, words[n+1:])
	}
	if tax, ok := taxOfBase(words[:n+1]); ok {
		w := words[n]
		w.Text, w.Alternatives, w.Confidence = tax, nil, min(w.Confidence, misformedConfidence)
		w.Box.X += w.Box.W
		return slices.Concat(words[:n+1:n+1], []ocr.Word{w}, words[n+1:])
	}
	for _, form := range [...]*regexp.Regexp{formGlued, formTwo} {
		if m := form.FindStringSubmatch(s); m != nil {
			return split(words, n, len(s)-len(m[1]))
		}
	}
	if m := formLeader.FindStringSubmatch(s); m != nil {
		if cut := len(s) - len(m[1]); cut == 1 || strings.Trim(s[:cut], ".") != "" {
			return split(words, n, cut)
		}
		return words
	}
	if text := p.habits.signed(s); text != "" {
		mended := put(n, text)
		mended[n].Alternatives = unseenBracket(s, text)
		return mended
	}
	if m := formSignRead.FindStringSubmatch(s); m != nil && p.habits.leading && saysOff(words[:n]) {
		mended := put(n, "-"+m[1])
		mended[n].Alternatives = []ocr.Alternative{{Text: m[1], Cost: 1}}
		return mended
	}
	if text := sumMended(words); text != "" {
		return put(n, text)
	}
	taxed := n > 1 && (isPercent(words[0].Text) && strings.HasPrefix(strings.ToUpper(words[1].Text), "TAX") || isPercent(words[n-1].Text) && strings.EqualFold(words[0].Text, "TAX"))
	if m := formUnitless.FindStringSubmatch(s); m != nil && (p.unitless && (p.habits.flags[m[3]] || m[3] == "" && m[1] == "-") || m[1] == "" && taxed) {
		return put(n, m[1]+"."+strings.ReplaceAll(m[2], "O", "0")+m[3])
	}
	if m := formPointless.FindStringSubmatch(s); m != nil && (flag != "" || p.habits.flags[m[3]] || m[3] == "" && p.habits.before[words[n-1].Text]) && (apart(&words[n-1], &words[n]) || p.habits.before[words[n-1].Text]) {
		return put(n, m[1]+"."+m[2]+m[3])
	}
	if m := formPlaces.FindStringSubmatch(s); m != nil && n > 1 && (flag != "" || p.habits.flags[m[2]] || words[n-1].Text[0] == '$') && !apart(&words[n-1], &words[n]) && (apart(&words[n-2], &words[n-1]) || overlaps(&words[n-2], &words[n-1])) && isDigits(strings.TrimPrefix(words[n-1].Text, "$"), 3) {
		return put(n-1, words[n-1].Text+"."+s)
	}
	return words
}

// saysOff reports whether words say that something is taken off.
func saysOff(words []ocr.Word) bool {
	return slices.ContainsFunc(words, func(w ocr.Word) bool { return formOff.MatchString(w.Text) })
}

// formOff is a word of what is taken off.
var formOff = regexp.MustCompile(`^(?i:cpn|coupons?|off|disc|discount|savings?|deal|mfr|mfg)\b`)

// sumMended is the amount of a line that is a word of the sums and a number of which the point
// was not seen, "TOTAL 2160", or is a colon, "CASH 100:00", or that has a sign behind it,
// "SUBTOTAL $28.15%"; "" where it is none.
func sumMended(words []ocr.Word) string {
	if len(words) != 2 || !sumWords[strings.ToUpper(strings.Trim(words[0].Text, ":"))] {
		return ""
	}
	s := words[1].Text
	if isDigits(s, 5) && len(s) > 2 && s[0] != '0' {
		return s[:len(s)-2] + "." + s[len(s)-2:]
	}
	if formColon.MatchString(s) {
		return strings.Replace(s, ":", ".", 1)
	}
	if s, edge := strings.CutSuffix(s, "%"); edge && formAmount.MatchString(s) {
		return s // the table's print behind the paper's edge: a sum is no rate
	}
	return ""
}

// taxOfBase is the tax of a line that ends with what is taxed: "SALES TAX 7% OF 23.05".
// Its own amount was not seen.
func taxOfBase(words []ocr.Word) (tax string, ok bool) {
	n := len(words) - 1
	if n < 3 || !strings.EqualFold(words[n-1].Text, "of") && !strings.EqualFold(words[n-1].Text, "on") || !formAmount.MatchString(words[n].Text) ||
		!slices.ContainsFunc(words[:n-1], func(w ocr.Word) bool { return strings.Contains(strings.ToUpper(w.Text), "TAX") }) {
		return "", false
	}
	rate, err := money.ParseRate(words[n-2].Text)
	base, wrong := money.Parse(strings.TrimPrefix(words[n].Text, "$"))
	if err != nil || wrong != nil || base.Sign() <= 0 {
		return "", false
	}
	return rate.Of(base).String(), true
}

// sumWords are words of the sums that stand by themselves before an amount.
var sumWords = map[string]bool{"TOTAL": true, "SUBTOTAL": true, "SUB-TOTAL": true, "BALANCE": true, "AMOUNT": true, "CASH": true, "CHANGE": true}

// isPercent reports whether s is a rate in percent.
func isPercent(s string) bool {
	rate, ok := strings.CutSuffix(s, "%")
	return ok && (isNumber(rate) || isDigits(rate, 2))
}

// split parts the word n of words at a byte.
func split(words []ocr.Word, n, at int) []ocr.Word {
	first, second := words[n], words[n]
	first.Text, second.Text = strings.Trim(first.Text[:at], ".,:;'…"), second.Text[at:]
	first.Alternatives, second.Alternatives = nil, nil
	second.Confidence = min(second.Confidence, misformedConfidence)
	first.Box.W = first.Box.W * at / max(len(words[n].Text), 1)
	second.Box.X, second.Box.W = first.Box.X+first.Box.W, words[n].Box.W-first.Box.W
	if first.Text == "" {
		return slices.Concat(words[:n:n], []ocr.Word{second}, words[n+1:])
	}
	return slices.Concat(words[:n:n], []ocr.Word{first, second}, words[n+1:])
}

// apart reports whether b stands in another column than a: more than two letters' width
// to its right.
func apart(a, b *ocr.Word) bool {
	return b.Box.X-(a.Box.X+a.Box.W) > 2*b.Box.W/max(len(b.Text), 1)
}

// overlaps reports whether the box of a reaches over b: that of a code takes up the gap behind it.
func overlaps(a, b *ocr.Word) bool { return a.Box.X+a.Box.W > b.Box.X+b.Box.W }

// isDigits reports whether s is one to most digits.
func isDigits(s string, most int) bool {
	return s != "" && len(s) <= most && strings.Trim(s, "0123456789") == ""
}

// eachRead is whether s is EA or EACH with a letter misread or one too many.
func eachRead(s string) bool {
	s = strings.ToLower(strings.Trim(s, ".,:;"))
	switch len(s) {
	case 2, 3:
		return s[0] == 'e' || s[len(s)-1] == 'a'
	case 4, 5:
		return strings.HasPrefix(s, "eac") || strings.HasSuffix(s, "ach")
	}
	return false
}

// forRead is whether s is FOR with a letter misread.
func forRead(s string) bool {
	s = strings.ToLower(s)
	return len(s) == 3 && (s[1:] == "or" || s[0] == 'f' && (s[1] == 'o' || s[2] == 'r'))
}

// perRead is whether s is PER with a letter misread or not seen.
func perRead(s string) bool {
	s = strings.ToLower(s)
	return len(s) <= 3 && s != "per" && (strings.HasPrefix(s, "p") || strings.HasSuffix(s, "er"))
}

// countedBeside takes the lines of a photo for quantities that begin with a number, end
// with an amount and name nothing, where these multiply to the amount of the line above or
// below, or would but for one digit: "2 6? 3.20" beneath 6.40. What stood between the two
// was misread, or glued to the number: "4.0 2.29" above 9.16.
func (p *parser) countedBeside() {
	for i := range p.rows {
		w := &p.rows[i]
		if w.exact || !w.tail.ok || w.tail.minus || w.qty.ok || len(w.words) < 2 || len(w.words) > 4 || w.hasName() {
			continue
		}
		units, glued := unitsRead(w.words[0].Text)
		last := int(w.lx[w.tail.at].word)
		if end := len(w.words) - 1; units == "" || last == 0 || last < end && (last < end-1 || len(w.words[end].Text) > 2) {
			continue
		}
		n, _ := strconv.ParseInt(units, 10, 64)
		for _, k := range [...]int{i - 1, i + 1} {
			if n < 2 || k < 0 || k >= len(p.rows) || !p.rows[k].tail.ok || p.rows[k].tail.minus || p.rows[k].qty.ok || !p.rows[k].hasName() {
				continue
			}
			each, sum := w.words[last], p.rows[k].tail.cents
			if sum != n*w.tail.cents {
				price := money.FromCents(sum / n)
				if glued || sum%n != 0 || !price.OneDigitOff(money.FromCents(w.tail.cents)) {
					continue
				}
				each.Text, each.Alternatives = price.String(), nil
			}
			line := *w.line
			first, at := w.words[0], w.words[last]
			first.Text, at.Text, at.Alternatives = units, "@", nil
			line.Readings = []ocr.Reading{{Words: []ocr.Word{first, at, each}, Votes: 1}}
			w.line = &line
			p.readRow(w, nil)
			break
		}
	}
}

// countedByWord takes the lines of a photo for quantities that begin with the word for one and
// a number and name nothing but what FOR may be, where two others at least are such lines and
// end with a price: theirs was read as an amount, "Qty 1, 4 (11,00" for 4 for 11.00.
func (p *parser) countedByWord() {
	known := 0
	var ask []*row
	for i := range p.rows {
		w := &p.rows[i]
		if w.exact || len(w.words) < 3 || !saysQuantity(w.words) {
			continue
		}
		units := strings.TrimSuffix(w.words[1].Text, ",")
		switch {
		case !w.tail.ok && w.isQuantity():
			known++
		case !w.tail.ok || w.tail.minus || w.tail.flags != "" || !isDigits(units, 3) || units[0] == '0' || !isDigits(w.words[2].Text, 2):
		case !slices.ContainsFunc(w.lx[1:w.tail.from], func(l lexeme) bool { return l.kind == lexWord && len(l.text) > 3 }):
			ask = append(ask, w)
		}
	}
	if known < 2 {
		return
	}
	for _, w := range ask {
		n, _ := strconv.ParseInt(strings.TrimSuffix(w.words[1].Text, ","), 10, 64)
		w.tail, w.qty = tail{}, quantity{ok: true, sure: true, units: n, per: 1, to: len(w.lx)}
	}
}

// formUnits is a number of units to which the sign behind it is glued.
var formUnits = regexp.MustCompile(`^(\d{1,2})[.,:]?[@0OQa]$`)

// unitsRead is the number of units that s begins a line with, "" for none; glued says that
// more stands in s.
func unitsRead(s string) (units string, glued bool) {
	if isDigits(s, 2) {
		return s, false
	}
	if m := formUnits.FindStringSubmatch(s); m != nil {
		return m[1], true
	}
	return "", false
}

// mendUnits puts right the words of a line that is nothing but a quantity and its price:
// "5 @ 2.70 EAA", "6 .at 3.89 each", "0.371 kq x 10.20", "0.48 lb at 1.89b".
func mendUnits(words []ocr.Word) []ocr.Word {
	if len(words) < 3 {
		return words
	}
	if words[1].Text == "*" && isDigits(words[0].Text, 2) && letter(words[2].Text) > 0 {
		words = slices.Clone(words)
		words[1].Text, words[1].Alternatives = "x", nil // "5 x Tarnwick sea salt"
		return words
	}
	if len(words) > 7 {
		return words
	}
	if parted := partedUnits(words); parted != nil {
		return mendUnits(parted)
	}
	out := words
	put := func(i int, text string) { out = reworded(out, words, i, text) }
	price := func(s string) bool {
		return isNumber(strings.TrimPrefix(s, "$")) && twoPlaces(s[strings.IndexByte(s, '.')+1:])
	}
	if len(words) >= 4 && isDigits(words[0].Text, 3) && price(words[2].Text) && eachRead(words[3].Text) && (len(words) == 4 || len(words[3].Text) < 4) {
		if !pieces[strings.ToUpper(words[3].Text)] {
			put(3, "EA")
		}
		if s := words[1].Text; len(s) <= 3 && !isTimesText(s) && !strings.EqualFold(s, "AT") && !strings.EqualFold(s, "FOR") {
			put(1, "@")
		}
		return out
	}
	if len(words) >= 5 && isDigits(words[0].Text, 2) && words[2].Text == "@" && eachRead(words[1].Text) && len(words[1].Text) <= 3 && price(words[3].Text) && price(words[4].Text) && comesTo(words[0].Text, words[3].Text, words[4].Text) {
		put(1, "EA") // "1 EX @ 5.59 5.59"
		return out
	}
	if len(words) == 4 && saysQuantity(words) && price(words[2].Text) && eachRead(words[3].Text) && !pieces[strings.ToUpper(words[3].Text)] {
		put(3, "each") // "Qty 4, 4.95 cach"
		return out
	}
	if words[1].Text == "#" && isDigits(words[0].Text, 3) && (price(words[2].Text) || len(words) > 3 && strings.EqualFold(words[3].Text, "FOR")) {
		put(1, "@")
		return out
	}
	if len(words) >= 5 && (isTimesText(words[1].Text) || words[1].Text == "#") && isDigits(words[0].Text, 3) && isDigits(words[2].Text, 2) && forRead(words[3].Text) && price(words[4].Text) {
		put(1, "@")
		put(3, "for")
		return out
	}
	return mendWeights(mendWeighed(words))
}

// formGroupUnits is a number of units to which what the sign behind it was read as is glued.
var formGroupUnits = regexp.MustCompile(`^(\d{1,2})(?:[.,:][@0OQa9]|[@OQa])$`)

// partedUnits are the words of a quantity line whose first is units with their sign: "6.@ 2.39
// ea", "4.9 2 for 3.00", or that names them beside their price: "Qty 3,14.09 each"; nil where they
// are none.
func partedUnits(words []ocr.Word) []ocr.Word {
	if units, price, ok := strings.Cut(words[1].Text, ","); ok && len(words) == 3 && saysQuantity(words) && isDigits(units, 2) && isNumber(price) && eachRead(words[2].Text) {
		out := []ocr.Word{words[0], words[1], words[1], words[2]}
		out[1].Text, out[2].Text, out[1].Alternatives, out[2].Alternatives = units+",", price, nil, nil
		return out
	}
	first := words[0].Text
	m := formGroupUnits.FindStringSubmatch(first)
	switch {
	case m == nil:
		return nil
	case len(words) == 3 && strings.HasSuffix(first, "@") && isNumber(strings.TrimPrefix(words[1].Text, "$")) && eachRead(words[2].Text):
	case len(words) == 4 && isDigits(words[1].Text, 2) && forRead(strings.Trim(words[2].Text, ".,:;'")) && isNumber(strings.TrimPrefix(words[3].Text, "$")):
	default:
		return nil
	}
	units, sign := words[0], words[0]
	units.Text, sign.Text, units.Alternatives, sign.Alternatives = m[1], "@", nil, nil
	out := append([]ocr.Word{units, sign}, words[1:]...)
	if len(words) == 4 {
		out[3].Text, out[3].Alternatives = "for", nil
	}
	return out
}

// comesTo reports whether so many units at each come to amount.
func comesTo(units, each, amount string) bool {
	n, whole := number(units)
	price, dec := number(strings.TrimPrefix(each, "$"))
	cents, dec2 := number(strings.TrimPrefix(amount, "$"))
	return whole == -1 && dec == 2 && dec2 == 2 && price < largest/1000 && n*price == cents
}

// reworded is out with another word at i; as long as it is words it is copied.
func reworded(out, words []ocr.Word, i int, text string) []ocr.Word {
	if &out[0] == &words[0] {
		out = slices.Clone(words)
	}
	out[i].Text, out[i].Alternatives = text, nil
	return out
}
