package match

import (
	"slices"
	"strings"

	"tillproof/parse"
)

// name is a text cut into upper case words of letters or of digits only, so
// that "1KG" and "1 kg" are the same.
type name struct {
	words  []word
	size   int    // characters in all words
	starts uint64 // set of the words' first characters, bit 0 is A, bit 32 is 0
	clean  bool   // of a text: no letter of it was misread
}

type word struct {
	text    string
	letters uint32 // set of the letters in text, bit 0 is A
	number  bool
	plain   bool // no letter of it was misread
}

// newName cuts s into words. Accents are dropped; what is neither letter nor
// digit separates words, but for the apostrophe.
func newName(s string) name {
	upper := fold(s)
	n := name{words: make([]word, 0, countWords(upper))}
	for i := 0; i < len(upper); {
		if upper[i] == ' ' {
			i++
			continue
		}
		j := i + 1
		for j < len(upper) && upper[j] != ' ' && isDigit(upper[j]) == isDigit(upper[i]) {
			j++
		}
		n.words = append(n.words, newWord(upper[i:j]))
		n.size += j - i
		n.starts |= n.words[len(n.words)-1].start()
		i = j
	}
	return n
}

// plainLetters is how many letters a word of a photo has at least that nothing is taken
// for: in faint print a word falls into pieces.
const plainLetters = 4

// trust marks the words of a line whose letters are beyond doubt.
func (n *name) trust(l *parse.Line) {
	var plain []string
	for _, text := range l.Plain {
		plain = append(plain, strings.Fields(fold(text))...)
	}
	for i := range n.words {
		w := &n.words[i]
		w.plain = l.Photo == 0 || len(w.text) >= plainLetters && slices.Contains(plain, w.text)
	}
}

// dropCodes takes off numbers of four digits and more at either end: a shop's
// own number for loose goods, and no part of the name.
func (n *name) dropCodes() {
	code := func(w *word) bool { return w.number && len(w.text) >= 4 }
	for len(n.words) > 1 && code(&n.words[0]) {
		n.size -= len(n.words[0].text)
		n.words = n.words[1:]
	}
	for k := len(n.words) - 1; k > 0 && code(&n.words[k]); k-- {
		n.size -= len(n.words[k].text)
		n.words = n.words[:k]
	}
}

// dropMark takes off a letter by itself behind a number that is no unit of it: a mark
// of the till's, such as one for a sale.
func (n *name) dropMark() {
	k := len(n.words) - 1
	if k < 2 || len(n.words[k].text) != 1 || n.words[k].number || !n.words[k-1].number || strings.Contains("GLMKCOP", n.words[k].text) {
		return
	}
	n.words, n.size = n.words[:k], n.size-1
}

func countWords(upper string) (n int) {
	for i := range len(upper) {
		if upper[i] != ' ' && (i == 0 || upper[i-1] == ' ' || isDigit(upper[i-1]) != isDigit(upper[i])) {
			n++
		}
	}
	return n
}

func newWord(s string) word {
	w := word{text: s, number: isDigit(s[0])}
	for i := 0; i < len(s) && !w.number; i++ {
		w.letters |= 1 << (s[i] - 'A')
	}
	return w
}

