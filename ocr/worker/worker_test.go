package worker

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"tillproof/fixtures/draw"
	"tillproof/ocr"
)

// fakeModel is the name of a model file with which a worker of this test
// binary reads with a stand-in.
const fakeModel = "stand-in.traineddata"

func TestMain(m *testing.M) {
	if filepath.Base(os.Getenv(modelVar)) == fakeModel {
		if err := limitSelf(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		if err := serve(os.Stdin, os.Stdout, standIn{}); err != nil {
			os.Exit(1)
		}
		os.Exit(0)
	}
	Maybe()
	os.Exit(m.Run())
}

// What a crop's height makes the stand-in do.
const (
	good = 40 + iota
	crashes
	hangs
	hoards
	fails
	floods
	chatters
	spins
)

// standIn reads a crop as its width and the number of its process, or does
// what hostile pictures make a C++ library do.
type standIn struct{}

func (standIn) ReadLines(_ context.Context, crops []*image.Gray) ([][]ocr.Word, error) {
	switch crops[0].Rect.Dy() {
	case crashes:
		os.Exit(7)
	case hangs:
		time.Sleep(time.Hour)
	case spins:
		for began := time.Now(); time.Since(began) < time.Hour; {
		}
	case hoards:
		var all [][]byte
		for {
			b := make([]byte, 256<<20)
			for i := 0; i < len(b); i += 4096 {
				b[i] = 1
			}
			all = append(all, b)
		}
	case fails:
		return nil, errors.New("no such picture")
	case floods:
		return [][]ocr.Word{{{Text: strings.Repeat("9", maxReply)}}}, nil
	case chatters:
		fmt.Println("a library that writes to standard output")
	}
	return [][]ocr.Word{{{Text: fmt.Sprint(crops[0].Rect.Dx())}, {Text: fmt.Sprint(os.Getpid())}}}, nil
}

func (s standIn) ReadDigits(ctx context.Context, crops []*image.Gray) ([][]ocr.Word, error) {
	words, err := s.ReadLines(ctx, crops)
	if err == nil {
		words[0][0].Text = "digits " + words[0][0].Text
	}
	return words, err
}

// pool starts n workers with the stand-in.
func pool(t *testing.T, n int) *Pool {
	t.Helper()
	model := filepath.Join(t.TempDir(), fakeModel)
	if err := os.WriteFile(model, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	p, err := New(n, model)
	if err != nil {
		t.Fatal(err)
	}
	p.lineLimit = time.Second
	t.Cleanup(func() { p.Close() })
	return p
}

func crop(w, h int) *image.Gray { return image.NewGray(image.Rect(0, 0, w, h)) }

// Whatever one picture does to the worker that reads it, it costs that line
// and no other.
func TestHostileLineCostsItself(t *testing.T) {
	for name, hostile := range map[string]int{
		"crash": crashes, "hang": hangs, "spin": spins, "out of memory": hoards, "error": fails, "too long a reply": floods, "noise on the wire": chatters,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := pool(t, 2)
			var crops []*image.Gray
			for i := range 12 {
				h := good
				if i == 5 {
					h = hostile
				}
				crops = append(crops, crop(100+i, h))
			}
			words, err := p.ReadLines(context.Background(), crops)
			if err != nil {
				t.Fatal(err)
			}
			for i, w := range words {
				switch {
				case i == 5 && len(w) > 0:
					t.Errorf("the hostile line was read as %q", w[0].Text)
				case i != 5 && (len(w) == 0 || w[0].Text != fmt.Sprint(100+i)):
					t.Errorf("line %d came back as %v", i, w)
				}
			}
		})
	}
}

