package intake

import (
	"bytes"
	"context"
	"encoding/gob"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"time"
)

// Environment variables that make the program a child that opens one file, and
// tell it where the renderer's machine code is kept.
const (
	childVar = "TILLPROOF_OPEN_FILE" // childHEIC, childPDF or childHTML
	cacheVar = "TILLPROOF_CACHE"
)

// What a child opens.
const (
	childHEIC = "heic"
	childPDF  = "pdf"
	childHTML = "html"
)

// maxReply is the most that a child may answer: the pages of a PDF as pictures,
// and some.
const maxReply = 256 << 20

// reply is what a child answers.
type reply struct {
	Parts []Part
	// Msg and Hint say what is wrong with the file, "" where nothing is.
	Msg, Hint string
}

// Maybe makes this process one that opens a single file and does not return,
// where Open started it as one; otherwise it does nothing.
func Maybe() {
	kind := os.Getenv(childVar)
	if kind == "" {
		return
	}
	err := limitSelf()
	if err == nil {
		err = serve(kind, os.Stdin, os.Stdout)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "opening a file:", err)
		os.Exit(1)
	}
	os.Exit(0)
}

// serve opens the file that comes from in and answers on out.
func serve(kind string, in io.Reader, out io.Writer) error {
	data, err := io.ReadAll(io.LimitReader(in, maxPhoto+1))
	if err != nil {
		return err
	}
	var answer reply
	switch kind {
	case childHEIC:
		answer = decodeHEIC(data)
	case childPDF:
		answer = readPDF(data, os.Getenv(cacheVar))
	case childHTML:
		answer = readHTML(data)
	default:
		return fmt.Errorf("there is no way to open %q", kind)
	}
	return gob.NewEncoder(out).Encode(answer)
}

// inChild has a child process open f. what names the kind of file in messages.
func (f file) inChild(ctx context.Context, kind, what string) ([]Part, error) {
	again := "save or send it once more, or as a JPEG photo"
	answer, err := f.ask(ctx, kind)
	var exit *exec.ExitError
	switch {
	case errors.Is(err, context.DeadlineExceeded):
		return nil, f.refuse(again, "opening the %s took longer than %v", what, f.opts.Timeout)
	case errors.As(err, &exit):
		return nil, f.refuse(again, "the %s cannot be opened: its reader ended (%v)", what, err)
	case err != nil:
		return nil, fmt.Errorf("%s: opening the %s: %w", f.name, what, err)
	case answer.Msg != "":
		return nil, f.refuse(answer.Hint, "%s", answer.Msg)
	}
	return answer.Parts, nil
}

// ask runs the child and takes its answer. A child that crashes, hangs or takes
// too much memory ends alone.
func (f file) ask(ctx context.Context, kind string) (*reply, error) {
	if os.Getenv(childVar) != "" {
		// Without Maybe a child would come here again, and start the next.
		return nil, errors.New("the program does not call intake.Maybe first thing in main")
	}
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	var stderr bytes.Buffer
	cmd := exec.CommandContext(ctx, self)
	cmd.Env = append(os.Environ(), childVar+"="+kind, cacheVar+"="+cacheDir(f.opts.CacheDir), "GOMEMLIMIT=1GiB")
	cmd.Stdin = bytes.NewReader(f.data)
	cmd.Stderr = &limited{&stderr, 4 << 10}
	cmd.WaitDelay = time.Second
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	answer := &reply{}
	decodeErr := gob.NewDecoder(io.LimitReader(out, maxReply)).Decode(answer)
	if decodeErr != nil {
		_ = cmd.Process.Kill() // it answers nothing that can be used; where it has ended already this fails, and need not
	}
	err = cmd.Wait()
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil && stderr.Len() > 0:
		return nil, fmt.Errorf("%w: %s", err, firstLine(stderr.String()))
	case err != nil:
		return nil, err
	case decodeErr != nil:
		return nil, fmt.Errorf("its reader's answer cannot be read: %w", decodeErr)
	}
	return answer, nil
}

// limited passes on the first bytes that are written, and drops the rest.
type limited struct {
	to   io.Writer
	left int
}

func (l *limited) Write(b []byte) (int, error) {
	n := min(len(b), l.left)
	l.left -= n
	if n > 0 {
		if _, err := l.to.Write(b[:n]); err != nil {
			return 0, err
		}
	}
	return len(b), nil
}

func firstLine(s string) string {
	line, _, _ := strings.Cut(strings.TrimSpace(s), "\n")
	return line
}
