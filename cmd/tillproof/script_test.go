package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"flag"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite golden sections of testdata/script/*.txtar")

func TestMain(m *testing.M) {
	if os.Getenv(runAsProgram) != "" {
		main() // it ends the process
	}
	testscript.Main(m, map[string]func(){"tillproof": main})
}

// TestScript runs the program as a user does. Each script says in its first
// line why it is there.
func TestScript(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	scripts, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts (%v)", err)
	}
	for _, s := range scripts {
		if b, err := os.ReadFile(s); err != nil || !bytes.HasPrefix(b, []byte("# why: ")) {
			t.Errorf("%s: the first line must say why (# why: ...), %v", s, err)
		}
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script", UpdateScripts: *update,
		RequireExplicitExec: true, RequireUniqueNames: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("FIXTURES", filepath.Join(root, "fixtures"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "blankpng": blankPNG, "head": head, "repeat": repeat,
		},
	})
}

// exits requires one exact exit code: "exits 2 tillproof check x".
func exits(ts *testscript.TestScript, neg bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var exit *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// blankPNG writes an empty picture: "blankpng FILE WIDTH HEIGHT". Of one too
// large to draw only the header is true, which is all that should be read of it.
func blankPNG(ts *testscript.TestScript, neg bool, args []string) {
	w, err := strconv.Atoi(args[1])
	ts.Check(err)
	h, err := strconv.Atoi(args[2])
	ts.Check(err)
	var b bytes.Buffer
	drawn := image.Rect(0, 0, min(w, 2000), min(h, 2000))
	ts.Check(png.Encode(&b, image.NewPaletted(drawn, color.Palette{color.Gray{200}})))
	file := b.Bytes()
	const header, size, sum = 12, 16, 29 // of IHDR: its type, width and height, CRC
	binary.BigEndian.PutUint32(file[size:], uint32(w))
	binary.BigEndian.PutUint32(file[size+4:], uint32(h))
	binary.BigEndian.PutUint32(file[sum:], crc32.ChecksumIEEE(file[header:sum]))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), file, 0o666))
}

// head cuts a file to its first bytes: "head NEW OLD BYTES".
func head(ts *testscript.TestScript, neg bool, args []string) {
	b, err := os.ReadFile(ts.MkAbs(args[1]))
	ts.Check(err)
	n, err := strconv.Atoi(args[2])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b[:min(n, len(b))], 0o666))
}

// repeat writes a text many times over: "repeat FILE TIMES TEXT".
func repeat(ts *testscript.TestScript, neg bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Repeat(args[2]+"\n", n)), 0o666))
}
