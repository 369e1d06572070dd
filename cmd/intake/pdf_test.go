package intake

import (
	"bytes"
	"fmt"
	"image"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// pdf makes PDF files for tests, by ISO 32000-1: a header, numbered objects, a
// table of where they are.
type pdf struct {
	objects []string
	pages   []int
}

func (p *pdf) add(format string, args ...any) int {
	p.objects = append(p.objects, fmt.Sprintf(format, args...))
	return len(p.objects)
}

func (p *pdf) stream(dict, body string) int {
	return p.add("<<%s/Length %d>>stream\n%s\nendstream", dict, len(body), body)
}

// page adds a page: more goes into its dictionary, pictures are the objects
// that its contents call /I0, /I1 …
func (p *pdf) page(more, contents string, pictures ...int) {
	var images strings.Builder
	for i, n := range pictures {
		fmt.Fprintf(&images, "/I%d %d 0 R", i, n)
	}
	c := p.stream("", contents)
	p.pages = append(p.pages, p.add("<</Type/Page/Parent 1 0 R/MediaBox[0 0 300 400]%s/Contents %d 0 R/Resources<</Font"+
		"<</F1<</Type/Font/Subtype/Type1/BaseFont/Courier>>/F2<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>/F3<<%s>>>>/XObject<<%s>>>>>>", more, c, unknownFont, images.String()))
}

// unknownFont is one of which the file does not tell what its characters mean,
// as programs make them that put only the letters they need into a font.
const unknownFont = "/Type/Font/Subtype/Type0/BaseFont/AAAAAA+Till/Encoding/Identity-H/DescendantFonts[<</Type/Font/Subtype/CIDFontType2" +
	"/BaseFont/AAAAAA+Till/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/DW 600>>]"

func newPDF() *pdf { return &pdf{objects: []string{"", "<</Type/Catalog/Pages 1 0 R>>"}} }

func (p *pdf) bytes() []byte {
	var kids strings.Builder
	for _, n := range p.pages {
		fmt.Fprintf(&kids, "%d 0 R ", n)
	}
	p.objects[0] = fmt.Sprintf("<</Type/Pages/Kids[%s]/Count %d>>", kids.String(), len(p.pages))
	var b bytes.Buffer
	b.WriteString("%PDF-1.4\n")
	at := make([]int, len(p.objects))
	for i, o := range p.objects {
		at[i] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, n := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", n)
	}
	fmt.Fprintf(&b, "trailer<</Size %d/Root 2 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(at)+1, table)
	return b.Bytes()
}

// pdfOf is a PDF of pages with these contents.
func pdfOf(contents ...string) []byte {
	p := newPDF()
	for _, c := range contents {
		p.page("", c)
	}
	return p.bytes()
}

// printed draws texts at places: alternating "x y" and the text.
func printed(font string, placed ...string) string {
	var b strings.Builder
	b.WriteString("BT /" + font + " 10 Tf ")
	for i := 0; i < len(placed); i += 2 {
		fmt.Fprintf(&b, "1 0 0 1 %s Tm (%s) Tj ", placed[i], placed[i+1])
	}
	b.WriteString("ET\n")
	return b.String()
}

// bill is drawn as programs do it: first all names, then all amounts.
func bill(font string) string {
	return printed(font, "20 350", "HARBOR LANE MARKET", "20 330", "OATS 1 KG", "20 318", "PLUM JAM", "20 306", "TOTAL",
		"224 330", "4.29", "224 318", "3.79", "224 306", "8.08")
}

func TestPDFText(t *testing.T) {
	const courier = `HARBOR LANE MARKET
OATS 1 KG                         4.29
PLUM JAM                          3.79
TOTAL                             8.08
`
	cases := []struct{ why, contents, want string }{
		{"names and amounts drawn apart are one line; columns as they are", bill("F1"), courier},
		{"bold print made by printing twice, a hair's breadth apart", bill("F1") + "1 0 0 1 0.3 0 cm " + bill("F1"), courier},
		{"a larger font in the same line", "BT /F1 10 Tf 1 0 0 1 20 300 Tm (TOTAL) Tj /F1 14 Tf 1 0 0 1 200 300 Tm (8.08) Tj ET", "TOTAL                         8.08\n"},
		{"letters drawn one by one", "BT /F1 10 Tf 1 0 0 1 20 300 Tm [(T)0(O)0(T)0(A)0(L)] TJ 200 0 Td (8) Tj 6 0 Td (.) Tj 6 0 Td (0) Tj 6 0 Td (8) Tj ET",
			"TOTAL                            8.08\n"},
		{"a double letter stays double", printed("F1", "20 300", "COFFEE 4.40"), "COFFEE 4.40\n"},
		{"a stamp across the page is no line", bill("F1") + "BT /F1 30 Tf .7 .7 -.7 .7 60 100 Tm (COPY) Tj ET", courier},
	}
	p := newPDF()
	for _, c := range cases {
		p.page("", c.contents)
	}
	p.page("", bill("F2"))
	got := open(t, "a.pdf", p.bytes())
	if len(got) != len(cases)+1 {
		t.Fatalf("%d pages became %d parts", len(cases)+1, len(got))
	}
	for i, c := range cases {
		if diff := cmp.Diff(Part{Text: c.want, Name: fmt.Sprintf("page %d", i+1)}, got[i]); diff != "" {
			t.Errorf("%s:\n%s", c.why, diff)
		}
	}
	// With a font of letters of differing width the columns may not be exact,
	// but name and amount share a line, and are apart.
	text := got[len(cases)].Text
	for _, want := range []string{"OATS 1 KG  ", "  4.29\n", "  8.08\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	if n := strings.Count(text, "\n"); n != 4 {
		t.Errorf("%d lines, not 4:\n%s", n, text)
	}
}

func TestPDFTurned(t *testing.T) {
	cases := []struct{ why, page, matrix string }{
		{"as it should be", "", "1 0 0 1 0 0"},
		{"the page is shown turned", "/Rotate 90", "0 1 -1 0 400 0"},
		{"the page is shown upside down", "/Rotate 180", "-1 0 0 -1 300 400"},
		{"the text lies on its side on an upright page", "", "0 1 -1 0 400 0"},
		{"the text lies on its other side", "", "0 -1 1 0 0 300"},
		{"a page whose corner is not 0 0", "/CropBox[0 100 300 400]", "1 0 0 1 0 0"},
	}
	p := newPDF()
	for _, c := range cases {
		p.page(c.page, c.matrix+" cm "+bill("F1"))
	}
	got := open(t, "a.pdf", p.bytes())
	if len(got) != len(cases) || !strings.HasPrefix(got[0].Text, "HARBOR LANE MARKET\nOATS 1 KG      ") {
		t.Fatalf("%d pages became %q", len(cases), got)
	}
	for i, c := range cases {
		if got[i].Text != got[0].Text {
			t.Errorf("%s: %q", c.why, got[i])
		}
	}
}

// scan is a PDF whose page is one picture: white with a black bar at the left.
func scan(more string) []byte {
	p := newPDF()
	row := strings.Repeat("00", 10) + strings.Repeat("ff", 20)
	img := p.stream("/Type/XObject/Subtype/Image/Width 30/Height 40/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/ASCIIHexDecode",
		strings.Repeat(row, 40)+">")
	p.page("", "q 300 0 0 400 0 0 cm /I0 Do Q "+more, img)
	return p.bytes()
}

func TestPDFDrawn(t *testing.T) {
	for _, c := range []struct {
		why  string
		data []byte
	}{
		{"a scan without text", scan("")},
		{"a scan with the invisible text that some program read in it", scan("BT 3 Tr /F1 10 Tf 20 300 Td (TOTAL 8.03) Tj ET")},
		{"a scan over visible text", scan(bill("F1"))},
		{"print that is lines, not text", pdfOf("0 0 100 400 re f")},
	} {
		got := open(t, "a.pdf", c.data)
		if len(got) != 1 || got[0].Text != "" {
			t.Fatalf("%s: %q", c.why, got)
		}
		// 300 by 400 points at 300 dpi.
		g := grey(t, got[0].Photo, "P5\n1250 1666\n255\n")
		if d := dark(g, image.Rect(10, 10, 400, 1650)); d < 0.99 {
			t.Errorf("%s: the black third is %.2f dark", c.why, d)
		}
	}
	if got := open(t, "a.pdf", scan("")); dark(grey(t, got[0].Photo, "P5\n1250 1666\n255\n"), image.Rect(450, 10, 1240, 1650)) > 0 {
		t.Error("the white part is dark")
	}
}

func TestPDFOfUnknownCharacters(t *testing.T) {
	got := open(t, "a.pdf", pdfOf(printed("F1", "20 330", "TOTAL")+"BT /F3 10 Tf 20 300 Td <0015001100210019> Tj ET"))
	if len(got) != 1 || got[0].Photo == nil {
		t.Errorf("characters that nobody knows were taken for text: %q", got)
	}
}

// The renderer that is kept may be damaged, or made by someone else.
func TestPDFWithDamagedCache(t *testing.T) {
	dir := t.TempDir()
	if kept := cacheDir(""); kept != "" {
		open(t, "a.pdf", scan("")) // fills the cache, mostly as it was before
		if err := os.CopyFS(dir, os.DirFS(kept)); err != nil {
			t.Fatal(err)
		}
	} else if _, err := Open(t.Context(), "a.pdf", scan(""), Options{CacheDir: dir}); err != nil {
		t.Fatal(err)
	}
	n := 0
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		n++
		return os.WriteFile(path, []byte("WAZEROnothing"), 0o600)
	})
	if err != nil || n == 0 {
		t.Fatalf("%d files kept, %v", n, err)
	}
	parts, err := Open(t.Context(), "a.pdf", scan(""), Options{CacheDir: dir})
	if err != nil || len(parts) != 1 || parts[0].Photo == nil {
		t.Errorf("got %d parts, %v", len(parts), err)
	}
}

