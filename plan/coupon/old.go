package coupon

import (
	"fmt"
	"strconv"
	"strings"
)

// The old coupon symbol is a UPC-A of number system 5: manufacturer (5 digits),
// family (3), value code (2), check digit. The structure and the table of value
// codes are from memory: a value read from it is a hint for the person, no proof.

// oldCents are the value codes whose cents are not the code itself, from memory.
const oldCents = "03:110 04:135 05:140 06:160 11:185 18:260 26:285 " +
	"76:100 77:125 78:150 81:175 82:200 83:225 84:250 86:275 87:300 88:350 91:375 92:400 93:450 96:500 " +
	"61:1000 62:950 63:900 64:850 66:800 67:750 68:700 71:650 72:600 73:550 74:500"

// oldPlain are the value codes that are just so many cents, from memory.
const oldPlain = "10 12 15 20 25 29 30 35 39 40 45 49 50 55 59 60 65 69 70 75 79 80 85 89 90 95 99"

// oldFree are the codes "buy so many, get one free", oldSeveral "buy 2, get so
// many cents off", from memory.
var (
	oldFree    = map[string]int{"14": 1, "16": 2, "19": 3, "02": 4}
	oldSeveral = map[string]int{"33": 100, "51": 200, "57": 25}
)

func parseOld(s string) (Symbol, error) {
	sum := 0
	for i := range len(s) {
		weight := 1
		if i%2 == 0 {
			weight = 3
		}
		sum += weight * int(s[i]-'0')
	}
	if sum%10 != 0 {
		return Symbol{}, fmt.Errorf("%s has a wrong check digit", s)
	}
	c := Symbol{Kind: OldSymbol, Funder: s[1:6], Buy: []Requirement{{Amount: 1, Family: s[6:9]}}}
	code := s[9:11]
	switch {
	case code == "01":
		c.SaveCode, c.Save = FreeItem, 1
	case oldFree[code] > 0:
		c.SaveCode, c.Save, c.Buy[0].Amount = FreeItem, 1, oldFree[code]+1
	case oldSeveral[code] > 0:
		c.Save, c.Buy[0].Amount = oldSeveral[code], 2
	case strings.Contains(" "+oldPlain+" ", " "+code+" "):
		c.Save, _ = strconv.Atoi(code) // two digits
	default:
		for pair := range strings.FieldsSeq(oldCents) {
			if k, v, _ := strings.Cut(pair, ":"); k == code {
				c.Save, _ = strconv.Atoi(v) // the table's own digits
			}
		}
	}
	return c, nil
}
