package worker

import (
	"sync"
	"time"
)

// mostWaits is how many times a limit a worker is waited for where it gets no
// processor time.
const mostWaits = 12

// patience waits for one reply of a worker.
type patience struct {
	c     *child
	limit time.Duration

	mu    sync.Mutex
	timer *time.Timer
	ended bool
	waits int
	was   usage
}

// late is called each time that the limit has passed: it ends a worker that hangs
// or has used its time, and waits on for one that the machine kept waiting.
// What it has used is asked for only now, since lines are many and most are quick;
// so the first time, that it wants to run must do.
func (p *patience) late() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.ended {
		return
	}
	is := usageOf(p.c.cmd.Process.Pid)
	p.waits++
	if p.waits == mostWaits || !is.ready || p.waits > 1 && !starved(p.was, is, p.limit) {
		p.c.cmd.Process.Kill()
		return
	}
	p.was = is
	p.timer.Reset(p.limit)
}

// end stops waiting.
func (p *patience) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.ended = true
	p.timer.Stop()
}

// usage is what a worker's process has used and wants.
type usage struct {
	// ready says that it runs or would, if it were given a processor.
	ready bool
	// spent is the processor time that it has used.
	spent time.Duration
}

// starved reports whether a worker was kept waiting by the machine for the time of
// limit: it wants to run, and had less than half of that of a processor. On a busy
// machine such a worker is no worse than others.
func starved(was, is usage, limit time.Duration) bool {
	return is.ready && is.spent-was.spent < limit/2
}
