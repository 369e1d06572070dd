package tesseract

import (
	"math"
	"strings"
	"testing"

	"tillproof/ocr"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// jam is what Tesseract 5.3.0 wrote of a line JAM 6.90 drawn with fixtures/draw.
const jam = `  <div class='ocr_page' id='page_1' title='image "unknown"; bbox 0 0 162 48; ppageno 0; scan_res 70 70'>
   <div class='ocr_carea' id='block_1_1' title="bbox 10 10 152 38">
    <p class='ocr_par' id='par_1_1' lang='receipts' title="bbox 10 10 152 38">
     <span class='ocr_line' id='line_1_1' title="bbox 10 10 152 38; baseline -0 0; x_size 38; x_descenders 9.5; x_ascenders 9.5">
      <span class='ocrx_word' id='word_1_1' title='bbox 10 10 60 38; x_wconf 92'>JAM
       <span class='ocrx_cinfo' id='lstm_choices_1_1_1'>
        <span class='ocrx_cinfo' id='choice_1_1_1' title='x_confs 94.23629'>J</span>
        <span class='ocrx_cinfo' id='choice_1_1_2' title='x_confs 0'>U</span>
        <span class='ocrx_cinfo' id='choice_1_1_3' title='x_confs 0'>/</span></span>
       <span class='ocrx_cinfo' id='lstm_choices_1_1_2'>
        <span class='ocrx_cinfo' id='choice_1_1_7' title='x_confs 89.820877'>A</span>
        <span class='ocrx_cinfo' id='choice_1_1_8' title='x_confs 0'>a</span></span>
       <span class='ocrx_cinfo' id='lstm_choices_1_1_3'>
        <span class='ocrx_cinfo' id='choice_1_1_13' title='x_confs 92.54496'>M</span>
        <span class='ocrx_cinfo' id='choice_1_1_14' title='x_confs 0'>m</span>
        <span class='ocrx_cinfo' id='choice_1_1_15' title='x_confs 0'> </span></span>
      </span>
      <span class='ocrx_word' id='word_1_2' title='bbox 82 10 152 38; x_wconf 89'>6.90
       <span class='ocrx_cinfo' id='lstm_choices_1_2_1'>
        <span class='ocrx_cinfo' id='choice_1_2_1' title='x_confs 95.161865'> </span>
        <span class='ocrx_cinfo' id='choice_1_2_2' title='x_confs 0'>.</span></span>
       <span class='ocrx_cinfo' id='lstm_choices_1_2_2'>
        <span class='ocrx_cinfo' id='choice_1_2_7' title='x_confs 92.037971'>6</span>
        <span class='ocrx_cinfo' id='choice_1_2_8' title='x_confs 0'>8</span></span>
       <span class='ocrx_cinfo' id='lstm_choices_1_2_3'>
        <span class='ocrx_cinfo' id='choice_1_2_13' title='x_confs 90.246262'>.</span>
        <span class='ocrx_cinfo' id='choice_1_2_15' title='x_confs 0'>,</span></span>
       <span class='ocrx_cinfo' id='lstm_choices_1_2_4'>
        <span class='ocrx_cinfo' id='choice_1_2_18' title='x_confs 95.200439'>9</span></span>
       <span class='ocrx_cinfo' id='lstm_choices_1_2_5'>
        <span class='ocrx_cinfo' id='choice_1_2_20' title='x_confs 94.112663'>0</span>
        <span class='ocrx_cinfo' id='choice_1_2_21' title='x_confs 16.227627'>O</span></span>
      </span>
     </span>
    </p>
   </div>
  </div>
`

// near lets costs differ in the third decimal, to which they are worked out here.
var near = cmpopts.EquateApprox(0, 0.001)

// The costs are ln(94.112663/16.227627) and, for runners-up of 0, which count as
// 0.01, ln(89.820877/0.01) and so on.
func TestParseHOCR(t *testing.T) {
	want := []ocr.Word{
		{Text: "JAM", Box: ocr.Box{X: 10, Y: 10, W: 50, H: 28}, Confidence: 0.92, Alternatives: []ocr.Alternative{
			{Text: "JaM", Cost: 9.103}, {Text: "JAm", Cost: 9.133}, {Text: "JA", Cost: 9.133}, {Text: "UAM", Cost: 9.151}, {Text: "/AM", Cost: 9.151}}},
		{Text: "6.90", Box: ocr.Box{X: 82, Y: 10, W: 70, H: 28}, Confidence: 0.89, Alternatives: []ocr.Alternative{
			{Text: "6.9O", Cost: 1.758}, {Text: "6,90", Cost: 9.108}, {Text: "8.90", Cost: 9.127}}},
	}
	if diff := cmp.Diff(want, parseHOCR(jam), near); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// word is a word as Tesseract writes it.
func word(title, body string) string {
	return "<span class='ocrx_word' id='word_1_1' title='" + title + "'>" + body + "</span>"
}

// choices are the readings of a word's characters, each "text confidence …".
func choices(characters ...string) string {
	var b strings.Builder
	for _, c := range characters {
		b.WriteString("\n<span class='ocrx_cinfo' id='lstm_choices_1_1_1'>")
		f := strings.Split(c, " ")
		for i := 0; i+1 < len(f); i += 2 {
			b.WriteString("\n<span class='ocrx_cinfo' id='choice_1_1_1' title='x_confs " + f[i+1] + "'>" + strings.ReplaceAll(f[i], "_", " ") + "</span>")
		}
		b.WriteString("</span>")
	}
	return b.String()
}

// One other reading for each runner-up and for two of them where that is likely
// enough, the cheapest first: ln(99/33) = 1.099, ln(90/9) = 2.303 and
// ln(90/0.9) = 4.605.
func TestAlternatives(t *testing.T) {
	for _, c := range []struct {
		why, text string
		groups    []string
		want      []ocr.Alternative
	}{
		{"one and two at a time", "80", []string{"8 90 B 9 3 0.9", "0 99 O 33"}, []ocr.Alternative{
			{Text: "8O", Cost: 1.099}, {Text: "B0", Cost: 2.303}, {Text: "BO", Cost: 3.401}, {Text: "30", Cost: 4.605}, {Text: "3O", Cost: 5.704}}},
		{"the space before the word is no character of it", "80", []string{"_ 95 . 2", "8 90 B 9", "0 99"}, []ocr.Alternative{{Text: "B0", Cost: 2.303}}},
		{"a runner-up that is likelier costs nothing", "8", []string{"B 90 8 9"}, []ocr.Alternative{{Text: "B", Cost: 0}}},
		{"what is not in the word is passed over", "80", []string{"x 90 y 9", "8 90 B 9", "0 99"}, []ocr.Alternative{{Text: "B0", Cost: 2.303}}},
		{"more characters than the word has", "8", []string{"8 90 B 9", "0 99 O 33"}, []ocr.Alternative{{Text: "B", Cost: 2.303}}},
		{"a space in place of the only character", "8", []string{"8 90 _ 9"}, nil},
		{"none", "80", nil, nil},
	} {
		got := parseHOCR(word("bbox 0 0 9 9; x_wconf 50", c.text+choices(c.groups...)))
		if len(got) != 1 {
			t.Errorf("%s: %v", c.why, got)
		} else if diff := cmp.Diff(c.want, got[0].Alternatives, near, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.why, diff)
		}
	}
}

// Of many runners-up the cheapest are kept.
func TestFewAlternatives(t *testing.T) {
	many := []string{"0 90 O 80 Q 70 D 60 C 50 G 40", "0 90 O 81 Q 71 D 61 C 51 G 41", "0 90 O 82 Q 72 D 62 C 52 G 42"}
	got := parseHOCR(word("bbox 0 0 9 9; x_wconf 50", "000"+choices(many...)))
	if len(got) != 1 || len(got[0].Alternatives) != maxAlternatives {
		t.Fatalf("%v", got)
	}
	for i, want := range []string{"00O", "0O0", "O00", "0OO"} { // ln(90/82), ln(90/81), ln(90/80), and the first two
		if got := got[0].Alternatives[i].Text; got != want {
			t.Errorf("alternative %d is %s, want %s", i, got, want)
		}
	}
	checkAlternatives(t, got[0])
}

// Odd and hostile text gives the words that can be made out, and no other.
func TestOddHOCR(t *testing.T) {
	plain := func(text string, confidence float64) []ocr.Word {
		return []ocr.Word{{Text: text, Box: ocr.Box{X: 1, Y: 2, W: 3, H: 4}, Confidence: confidence}}
	}
	for _, c := range []struct {
		why, hocr string
		want      []ocr.Word
	}{
		{"nothing", "", nil},
		{"no word", "<p class='ocr_par' title='bbox 1 2 4 6'>TOTAL</p>", nil},
		{"signs of markup", word("bbox 1 2 4 6; x_wconf 90", "A&amp;B&lt;&#39;&quot;"), plain(`A&B<'"`, 0.9)},
		{"no characters but spaces", word("bbox 1 2 4 6; x_wconf 90", " \n\t"), nil},
		{"not in letters of ours", word("bbox 1 2 4 6; x_wconf 90", "é€你"), plain("é€你", 0.9)},
		{"no box", word("x_wconf 90", "A"), nil},
		{"a box without an end", "<span class='ocrx_word' title='bbox 1 2 4 6; x_wconf 90", nil},
		{"three corners", word("bbox 1 2 4; x_wconf 90", "A"), nil},
		{"an empty box", word("bbox 1 2 1 6; x_wconf 90", "A"), nil},
		{"a box inside out", word("bbox 4 6 1 2; x_wconf 90", "A"), nil},
		{"a box of words", word("bbox a b c d; x_wconf 90", "A"), nil},
		{"a box without bounds", word("bbox 1 2 99999999999999999999 6; x_wconf 90", "A"), nil},
		{"a box that wraps round", word("bbox -9223372036854775807 2 9223372036854775807 6; x_wconf 90", "A"), nil},
		{"no confidence", word("bbox 1 2 4 6", "A"), plain("A", 0)},
		{"confidence in words", word("bbox 1 2 4 6; x_wconf high", "A"), plain("A", 0)},
		{"confidence above all", word("bbox 1 2 4 6; x_wconf 1000", "A"), plain("A", 1)},
		{"confidence below nothing", word("bbox 1 2 4 6; x_wconf -7", "A"), plain("A", 0)},
		{"confidence that is no number", word("bbox 1 2 4 6; x_wconf NaN", "A"), plain("A", 0)},
		{"confidence without end", word("bbox 1 2 4 6; x_wconf Inf", "A"), plain("A", 0)},
		{"runners-up that are no numbers", word("bbox 1 2 4 6; x_wconf 90", "A"+choices("A NaN B NaN C -Inf D Inf E x")), plain("A", 0.9)},
		{"a runner-up without an end", word("bbox 1 2 4 6; x_wconf 90", "A"+choices("A 90")+"<span id='lstm_choices_1_1_2'><span title='x_confs 5"), plain("A", 0.9)},
		{"the second of two", word("bbox 9 9", "A") + word("bbox 1 2 4 6; x_wconf 90", "B"), plain("B", 0.9)},
	} {
		if diff := cmp.Diff(c.want, parseHOCR(c.hocr), near, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.why, diff)
		}
	}
}

