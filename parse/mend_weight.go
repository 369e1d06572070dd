package parse

import (
	"slices"
	"strings"

	"tillproof/ocr"
)

// mendWeights puts right the units of a line that is a weight and its price.
func mendWeights(words []ocr.Word) []ocr.Word {
	out := words
	put := func(i int, text string) { out = reworded(out, words, i, text) }
	for i := 1; i < len(words); i++ {
		switch s := strings.ToLower(words[i].Text); {
		case !isNumber(words[i-1].Text) || i+2 != len(words)-1:
		case s == "kq" || s == "k9" || s == "ko":
			put(i, "kg")
		case s == "b" || s == "/b":
			put(i, "lb")
		}
		if n := len(words); i == n-1 && strings.EqualFold(words[i].Text, "perk") && n >= 5 && isNumber(strings.TrimPrefix(words[i-1].Text, "$")) && weights[strings.ToUpper(words[n-4].Text)] == "kg" && isNumber(words[n-5].Text) {
			put(i, "/kg")
		}
		if s := strings.ToLower(words[i].Text); (s == "perkg" || s == "perlb" || s == "akg" || s == "alb") && isNumber(strings.TrimPrefix(words[i-1].Text, "$")) {
			put(i, "/"+s[len(s)-2:])
		}
		unit := weights[strings.ToUpper(out[i].Text)]
		if n := len(words); unit != "" && i+4 == n-1 && isNumber(words[i-1].Text) && isNumber(strings.TrimPrefix(words[i+2].Text, "$")) && perRead(words[i+3].Text) && weights[strings.ToUpper(words[n-1].Text)] == unit {
			put(i+3, "per") // "3.07 lb at 0.55 p@r lb"
		}
		last := &words[len(words)-1]
		if unit != "lb" && unit != "kg" || i+2 >= len(words) || !isNumber(words[i-1].Text) {
			continue
		}
		at := strings.IndexByte(last.Text, '.')
		if at < 1 || len(last.Text) < at+4 || !isNumber(strings.TrimPrefix(last.Text[:at+3], "$")) {
			continue
		}
		switch rest := strings.ToLower(last.Text[at+3:]); {
		case unit == "lb" && (rest == "b" || rest == "lb" || rest == "/b" || rest == "1b" || rest == "7lb"), unit == "kg" && (rest == "kg" || rest == "/kq" || rest == "/k9"):
			put(len(words)-1, last.Text[:at+3]+"/"+unit)
		}
	}
	return out
}

// mendWeighed puts right both units of a line that is nothing but a weight with its price by
// weight, each told by the letter of it that is left and by the other: "2.93 &G MET @ 1.23 PER
// KG", "0.746 EG NET @ 11.80 PER KC".
func mendWeighed(words []ocr.Word) []ocr.Word {
	n := len(words)
	if n < 6 || n > 7 || !isNumber(words[0].Text) || words[n-4].Text != "@" || !isNumber(strings.TrimPrefix(words[n-3].Text, "$")) || !perRead(words[n-2].Text) && !strings.EqualFold(words[n-2].Text, "per") {
		return words
	}
	if n == 7 && len(words[2].Text) > 4 {
		return words
	}
	for _, unit := range [...]string{"KG", "LB"} {
		if left, right := lettersOf(words[1].Text, unit), lettersOf(words[n-1].Text, unit); left > 0 && right > 0 && left+right < 4 {
			out := slices.Clone(words)
			for _, i := range [...]int{1, n - 1} {
				out[i].Text, out[i].Alternatives = unit, nil
			}
			return out
		}
	}
	return words
}

// lettersOf counts the letters of unit that s, a word as long, has where unit has them.
func lettersOf(s, unit string) (n int) {
	if len(s) != len(unit) {
		return 0
	}
	for i := range len(unit) {
		if strings.EqualFold(s[i:i+1], unit[i:i+1]) {
			n++
		}
	}
	return n
}
