package main

import (
	"image"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tillproof/fixtures/draw"
)

func installed(name string) bool {
	_, err := exec.LookPath(name)
	return err == nil
}

// lstmeval reads what lstmf writes, finds every page, and the English model
// errs little on clean print: so picture and text belong together.
func TestTrainingFilesAreRead(t *testing.T) {
	p := english(t)
	dir := t.TempDir()
	pr, _ := newPrinter()
	texts := []string{"OAT FLAKES 4.29", "TOTAL 18.20", "BREAD 3.15 F", "THANK YOU FOR SHOPPING"}
	var lines []sample
	rng := rand.New(rand.NewPCG(1, 1))
	for _, text := range texts {
		style := draw.DefaultStyle()
		style.Font = pr.fonts[len(pr.fonts)-1]
		lines = append(lines, sample{padded(stretch(toHeight(draw.TextLine(text, style, rng), 40)), 8, 4, 8, 4, 255), text})
	}
	file, list := filepath.Join(dir, "a.lstmf"), filepath.Join(dir, "list.txt")
	if err := os.WriteFile(file, lstmf(lines), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(list, []byte(file+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	out, errs, err := run(t.Context(), "lstmeval", "--model", p.pack, "--eval_listfile", list, "--verbosity", "2")
	if err != nil {
		t.Fatal(err)
	}
	said := string(out) + string(errs)
	for _, text := range texts {
		if !strings.Contains(said, "Truth:"+text) {
			t.Errorf("lstmeval did not see the line %q:\n%s", text, said)
		}
	}
	m := regexp.MustCompile(`BCER eval=([\d.]+)`).FindStringSubmatch(said)
	if m == nil {
		t.Fatalf("lstmeval gave no error rate:\n%s", said)
	}
	if rate, err := strconv.ParseFloat(m[1], 64); err != nil || rate > 10 {
		t.Errorf("the English model misreads %s%% of clean print, so the pictures are not what they should be", m[1])
	}
}

func TestWithCase(t *testing.T) {
	for _, c := range []struct {
		label, read, want string
		wrong             float64
	}{
		{"DATE: 1", "Date: 1", "Date: 1", 0},
		{"MANIS", "MANTIS", "MANIS", 0},
		{"DOCUMENT NO", "Document fo", "Document no", 1.0 / 11},
		{"1.00", "00", "1.00", 0.5},
		{"TOTAL", "", "TOTAL", 1},
	} {
		got, wrong := withCase(c.label, c.read)
		if got != c.want || wrong < c.wrong-1e-9 || wrong > c.wrong+1e-9 {
			t.Errorf("withCase(%q, %q) = %q, %g; want %q, %g", c.label, c.read, got, wrong, c.want, c.wrong)
		}
	}
}

func TestSpaced(t *testing.T) {
	if got := spaced("GSTID:12", "Gst Id: 12"); got != "Gst Id: 12" {
		t.Errorf("blanks should be taken over where all else agrees: %q", got)
	}
	if got := spaced("GSTID:12", "Gst Id: 13"); got != "GSTID:12" {
		t.Errorf("a reading that differs should change nothing: %q", got)
	}
}

func TestStretch(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 100, 1))
	for x := range img.Pix {
		img.Pix[x] = 180
	}
	for x := range 5 {
		img.Pix[x] = 90
	}
	got := stretch(img)
	if got.Pix[0] != 0 || got.Pix[50] != 255 {
		t.Errorf("ink %d, paper %d; want 0, 255", got.Pix[0], got.Pix[50])
	}
}

// The same seed must give the same training files, whatever the machine.
func TestSetIsRepeatable(t *testing.T) {
	p, _ := newPrinter()
	var first [2]string
	for i := range first {
		names, err := writeSet(t.TempDir(), p.drawnJobs(9), 5, 7)
		if err != nil || len(names) != 1 {
			t.Fatal(names, err)
		}
		data, err := os.ReadFile(names[0])
		if err != nil {
			t.Fatal(err)
		}
		first[i] = string(data)
	}
	if first[0] != first[1] || len(first[0]) < 1000 {
		t.Error("two sets of one seed differ")
	}
}

// Every form that a till prints must come up among the invented lines.
func TestInventedLinesCoverWhatTillsPrint(t *testing.T) {
	var all strings.Builder
	for i := range 4000 {
		line := invented(rand.New(rand.NewPCG(3, uint64(i))))
		if strings.ContainsFunc(line, func(r rune) bool { return r < ' ' || r > '~' || r == '^' || r == '`' }) {
			t.Fatalf("line %q has characters the model cannot write", line)
		}
		all.WriteString(line + "\n")
	}
	for _, form := range []string{`\d\.\d\d-`, `-\d+\.\d\d`, `-\$\d`, `\d @ \d/\d`, `\d lb @ \d+\.\d\d ?/ ?lb`, `\*\*\*\*\d{4}`, `X{8,}\d{4}`,
		`\d\.\d\d F\n`, `\d% `, `(?i)points`, `(?i)coupon`, `(?i)gift card`, `\d\d/\d\d/\d\d`, `\d:\d\d`, `#`, ` {12,}\d`, `\d,\d{3}\.\d\d`} {
		if !regexp.MustCompile(form).MatchString(all.String()) {
			t.Errorf("no line like %s", form)
		}
	}
	for r := '!'; r <= '~'; r++ {
		if n := strings.Count(all.String(), string(r)); n < 10 && r != '^' && r != '`' {
			t.Errorf("the character %q comes up only %d times", r, n)
		}
	}
}

func TestMajority(t *testing.T) {
	got := majority([][]string{{"a", "x", "p"}, {"b", "y", "q"}, {"b", "x", "r"}})
	if strings.Join(got, "") != "bxp" {
		t.Errorf("got %v: want what two agree on, else the first", got)
	}
}

// TestNext: rounds take the files in order, and once all were used the first again.
func TestNext(t *testing.T) {
	tr := &trainer{set: []string{"a", "b", "c", "d", "e"}}
	for round, want := range []string{"ab", "cd", "ea", "bc"} {
		if got := strings.Join(tr.next(2*perFile-1), ""); got != want {
			t.Errorf("round %d takes %s, want %s", round+1, got, want)
		}
	}
}
