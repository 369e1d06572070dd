//go:build unix

package worker

import "syscall"

// memoryLimit is the address space in bytes that a worker may have: the
// program, its libraries and the model need about 400 MB of it, a line little
// more.
const memoryLimit = 2 << 30

// limitSelf bounds what this process can take from the machine: memory, files
// it may write, and no core dump of a shopper's receipt.
func limitSelf() error {
	for _, l := range []struct {
		what int
		max  uint64
	}{
		{syscall.RLIMIT_AS, memoryLimit},
		{syscall.RLIMIT_CORE, 0},
		{syscall.RLIMIT_FSIZE, 0},
	} {
		if err := syscall.Setrlimit(l.what, &syscall.Rlimit{Cur: l.max, Max: l.max}); err != nil {
			return err
		}
	}
	return nil
}
