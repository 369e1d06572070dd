//go:build !unix

package intake

// limitSelf does nothing where the system has no limits for a process; the
// parent's limit on time still holds.
func limitSelf() error { return nil }
