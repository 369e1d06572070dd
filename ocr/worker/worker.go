// Package worker reads lines in child processes of the same program, so that a
// picture that crashes, blows up or hangs the C++ reader costs one line and
// not the shopper's whole check.
//
// A program calls Maybe first thing in main (a test binary: in TestMain) and
// makes a Pool with New; the Pool is an ocr.Engine. Parent and child talk over
// the child's standard input and output in frames with binary lengths.
package worker

import (
	"bufio"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"io"
	"os"

	"tillproof/ocr"
	"tillproof/ocr/tesseract"
)

// modelVar is the environment variable that makes the program a worker; its
// value is the path of the model.
const modelVar = "TILLPROOF_READ_LINES_WITH"

// What a request asks for.
const (
	opRead   = 1
	opDigits = 2
)

// What a reply is.
const (
	replyReady = 1 // the model is loaded
	replyWords = 2 // JSON of []ocr.Word
	replyError = 3 // a message; the worker goes on
)

// Limits of one exchange. A line is at most a few hundred pixels high and a
// few thousand wide; its words with all runners-up stay under 100 kB.
const (
	maxSide  = 20_000
	maxCrop  = 8 << 20
	maxReply = 2 << 20
)

// reader is what a worker reads with.
type reader interface {
	ReadLines(context.Context, []*image.Gray) ([][]ocr.Word, error)
	ReadDigits(context.Context, []*image.Gray) ([][]ocr.Word, error)
}

// Maybe makes this process a worker and does not return, where a Pool started
// it as one; otherwise it does nothing.
func Maybe() {
	model := os.Getenv(modelVar)
	if model == "" {
		return
	}
	if err := limitSelf(); err != nil {
		fmt.Fprintln(os.Stderr, "worker: cannot limit itself:", err)
		os.Exit(1)
	}
	if err := run(model); err != nil {
		fmt.Fprintln(os.Stderr, "worker:", err)
		os.Exit(1)
	}
	os.Exit(0)
}

// run starts the engine and serves the parent until its end closes.
func run(model string) error {
	engine, err := tesseract.New(model)
	if err != nil {
		return err
	}
	defer engine.Close()
	return serve(os.Stdin, os.Stdout, engine)
}

// serve answers requests until in ends.
func serve(in io.Reader, out io.Writer, engine reader) error {
	r, w := bufio.NewReaderSize(in, 1<<16), bufio.NewWriter(out)
	if err := writeFrame(w, replyReady, nil); err != nil {
		return err
	}
	for {
		op, crop, err := readRequest(r)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		read := engine.ReadLines
		if op == opDigits {
			read = engine.ReadDigits
		}
		kind, body := byte(replyWords), []byte(nil)
		words, err := read(context.Background(), []*image.Gray{crop})
		if err == nil {
			body, err = json.Marshal(words[0])
		}
		if err != nil {
			kind, body = replyError, []byte(err.Error())
		}
		if err := writeFrame(w, kind, body); err != nil {
			return err
		}
	}
}

// writeRequest sends one crop.
func writeRequest(w *bufio.Writer, op byte, crop *image.Gray) error {
	width, height := crop.Rect.Dx(), crop.Rect.Dy()
	var head [9]byte
	head[0] = op
	binary.BigEndian.PutUint32(head[1:], uint32(width))
	binary.BigEndian.PutUint32(head[5:], uint32(height))
	w.Write(head[:]) // a bufio.Writer keeps its first error for Flush
	for y := range height {
		at := crop.PixOffset(crop.Rect.Min.X, crop.Rect.Min.Y+y)
		w.Write(crop.Pix[at : at+width])
	}
	return w.Flush()
}

// readRequest receives one crop.
func readRequest(r io.Reader) (op byte, crop *image.Gray, err error) {
	var head [9]byte
	if _, err := io.ReadFull(r, head[:]); err != nil {
		return 0, nil, err
	}
	w, h := binary.BigEndian.Uint32(head[1:]), binary.BigEndian.Uint32(head[5:])
	if w == 0 || h == 0 || w > maxSide || h > maxSide || w*h > maxCrop {
		return 0, nil, fmt.Errorf("a line of %d by %d pixels was sent, which is no line", w, h)
	}
	crop = image.NewGray(image.Rect(0, 0, int(w), int(h)))
	_, err = io.ReadFull(r, crop.Pix)
	return head[0], crop, err
}

// writeFrame sends one reply.
func writeFrame(w *bufio.Writer, kind byte, body []byte) error {
	var head [5]byte
	head[0] = kind
	binary.BigEndian.PutUint32(head[1:], uint32(len(body)))
	w.Write(head[:])
	w.Write(body)
	return w.Flush()
}

// readFrame receives one reply.
func readFrame(r io.Reader) (kind byte, body []byte, err error) {
	var head [5]byte
	if _, err := io.ReadFull(r, head[:]); err != nil {
		return 0, nil, err
	}
	n := binary.BigEndian.Uint32(head[1:])
	if n > maxReply {
		return 0, nil, fmt.Errorf("the reply of %d bytes is longer than the %d allowed", n, maxReply)
	}
	body = make([]byte, n)
	_, err = io.ReadFull(r, body)
	return head[0], body, err
}