func TestLineSizes(t *testing.T) {
	p := pool(t, 1)
	words, err := p.ReadLines(context.Background(), []*image.Gray{crop(0, good), crop(maxSide+1, good), crop(maxSide, maxCrop/maxSide+9), crop(9, good)})
	if err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		if words[i] != nil {
			t.Errorf("what is no line, number %d, was read as %v", i, words[i])
		}
	}
	if len(words[3]) == 0 || words[3][0].Text != "9" {
		t.Errorf("the line after them was read as %v", words[3])
	}
	// Part of a larger picture: its rows lie apart in memory.
	part := crop(300, 200).SubImage(image.Rect(20, 30, 70, 30+good)).(*image.Gray)
	if words, err = p.ReadDigits(context.Background(), []*image.Gray{part}); err != nil || words[0][0].Text != "digits 50" {
		t.Errorf("got %v, %v", words, err)
	}
}

func TestWorkersAreReplaced(t *testing.T) {
	p := pool(t, 1)
	p.recycleAfter = 3
	var crops []*image.Gray
	for range 7 {
		crops = append(crops, crop(60, good))
	}
	words, err := p.ReadLines(context.Background(), crops)
	if err != nil {
		t.Fatal(err)
	}
	pids := map[string]int{}
	for _, w := range words {
		pids[w[1].Text]++
	}
	if len(pids) != 3 {
		t.Errorf("7 lines, at most 3 a worker, were read by %d workers", len(pids))
	}
}

// Many readings may share one pool, and each may give up by itself.
func TestGivingUp(t *testing.T) {
	p := pool(t, 1)
	p.lineLimit = 200 * time.Millisecond
	ctx, cancel := context.WithCancel(context.Background())
	var crops []*image.Gray
	for range 40 {
		crops = append(crops, crop(60, hangs))
	}
	time.AfterFunc(300*time.Millisecond, cancel)
	began := time.Now()
	if _, err := p.ReadLines(ctx, crops); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	// One line was under way, which hangs in two workers one after the other.
	if took := time.Since(began); took > 5*time.Second {
		t.Errorf("giving up took %v", took)
	}
	if words, err := p.ReadLines(context.Background(), []*image.Gray{crop(60, good)}); err != nil || len(words[0]) == 0 {
		t.Errorf("the next reading: %v, %v", words, err)
	}
}

// A worker that wants to run and gets no processor is waited for; one that has had
// its time is not.
func TestStarved(t *testing.T) {
	was := usage{ready: true, spent: 3 * time.Second}
	for _, c := range []struct {
		is   usage
		want bool
	}{
		{usage{true, 3 * time.Second}, true},
		{usage{true, 7 * time.Second}, true},
		{usage{true, 8 * time.Second}, false},
		{usage{false, 3 * time.Second}, false},
	} {
		if got := starved(was, c.is, 10*time.Second); got != c.want {
			t.Errorf("%+v: %v", c.is, got)
		}
	}
	if runtime.GOOS != "linux" {
		return
	}
	before := usageOf(os.Getpid())
	for began := time.Now(); usageOf(os.Getpid()).spent == before.spent; {
		if time.Since(began) > time.Minute {
			t.Fatal("a minute of work shows nowhere")
		}
	}
	if !before.ready || usageOf(1<<30).ready {
		t.Errorf("this process: %+v; none: %+v", before, usageOf(1<<30))
	}
}

// Where no worker starts that is said, and nothing waits for ever.
func TestNoWorkerStarts(t *testing.T) {
	if _, err := New(1, filepath.Join(t.TempDir(), "none.traineddata")); err == nil || !strings.Contains(err.Error(), "name the path") {
		t.Errorf("a model that is not there: %v", err)
	}
	broken := filepath.Join(t.TempDir(), "broken.traineddata")
	if err := os.WriteFile(broken, []byte("no model"), 0o600); err != nil {
		t.Fatal(err)
	}
	p, err := New(2, broken)
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	if _, err := p.ReadLines(context.Background(), []*image.Gray{crop(60, good), crop(60, good)}); !errors.Is(err, ErrNoStart) {
		t.Errorf("a broken model: %v", err)
	}
}

