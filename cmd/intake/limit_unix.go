//go:build unix

package intake

import "syscall"

// Limits of a child. The address space is what a picture of maxPixels takes
// three times over; the seconds of computing end a child whose parent was
// killed; the file is the renderer's machine code.
const (
	limitMemory  = 4 << 30
	limitSeconds = 300
	limitFile    = 128 << 20
)

// limitSelf bounds what this process can take from the machine, and leaves no
// core dump of a shopper's receipt.
func limitSelf() error {
	for _, l := range []struct {
		what int
		max  uint64
	}{
		{syscall.RLIMIT_AS, limitMemory},
		{syscall.RLIMIT_CPU, limitSeconds},
		{syscall.RLIMIT_CORE, 0},
		{syscall.RLIMIT_FSIZE, limitFile},
	} {
		if err := syscall.Setrlimit(l.what, &syscall.Rlimit{Cur: l.max, Max: l.max}); err != nil {
			return err
		}
	}
	return nil
}
