package intake

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"
)

func TestMain(m *testing.M) {
	Maybe()
	os.Exit(m.Run())
}

// receipt is the text that most tests hand over in one form or another.
const receipt = "HARBOR LANE MARKET\nOATS        4.29\nJAM         3.79\nTOTAL       8.08\n"

// open opens data and fails the test where it does not open.
func open(t *testing.T, name string, data []byte, remarks ...*[]string) []Part {
	t.Helper()
	var opts Options
	if len(remarks) > 0 {
		opts.Remark = func(s string) { *remarks[0] = append(*remarks[0], s) }
	}
	parts, err := Open(t.Context(), name, data, opts)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return parts
}

// refused opens data, which must fail with a single Error.
func refused(t *testing.T, name string, data []byte) *Error {
	t.Helper()
	parts, err := Open(t.Context(), name, data, Options{})
	var bad *Error
	if !errors.As(err, &bad) {
		t.Fatalf("%s: got %d parts and error %v, want it refused", name, len(parts), err)
	}
	if parts != nil {
		t.Errorf("%s: parts beside an error", name)
	}
	if bad.Hint == "" || bad.Msg == "" || !strings.HasPrefix(bad.Name, name) {
		t.Errorf("%s: an error without its name, what is wrong or what to do: %#v", name, bad)
	}
	return bad
}

func picture(w, h int) image.Image {
	g := image.NewGray(image.Rect(0, 0, w, h))
	for i := range g.Pix {
		g.Pix[i] = uint8(i)
	}
	return g
}