// start is the set of the word's first character, as in name.starts.
func (w *word) start() uint64 {
	if w.number {
		return 1 << (32 + w.text[0] - '0')
	}
	return 1 << (w.text[0] - 'A')
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isVowel(c byte) bool { return c == 'A' || c == 'E' || c == 'I' || c == 'O' || c == 'U' }

// accents maps letters of Latin scripts to the plain capital a till prints.
var accents = map[rune]byte{}

func init() {
	for plain, group := range map[byte]string{
		'A': "ÀÁÂÃÄÅĀĂĄàáâãäåāăą", 'C': "ÇĆČçćč", 'D': "ĎĐďđ", 'E': "ÈÉÊËĒĖĘĚèéêëēėęě", 'G': "Ğğ",
		'I': "ÌÍÎÏĪİìíîïīı", 'L': "Łł", 'N': "ÑŃŇñńň", 'O': "ÒÓÔÕÖØŌŐòóôõöøōő", 'R': "Řř",
		'S': "ŚŞŠśşšß", 'T': "ŤŢťţ", 'U': "ÙÚÛÜŪŮŰùúûüūůű", 'Y': "ÝŸýÿ", 'Z': "ŹŻŽźżž",
	} {
		for _, r := range group {
			accents[r] = plain
		}
	}
}

// fold writes s in plain capitals, digits and spaces.
func fold(s string) string {
	var room [64]byte
	b := room[:0]
	for _, r := range s {
		switch {
		case r >= 'a' && r <= 'z':
			b = append(b, byte(r-'a'+'A'))
		case r >= 'A' && r <= 'Z' || r >= '0' && r <= '9':
			b = append(b, byte(r))
		case r == '\'' || r == '’':
		case r > 127 && accents[r] != 0:
			b = append(b, accents[r])
		default:
			b = append(b, ' ')
		}
	}
	for i := 1; i+1 < len(b); i++ {
		if at := strings.IndexByte("0158", b[i]); at >= 0 && isLetter(b[i-1]) && isLetter(b[i+1]) {
			b[i] = "OISB"[at] // a digit within a word is a misread letter
		}
	}
	return string(b)
}

func isLetter(c byte) bool { return c >= 'A' && c <= 'Z' }

// likeness says from 0 to 100 how well printed may be till shorthand for full:
// its words those of full in the same order, each whole, cut short, without
// vowels or a letter misread, and some of them left out. Three quarters of it
// are how much of the print is accounted for, one quarter how much of the name.
func likeness(printed, full *name) int {
	np, nf := len(printed.words), len(full.words)
	if np == 0 || nf == 0 || (np > 1 || printed.clean) && printed.starts&full.starts == 0 {
		return 0
	}
	// best[j] is the most that the words of printed seen so far make of the
	// first j words of full, in ten-thousandths.
	var small [2][24]int
	best, next := small[0][:], small[1][:]
	if nf >= len(best) {
		best, next = make([]int, nf+1), make([]int, nf+1)
	}
	for i := range printed.words {
		p := &printed.words[i]
		if printed.clean && p.start()&full.starts == 0 {
			continue // it stands for none of them
		}
		next[0] = 0
		for j := range nf {
			f := &full.words[j]
			got := max(next[j], best[j+1])
			if s := shorthand(p, f, printed.clean); s > 0 {
				worth := 75*len(p.text)*s/printed.size + 25*len(f.text)*s/full.size
				got = max(got, best[j]+worth)
			}
			next[j+1] = got
		}
		if k := len(p.text); k >= 2 && k <= 4 && !p.number {
			for j := 0; j+k <= nf; j++ {
				if initials(p.text, full.words[j:j+k]) {
					worth := 75 * k * 70 / printed.size
					for e := j + k; e <= nf; e++ {
						next[e] = max(next[e], best[j]+worth)
					}
				}
			}
		}
		best, next = next, best
	}
	inOrder := best[nf] / 100
	if inOrder < hint || inOrder >= 80 {
		return inOrder
	}
	return max(inOrder, anyOrder(printed, full))
}

// anyOrder is likeness for a print that has the words in another order, as the
// goods before the brand: worth a tenth less.
func anyOrder(printed, full *name) int {
	sum := 0
	var used uint64
	for i := range printed.words {
		p, at, most := &printed.words[i], -1, 0
		for j := range full.words {
			if used&(1<<j) == 0 {
				if s := shorthand(p, &full.words[j], printed.clean); s > most {
					at, most = j, s
				}
			}
		}
		if at >= 0 {
			used |= 1 << at
			sum += 75*len(p.text)*most/printed.size + 25*len(full.words[at].text)*most/full.size
		}
	}
	return sum * 9 / 1000
}

// initials reports whether p is made of the first letters of words.
func initials(p string, words []word) bool {
	for i := range words {
		if words[i].text[0] != p[i] || len(words[i].text) == 1 {
			return false
		}
	}
	return true
}

// has reports whether n has a word that is one of texts.
func (n *name) has(texts ...string) bool {
	return slices.ContainsFunc(n.words, func(w word) bool { return slices.Contains(texts, w.text) })
}

// reads reports whether n reads like other word for word, but, where letters may be misread,
// for one in eight: what a text known to be printed must do. The last word may
// be cut short, as where the paper ended.
func (n *name) reads(other *name) bool {
	a, b := n.joined(), other.joined()
	if a == b {
		return true
	}
	if len(a) < 4 || len(b) < 4 {
		return false
	}
	if len(a) >= 8 && strings.HasPrefix(b, a) {
		return true
	}
	if !slices.ContainsFunc(n.words, func(w word) bool { return !w.plain }) {
		return false // of a text: no letter of it was misread
	}
	d := len(a) - len(b)
	return max(d, -d) <= len(b)/8 && edits(a, b) <= len(b)/8
}

func (n *name) joined() string {
	if len(n.words) == 1 {
		return n.words[0].text
	}
	b := make([]byte, 0, n.size)
	for i := range n.words {
		b = append(b, n.words[i].text...)
	}
	return string(b)
}

// weightless is a printed name without a weight behind it, which is no part of what the
// goods are called: "BANA 2.27 lb".
func weightless(s string) string {
	f := strings.Fields(s)
	n := len(f)
	if n < 3 || !slices.Contains([]string{"LB", "LBS", "KG"}, strings.ToUpper(f[n-1])) || !strings.ContainsAny(f[n-2], ".,") || strings.Trim(f[n-2], "0123456789.,") != "" {
		return s
	}
	return strings.Join(f[:n-2], " ")
}
