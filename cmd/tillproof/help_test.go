package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
)

// commands are all that a person can call, the completion commands apart, whose
// help is the library's.
func commands() (all []*cobra.Command) {
	a := &app{streams: streams{in: strings.NewReader(""), out: &bytes.Buffer{}, err: &bytes.Buffer{}}}
	each(a.rootCommand(), func(cmd *cobra.Command) {
		if !cmd.Hidden {
			all = append(all, cmd)
		}
	})
	return all
}

func help(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if code := run(context.Background(), append(args, "--help"), streams{strings.NewReader(""), &out, &errs}); code != exitOK || errs.Len() > 0 {
		t.Fatalf("%v --help: exit code %d, %s", args, code, errs.String())
	}
	return out.String()
}

func TestHelpFitsAndHasExamples(t *testing.T) {
	all := commands()
	if len(all) < 12 {
		t.Fatalf("%d commands", len(all))
	}
	for _, cmd := range all {
		path := strings.Fields(cmd.CommandPath())[1:]
		text := help(t, path...)
		for _, l := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(l); n > helpWidth {
				t.Errorf("%s --help: %d columns: %s", cmd.CommandPath(), n, l)
			}
			if strings.ContainsAny(l, "\x1b") {
				t.Errorf("%s --help: has colour: %q", cmd.CommandPath(), l)
			}
		}
		example := false
		for _, l := range strings.Split(cmd.Example, "\n") {
			example = example || strings.HasPrefix(strings.TrimSpace(l), cmd.CommandPath()+" ") || strings.TrimSpace(l) == cmd.CommandPath()
		}
		if !example && !(cmd.HasSubCommands() && cmd.HasParent()) {
			t.Errorf("%s --help: no example calls it", cmd.CommandPath())
		}
	}
}

// shellWords splits a line as a shell does, where "quotes" hold words together.
func shellWords(line string) (words []string) {
	for i, part := range strings.Split(line, "\"") {
		if i%2 == 1 {
			words = append(words, part)
		} else {
			words = append(words, strings.Fields(part)...)
		}
	}
	return words
}

// TestExamplesAreTrue parses every example: a flag that is gone must not stay
// in the help.
func TestExamplesAreTrue(t *testing.T) {
	for _, cmd := range commands() {
		for _, line := range strings.Split(cmd.Example, "\n") {
			words := shellWords(line)
			if len(words) == 0 || words[0] != "tillproof" {
				continue
			}
			for i, w := range words {
				if w == ">" || w == ">>" || w == "|" {
					words = words[:i]
					break
				}
			}
			a := &app{streams: streams{in: strings.NewReader(""), out: &bytes.Buffer{}, err: &bytes.Buffer{}}}
			found, rest, err := a.rootCommand().Find(words[1:])
			if err == nil {
				err = found.ParseFlags(rest)
			}
			if err == nil {
				err = found.ValidateArgs(found.Flags().Args())
			}
			if err == nil {
				err = found.ValidateRequiredFlags()
			}
			if err != nil {
				t.Errorf("%s --help: %q: %v", cmd.CommandPath(), strings.TrimSpace(line), err)
			}
		}
	}
}

func TestEveryCommandHasAManPage(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "man1")
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"man", dir}, streams{strings.NewReader(""), &out, &errs}); code != exitOK {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	for _, cmd := range commands() {
		page, err := os.ReadFile(filepath.Join(dir, strings.ReplaceAll(cmd.CommandPath(), " ", "-")+".1"))
		if err != nil {
			t.Error(err)
			continue
		}
		if text := string(page); !strings.HasPrefix(text, ".nh\n.TH") || !strings.Contains(text, ".SH NAME") {
			t.Errorf("%s: no manual page:\n%.200s", cmd.CommandPath(), text)
		}
	}
}
