//go:build !linux

package worker

// usageOf knows nothing where the system is not asked: a limit is then one of
// the clock.
func usageOf(int) (u usage) { return u }
