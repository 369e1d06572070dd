package match

// How much of a word's bone, the word without the vowels after its first
// letter, a shorthand is.
const (
	notAtAll = iota
	inPart   // it begins with it
	inFull   // it is all of it
)

// boned says whether p is f without its vowels: how tills shorten words.
func boned(p, f string) int {
	i := 0
	for j := range len(f) {
		if j > 0 && isVowel(f[j]) {
			continue
		}
		if i == len(p) {
			return inPart
		}
		if p[i] != f[j] {
			if j > 0 && i > 0 && f[j] == p[i-1] {
				continue // of a double letter one is enough
			}
			return notAtAll
		}
		i++
	}
	if i < len(p) {
		return notAtAll
	}
	return inFull
}
