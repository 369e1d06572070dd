package main

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// inventor makes up the lines that North American tills print. Nothing in them
// is a real firm, product or person; digits are uniform, so that the model
// learns to look and not to guess. Blanks in a line stand for cells.
type inventor struct {
	rng     *rand.Rand
	columns int
}

// lineKinds are the kinds of line and how often each comes.
var lineKinds = []struct {
	often int
	make  func(*inventor) string
}{
	{22, (*inventor).item},
	{12, (*inventor).quantity},
	{14, (*inventor).deduction},
	{10, (*inventor).total},
	{6, (*inventor).tender},
	{6, (*inventor).reward},
	{5, (*inventor).when},
	{6, (*inventor).head},
	{5, (*inventor).foot},
	{4, (*inventor).numbers},
	{4, (*inventor).symbols},
	{4, (*inventor).bareAmount},
	{1, (*inventor).rule},
}

// invented is one made-up line.
func invented(rng *rand.Rand) string {
	v := &inventor{rng, []int{32, 36, 38, 40, 42, 42, 44, 48}[rng.IntN(8)]}
	total := 0
	for _, k := range lineKinds {
		total += k.often
	}
	n := rng.IntN(total)
	for _, k := range lineKinds {
		if n -= k.often; n < 0 {
			return strings.TrimRight(k.make(v), " ")
		}
	}
	return ""
}

func (v *inventor) chance(p float64) bool { return v.rng.Float64() < p }

func (v *inventor) one(of ...string) string { return of[v.rng.IntN(len(of))] }

// digits gives n digits.
func (v *inventor) digits(n int) string {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte('0' + v.rng.IntN(10))
	}
	return string(b)
}

// number gives a whole number below n.
func (v *inventor) number(n int) string { return fmt.Sprint(v.rng.IntN(n)) }

// columnsOf sets left and right at the ends of a line, at times nearer together.
func (v *inventor) columnsOf(left, right string) string {
	gap := v.columns - len(left) - len(right)
	if v.chance(0.25) {
		gap = 1 + v.rng.IntN(8)
	}
	return left + strings.Repeat(" ", max(1, gap)) + right
}

// inCase prints s the way the till writes: mostly capitals.
func (v *inventor) inCase(s string) string {
	switch n := v.rng.IntN(10); {
	case n < 6:
		return strings.ToUpper(s)
	case n < 8:
		return title(s)
	case n < 9:
		return strings.ToLower(s)
	}
	return s
}

func title(s string) string {
	words := strings.Split(strings.ToLower(s), " ")
	for i, w := range words {
		if w != "" {
			words[i] = strings.ToUpper(w[:1]) + w[1:]
		}
	}
	return strings.Join(words, " ")
}

// price is an amount without sign: most are small, each digit is as likely as
// the others.
func (v *inventor) price() string {
	cents := v.digits(2)
	if v.chance(0.3) {
		cents = v.one("00", "99", "49", "50", "29", "79", "98", "95", "25")
	}
	switch n := v.rng.IntN(20); {
	case n < 11:
		return v.digits(1) + "." + cents
	case n < 17:
		return fmt.Sprint(10+v.rng.IntN(90)) + "." + cents
	case n < 19:
		return fmt.Sprint(100+v.rng.IntN(900)) + "." + cents
	}
	return fmt.Sprintf("%d,%s.%s", 1+v.rng.IntN(9), v.digits(3), cents)
}

// amount is a price as it stands at the end of a line, with its sign.
func (v *inventor) amount(negative bool) string {
	p := v.price()
	if p[0] == '0' && v.chance(0.1) {
		p = p[1:]
	}
	if v.chance(0.2) {
		p = "$" + p
	}
	if !negative {
		return p
	}
	switch n := v.rng.IntN(20); {
	case n < 9:
		return p + "-"
	case n < 16:
		return "-" + p
	case n < 17:
		return p + " -"
	case n < 18:
		return "- " + p
	case n < 19:
		return "(" + p + ")"
	}
	return "-$" + strings.TrimPrefix(p, "$")
}

// flag is the mark for tax or food aid behind an amount, mostly none.
func (v *inventor) flag() string {
	if v.chance(0.5) {
		return ""
	}
	return v.one(" ", " ", " ", "  ", "") + v.one("F", "T", "B", "N", "A", "X", "E", "S", "TF", "FT", "TX", "NT", "F*", "*", "T*", "H", "R", "1", "O", "P", "D", "FS", "NF", "*F", "J", "G", "C", "N F", "Y")
}

// name is an invented product, often cut short as tills do.
func (v *inventor) name() string {
	n := 1 + v.rng.IntN(4)
	words := make([]string, n)
	for i := range words {
		words[i] = v.word()
	}
	s := strings.Join(words, " ")
	if v.chance(0.25) {
		s += " " + v.size()
	}
	if room := 8 + v.rng.IntN(20); len(s) > room {
		s = strings.TrimSpace(s[:room])
	}
	return v.inCase(s)
}

