package match

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/hbollon/go-edlib"

	"tillproof/parse"
)

// Published values: optimal string alignment of ab/bca is 3 (strsim
// documentation), CA/ABC 3, an act/a cat 2, dixon/dicksonx 4, abcd/abdc 1
// (secondary copies); kitten/sitting 3 and COUPON/COUPNO 1 are computed.
func TestEditsPublished(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"ab", "bca", 3}, {"CA", "ABC", 3}, {"an act", "a cat", 2}, {"dixon", "dicksonx", 4},
		{"abcd", "abdc", 1}, {"kitten", "sitting", 3}, {"COUPON", "COUPNO", 1}, {"", "abc", 3}, {"same", "same", 0},
	} {
		if got := edits(c.a, c.b); got != c.want {
			t.Errorf("edits(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

// The library's Jaro and Jaro-Winkler (prefix weight 0.1, at most 4) give the
// values published with the method; edits agrees with its optimal string
// alignment on random words.
func TestSimilarityLibrary(t *testing.T) {
	for _, c := range []struct {
		a, b          string
		jaro, winkler float64
	}{
		{"MARTHA", "MARHTA", 0.9444, 0.9611}, {"DIXON", "DICKSONX", 0.7667, 0.8133}, {"DWAYNE", "DUANE", 0.8222, 0.8400},
		{"WILLIAM", "WILLIAMS", 0.9583, 0.9750}, {"CRATE", "TRACE", 0.7333, 0.7333}, {"JELLYFISH", "SMELLYFISH", 0.8963, 0.8963},
	} {
		if got := float64(edlib.JaroSimilarity(c.a, c.b)); math.Abs(got-c.jaro) > 0.0001 {
			t.Errorf("Jaro of %s and %s = %.4f, want %.4f", c.a, c.b, got, c.jaro)
		}
		if got := float64(edlib.JaroWinklerSimilarity(c.a, c.b)); math.Abs(got-c.winkler) > 0.0001 {
			t.Errorf("Jaro-Winkler of %s and %s = %.4f, want %.4f", c.a, c.b, got, c.winkler)
		}
	}
	r := rand.New(rand.NewPCG(1, 1))
	for range 5000 {
		a, b := randomWord(r), randomWord(r)
		if got, want := edits(a, b), edlib.OSADamerauLevenshteinDistance(a, b); got != want {
			t.Fatalf("edits(%q, %q) = %d, the library says %d", a, b, got, want)
		}
	}
}

func randomWord(r *rand.Rand) string {
	b := make([]byte, r.IntN(9))
	for i := range b {
		b[i] = "ABCD"[r.IntN(4)]
	}
	return string(b)
}

// Till shorthand: each print must be liker its own name than the others are.
func TestLikeness(t *testing.T) {
	names := []string{
		"Millbrook rolled oats 1 kg", "Fenny Orchard plum jam 340 g", "Fenny Orchard peach jam 340 g", "Tern kitchen foil 25 m",
		"Dovecote dish soap lemon 500 ml", "Millbrook oat crackers", "Larkhall 2% milk 1 gal", "Crème fraîche Fenny 200 g", "Fenny salted butter 25 m",
	}
	for _, c := range []struct {
		print string
		want  int // of names
		least int // the score it must reach
	}{
		{"MLBRK RLD OATS 1KG", 0, 80},
		{"MILLBROOK ROLLED OATS 1 KG", 0, 99},
		{"MILLBR RLLD OTS", 0, 75},
		{"ROLLED OATS", 0, 75},
		{"RLD OATS", 0, 70},
		{"MLLBRK R0LLED OATS", 0, 65}, // a zero read for an O
		{"FNY ORCH PLUM JAM", 1, 75},
		{"F0 PLM JM", 1, 40},
		{"FO PEACH JAM 340G", 2, 75},
		{"FENNY ORCHARD PE", 2, 70}, // cut at the paper's edge
		{"TERN FOIL 25M", 3, 75},
		{"TRN KTCHN FL", 3, 75},
		{"DSH SOAP LMN", 4, 70},
		{"MLBK OAT CRCKRS", 5, 70},
		{"LRKHLL 2% MLK GAL", 6, 75},
		{"CREME FRAICHE 200G", 7, 80},
		{"ROLLED OATS MILL 1KG", 0, 80},  // the goods before the brand
		{"MlLLBROOK ROLLED OATS", 0, 75}, // an l read for an I
		{"R0LLEC OATS", 0, 50},
		{"RLLDD OTS", 0, 68},              // a letter read twice
		{"Temn kitchen foil 25m", 3, 95},  // r and n read as m
		{"Fenny salted bumer 25m", 8, 95}, // two t read as m
	} {
		p := newName(c.print)
		best, at := -1, -1
		for i, n := range names {
			full := newName(n)
			if s := likeness(&p, &full); s > best {
				best, at = s, i
			}
		}
		if at != c.want || best < c.least {
			t.Errorf("%q is most like %q (%d), want %q with at least %d", c.print, names[at], best, names[c.want], c.least)
		}
	}
}

func TestUnlike(t *testing.T) {
	for _, c := range [][2]string{
		{"BANANAS", "Millbrook rolled oats 1 kg"}, {"GRND BEEF 80/20", "Fenny Orchard plum jam 340 g"}, {"TOTAL", "Tern kitchen foil 25 m"},
	} {
		p, full := newName(c[0]), newName(c[1])
		if s := likeness(&p, &full); s >= hint {
			t.Errorf("%q is like %q: %d, want under %d", c[0], c[1], s, hint)
		}
	}
}

func TestVaries(t *testing.T) {
	for _, c := range []struct {
		printed, full string
		clean         bool
		want          variance
	}{
		{"FENNY PEACH JAM", "Fenny Orchard plum jam 340 g", true, other},
		{"FNNY PCH JM", "Fenny Orchard plum jam 340 g", true, other},
		{"FENNY PLUM JAM 500G", "Fenny Orchard plum jam 340 g", true, other},
		{"FENNY PLUM JAM 500G", "Fenny Orchard plum jam 340 g", false, same}, // digits may be misread
		{"DSH SOAP LIME", "Dovecote dish soap lemon 500 ml", true, other},
		{"ORG PLUM JAM", "Fenny Orchard plum jam 340 g", true, perhaps},
		{"CLAS OLIVE SOAP BA", "Rillstone olive soap bar 90 g", true, perhaps},
		{"CLAS OLIVE SOAP BAR RILL", "Rillstone olive soap bar 90 g", true, other},
		{"DOVE BANANAS", "bananas", true, same}, // a brand before a plain name
		{"FENNY ORCHARD JAM", "Fenny Orchard plum jam 340 g", true, same},
		{"FENNY PLUM JAM 340G", "Fenny Orchard plum jam 340 g", true, same},
		{"MLBRK RLD OATS 1KG", "Millbrook rolled oats 1 kg", true, same},
		{"ROLLED OATS MILL 1KG", "Millbrook rolled oats 1 kg", true, same},
		{"INSTANT RLD OATS MILL 1KG", "Millbrook rolled oats 1 kg", true, other},
		{"MLBRK INSTANT RLD OATS", "Millbrook rolled oats 1 kg", true, other},
		{"LINDQUAY LIGHT BAKED BEANS", "Lindquay baked beans 415 g", true, other},
		{"LINDQUAY LIGHT BAKED BEANS", "Lindquay baked beans 415 g", false, perhaps},
		{"DAP LIG CLO LEM 1L", "Dapplemere cloudy lemonade 1 l", false, perhaps},
		{"DAP *LIG CLO LEM 1L", "Dapplemere cloudy lemonade 1 l", false, perhaps}, // a piece of a word
		{"DAP *LIGH CLO LEM 1L", "Dapplemere cloudy lemonade 1 l", false, other},
		{"WH *MEAL LOAF MILL", "Millbrook wholemeal loaf 800 g", false, same},
		{"FENNY *PEACH JAM", "Fenny Orchard plum jam 340 g", false, other},
		{"Bir Hil Lom Gra Rice lkg", "Birchanger Hill long grain rice 1 kg", false, same},
		{"LNDQY BXD BNS 400G", "Lindquay baked beans 400 g", false, same},
		{"BRAC DISH SOAP LIM 500ML", "Brackle dish soap lemon 500 ml", false, unlike},
		{"GREYLI MILL *SLID *BUIR", "Greyling Mill salted butter 250 g", false, unlike},
		{"FENNY PEACH JAM", "Fenny Orchard plum jam 340 g", false, unlike},
		{"LINDQUAY BAKEO BEANS", "Lindquay baked beans 415 g", false, same},
	} {
		p, full := newName(c.printed), newName(c.full)
		line := parse.Line{Photo: 1}
		if c.clean {
			line.Photo = 0
		}
		for _, w := range strings.Fields(c.printed) { // a star marks what was read for sure
			if plain, ok := strings.CutPrefix(w, "*"); ok {
				line.Plain = append(line.Plain, plain)
			}
		}
		p.trust(&line)
		if got := varies(&p, &full, c.clean); got != c.want {
			t.Errorf("varies(%q, %q, %v) = %v, want %v", c.printed, c.full, c.clean, got, c.want)
		}
	}
}

// GS1 General Specifications 7.9.1: 629104150021 has check digit 3 (GS1's own
// example), 03600029145 has 2, 950110153100 has 0; and a price-embedded number
// with a wrong check digit.
func TestCodes(t *testing.T) {
	for _, code := range []string{"6291041500213", "036000291452", "9501101531000", "95012346", "212345703496"} {
		if !checkDigitFits(code) {
			t.Errorf("check digit of %s does not fit", code)
		}
	}
	for _, code := range []string{"6291041500214", "036000291453", "212345603496"} {
		if checkDigitFits(code) {
			t.Errorf("check digit of %s fits", code)
		}
	}
	for _, c := range []struct {
		printed, planned string
		same             bool
	}{
		{"036000291452", "00036000291452", true},
		{"36000291452", "00036000291452", true},   // no leading zero
		{"0036000291452", "00036000291452", true}, // as 13 digits
		{"3600029145", "00036000291452", true},    // no check digit either
		{"03600029145", "00036000291452", true},   // no check digit
		{"036000291469", "00036000291452", false}, // another item of the maker
		{"4011", "00000000040112", false},         // a shop's own number
		{"212345703496", "00212345543214", true},  // the same item at another price
		{"212345703496", "00201234212997", false}, // another item
		{"0212345703496", "00212345543214", true}, // as 13 digits
		{"2012345212992", "02012345703490", true}, // 20 and five digits for the item
		{"2012345212992", "02112345212999", false},
		{"212345432143", "00212340019929", true}, // a price of five digits
	} {
		if got := sameCode(c.printed, c.planned); got != c.same {
			t.Errorf("sameCode(%s, %s) = %v, want %v", c.printed, c.planned, got, c.same)
		}
	}
}

// A weight is no part of what goods are called, a size is.
func TestWeightless(t *testing.T) {
	for _, c := range [][2]string{
		{"BANA 2.27 lb", "BANA"}, {"RED APPLES 0.982 KG", "RED APPLES"}, {"OATS 1 KG", "OATS 1 KG"}, {"2.27 lb", "2.27 lb"}, {"TEA 80 CT", "TEA 80 CT"},
	} {
		if got := weightless(c[0]); got != c[1] {
			t.Errorf("weightless(%q) = %q, want %q", c[0], got, c[1])
		}
	}
}

// The word before those that a print shares with a name is the name's brand with a letter
// misread, or another brand.
func TestHeadMisread(t *testing.T) {
	for _, c := range []struct {
		printed, full string
		plain         []string
		want          bool
	}{
		{"KEX KIT TOW 2CT", "Wexcombe kitchen towels 2 ct", nil, true},
		{"KEXC KIT TOW 2CT", "Wexcombe kitchen towels 2 ct", []string{"KEXC"}, false}, // read for sure
		{"RILL KIT TOW 2CT", "Wexcombe kitchen towels 2 ct", nil, false},
		{"KEX RILL KIT TOW", "Wexcombe kitchen towels 2 ct", nil, false},
		{"KIT TOW 2CT", "Wexcombe kitchen towels 2 ct", nil, false}, // none stands before them
		{"KEX", "Wexcombe kitchen towels 2 ct", nil, false},
	} {
		printed := newName(c.printed)
		printed.trust(&parse.Line{Photo: 1, Plain: c.plain})
		full := newName(c.full)
		if got := headMisread(&printed, &full); got != c.want {
			t.Errorf("%q for %q: %v, want %v", c.printed, c.full, got, c.want)
		}
	}
}
