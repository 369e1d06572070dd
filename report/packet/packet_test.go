package packet

import (
	"bytes"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"tillproof/audit"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/plan"
)

const planFile = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
currency: USD
transactions:
  - id: breakfast
    items:
      - {id: oats, name: Millbrook rolled oats 1 kg, quantity: 3, shelf: 4.29, price_from: label}
      - {id: jam, name: Fenny Orchard plum jam żółty € 340 g, quantity: 2, shelf: 3.79}
offers:
  - {id: oats-maker, title: 0.75 off each of two, funded_by: maker, carried_as: paper, applies_to: [oats], deduct: 0.75, limit: {per_transaction: 2}, terms: "Two a shopper. 😀 Not with other coupons.", seen_on: 2026-05-02, valid: {through: 2026-05-31}}
  - {id: jam-back, title: 0.60 back on each jar, funded_by: maker, carried_as: app, applies_to: [jam], rebate: {value: 0.60, submit_by: 2026-05-20}}
`

const receiptText = `        Harbor Lane Market
         TEL 555-0132
05/09/2026 10:11   TRANS 4407
MILLBROOK ROLLED OATS 1 KG       12.87
  3 @ 4.29
FENNY ORCHARD PLUM JAM            7.58
  2 @ 3.79
SUBTOTAL                         20.45
TAX                               0.00
TOTAL                            20.45
CARD                             20.45
ACCT 4111111111111111
MEMBER 6012345678
CHANGE                            0.00
`

// secrets are the numbers of receiptText that must be in no packet.
var secrets = []string{"5550132", "4111111111111111", "41111111", "6012345678", "60123456"}

func checked(t *testing.T) (*plan.Plan, *audit.Result) {
	t.Helper()
	p, err := plan.Load([]byte(planFile), "plan.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	receipt := parse.Parse([]ocr.Page{parse.TextPage(receiptText)}, parse.Options{})
	r, err := audit.Check(audit.Input{Plan: p, Receipt: receipt, Tool: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return p, r
}

// build makes a packet with a drawn picture, and its PDF.
func build(t *testing.T, to Addressee) (string, []byte) {
	t.Helper()
	p, r := checked(t)
	var pic bytes.Buffer
	if err := jpeg.Encode(&pic, image.NewGray(image.Rect(0, 0, 300, 900)), nil); err != nil {
		t.Fatal(err)
	}
	d := Build(Input{To: to, Plan: p, Result: r, Wording: "Please look at my card 4111111111111111.\n\nThank you \xff😀",
		Receipt: []Picture{{File: "receipt-1.jpg", Caption: "The receipt", JPEG: pic.Bytes(), Width: 300, Height: 900}},
		Hashes:  []Hash{{"receipt.jpg", strings.Repeat("ab", 32)}}})
	made := time.Date(2026, 5, 10, 12, 0, 0, 0, time.UTC)
	var pdf bytes.Buffer
	if err := d.PDF(&pdf, made); err != nil {
		t.Fatal(err)
	}
	return d.Text(), pdf.Bytes()
}

// bare is s without white space and hyphens, so that no break hides a number.
func bare(s string) string {
	return strings.NewReplacer(" ", "", "\n", "", "-", "", "\f", "").Replace(s)
}

// wants are what a reader needs, by addressee.
var wants = map[Addressee][]string{
	Store: {"0.75 off each of two", "Two a shopper.", "2026-05-31", "2026-05-02", "1.50", "4407", "2026-05-09", "not taken off", strings.Repeat("ab", 32), "MILLBROOK ROLLED OATS 1 KG"},
	Maker: {"0.75 off each of two", "Two a shopper.", "1.50"},
	Payer: {"0.60 back on each jar", "1.20", "2026-05-20", "FENNY ORCHARD PLUM JAM"},
}

func TestTextSaysWhatIsNeededAndNoMore(t *testing.T) {
	for to, want := range wants {
		text, _ := build(t, to)
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s: %q is missing in\n%s", to, w, text)
			}
		}
		for _, s := range secrets {
			if strings.Contains(bare(text), s) {
				t.Errorf("%s: shows %s", to, s)
			}
		}
		if !strings.Contains(text, "ACCT ████████████1111") {
			t.Errorf("%s: the last four digits of the card are not there", to)
		}
		for _, l := range strings.Split(text, "\n") {
			if utf8.RuneCountInString(l) > 80 {
				t.Errorf("%s: wider than 80 columns: %q", to, l)
			}
		}
	}
}

// TestPDF renders the PDF with programs of others and searches what they see.
func TestPDF(t *testing.T) {
	for _, tool := range []string{"pdftotext", "pdftoppm"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s is not installed (Debian package poppler-utils)", tool)
		}
	}
	for to, want := range wants {
		_, pdf := build(t, to)
		file := filepath.Join(t.TempDir(), "packet.pdf")
		if err := os.WriteFile(file, pdf, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		text := string(out)
		for _, w := range append(want, "█") {
			if !strings.Contains(text, w) {
				t.Errorf("%s: the PDF's text has no %q", to, w)
			}
		}
		for _, s := range secrets {
			if strings.Contains(bare(text), s) || bytes.Contains(pdf, []byte(s)) {
				t.Errorf("%s: the PDF shows %s", to, s)
			}
		}
		pages := filepath.Join(t.TempDir(), "page")
		if msg, err := exec.Command("pdftoppm", "-r", "30", "-gray", file, pages).CombinedOutput(); err != nil || len(msg) > 0 {
			t.Errorf("%s: pdftoppm: %v %s", to, err, msg)
		}
		drawn, _ := filepath.Glob(pages + "*.pgm")
		if len(drawn) < 2 {
			t.Errorf("%s: %d pages", to, len(drawn))
		}
		black := 0
		for _, f := range drawn {
			b, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			black += bytes.Count(b, []byte{0, 0, 0, 0, 0, 0, 0, 0})
		}
		if black < 500 { // the black picture, at 30 dots an inch
			t.Errorf("%s: the picture is not drawn", to)
		}
	}
}

func TestOnlyFirmLossesAreAskedFor(t *testing.T) {
	p, r := checked(t)
	if got := Findings(Store, p, r); len(got) != 1 || got[0].Offer != "oats-maker" {
		t.Fatalf("%+v", got)
	}
	if got := Findings(Payer, p, r); len(got) != 0 {
		t.Errorf("the payer of rebates is asked for %+v", got)
	}
	for _, change := range []func(*audit.Finding){
		func(f *audit.Finding) { f.Certainty = audit.CertainUnsure },
		func(f *audit.Finding) { f.Side = audit.SideShopper },
		func(f *audit.Finding) { f.Side = audit.SidePlan },
		func(f *audit.Finding) { f.Effect = f.Effect.Neg() },
	} {
		changed := *r
		changed.Findings = append([]audit.Finding(nil), r.Findings...)
		for i := range changed.Findings {
			change(&changed.Findings[i])
		}
		if got := Findings(Store, p, &changed); len(got) != 0 {
			t.Errorf("%+v is put to the store", got)
		}
	}
}
