package ocr

import "fmt"

// FileError says that a photo's file is refused or does not decode: nothing
// was looked at.
type FileError struct {
	// Photo counts the photos handed over from 1.
	Photo int
	Msg   string
	// Hint is what a person can do about it.
	Hint string
}

// Error is what is wrong and what to do.
func (e *FileError) Error() string {
	return fmt.Sprintf("photo %d: %s; %s", e.Photo, e.Msg, e.Hint)
}

// UnreadableError says that every photo decodes and that no receipt can be
// read in any of them.
type UnreadableError struct {
	Msg  string
	Hint string
}

// Error is what is wrong and what to do.
func (e *UnreadableError) Error() string { return e.Msg + "; " + e.Hint }