// word is a word of the trade, whole or abbreviated, or a made-up brand.
func (v *inventor) word() string {
	if v.chance(0.3) {
		return v.brand()
	}
	w := goods[v.rng.IntN(len(goods))]
	switch n := v.rng.IntN(10); {
	case n < 3 && len(w) > 4:
		return w[:1] + strings.Map(func(r rune) rune {
			if strings.ContainsRune("aeiou", r) {
				return -1
			}
			return r
		}, w[1:])
	case n < 5 && len(w) > 4:
		return w[:3+v.rng.IntN(2)]
	}
	return w
}

// brand strings syllables together.
func (v *inventor) brand() string {
	var b strings.Builder
	for range 1 + v.rng.IntN(3) {
		b.WriteString(v.one("b", "br", "c", "cl", "d", "f", "fl", "g", "gr", "h", "j", "k", "l", "m", "n", "p", "qu", "r", "s", "st", "t", "tr", "v", "w", "x", "y", "z", ""))
		b.WriteString(v.one("a", "e", "i", "o", "u", "ee", "ea", "oo", "ai", "y"))
		b.WriteString(v.one("", "", "n", "r", "l", "ck", "m", "ll", "rd", "st", "x", "t", "w", "lb", "nt"))
	}
	if v.chance(0.08) {
		b.WriteString("'s")
	}
	if v.chance(0.06) {
		return b.String() + v.one("&", "/", "-", " & ") + v.one("co", "son", "mint", "free", "lite")
	}
	return b.String()
}

// size is a pack size.
func (v *inventor) size() string {
	unit := v.one("oz", "OZ", "lb", "LB", "g", "kg", "ml", "L", "ct", "CT", "pk", "PK", "qt", "gal", "in", "FL OZ", "Z", "EA", "DZ", "SH", "RL", "#", "%", "CM", "W")
	n := v.number(99)
	if v.chance(0.3) {
		n = v.number(40) + "." + v.digits(1+v.rng.IntN(2))
	}
	return n + v.one("", " ") + unit
}

// code is an article number.
func (v *inventor) code() string {
	switch v.rng.IntN(6) {
	case 0:
		return v.digits(4)
	case 1:
		return v.digits(6 + v.rng.IntN(3))
	case 2:
		return v.digits(13)
	case 3:
		return v.digits(3) + "-" + v.digits(2) + "-" + v.digits(4)
	case 4:
		return "00" + v.digits(9+v.rng.IntN(3))
	}
	return v.digits(12)
}

func (v *inventor) item() string {
	left := v.name()
	switch n := v.rng.IntN(20); {
	case n < 4:
		left = v.code() + v.one(" ", "  ") + left
	case n < 6:
		left += v.one(" ", "  ") + v.code()
	case n < 8:
		left = v.one("1", "2", "3", "1 x", "2 X", "1x", "2x", "*", "(2)", "QTY 2", "1 EA") + " " + left
	case n < 10:
		left = v.one("  ", "    ", "*", "> ", "+ ") + left
	}
	if v.chance(0.08) {
		return left
	}
	if v.chance(0.1) {
		left = v.columnsOf(left, v.number(20)+v.one(" ", "  ", " x ", " @ ")+v.price())
		return left + "  " + v.amount(false) + v.flag()
	}
	return v.columnsOf(left, v.amount(v.chance(0.06))+v.flag())
}

func (v *inventor) quantity() string {
	n := fmt.Sprint(1 + v.rng.IntN(12))
	weight := fmt.Sprintf("%d.%s", v.rng.IntN(6), v.digits(2+v.rng.IntN(2)))
	unit := v.one("lb", "lb", "LB", "lbs", "LBS", "kg", "KG", "oz", "ea", "EA")
	per := v.one("/", " /", "/ ", " / ") + unit
	at := v.one(" @ ", " @ ", " @ ", "@", " @", " AT ", " x ", " X ")
	dollar := v.one("", "", "$")
	var s string
	switch v.rng.IntN(13) {
	case 0, 1, 2:
		s = n + at + dollar + v.price()
	case 3, 4:
		s = n + at + fmt.Sprint(2+v.rng.IntN(9)) + v.one("/", "/", "/", " FOR ", " for ", "/ ") + dollar + v.price()
	case 5, 6, 7, 8:
		s = weight + " " + unit + at + dollar + v.price() + per
	case 9:
		s = n + v.one(" EA @ ", " ea @ ", " Ea @ $", "EA @") + v.price() + v.one("", " EA", " ea", "/EA", " EACH", "/ea")
	case 10:
		s = v.one("WT ", "Wt: ", "NET WT ", "SCALE ", "Net Wt ") + weight + " " + unit + v.one("", " TARE ."+v.digits(2), " T=0."+v.digits(2))
	case 11:
		s = v.one("QTY ", "Qty: ", "QTY: ", "Quantity ", "Qty ") + n + v.one("", " @ "+v.price(), " x "+v.price())
	case 12:
		s = "(" + n + at + dollar + v.price() + ")"
	}
	s = strings.Repeat(" ", v.rng.IntN(4)) + s
	if v.chance(0.12) {
		s += " " + v.name()
	}
	if v.chance(0.4) {
		return v.columnsOf(s, v.amount(false)+v.flag())
	}
	return s
}
