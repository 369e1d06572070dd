package intake

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzOpen opens anything. HEIC photos and PDFs take a child each, which is too
// slow here: of those only what happens before is tried.
func FuzzOpen(f *testing.F) {
	f.Add("a.txt", []byte(receipt))
	f.Add("a.txt", []byte("\xff\xfeA\x00"))
	f.Add("a.jpg", []byte("\xff\xd8\xff"))
	f.Add("a.html", []byte("<html><table><tr><td>OATS<td><pre>4.29</table>"))
	f.Add("a.html", []byte(`<div style="display:flex"><s>1</s><p>2<table><tr><td>a<br>b<td>c<td>d<br>e<br>f`))
	f.Add("a.heic", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00heicmif1\x00\x00\x00\x00meta"))
	f.Add("a.eml", mailOf(multipart("alternative", plain, rich)))
	f.Add("a.eml", mailOf(multipart("mixed", covering, file64("text/plain", "a.txt", receipt), part{"Content-Type: message/rfc822", head + "\n" + receipt})))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		switch sniff(name, data) {
		case kindHEIC:
			if w, h, err := heicSize(data); err == nil && (w < 1 || h < 0) {
				t.Errorf("a picture of %d by %d", w, h)
			}
			heicTaken(data)
			return
		case kindPDF:
			return
		case kindMail:
			if strings.Contains(string(data), "JVBER") || strings.Contains(string(data), "%PDF") || strings.Contains(string(data), "ftyp") {
				return // a PDF or HEIC photo in it
			}
		}
		parts, err := Open(t.Context(), name, data, Options{})
		if err != nil {
			var bad *Error
			if !errors.As(err, &bad) || bad.Msg == "" || bad.Hint == "" {
				t.Errorf("not the kind of error that was promised: %v", err)
			}
			if parts != nil {
				t.Error("parts beside an error")
			}
			return
		}
		if len(parts) == 0 {
			t.Error("no parts and no error")
		}
		for _, p := range parts {
			if (p.Text == "") == (p.Photo == nil) {
				t.Error("a part is text or a photo")
			}
			if !utf8.ValidString(p.Text) || strings.Contains(p.Text, "\x00") {
				t.Errorf("no text: %q", p.Text)
			}
		}
	})
}

// FuzzLayOut lays out glyphs anywhere: none is lost, made up or written twice,
// and no line grows without bound.
func FuzzLayOut(f *testing.F) {
	f.Add([]byte("\x00\x00\x10\x10\x20\x00\x10\x10\xff\x00\x08\x08\x00\x40\x10\x10"))
	f.Fuzz(func(t *testing.T, b []byte) {
		var glyphs []glyph
		for i := 0; i+4 <= len(b) && i < 4000; i += 4 {
			x, y, w, h := float64(b[i]), float64(b[i+1]), float64(b[i+2])/8, float64(b[i+3])/8
			glyphs = append(glyphs, glyph{r: rune('a' + i/4), x0: x - 100, y0: y, x1: x - 100 + w, y1: y + h, seq: i / 4, spaced: i%3 == 0})
		}
		text := layOut(glyphs)
		seen := map[rune]int{}
		for _, line := range strings.Split(text, "\n") {
			n := utf8.RuneCountInString(line)
			if letters := len(strings.Fields(line)); n > 3*widest+len(glyphs)+2*letters {
				t.Errorf("a line of %d characters", n)
			}
			for _, r := range line {
				seen[r]++
			}
		}
		for _, g := range glyphs {
			if seen[g.r] != 1 {
				t.Errorf("%q is there %d times", g.r, seen[g.r])
			}
		}
	})
}

func TestLayOutOfNoMeasures(t *testing.T) {
	if got := layOut(nil); got != "" {
		t.Errorf("nothing became %q", got)
	}
	nan := math.NaN()
	if got := layOut([]glyph{{r: 'a'}, {r: 'b', x0: nan, y0: nan, x1: nan, y1: nan}}); !strings.Contains(got, "a") {
		t.Errorf("glyphs without a place: %q", got)
	}
}