func TestFrames(t *testing.T) {
	var b bytes.Buffer
	w := bufio.NewWriter(&b)
	g := crop(33, 21)
	for i := range g.Pix {
		g.Pix[i] = uint8(i)
	}
	if err := writeRequest(w, opDigits, g); err != nil {
		t.Fatal(err)
	}
	whole := bytes.Clone(b.Bytes())
	op, back, err := readRequest(&b)
	if err != nil || op != opDigits || !bytes.Equal(back.Pix, g.Pix) || back.Rect != g.Rect {
		t.Errorf("got %d, %v, %v", op, back.Rect, err)
	}
	for _, cut := range []int{4, 9, len(whole) - 1} {
		if _, _, err := readRequest(bytes.NewReader(whole[:cut])); err == nil {
			t.Errorf("a request cut after %d bytes was taken", cut)
		}
	}
	// Sizes whose product does not fit 32 bits.
	for _, head := range [][]byte{{1, 0, 0, 0, 0, 0, 0, 0, 9}, {1, 0xff, 0xff, 0xff, 0xff, 0, 0, 0, 9}, {1, 0, 1, 0, 0, 0, 1, 0, 0}} {
		if _, _, err := readRequest(bytes.NewReader(head)); err == nil || errors.Is(err, io.ErrUnexpectedEOF) {
			t.Errorf("a request with the head %v: %v", head, err)
		}
	}
	b.Reset()
	if err := writeFrame(w, replyWords, []byte("[]")); err != nil {
		t.Fatal(err)
	}
	if kind, body, err := readFrame(&b); err != nil || kind != replyWords || string(body) != "[]" {
		t.Errorf("got %d, %q, %v", kind, body, err)
	}
	if _, _, err := readFrame(bytes.NewReader([]byte{2, 0xff, 0, 0, 0})); err == nil {
		t.Error("a reply of 4 GB was taken")
	}
}

// The built-in model, in real workers, reads lines as they are printed.
func TestBuiltInModelReads(t *testing.T) {
	p, err := New(2, "")
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	texts := []string{"OATS ROLLED 4.29", "JAM PLUM 6.90", "COUPON 1.00-", "TOTAL 19.18"}
	var crops []*image.Gray
	for i, text := range texts {
		line := draw.TextLine(text, draw.DefaultStyle(), rand.New(rand.NewPCG(1, uint64(i))))
		framed := image.NewGray(image.Rect(0, 0, line.Rect.Dx()+20, line.Rect.Dy()+20))
		for j := range framed.Pix {
			framed.Pix[j] = 255
		}
		for y := range line.Rect.Dy() {
			copy(framed.Pix[(y+10)*framed.Stride+10:], line.Pix[y*line.Stride:y*line.Stride+line.Rect.Dx()])
		}
		crops = append(crops, framed)
	}
	words, err := p.ReadLines(context.Background(), crops)
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range words {
		got := ocr.Reading{Words: w}
		if !strings.HasSuffix(got.Text(), texts[i][strings.LastIndexByte(texts[i], ' '):]) {
			t.Errorf("%q was read as %q", texts[i], got.Text())
		}
		for _, one := range w {
			if one.Confidence <= 0 || one.Confidence > 1 || !image.Rect(one.Box.X, one.Box.Y, one.Box.X+one.Box.W, one.Box.Y+one.Box.H).In(crops[i].Rect) {
				t.Errorf("%q: confidence %.2f, box %v in %v", one.Text, one.Confidence, one.Box, crops[i].Rect)
			}
		}
	}
	digits, err := p.ReadDigits(context.Background(), crops[:1])
	if err != nil || strings.ContainsAny((ocr.Reading{Words: digits[0]}).Text(), "OATSRLED") {
		t.Errorf("digits only gave %v, %v", digits, err)
	}
	again, err := p.ReadLines(context.Background(), crops[:1])
	if err != nil || (ocr.Reading{Words: again[0]}).Text() != (ocr.Reading{Words: words[0]}).Text() {
		t.Errorf("letters read as %v after digits, %v", again, err)
	}
}
