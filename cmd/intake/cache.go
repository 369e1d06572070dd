package intake

import (
	"os"
	"path/filepath"
)

// cacheDir is the folder in which the PDF renderer is kept translated, made
// where it is missing; "" where there is no place for it.
func cacheDir(wanted string) string {
	if wanted == "" {
		// A service may run as a user whose home does not exist: none is made.
		home, err := os.UserHomeDir()
		if err != nil {
			return ""
		}
		if _, err := os.Stat(home); err != nil {
			return ""
		}
		base, err := os.UserCacheDir()
		if err != nil {
			return ""
		}
		wanted = filepath.Join(base, "tillproof")
	}
	if err := os.MkdirAll(wanted, 0o700); err != nil {
		return ""
	}
	return wanted
}