// checkWords holds any words to what their users rely on.
func checkWords(t *testing.T, words []ocr.Word) {
	t.Helper()
	for _, w := range words {
		if w.Text == "" || strings.TrimSpace(w.Text) != w.Text {
			t.Errorf("a word %q", w.Text)
		}
		if !(w.Confidence >= 0 && w.Confidence <= 1) {
			t.Errorf("%q is sure by %g", w.Text, w.Confidence)
		}
		if b := w.Box; b.W <= 0 || b.H <= 0 || b.W > math.MaxInt-max(b.X, 0) || b.H > math.MaxInt-max(b.Y, 0) {
			t.Errorf("%q is at %v", w.Text, b)
		}
		checkAlternatives(t, w)
	}
}

// Cut off anywhere, what is left is read.
func TestCutHOCR(t *testing.T) {
	most := 0
	for n := range len(jam) + 1 {
		words := parseHOCR(jam[:n])
		checkWords(t, words)
		if len(words) < most {
			t.Errorf("%d bytes have fewer words than one less: %v", n, words)
		}
		most = max(most, len(words))
	}
	if most != 2 {
		t.Errorf("%d words", most)
	}
}

func FuzzParseHOCR(f *testing.F) {
	f.Add(jam)
	f.Add(word("bbox 1 2 4 6; x_wconf NaN", "A"+choices("A NaN B 5", "_ 9 . Inf")))
	f.Add(word("bbox -1 -2 4 6; x_wconf 1e400", "\xff&#0;&#x1F600;") + "class='ocrx_word'bbox 0 0 1 1'>x")
	f.Fuzz(func(t *testing.T, hocr string) { checkWords(t, parseHOCR(hocr)) })
}