func jpegOf(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture(w, h), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pngOf(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, picture(w, h)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func utf16Of(order binary.AppendByteOrder, text string) []byte {
	var b []byte
	for _, u := range append([]uint16{0xfeff}, utf16.Encode([]rune(text))...) {
		b = order.AppendUint16(b, u)
	}
	return b
}

func TestText(t *testing.T) {
	for _, c := range []struct {
		name, why string
		data      []byte
		want      string
	}{
		{"a.txt", "UTF-8", []byte(receipt), receipt},
		{"A.TXT", "the extension in capitals", []byte(receipt), receipt},
		{"-", "standard input has no extension", []byte(receipt), receipt},
		{"a.txt", "UTF-8 with a mark", []byte("\xef\xbb\xbf" + receipt), receipt},
		{"a.txt", "UTF-16, little end first", utf16Of(binary.LittleEndian, "JAM\t€3.79\n"), "JAM\t€3.79\n"},
		{"-", "UTF-16, big end first, a character of two units", utf16Of(binary.BigEndian, "🧾 3.79\n"), "🧾 3.79\n"},
		{"a.txt", "a few control characters of a printer", []byte("\x1b@" + strings.Repeat(receipt, 2)), " @" + strings.Repeat(receipt, 2)},
		{"a.txt", "it begins like the header of an e-mail", []byte("Date: 2026-05-09\nTo: 4\n\n" + receipt), "Date: 2026-05-09\nTo: 4\n\n" + receipt},
	} {
		got := open(t, c.name, c.data)
		if diff := cmp.Diff([]Part{{Text: c.want}}, got); diff != "" {
			t.Errorf("%s:\n%s", c.why, diff)
		}
	}
}

func TestPhotosAreHandedOnAsTheyAre(t *testing.T) {
	webp := []byte("RIFF\x1a\x00\x00\x00WEBPVP8L\x0d\x00\x00\x00\x2f\x00\x00\x00\x10\x07\x10\x11\x11\x88\x88\xfe\x07\x00")
	for name, data := range map[string][]byte{
		"a.jpg": jpegOf(t, 60, 90), "a.png": pngOf(t, 60, 90), "a.webp": webp,
		"named-wrongly.txt": jpegOf(t, 60, 90), "-": pngOf(t, 60, 90), "named-wrongly.heic": jpegOf(t, 60, 90),
	} {
		if got := open(t, name, data); len(got) != 1 || !bytes.Equal(got[0].Photo, data) || got[0].Text != "" {
			t.Errorf("%s: not handed on as it is", name)
		}
	}
}

func TestRefused(t *testing.T) {
	zip := []byte("PK\x03\x04\x14\x00\x06\x00")
	for _, c := range []struct {
		name, data, msg, hint string
	}{
		{"a.jpg", "", "the file is empty", "name a photo"},
		{"a.txt", " \n\t\n", "empty but for white space", "name a photo"},
		{"a.jpg", "TOTAL 5.00\n", "this is text, not a photo", "name it .txt"},
		{"a.txt", "TOTAL\x005.00", "NUL", "UTF-8"},
		{"-", "TOTAL\x005.00", "in no form", "JPEG"},
		{"a.txt", "B\xe4cker 5.00", "not text in UTF-8", "UTF-8"},
		{"a.txt", "\x01\x02\x03\x04\x05\x06 1", "control characters", "UTF-8"},
		{"a.txt", "\xff\xfeA", "ends in the middle", "UTF-8"},
		{"a.txt", "\xff\xfeA\x00\x00\xd8", "damaged", "UTF-8"},
		{"a.txt", "\xff\xfeA\x00\x00\x00", "NUL", "UTF-8"},
		{"a.jpg", "GIF89a\x01\x00", "a GIF picture", "JPEG or PNG"},
		{"a.tif", "II*\x00\x08\x00\x00\x00", "TIFF", "JPEG or PNG"},
		{"a.pdf", string(zip), "ZIP archive or an Office document", "print the document to a PDF"},
		{"a.msg", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "Outlook", ".eml"},
		{"a.rtf", "{\\rtf1 TOTAL 5.00}", "RTF", "PDF"},
		{"a.avif", "\x00\x00\x00\x1cftypavif\x00\x00\x00\x00avifmif1", "AVIF", "JPEG or PNG"},
		{"a.mov", "\x00\x00\x00\x14ftypqt  \x00\x00\x00\x00qt  ", "film", "photo"},
		{"a.eml", "\x00\x01\x02\x03", "no e-mail", "save the message"},
		{"a.bin", "\x00\x01\x02\x03", "in no form", "JPEG"},
	} {
		got := refused(t, c.name, []byte(c.data))
		if !strings.Contains(got.Msg, c.msg) || !strings.Contains(got.Hint, c.hint) {
			t.Errorf("%s %q: %v", c.name, c.data, got)
		}
	}
	if got := refused(t, "big.txt", bytes.Repeat([]byte("TOTAL 5.00\n"), 100_000)); !strings.Contains(got.Msg, "larger than the 1 MB") {
		t.Error(got)
	}
	if got := refused(t, "big.jpg", append(jpegOf(t, 8, 8), make([]byte, maxPhoto)...)); !strings.Contains(got.Msg, "larger than the 64 MB") {
		t.Error(got)
	}
}

func TestWebPage(t *testing.T) {
	got := open(t, "saved.html", []byte("<!DOCTYPE html><html><body><table><tr><td>OATS<td>4.29</table></body></html>"))
	if diff := cmp.Diff([]Part{{Text: "OATS    4.29"}}, got); diff != "" {
		t.Error(diff)
	}
	refused(t, "blank.html", []byte("<html><body><p>&nbsp;</p></body></html>"))
}

func TestContextEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Open(ctx, "a.pdf", pdfOf("BT ET"), Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// A child that does not end in time is ended; a millisecond is too short for any.
func TestTimeout(t *testing.T) {
	_, err := Open(t.Context(), "a.pdf", pdfOf("BT ET"), Options{Timeout: time.Millisecond})
	var bad *Error
	if !errors.As(err, &bad) || !strings.Contains(bad.Msg, "took longer than 1ms") {
		t.Errorf("got %v", err)
	}
}

func turnedHEIC(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "turned.heic"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// grey decodes what a child hands back: a PGM file of the given head.
func grey(t *testing.T, photo []byte, head string) *image.Gray {
	t.Helper()
	pixels, ok := bytes.CutPrefix(photo, []byte(head))
	if !ok {
		t.Fatalf("the picture begins %q, not %q", photo[:min(len(photo), 48)], head)
	}
	size := strings.Fields(strings.TrimSuffix(head, "\n255\n"))
	w, h := atoi(t, size[len(size)-2]), atoi(t, size[len(size)-1])
	if len(pixels) != w*h {
		t.Fatalf("%d pixels, not %d by %d", len(pixels), w, h)
	}
	return &image.Gray{Pix: pixels, Stride: w, Rect: image.Rect(0, 0, w, h)}
}

func atoi(t *testing.T, s string) int {
	t.Helper()
	n := 0
	for _, r := range s {
		n = 10*n + int(r-'0')
	}
	return n
}

// dark is the share of dark pixels in a rectangle.
func dark(g *image.Gray, r image.Rectangle) float64 {
	n := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if g.At(x, y).(color.Gray).Y < 128 {
				n++
			}
		}
	}
	return float64(n) / float64(r.Dx()*r.Dy())
}

func TestHEICStandsUpright(t *testing.T) {
	for _, name := range []string{"photo.heic", "photo.HEIF", "-", "photo.jpg"} {
		got := open(t, name, turnedHEIC(t))
		if len(got) != 1 {
			t.Fatalf("%d parts", len(got))
		}
		// The picture is stored lying on its side, and twice said to be so: by its
		// irot property and by the camera's note. It is turned once.
		g := grey(t, got[0].Photo, "P5\n# taken 2026:05:09 10:11:12\n240 400\n255\n")
		if d := dark(g, image.Rect(5, 385, 55, 395)); d < 0.99 {
			t.Errorf("the bar at the lower left is not there: %.2f dark", d)
		}
		if d := dark(g, image.Rect(100, 200, 240, 400)); d > 0 {
			t.Errorf("print where there is none: %.2f dark", d)
		}
		if d := dark(g, image.Rect(10, 140, 190, 160)); d < 0.02 {
			t.Errorf("no print where the total stands: %.2f dark", d)
		}
	}
}

func TestHEICInTiles(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "tiles.heic"))
	if err != nil {
		t.Fatal(err)
	}
	g := grey(t, open(t, "tiles.heic", data)[0].Photo, "P5\n500 400\n255\n")
	if d := dark(g, image.Rect(405, 305, 495, 395)); d < 0.99 {
		t.Errorf("the bar at the lower right is not there: %.2f dark", d)
	}
	// Where the tiles meet there is white paper.
	if d := dark(g, image.Rect(100, 250, 400, 262)); d > 0 {
		t.Errorf("a seam: %.2f dark", d)
	}
	if d := dark(g, image.Rect(20, 120, 300, 140)); d < 0.02 {
		t.Errorf("no print where the first item stands: %.2f dark", d)
	}
}

