package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"tillproof/fixtures/shoebox"
)

// runAsProgram makes the test binary the program itself.
const runAsProgram = "TILLPROOF_TEST_PROGRAM"

func program(args ...string) *exec.Cmd {
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), runAsProgram+"=1")
	return cmd
}

// writeBox writes a made-up shoebox and its plans to disk.
func writeBox(t *testing.T, n, plans int, seed uint64) (box, planFolder string) {
	t.Helper()
	b, err := shoebox.Make(n, plans, seed)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for folder, files := range map[string]map[string]string{"box": b.Files, "plans": b.Plans} {
		if err := os.Mkdir(filepath.Join(dir, folder), 0o755); err != nil {
			t.Fatal(err)
		}
		for name, text := range files {
			if err := os.WriteFile(filepath.Join(dir, folder, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	return filepath.Join(dir, "box"), filepath.Join(dir, "plans")
}

// outcome is all that a user gets of a folder: the week and what is due.
func outcome(t *testing.T, box, plans, ledger string) string {
	t.Helper()
	var all bytes.Buffer
	for _, args := range [][]string{
		{"week", box, "--plans", plans, "--ledger", ledger, "--json"},
		{"due", "--ledger", ledger, "--on", "2026-03-05", "--json"},
		{"answer", "--ledger", ledger, "--all", "--json"},
	} {
		cmd := program(args...)
		var stderr bytes.Buffer
		cmd.Stdout, cmd.Stderr = &all, &stderr
		if err := cmd.Run(); err != nil && cmd.ProcessState.ExitCode() == exitBadInput || stderr.Len() > 0 {
			t.Fatalf("%v: %v\n%s", args, err, stderr.Bytes())
		}
	}
	return all.String()
}

// Killed at ten random points and started again each time, a run ends as one
// that was left alone: of texts, and of a few photos, where a kill comes while
// workers read.
func TestKilledWeekEndsTheSame(t *testing.T) {
	t.Run("texts", func(t *testing.T) {
		box, plans := writeBox(t, 80, 12, 4)
		endsTheSame(t, box, plans, 10)
	})
	t.Run("photos", func(t *testing.T) {
		box, demo := t.TempDir(), filepath.Join("..", "..", "fixtures", "demo")
		for _, name := range []string{"flat/pantry.jpg", "flat/breakfast.jpg", "text/supper.txt"} {
			data, err := os.ReadFile(filepath.Join(demo, name))
			if err == nil {
				err = os.WriteFile(filepath.Join(box, filepath.Base(name)), data, 0o600)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		endsTheSame(t, box, filepath.Join(demo, "plan.yaml"), 10)
	})
}

// endsTheSame runs a folder whole, and again and again with a kill at a random
// point, so many in all: each run goes on where the one before it was killed, and
// after one that came to its end another ledger begins.
func endsTheSame(t *testing.T, box, plans string, kills int) {
	t.Helper()
	whole := filepath.Join(t.TempDir(), "whole.db")
	start := time.Now()
	_ = program("week", box, "--plans", plans, "--ledger", whole).Run() // whatever its verdict
	took := time.Since(start)
	want := outcome(t, box, plans, whole)
	killed, ended := 0, 0
	for ledger := ""; killed < kills; {
		if ledger == "" {
			ledger = filepath.Join(t.TempDir(), "killed.db")
		}
		cmd := program("week", box, "--plans", plans, "--ledger", ledger)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		timer := time.AfterFunc(time.Duration(rand.Int64N(int64(took)*7/10)), func() { cmd.Process.Kill() })
		cmd.Wait()
		timer.Stop()
		if cmd.ProcessState.ExitCode() == -1 { // by a signal
			if killed++; killed < kills {
				continue
			}
		}
		if got := outcome(t, box, plans, ledger); got != want {
			t.Fatalf("after %d kills the outcome is another: %d bytes, %d wanted", killed, len(got), len(want))
		}
		if ended++; ended > 3*kills {
			t.Fatalf("only %d of %d runs were killed before their end", killed, ended)
		}
		ledger = ""
	}
	t.Logf("%d killed, in %d ledgers; a whole run takes %s", killed, ended, took.Round(time.Millisecond))
}

// A folder takes no more time than checking its receipts one by one would,
// divided by the cores. Text, so that the program's own work is measured; the
// reading of photos is the same in both.
func TestWeekIsNoSlowerThanChecks(t *testing.T) {
	const n, sample = 500, 20
	box, plans := writeBox(t, n, 60, 5)
	ledger := filepath.Join(t.TempDir(), "ledger.db")
	start := time.Now()
	cmd := program("week", box, "--plans", plans, "--ledger", ledger, "--json")
	if out, err := cmd.CombinedOutput(); err != nil && cmd.ProcessState.ExitCode() == exitBadInput {
		t.Fatalf("%v\n%s", err, out)
	}
	whole := time.Since(start)
	files, err := filepath.Glob(filepath.Join(box, "img*.txt"))
	if err != nil || len(files) < sample {
		t.Fatal(files, err)
	}
	start = time.Now()
	for i := range sample {
		_ = program("check", "--plan", filepath.Join(plans, fmt.Sprintf("plan%03d.yaml", i)), files[i]).Run() // whatever its verdict
	}
	each := time.Since(start) / sample
	t.Logf("a folder of %d: %s; one check: %s, times %d by %d cores %s", n, whole.Round(time.Millisecond), each.Round(time.Millisecond), n, runtime.NumCPU(), (each * n / time.Duration(runtime.NumCPU())).Round(time.Millisecond))
	again := time.Now()
	cmd = program("week", box, "--plans", plans, "--ledger", ledger, "--json")
	_ = cmd.Run()
	t.Logf("a second run, nothing new: %s", time.Since(again).Round(time.Millisecond))
	if whole > each*n {
		t.Errorf("the folder took %s, %d checks one after the other %s", whole, n, each*n)
	}
}

// The bar is drawn on a terminal only, and says how long it will still take.
func TestBar(t *testing.T) {
	var out bytes.Buffer
	silent := bar{out: &out, all: 4, start: time.Now()}
	silent.step(true)
	silent.end()
	if out.Len() > 0 {
		t.Errorf("without a terminal: %q", out.String())
	}
	b := bar{out: &out, all: 4, on: true, start: time.Now().Add(-time.Minute)}
	b.step(false) // known before: it took no time
	if strings.Contains(out.String(), "left") {
		t.Errorf("how long it takes is not known yet: %q", out.String())
	}
	b.step(true)
	if !strings.Contains(out.String(), "2 of 4, about 2 min left") {
		t.Errorf("%q", out.String())
	}
	b.step(true)
	b.step(true)
	out.Reset()
	b.end()
	if got := out.String(); strings.Contains(got, "#") {
		t.Errorf("it stays: %q", got)
	}
}