func TestPDFPages(t *testing.T) {
	got := open(t, "a.pdf", pdfOf(printed("F1", "20 300", "OATS 4.29"), "", printed("F1", "20 300", "TOTAL 4.29")))
	want := []Part{{Text: "OATS 4.29\n", Name: "page 1"}, {Text: "TOTAL 4.29\n", Name: "page 3"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if got := refused(t, "long.pdf", pdfOf(make([]string, maxPages+1)...)); !strings.Contains(got.Msg, "21 pages, more than the 20") {
		t.Error(got)
	}
	if got := refused(t, "blank.pdf", pdfOf("")); !strings.Contains(got.Msg, "nothing on the pages") {
		t.Error(got)
	}
	if got := refused(t, "none.pdf", pdfOf()); got.Hint == "" {
		t.Error(got)
	}
}

func TestPDFMadeToHarm(t *testing.T) {
	whole := pdfOf(bill("F1"))
	for _, n := range []int{9, 100, len(whole) / 3} {
		refused(t, "cut.pdf", whole[:n])
	}
	locked := bytes.Replace(whole, []byte("trailer<<"), []byte("trailer<</ID[<00><00>]/Encrypt<</Filter/Standard/V 1/R 2/P -4"+
		"/O<"+strings.Repeat("11", 32)+">/U<"+strings.Repeat("22", 32)+">>>"), 1)
	if got := refused(t, "locked.pdf", locked); !strings.Contains(got.Msg, "password") {
		t.Error(got)
	}
	// A page of a kilometre, drawn: coarser, not larger.
	far := newPDF()
	far.page("/MediaBox[0 0 200000 200000]", "0 0 100000 200000 re f")
	if got, err := Open(t.Context(), "far.pdf", far.bytes(), Options{}); err == nil && len(got[0].Photo) > pagePixels+100 || err != nil && !isError(err) {
		t.Errorf("got %v", err)
	}
	// A drawing that draws itself.
	loop := newPDF()
	loop.objects = append(loop.objects, "<</Type/XObject/Subtype/Form/BBox[0 0 300 400]/Resources<</XObject<</I0 3 0 R>>>>/Length 6>>stream\n/I0 Do\nendstream")
	loop.page("", "/I0 Do "+bill("F1"), 3)
	if got, err := Open(t.Context(), "loop.pdf", loop.bytes(), Options{}); err != nil && !isError(err) || err == nil && len(got) != 1 {
		t.Errorf("got %v", err)
	}
	// Very many characters.
	many := pdfOf("BT /F1 1 Tf 0 300 Td " + strings.Repeat("0 -1 Td ("+strings.Repeat("8", 1000)+") Tj ", 60) + "ET")
	if got := refused(t, "many.pdf", many); !strings.Contains(got.Msg, "characters") {
		t.Error(got)
	}
}
