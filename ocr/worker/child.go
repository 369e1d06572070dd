package worker

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"tillproof/ocr"
	builtin "tillproof/ocr/model"
)

// Limits of time: for loading the model and for reading one line. A line takes
// 10 to 15 ms; a machine under load may take a hundred times that. A worker that
// is given no processor is waited for longer.
const (
	startLimit = 30 * time.Second
	lineLimit  = 10 * time.Second
)

// ErrNoStart says that no worker could be started. It is never the photo's fault.
var ErrNoStart = errors.New("the line reader does not start")

// child is one running worker.
type child struct {
	cmd    *exec.Cmd
	in     *bufio.Writer
	pipe   io.Closer
	out    *bufio.Reader
	stderr *tail
	lines  int // read so far
}

// start runs this program as a worker and waits until its model is loaded.
func (p *Pool) start() (*child, error) {
	model := p.path
	if model == "" {
		dir, err := os.MkdirTemp("", "tillproof-model-")
		if err != nil {
			return nil, err
		}
		// The worker holds the model in memory once it is ready.
		defer os.RemoveAll(dir)
		model = filepath.Join(dir, builtin.Name+".traineddata")
		if err := os.WriteFile(model, p.model, 0o600); err != nil {
			return nil, err
		}
	}
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	c := &child{cmd: exec.Command(self), stderr: &tail{}}
	c.cmd.Env = append(environ(), modelVar+"="+model, "OMP_THREAD_LIMIT=1", "GOMEMLIMIT=256MiB", "GOMAXPROCS=1")
	c.cmd.Stderr = c.stderr
	in, err := c.cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := c.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := c.cmd.Start(); err != nil {
		return nil, err
	}
	c.in, c.pipe, c.out = bufio.NewWriterSize(in, 1<<16), in, bufio.NewReaderSize(out, 1<<16)
	kind, _, err := c.receive(startLimit)
	if err != nil || kind != replyReady {
		c.kill()
		return nil, fmt.Errorf("%w (%v)%s", ErrNoStart, err, c.stderr)
	}
	return c, nil
}

// environ is the environment without what a worker sets itself.
func environ() []string {
	var out []string
	for _, e := range os.Environ() {
		name, _, _ := strings.Cut(e, "=")
		switch name {
		case modelVar, "OMP_THREAD_LIMIT", "GOMEMLIMIT", "GOMAXPROCS", "TESSDATA_PREFIX":
		default:
			out = append(out, e)
		}
	}
	return out
}

// receive waits for one reply, and ends the worker where it takes too long.
func (c *child) receive(limit time.Duration) (kind byte, body []byte, err error) {
	p := patience{c: c, limit: limit}
	p.mu.Lock()
	p.timer = time.AfterFunc(limit, p.late)
	p.mu.Unlock()
	defer p.end()
	return readFrame(c.out)
}

// read reads one crop. An error means that the worker is of no more use.
func (c *child) read(op byte, crop *image.Gray, limit time.Duration) ([]ocr.Word, error) {
	c.lines++
	if err := writeRequest(c.in, op, crop); err != nil {
		return nil, err
	}
	kind, body, err := c.receive(limit)
	if err != nil {
		return nil, err
	}
	if kind != replyWords {
		return nil, fmt.Errorf("the line reader failed: %s", body)
	}
	var words []ocr.Word
	return words, json.Unmarshal(body, &words)
}

// stop lets the worker end by itself.
func (c *child) stop() {
	c.pipe.Close()
	timer := time.AfterFunc(time.Second, func() { c.cmd.Process.Kill() })
	defer timer.Stop()
	c.cmd.Wait() // its exit code says nothing more
}

// kill ends the worker at once.
func (c *child) kill() {
	c.cmd.Process.Kill()
	c.cmd.Wait()
}

// tail keeps the last of what a worker complains about.
type tail struct{ b []byte }

// Write keeps the last 2,000 bytes.
func (t *tail) Write(p []byte) (int, error) {
	t.b = append(t.b, p...)
	if n := len(t.b) - 2000; n > 0 {
		t.b = append(t.b[:0], t.b[n:]...)
	}
	return len(p), nil
}

// String is what was kept, in one line behind a colon; nothing of nothing.
func (t *tail) String() string {
	if said := strings.Fields(string(t.b)); len(said) > 0 {
		return ": " + strings.Join(said, " ")
	}
	return ""
}
