// Package model holds the line models for Tesseract that the reader uses
// unless it is told otherwise: the English model tuned to till receipts,
// so that no language pack is needed where the program runs. Default gives their
// bytes; README.md says what they were trained on, how, and how well they read.
package model

import _ "embed"

var (
	//go:embed receipts.traineddata
	first []byte
)

// Default returns the models' files, the one that reads better first. The caller
// must not change them.
func Default() [][]byte { return [][]byte{first} }
