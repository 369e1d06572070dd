// Package model holds the line model for Tesseract that the reader uses unless
// it is told otherwise: the English model tuned to till receipts, so that no
// language pack is needed where the program runs. Default gives its bytes;
// README.md says what it was trained on, how, and how well it reads.
package model

import _ "embed"

// Name is what Tesseract calls the model: its file is Name + ".traineddata".
const Name = "receipts"

//go:embed receipts.traineddata
var data []byte

// Default returns the model's file. The caller must not change it.
func Default() []byte { return data }