func TestHEICMadeToHarm(t *testing.T) {
	whole := turnedHEIC(t)
	ispe := bytes.Index(whole, []byte("ispe"))
	huge := bytes.Clone(whole)
	binary.BigEndian.PutUint32(huge[ispe+8:], 60_000)
	binary.BigEndian.PutUint32(huge[ispe+12:], 60_000)
	if got := refused(t, "huge.heic", huge); !strings.Contains(got.Msg, "60000 by 60000") {
		t.Error(got)
	}
	// 50 million pixels are promised: the library makes them, or says no.
	wide := bytes.Clone(whole)
	binary.BigEndian.PutUint32(wide[ispe+8:], 10_000)
	binary.BigEndian.PutUint32(wide[ispe+12:], 5_000)
	if parts, err := Open(t.Context(), "wide.heic", wide, Options{}); err != nil && !isError(err) {
		t.Errorf("got %d parts, %v", len(parts), err)
	}
	for _, n := range []int{16, 30, 200, ispe + 10, 500, len(whole) / 2} {
		refused(t, "cut.heic", whole[:n])
	}
	none := bytes.Clone(whole)
	copy(none[ispe:], "free")
	if got := refused(t, "none.heic", none); !strings.Contains(got.Msg, "how large") {
		t.Error(got)
	}
	rubbish := bytes.Clone(whole)
	copy(rubbish[bytes.Index(whole, []byte("mdat"))+8:], bytes.Repeat([]byte{0xff}, 3000))
	if parts, err := Open(t.Context(), "rubbish.heic", rubbish, Options{}); err == nil && len(parts) != 1 || err != nil && !isError(err) {
		t.Errorf("got %d parts, %v", len(parts), err)
	}
}
